# SPDX-License-Identifier: GPL-2.0-or-later
"""A section of cloth as the search sees it: a strip as wide as what lies on the table.

Whatever is folded away is gone from it, so every search works on it as on plain cloth; zones and
folds narrow the rooms of parts. Its problem has y = 0 where the strip begins (less the edge margin,
which the cloth of a problem has on both sides); `Strip.placements` counts from the selvedge again.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from nesting.cloth.flaws import flaw_shapes
from nesting.cloth.layered_flaws import flaws_on_table
from nesting.cloth.lots import How, Lot
from nesting.cloth.places import Lying, Places, fold_line
from nesting.cloth.problem import Fixed, Part, Problem, Spot, needed_length, ranks_of
from nesting.cloth.repeats import Design, matches_along
from nesting.cloth.rooms import WHOLE, Axis, Room
from nesting.cloth.zones import Kind, Zone, known_depths
from nesting.geometry.lying import Orientation, Shape
from nesting.geometry.shapes import signed_area
from nesting.model import OPEN, Fabric, Job, LaidSection, Outline, Placement, Section

Chosen = Sequence[tuple[Lot, How]]

ON_LINE = 0.01
"""mm by which a length of cloth may be past a line and end on it: rounding, not cloth."""


@dataclass(frozen=True, eq=False, slots=True)
class StripProblem:
    """The problem of a strip, with what its spots mean on the cloth."""

    problem: Problem
    hows: tuple[How, ...]
    """How each of its parts is cut."""
    zones: tuple[Zone | None, ...]
    """The zone of each of its shapes; None for held parts and flaws, which lie where they lie."""
    origin: float
    """y on the cloth, mm, of y = 0 of the problem."""

    def moved_from(
        self, other: StripProblem, spots: Sequence[Spot | None]
    ) -> tuple[Spot | None, ...]:
        """Return where parts lie as they lay in another problem of the same section.

        What is cut double keeps its distance from the fold, where that is elsewhere now. None for
        parts that were not there.
        """
        there = {
            (part.piece, part.copies, how): spot
            for part, how, spot in zip(other.problem.parts, other.hows, spots, strict=True)
        }
        index = {key: number for number, key in enumerate(self._keys())}
        keys = list(other._keys())
        found: list[Spot | None] = []
        for part, how in zip(self.problem.parts, self.hows, strict=True):
            spot = there.get((part.piece, part.copies, how))
            number = None if spot is None else index.get(keys[spot.shape])
            if spot is None or number is None or number not in part.shapes:
                found.append(None)
                continue
            before, now = other.zones[spot.shape], self.zones[number]
            assert before is not None
            assert now is not None
            by = 0.0
            if before.fold is not None and now.fold is not None:
                by = now.fold - before.fold
            found.append(Spot(number, spot.x, spot.y + other.origin + by - self.origin))
        return tuple(found)

    def _keys(self) -> Iterator[tuple[str, Orientation, Kind | None]]:
        """Yield what tells each of its shapes from the others."""
        for shape, zone in zip(self.problem.shapes, self.zones, strict=True):
            yield shape.piece, shape.orientation, None if zone is None else zone.kind


class Strip:
    """One section of a job's cloth, its depths known; `number` counts from 1.

    `flipped` are parts that lie printed side down on two layers, by piece and copies: there it
    makes no odds, so none does unless it was laid so by hand. With a `design` that parts have to
    match, `phases` are those of its ties.
    """

    def __init__(
        self,
        job: Job,
        number: int,
        section: Section,
        flipped: Collection[tuple[str, tuple[int, ...]]] = (),
        design: Design | None = None,
        phases: Sequence[float] = (),
    ) -> None:
        self.section = section
        self._job, self._number = job, number
        self.places = Places(job, section, flipped, design, phases)
        self._pieces = {piece.id: piece for piece in job.pieces}
        self._held = [spot for spot in job.held if spot.section == number]
        self._ranks = ranks_of(job.pieces)

    def may_lie(self, lot: Lot, how: How) -> bool:
        """Return whether all copies of a lot can be cut in a way on this section."""
        if how == "double" and len(lot.copies) != 2:
            return False
        return all(self.places.lying(lot.piece, copies, how) for copies in _parts_of(lot, how))

    def widths(self, lot: Lot, how: How) -> set[float]:
        """Return how wide, mm, the parts of a lot lie across when they are cut in a way here."""
        if how == "double" and len(lot.copies) != 2:
            return set()
        return {
            lying.shape.size[1]
            for copies in _parts_of(lot, how)
            for lying in self.places.lying(lot.piece, copies, how)
        }

    def flaws(self, begin: float) -> tuple[Outline, ...]:
        """Return the flaws that lie on it when it begins so many mm from the cut end."""
        if not self._job.fabric.flaws:
            return ()
        return flaws_on_table(self._job.fabric, self.section, begin)

    def problem(self, chosen: Chosen, begin: float = 0.0) -> StripProblem:
        """Return the problem of laying lots, each in a way in which it may lie here.

        The section begins `begin` mm from the cut end: that is where its flaws are counted from.
        """
        found = [
            (lot, how, copies, self.places.lying(lot.piece, copies, how))
            for lot, how in chosen
            for copies in _parts_of(lot, how)
        ]
        held = [(spot, self.places.held_shape(spot)) for spot in self._held]
        ends = [end for *_, lying in found for one in lying for end in one.span]
        ends += [spot.y + end for spot, shape in held for end in (shape.low[1], shape.high[1])]
        low, high = min(ends, default=0.0), max(ends, default=self._job.fabric.width)
        margin = self._job.fabric.edge_margin
        origin = low - margin
        shapes: list[Shape] = []
        zones: list[Zone | None] = []
        index: dict[tuple[str, Orientation, Zone], int] = {}
        parts = []
        for lot, _, copies, lying in found:
            numbers, rooms = [], []
            for one in lying:
                key = one.shape.piece, one.shape.orientation, one.zone
                if key not in index:
                    index[key] = len(shapes)
                    shapes.append(one.shape)
                    zones.append(one.zone)
                numbers.append(index[key])
                rooms.append(_room(one, low, high, origin))
            piece = self._pieces[lot.piece]
            parts.append(
                Part(
                    lot.piece,
                    copies,
                    (copies[0] - 1) // piece.cut + 1,
                    abs(signed_area(lying[0].shape.points)),
                    tuple(numbers),
                    self._ranks[piece.id],
                    () if all(room is WHOLE for room in rooms) else tuple(rooms),
                )
            )
        fixed = []
        for spot, shape in held:
            fixed.append(Fixed(len(shapes), spot.x, spot.y - origin))
            shapes.append(shape)
            zones.append(None)
        for flaw in flaw_shapes(self.flaws(begin), self._pieces):
            fixed.append(Fixed(len(shapes), 0.0, -origin, counts=False))
            shapes.append(flaw)
            zones.append(None)
        fabric = replace(
            self._job.fabric, width=high - low + 2.0 * margin, length=None, sections=(OPEN,)
        )
        problem = Problem(fabric, tuple(parts), tuple(shapes), tuple(fixed), {})
        hows = tuple(how for _, how, _, _ in found)
        return StripProblem(problem, hows, tuple(zones), origin)

    def placements(
        self, strip: StripProblem, spots: Sequence[Spot | None]
    ) -> tuple[Placement, ...]:
        """Return where the parts of a problem lie on the cloth."""
        placed: list[Placement] = []
        for part, how, spot in zip(strip.problem.parts, strip.hows, spots, strict=True):
            if spot is None:
                continue
            lying, zone = strip.problem.shapes[spot.shape].orientation, strip.zones[spot.shape]
            assert zone is not None
            turn, flip, y = lying.turn, lying.flip, spot.y + strip.origin
            if how == "fold":
                assert zone.fold is not None
                # Unfolded it is the same whichever way its half lies; and exactly on the fold.
                flip, y = False, zone.fold - fold_line(self._pieces[part.piece], turn)
            layers = 2 if how == "double" else 1
            placed.append(
                Placement(
                    part.piece,
                    part.copies,
                    part.garment,
                    turn,
                    flip,
                    spot.x,
                    y,
                    self._number,
                    layers,
                    how == "fold",
                )
            )
        return tuple(placed)

    def laid(self, strip: StripProblem, spots: Sequence[Spot | None]) -> LaidSection:
        """Return the section with the length of flat cloth that its parts need."""
        return self.laid_for(needed_length(strip.problem, spots))

    def is_matched(self, strip: StripProblem) -> bool:
        """Return whether a part of a problem, or a held one, is bound to the design along."""
        names = {part.piece for part in strip.problem.parts} | {spot.piece for spot in self._held}
        return any(matches_along(self._job.fabric.repeat, self._pieces[name]) for name in names)

    def laid_for(self, used: float) -> LaidSection:
        """Return the section with the flat cloth that some length of its strip, mm, takes.

        `used` has the edge margin at both ends, as a problem counts it; 0 where no part lies.
        """
        (lower, upper), fabric = self.section.depths, self._job.fabric
        if used > 0.0 and self.section.crosswise:
            # A fold is no edge of the cloth, but the copies on its two sides keep the gap.
            end = 0.0 if self.section.turned else fabric.gap / 2.0 - fabric.edge_margin
            used = 2.0 * (used + end)
        return LaidSection(lower, upper, self.section.crosswise, self.section.turned, used)

    def depths_needed(
        self, strip: StripProblem, spots: Sequence[Spot | None]
    ) -> tuple[float, float]:
        """Return how deep, mm, the cloth must be folded in from either side for what is double."""
        if self._held:
            return known_depths(self.section)  # the fold stays where they were laid
        margin, needed = self._job.fabric.edge_margin, [0.0, 0.0]
        for spot in spots:
            zone = None if spot is None else strip.zones[spot.shape]
            if spot is None or zone is None or zone.fold is None:
                continue
            shape, y = strip.problem.shapes[spot.shape], spot.y + strip.origin
            over = y + shape.high[1] - zone.fold if zone.from_low else zone.fold - y - shape.low[1]
            side = 0 if zone.from_low else 1
            needed[side] = max(needed[side], over + margin)
        return needed[0], needed[1]


def from_lines(
    fabric: Fabric, laid: Sequence[LaidSection], matched: Sequence[bool]
) -> tuple[LaidSection, ...]:
    """Return sections that go on to a dominant line, where one behind them is to begin on it.

    Every section counts its x from a line; `matched` says on which of them that is minded.
    """
    found = []
    for number, section in enumerate(laid):
        if section.length > 0.0 and any(matched[number + 1 :]):
            assert fabric.repeat is not None
            along = fabric.repeat.along
            whole = along * math.ceil((section.length - ON_LINE) / along)
            found.append(replace(section, length=whole))
        else:
            found.append(section)
    return tuple(found)


def _parts_of(lot: Lot, how: How) -> list[tuple[int, ...]]:
    """Return the copies of each part into which a lot is cut in a way."""
    return [lot.copies] if how == "double" else [(copy,) for copy in lot.copies]


def _room(lying: Lying, low: float, high: float, origin: float) -> Room:
    """Return what narrows the room of a shape on a strip from `low` to `high`, mm."""
    if lying.at is None and lying.span == (low, high) and lying.steps is WHOLE:
        return WHOLE
    across = lying.across
    phase = across.phase - origin if across.period else 0.0
    on_strip = Axis(across.low - origin, across.high - origin, across.period, phase)
    return Room(lying.steps.along, on_strip)
