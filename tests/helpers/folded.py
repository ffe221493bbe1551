# SPDX-License-Identifier: GPL-2.0-or-later
"""Small layouts on folded cloth, put together by hand, with true figures by plain arithmetic.

The garment is our own invention: cuffs cut as pairs, yokes drawn as halves, tabs cut singly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import shapely

from nesting.model import Fabric, Job, LaidSection, Layout, Outline, Piece, Placement, Section
from tests.helpers.judged import layout_of
from tests.helpers.plain_unfolding import drawn

WIDTH = 400.0
CUFF: Outline = ((0.0, 0.0), (60.0, 0.0), (60.0, 12.0), (15.0, 12.0), (15.0, 30.0), (0.0, 30.0))
"""60 by 30, no mirror image of itself."""
YOKE: Outline = ((0.0, 0.0), (80.0, 0.0), (80.0, 10.0), (30.0, 24.0), (0.0, 24.0))
"""Half of it: 80 by 24, its fold edge along y = 0."""
TAB: Outline = ((0.0, 0.0), (50.0, 0.0), (50.0, 5.0), (10.0, 14.0), (0.0, 14.0))
"""50 by 14, no mirror image of itself."""

SPREADS: dict[str, tuple[Section, ...]] = {
    "open": (Section(),),
    "lengthwise": (Section(200.0, 0.0),),
    "lengthwise from above": (Section(0.0, 200.0),),
    "to a depth": (Section(120.0, 0.0),),
    "to a depth from above": (Section(0.0, 130.0),),
    "twice": (Section(100.0, 100.0),),
    "twice, unequal": (Section(130.0, 60.0),),
    "crosswise": (Section(crosswise=True),),
    "crosswise, turned": (Section(crosswise=True, turned=True),),
    "lengthwise, then open": (Section(200.0, 0.0), Section()),
    "to a depth, crosswise, open": (Section(0.0, 90.0), Section(crosswise=True), Section()),
}


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip of the table of a section: its layers, its ends, and its fold if it has one."""

    section: int
    layers: int
    low: float
    high: float
    fold: float | None = None


STRIPS: dict[str, tuple[Strip, ...]] = {
    "open": (Strip(1, 1, 0, 400),),
    "lengthwise": (Strip(1, 2, 200, 400, 200),),
    "lengthwise from above": (Strip(1, 2, 0, 200, 200),),
    "to a depth": (Strip(1, 2, 120, 240, 120), Strip(1, 1, 240, 400)),
    "to a depth from above": (Strip(1, 1, 0, 140), Strip(1, 2, 140, 270, 270)),
    "twice": (Strip(1, 2, 100, 200, 100), Strip(1, 2, 200, 300, 300)),
    "twice, unequal": (
        Strip(1, 2, 130, 260, 130),
        Strip(1, 1, 260, 280),
        Strip(1, 2, 280, 340, 340),
    ),
    "crosswise": (Strip(1, 2, 0, 400),),
    "crosswise, turned": (Strip(1, 2, 0, 400),),
    "lengthwise, then open": (Strip(1, 2, 200, 400, 200), Strip(2, 1, 0, 400)),
    "to a depth, crosswise, open": (
        Strip(1, 1, 0, 220),
        Strip(1, 2, 220, 310, 310),
        Strip(2, 2, 0, 400),
        Strip(3, 1, 0, 400),
    ),
}
"""Worked out by hand from the depths: the cloth is folded at the depth, and lies double up to
twice the depth (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Folded:
    """A job and its placements; `strips` are where each placement lies."""

    job: Job
    spots: tuple[Placement, ...]
    strips: tuple[Strip, ...]

    @property
    def layout(self) -> Layout:
        """The layout with true figures."""
        return layout_on(self.job, self.spots)

    def of_piece(self, piece: str) -> list[int]:
        """Return the numbers of the placements of a piece."""
        return [k for k, spot in enumerate(self.spots) if spot.piece == piece]

    def one_of_each(self) -> list[int]:
        """Return the number of one placement of each piece in each strip."""
        first = dict[tuple[str, Strip], int]()
        for k, (spot, strip) in enumerate(zip(self.spots, self.strips, strict=True)):
            first.setdefault((spot.piece, strip), k)
        return list(first.values())

    def changed(self, number: int, **changes: Any) -> Folded:
        """Return the same with changes to one placement."""
        spots = list(self.spots)
        spots[number] = replace(spots[number], **changes)
        return replace(self, spots=tuple(spots))

    def of_pieces(self, **changes: Any) -> Folded:
        """Return the same with changes to every piece."""
        pieces = tuple(replace(piece, **changes) for piece in self.job.pieces)
        return replace(self, job=replace(self.job, pieces=pieces))

    def on_cloth(self, **changes: Any) -> Folded:
        """Return the same with changes to the cloth."""
        return replace(self, job=replace(self.job, fabric=replace(self.job.fabric, **changes)))


def put(piece: Piece, x: float, y: float, turn: float = 0.0, **how: Any) -> Placement:
    """Return a placement whose bounding box begins at a point of the table."""
    spot = Placement(piece.id, (1,), 1, turn, how.pop("flip", False), 0.0, 0.0, **how)
    low_x, low_y, _, _ = shapely.get_parts(drawn(piece, spot))[0].bounds
    return replace(spot, x=x - low_x, y=y - low_y)


def layout_on(job: Job, spots: Sequence[Placement]) -> Layout:
    """Return a layout with true figures, from outlines as they are drawn on the table."""
    pieces = {piece.id: piece for piece in job.pieces}
    shapes = [shapely.get_parts(drawn(pieces[spot.piece], spot))[0] for spot in spots]
    fabric, laid, area = job.fabric, [], 0.0
    for number, section in enumerate(fabric.sections, 1):
        here = [k for k, spot in enumerate(spots) if spot.section == number]
        end = max((shapes[k].bounds[2] for k in here), default=0.0)
        area += sum(shapes[k].area * spots[k].layers for k in here)
        if not here:
            length = 0.0
        elif section.crosswise:
            length = 2.0 * (end + (fabric.edge_margin if section.turned else fabric.gap / 2.0))
        else:
            length = end + fabric.edge_margin
        laid.append(
            LaidSection(
                section.lower, section.upper, section.crosswise, section.turned, length=length
            )
        )
    total = sum(section.length for section in laid)
    layout = replace(layout_of(fabric.width, total or 1.0, area, tuple(spots)), length=total)
    return layout if fabric.is_plain else replace(layout, sections=tuple(laid))


def folded(
    spread: str,
    *,
    sides: str = "together",
    nap: bool = True,
    gap: float = 0.0,
    margin: float = 0.0,
) -> Folded:
    """Return a clean layout that uses every strip and every fold of a spread twice.

    Without nap one more part in each strip lies head to foot.
    """
    strips, laid = STRIPS[spread], []
    fabric = Fabric(
        WIDTH,
        edge_margin=margin,
        gap=gap,
        nap=nap,
        sections=SPREADS[spread],
        sides=sides,  # type: ignore[arg-type]
    )
    cuff, tab = Piece("cuff", CUFF), Piece("tab", TAB, hand="same")
    yoke = Piece("yoke", YOKE, fold=((0.0, 0.0), (80.0, 0.0)))
    ends = dict.fromkeys(range(1, len(fabric.sections) + 1), margin)
    for strip in strips:
        middle = (strip.low + strip.high) / 2.0
        # On cloth with its wrong side up a tab is laid printed side down, to be cut as drawn.
        down = sides == "apart" and not fabric.sections[strip.section - 1].is_open
        for turn in (0.0, 0.0) if nap else (0.0, 0.0, 180.0):
            x = ends[strip.section]
            if strip.layers == 2:
                spot = put(cuff, x, middle - 15.0, turn, section=strip.section, layers=2)
            else:
                spot = put(tab, x, middle - 7.0, turn, section=strip.section, flip=down)
            laid.append((spot, strip))
            ends[strip.section] = x + (60.0 if strip.layers == 2 else 50.0) + gap
        for turn in (0.0, 0.0) if strip.fold is not None else ():
            x, fold = ends[strip.section], strip.fold
            assert fold is not None
            spot = put(yoke, x, fold - 24.0, turn, section=strip.section, on_fold=True)
            laid.append((spot, strip))
            ends[strip.section] = x + 80.0 + gap
    counts = dict.fromkeys(("cuff", "yoke", "tab"), 0)
    spots = []
    for spot, _ in laid:
        first = counts[spot.piece] + 1
        counts[spot.piece] += spot.layers
        spots.append(replace(spot, copies=tuple(range(first, first + spot.layers))))
    pieces = [
        replace(piece, cut=counts[piece.id]) for piece in (cuff, yoke, tab) if counts[piece.id]
    ]
    return Folded(Job(fabric, tuple(pieces)), tuple(spots), tuple(strip for _, strip in laid))
