# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts on folded cloth made without a search: each zone is filled column by column.

What goes where is as a person lays by hand: halves on the fold, pairs through two layers, the rest
on one layer, and what fits nowhere on an open section behind the folded one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from lxml import etree

from extension.drawn.layer import draw_layout
from extension.drawn.sheet import Sheet
from extension.job.options import LayOutOptions
from extension.job.plan import Plan
from extension.svg.document import Document, parse, serialise
from extension.svg.leaves import read_leaves
from extension.svg.transforms import parse_transform
from nesting.cloth.bounds import utilisation
from nesting.cloth.hands import hands_of, may_go_double
from nesting.cloth.problem import outline_tuple
from nesting.geometry.shapes import oriented, placement_matrix, whole_outline
from nesting.model import OPEN, LaidSection, Layout, Piece, Placement, Section, Sides
from tests.helpers.cloth import between_selvedges
from tests.helpers.edited import Edited
from tests.helpers.garments import garment
from tests.helpers.layouts import plan_of, sheet_of
from tests.helpers.svg_builder import SvgBuilder

GAP = 12.0
"""mm between the columns, and between what lies in one: plain to see in a picture."""
ENGINE = "by hand, folded"


@dataclass
class _Zone:
    """A zone that is being filled: from where to where, mm, and whether a fold lies at its side."""

    section: int
    low: float
    high: float
    layers: int
    fold: float | None = None
    is_over: bool = False
    """Whether its lower layer shows the wrong side of the cloth."""
    x: float = 0.0
    y: float | None = None
    reach: float = 0.0
    on_fold: float = 0.0
    """How far along the fold is taken by halves, mm."""


def folded_plan(plan: Plan, *sections: Section, sides: Sides = "together") -> Plan:
    """Return a plan for cloth that lies in these sections."""
    fabric = replace(plan.job.fabric, sections=sections, sides=sides)
    return replace(plan, job=replace(plan.job, fabric=fabric))


def folded_by_hand(plan: Plan) -> Layout:
    """Return a layout on the sections of the plan's fabric, whose depths are known."""
    fabric = plan.job.fabric
    zones = [
        zone
        for number, section in enumerate(fabric.sections, start=1)
        for zone in _zones(number, section, fabric.width)
    ]
    for zone in zones:
        zone.is_over = fabric.sides == "apart" and not fabric.sections[zone.section - 1].is_open
    spots = [spot for piece in plan.job.pieces for spot in _spots(piece, zones)]
    return laid_on_sections(plan, spots)


def laid_on_sections(plan: Plan, spots: Sequence[Placement]) -> Layout:
    """Return a layout with true figures of placements on folded cloth."""
    fabric, pieces = plan.job.fabric, {piece.id: piece for piece in plan.job.pieces}
    outlines = {id_: outline_tuple(whole_outline(piece)) for id_, piece in pieces.items()}
    sections = tuple(
        _with_length(section, number, spots, pieces, fabric.gap)
        for number, section in enumerate(fabric.sections, start=1)
    )
    area = sum(shapely.Polygon(outlines[spot.piece]).area * spot.layers for spot in spots)
    length = sum(section.length for section in sections)
    return Layout(
        fabric.width,
        length,
        utilisation(area, fabric.width, length),
        area / fabric.width,
        0.0,
        7,
        3,
        2,
        ENGINE,
        tuple(spots),
        (),
        outlines,
        sections,
    )


def whole_ring(piece: Piece, spot: Placement) -> np.ndarray:
    """Return the whole outline of a placement, in the frame of its section."""
    points = oriented(whole_outline(piece), piece.grain, spot.turn, spot.flip)
    return np.asarray(points + np.array([spot.x, spot.y]))


def _zones(number: int, section: Section, width: float) -> Iterator[_Zone]:
    lower, upper = section.lower or 0.0, section.upper or 0.0
    if section.crosswise:
        yield _Zone(number, 0.0, width, 2)
        return
    if lower:
        yield _Zone(number, lower, 2.0 * lower, 2, lower)
    if width - 2.0 * upper - 2.0 * lower > 1.0:
        yield _Zone(number, 2.0 * lower, width - 2.0 * upper, 1)
    if upper:
        yield _Zone(number, width - 2.0 * upper, width - upper, 2, width - upper)


def _spots(piece: Piece, zones: Sequence[_Zone]) -> Iterator[Placement]:
    """Yield the placements of a piece: in pairs where that can be."""
    left = list(range(1, piece.cut * piece.garments + 1))
    while left:
        copies: tuple[int, ...] = tuple(left[:2])
        spot = _half(piece, left[0], zones) if piece.fold else None
        if spot is None and len(copies) == 2 and may_go_double(piece, (copies[0], copies[1])):
            spot = _through(piece, copies, zones, layers=2)
        if spot is None:
            spot = _through(piece, copies[:1], zones, layers=1)
        assert spot is not None, f"{piece.id} fits nowhere"
        left = [copy for copy in left if copy not in spot.copies]
        yield spot


def _half(piece: Piece, copy: int, zones: Sequence[_Zone]) -> Placement | None:
    """Return a half on a fold that is deep enough."""
    assert piece.fold is not None
    ring = oriented(whole_outline(piece), piece.grain, 0.0, False)
    (low_x, low_y), (high_x, high_y) = ring.min(axis=0), ring.max(axis=0)
    ends = np.asarray(piece.fold) @ placement_matrix(piece.grain, 0.0, False).T
    if abs(ends[0][1] - ends[1][1]) > 0.01:
        return None
    for zone in zones:
        if zone.fold is not None and (high_y - low_y) / 2.0 <= zone.high - zone.low:
            x = max(zone.on_fold, zone.reach if zone.y is not None else 0.0)
            zone.on_fold = zone.x = zone.reach = x + float(high_x - low_x) + GAP
            zone.y = None
            y = zone.fold - float(ends[0][1])
            number = (copy - 1) // piece.cut + 1
            return Placement(
                piece.id, (copy,), number, 0.0, False, x - float(low_x), y, zone.section, 1, True
            )
    return None


def _through(
    piece: Piece, copies: tuple[int, ...], zones: Sequence[_Zone], layers: int
) -> Placement | None:
    """Return a part in the first zone of so many layers that it fits into."""
    for zone in zones:
        flip = False if layers == 2 else hands_of(piece, copies[0])[0] != zone.is_over
        ring = oriented(whole_outline(piece), piece.grain, 0.0, flip)
        (low_x, low_y), (high_x, high_y) = ring.min(axis=0), ring.max(axis=0)
        wide, tall = float(high_x - low_x), float(high_y - low_y)
        start = zone.low + (GAP if zone.fold == zone.low else 0.0)
        end = zone.high - (GAP if zone.fold == zone.high else 0.0)
        if zone.layers != layers or tall > end - start:
            continue
        y = start if zone.y is None else zone.y
        if y + tall > end:
            zone.x, y = zone.reach, start
        zone.y, zone.reach = y + tall + GAP, max(zone.reach, zone.x + wide + GAP)
        number = (copies[0] - 1) // piece.cut + 1
        at = zone.x - float(low_x), y - float(low_y)
        return Placement(piece.id, copies, number, 0.0, flip, *at, zone.section, layers)
    return None


def _with_length(
    section: Section,
    number: int,
    spots: Sequence[Placement],
    pieces: dict[str, Piece],
    gap: float,
) -> LaidSection:
    """Return a section as long as its parts need."""
    own = [spot for spot in spots if spot.section == number]
    end = max(
        (float(whole_ring(pieces[spot.piece], spot)[:, 0].max()) for spot in own), default=0.0
    )
    if section.crosswise and end:
        end = 2.0 * (end if section.turned else end + gap / 2.0)
    lower, upper = section.lower or 0.0, section.upper or 0.0
    return LaidSection(lower, upper, section.crosswise, section.turned, end)


def open_behind(*sections: Section) -> tuple[Section, ...]:
    """Return folded sections with an open one behind them."""
    return (*sections, OPEN)


CLOTH = between_selvedges(900.0, workers=2)
LENGTHWISE, DEPTH, TWICE = Section(450.0), Section(300.0), Section(225.0, 225.0)
UPPER = Section(0.0, 300.0)
CROSSWISE, TURNED = Section(crosswise=True), Section(crosswise=True, turned=True)
SPREADS = {
    "lengthwise": LENGTHWISE,
    "to a depth": DEPTH,
    "to a depth from the upper selvedge": UPPER,
    "twice": TWICE,
    "twice, unequally": Section(150.0, 250.0),
    "crosswise": CROSSWISE,
    "crosswise, turned round": TURNED,
}


def drawn_folded(
    document: Document,
    *sections: Section,
    options: LayOutOptions = CLOTH,
    sides: Sides = "together",
) -> tuple[Sheet, etree._Element]:
    """Draw a document's pieces, laid by hand on folded cloth, into it; return sheet and layer."""
    plan = folded_plan(plan_of(document, options), *sections, sides=sides)
    sheet = sheet_of(document, plan, folded_by_hand(plan), replace(options, sides=sides))
    return sheet, draw_layout(document, read_leaves(document, include_layouts=True), sheet)


def with_a_single() -> SvgBuilder:
    """Return the garment with a pocket that is cut once and has a left and a right."""
    drawing = garment()
    pocket = drawing.add_group(id="pocket", lay={"name": "Pocket", "cut": "1"})
    drawing.add_path("M 420 20 h 90 v 120 h -60 Z", pocket, id="pocket-outline")
    drawing.add_line((470, 120), (470, 40), pocket, id="pocket-grain", lay={"role": "grainline"})
    return drawing


class EditedFolded(Edited):
    """A garment on folded cloth 90 cm wide, to be changed by hand."""

    def __init__(
        self,
        *sections: Section,
        drawing: SvgBuilder | None = None,
        options: LayOutOptions = CLOTH,
        sides: Sides = "together",
    ) -> None:
        document = (drawing or garment()).document()
        self.sheet, layer = drawn_folded(document, *sections, options=options, sides=sides)
        (_, _, self._left), (_, _, self._top) = parse_transform(layer.get("transform"))
        self.root = parse(serialise(document)).root

    def move(self, of: str, copies: str, dx: float, dy: float) -> None:
        """Move a part by mm to the right and up."""
        self.transform(of, copies, f"translate({dx}, {-dy})")

    def on_page(self, x: float, y: float) -> tuple[float, float]:
        """Return a point of the sheet, y up from the lower selvedge, in mm of the drawing."""
        return self._left + x, self._top + self.sheet.width - y

    def box(self, of: str, copies: str) -> tuple[float, float, float, float]:
        """Return least x and y, largest x and y of a whole part in its section, mm."""
        spot = next(
            one
            for one in self.sheet.layout.placements
            if self.sheet.plan.cuts[one.piece].drawn.id == of
            and " ".join(map(str, one.copies)) == copies
        )
        ring = whole_ring(self.sheet.plan.cuts[spot.piece].piece, spot)
        (low_x, low_y), (high_x, high_y) = ring.min(axis=0), ring.max(axis=0)
        return float(low_x), float(low_y), float(high_x), float(high_y)
