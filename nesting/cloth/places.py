# SPDX-License-Identifier: GPL-2.0-or-later
"""Where the copies of a piece may lie on a section of cloth: in which shapes, zones and steps."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from nesting.cloth.bands import bands_in, spots_on_bands
from nesting.cloth.hands import hands_of
from nesting.cloth.lots import How, Lot
from nesting.cloth.problem import lying_turns
from nesting.cloth.repeats import ALIKE, Design
from nesting.cloth.rooms import FIT_TOLERANCE, WHOLE, Axis, Room
from nesting.cloth.zones import Zone, zones_of
from nesting.geometry.lying import Orientation, Shape
from nesting.geometry.shapes import (
    Points,
    half_outline,
    oriented,
    placement_matrix,
    signed_area,
    whole_outline,
)
from nesting.model import Job, Piece, Placement, Section

ON_FOLD = 1e-5
"""mm by which one end of a fold edge may lie farther from the fold of the cloth than the other:
rounding, not grain. The middle comes to lie on it, so that no end is off by what the judge minds.
"""
HALF = "\0half"
"""What tells the half of a piece from the whole one among outlines; no id has it."""


@dataclass(frozen=True, eq=False, slots=True)
class Lying:
    """A shape of a part in one of the zones where it may lie, y as on the flat lower layer."""

    shape: Shape
    zone: Zone
    span: tuple[float, float]
    """From where to where outlines may reach, mm."""
    at: float | None
    """The only y of its spot, mm, when it lies on the fold, or with an edge on a border."""
    steps: Room
    """Where its spot may be by its match points."""

    @property
    def across(self) -> Axis:
        """Where its spot may be across the cloth, mm."""
        if self.at is not None:
            return Axis(self.at, self.at)
        steps = self.steps.across
        low, high = self.span[0] - self.shape.low[1], self.span[1] - self.shape.high[1]
        # As wide as its zone but for rounding, it has one place.
        return Axis(low, max(low, high), steps.period, steps.phase)


class Places:
    """Where copies may lie on one section of a job's cloth, its depths known.

    `flipped` are parts that lie printed side down on two layers. With a `design` that parts have to
    match, `phases` are those of its ties.
    """

    def __init__(
        self,
        job: Job,
        section: Section,
        flipped: Collection[tuple[str, tuple[int, ...]]] = (),
        design: Design | None = None,
        phases: Sequence[float] = (),
    ) -> None:
        self.section, self._flipped = section, flipped
        self._job, self._design, self._phases = job, design, phases
        self._zones = zones_of(job.fabric, section)
        self._pieces = {piece.id: piece for piece in job.pieces}
        self._outlines: dict[str, Points] = {}
        self._shapes: dict[tuple[str, Orientation], Shape] = {}

    def spans(self) -> list[tuple[float, float]]:
        """Return from where to where across outlines may reach in each zone, mm."""
        return [(zone.low, zone.high) for zone in self._zones]

    def whole(self, piece: Piece, orientation: Orientation) -> Shape:
        """Return the whole outline of a piece as it lies."""
        return self._shape(piece, orientation, "single")

    def ways(self, piece: Piece) -> Iterator[Shape]:
        """Yield the whole outline of a piece in every turn and hand that it may have."""
        hands = {flip for copy in range(1, piece.cut + 1) for flip in hands_of(piece, copy)}
        for turn in lying_turns(piece, self._job.fabric):
            for flip in sorted(hands):
                yield self.whole(piece, Orientation(turn, flip))

    def on_folds(self, piece: Piece) -> Iterator[tuple[Orientation, float]]:
        """Yield the ways of a piece on the folds of the cloth, and the y of its spot there, mm."""
        turns = [turn for turn in lying_turns(piece, self._job.fabric) if turn in (0.0, 180.0)]
        for zone in self._zones:
            if zone.fold is not None:
                for lying in self._on_fold(piece, turns, zone):
                    y = zone.fold - fold_line(piece, lying.turn)
                    yield Orientation(lying.turn, False), y

    def area_of(self, lot: Lot) -> float:
        """Return the area in mm2 that the copies of a lot cover on flat cloth."""
        whole = self._shape(self._pieces[lot.piece], Orientation(0.0, False), "single")
        return abs(signed_area(whole.points)) * len(lot.copies)

    def narrowest(self, piece: Piece) -> float:
        """Return how wide a piece is at least, mm, in any turn that it may take."""
        turns = lying_turns(piece, self._job.fabric)
        return min(self._shape(piece, Orientation(turn, False), "single").size[1] for turn in turns)

    def lying(self, name: str, copies: tuple[int, ...], how: How) -> list[Lying]:
        """Return the shapes and zones in which some copies of a piece may lie, all ways of them."""
        piece = self._pieces[name]
        found = []
        for zone in self._zones:
            if (zone.layers == 2) != (how != "single") or (how == "fold" and zone.fold is None):
                continue
            for orientation in self._orientations(piece, copies, how, zone):
                shape = self._shape(piece, orientation, how)
                span = zone.half_room if how == "fold" else (zone.low, zone.high)
                if shape.size[1] > span[1] - span[0] + FIT_TOLERANCE:
                    continue
                for at in self._lines(piece, shape, how, zone):
                    for row, steps in enumerate(self._steps(piece, orientation, how, zone)):
                        one = Lying(shape, replace(zone, row=row), span, at, steps)
                        if math.isfinite(one.across.at_least(-math.inf)):
                            found.append(one)
        return found

    def _lines(self, piece: Piece, shape: Shape, how: How, zone: Zone) -> Iterator[float | None]:
        """Yield the only y, mm, that a shape may have in a zone; None where it may have any."""
        fabric = self._job.fabric
        if piece.band and fabric.bands:
            # On the fold a piece lies where that is, and not where the border is.
            if how != "fold":
                bands = bands_in(fabric, self.section, zone)
                yield from spots_on_bands(piece.band, bands, shape, (zone.low, zone.high))
        elif how == "fold":
            assert zone.fold is not None
            yield zone.fold - (shape.low if zone.from_low else shape.high)[1]
        else:
            yield None

    def _steps(
        self, piece: Piece, orientation: Orientation, how: How, zone: Zone
    ) -> Iterator[Room]:
        """Yield where a piece's spot may be by its match points; once anywhere without any."""
        design = self._design
        if design is None or not design.is_tied(piece):
            yield WHOLE
            return
        if how != "fold":
            yield from design.steps(piece, orientation, self._phases)
            return
        assert zone.fold is not None
        # Unfolded it lies one way, wherever its half lies; and across it can lie nowhere else.
        y = zone.fold - fold_line(piece, orientation.turn)
        for steps in design.steps(piece, Orientation(orientation.turn, False), self._phases):
            if not steps.across.period or design.off(1, y - steps.across.phase) <= ALIKE:
                yield Room(along=steps.along)

    def _orientations(
        self, piece: Piece, copies: tuple[int, ...], how: How, zone: Zone
    ) -> list[Orientation]:
        """Return how copies of a piece may be turned and flipped in a way of cutting them."""
        turns: Sequence[float] = lying_turns(piece, self._job.fabric)
        if self._design is not None:
            turns = [turn for turn in turns if self._design.allows(piece, turn)]
            if how == "double" and not self._design.goes_double(piece, zone.fold):
                return []
        if how == "double":
            half_turn = 180.0 if self.section.crosswise and not self.section.turned else 0.0
            # The other copy is turned the other way, and must be allowed to.
            flip = (piece.id, copies) in self._flipped
            return [
                Orientation(turn, flip) for turn in turns if (half_turn - turn) % 360.0 in turns
            ]
        if how == "fold":
            return self._on_fold(piece, turns, zone)
        face = self._job.fabric.sides == "apart" and not self.section.is_open
        (copy,) = copies
        return [Orientation(turn, flip != face) for flip in hands_of(piece, copy) for turn in turns]

    def _on_fold(self, piece: Piece, turns: Sequence[float], zone: Zone) -> list[Orientation]:
        """Return how the half of a piece may lie with its fold edge along a fold of the cloth."""
        if piece.fold is None:
            return []
        ends, found = np.array(piece.fold), []
        for turn in turns:
            first, last = ends @ placement_matrix(piece.grain, turn, False)[1]
            if abs(first - last) <= ON_FOLD:
                half = oriented(half_outline(piece), piece.grain, turn, False)
                is_above = half[:, 1].mean() > first
                found.append(Orientation(turn, bool(is_above != zone.from_low)))
        return found

    def _shape(self, piece: Piece, orientation: Orientation, how: How) -> Shape:
        """Return a piece's outline, or its half when it lies on the fold, in an orientation."""
        name = piece.id + HALF if how == "fold" else piece.id
        key = name, orientation
        if key not in self._shapes:
            if name not in self._outlines:
                make = half_outline if how == "fold" else whole_outline
                self._outlines[name] = make(piece)
            points = oriented(self._outlines[name], piece.grain, orientation.turn, orientation.flip)
            low, high = points.min(axis=0), points.max(axis=0)
            box = (float(low[0]), float(low[1])), (float(high[0]), float(high[1]))
            self._shapes[key] = Shape(name, orientation, points, *box, is_hidden=piece.hidden)
        return self._shapes[key]

    def held_shape(self, spot: Placement) -> Shape:
        """Return the outline of a held part as it lies on the table."""
        piece = self._pieces[spot.piece]
        orientation = Orientation(spot.turn % 360.0, spot.flip)
        if not spot.on_fold:
            return self._shape(piece, orientation, "single")
        # Its half lies on that side of the fold where the table is.
        line = spot.y + fold_line(piece, spot.turn)
        folds = [zone for zone in self._zones if zone.fold is not None]
        zone = min(folds, key=lambda one: abs((one.fold or 0.0) - line))
        for lying in self._on_fold(piece, [spot.turn % 360.0], zone):
            half = self._shape(piece, lying, "fold")
            # Placed like the whole: a flipped half has its fold edge on the other side of y = 0.
            shift = fold_line(piece, spot.turn) * (2.0 if lying.flip else 0.0)
            return _moved(half, shift)
        return self._shape(piece, orientation, "single")


def fold_line(piece: Piece, turn: float) -> float:
    """Return the y of the fold edge of a piece, mm, turned but not moved."""
    assert piece.fold is not None
    ends = np.array(piece.fold) @ placement_matrix(piece.grain, turn, False)[1]
    return float(ends.mean())


def _moved(shape: Shape, by: float) -> Shape:
    """Return a shape moved across the cloth by some mm."""
    if by == 0.0:
        return shape
    points = np.array(shape.points)
    points[:, 1] += by
    points.flags.writeable = False
    low, high = (shape.low[0], shape.low[1] + by), (shape.high[0], shape.high[1] + by)
    name = f"{shape.piece} at {shape.orientation.turn}"  # each turn is moved by its own way
    return Shape(name, shape.orientation, points, low, high)
