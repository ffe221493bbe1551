# SPDX-License-Identifier: GPL-2.0-or-later
"""A job made ready for the search: parts, their allowed orientations, and shapes shared by them.

The search sees parts and shapes by index; nothing here depends on how it searches.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from nesting.errors import JobError, PieceTooWide, first_of
from nesting.model import Fabric, Job, LeftOver, Outline, Piece, Placement
from nesting.shapes import Points, oriented, signed_area, whole_outline

FIT_TOLERANCE = 1e-6
"""mm by which a part may exceed the fabric before it counts as too wide: rounding, not cloth."""

LEAN, MOST_LEANS = 8.0, 3
"""Degrees between two leans off the grain that are tried, and how many to a side at most."""


@dataclass(frozen=True, slots=True)
class Orientation:
    """How a part lies: an allowed turn (degrees on top of grain along x), and its hand."""

    turn: float
    flip: bool


@dataclass(frozen=True, eq=False, slots=True)
class Shape:
    """A whole outline in one orientation, not yet moved: a placement's (x, y) is added to it.

    `low` and `high` are the corners of its bounding box.
    """

    piece: str
    orientation: Orientation
    points: Points
    low: tuple[float, float]
    high: tuple[float, float]

    @property
    def size(self) -> tuple[float, float]:
        """Extent along the length and across the width, mm."""
        return self.high[0] - self.low[0], self.high[1] - self.low[1]


@dataclass(frozen=True, slots=True)
class Part:
    """One copy to be placed. `shapes` are indices into `Problem.shapes`, one per allowed turn.

    `rank` counts the priorities of a job from 0: on cloth of a fixed length parts of one rank are
    laid before those of the next, whatever their size.
    """

    piece: str
    copy: int
    garment: int
    area: float
    shapes: tuple[int, ...]
    rank: int = 0


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the search puts a part: which of the problem's shapes, moved by (x, y) mm."""

    shape: int
    x: float
    y: float


@dataclass(frozen=True, eq=False, slots=True)
class Problem:
    """Parts to place on a fabric. `obstacles` (shape, x, y) are held parts that do not move."""

    fabric: Fabric
    parts: tuple[Part, ...]
    shapes: tuple[Shape, ...]
    obstacles: tuple[Spot, ...]
    outlines: dict[str, Points]
    """Whole outline of every piece, in its own coordinates."""

    @property
    def areas(self) -> tuple[float, ...]:
        """Area in mm2 of each part, then of each held one."""
        held = (abs(signed_area(self.shapes[spot.shape].points)) for spot in self.obstacles)
        return *(part.area for part in self.parts), *held

    @property
    def area(self) -> float:
        """Area in mm2 of all parts, the held ones included."""
        return sum(self.areas)


def allowed_turns(piece: Piece, fabric: Fabric) -> tuple[float, ...]:
    """Return the turns a piece may take on this fabric.

    With nap all tops lie one way: only 0 is left unless the piece says otherwise.
    Raises JobError when nothing is left.
    """
    turns = tuple(dict.fromkeys(turn % 360.0 for turn in piece.turns))
    if fabric.nap and not piece.turns_on_nap:
        turns = tuple(turn for turn in turns if turn == 0.0)
    if not turns:
        raise JobError(
            f"No allowed turn is left for {piece.label} on fabric with nap: "
            "allow turn 0, allow its turns on nap, or choose fabric without nap.",
            piece.id,
        )
    return turns


def lying_turns(piece: Piece, fabric: Fabric) -> tuple[float, ...]:
    """Return the turns that are tried for a piece: the allowed ones, then those off the grain.

    A piece that may lie off the grain leans as far as it may, to either side, and where that is far
    by shares of it as well. A search that moves parts but does not turn them gains little from
    more: each turn makes the maps more and larger.
    Raises JobError when no turn is left.
    """
    turns = allowed_turns(piece, fabric)
    steps = min(MOST_LEANS, math.ceil(piece.off_grain / LEAN))
    leans = [side * piece.off_grain * k / steps for k in range(steps, 0, -1) for side in (1, -1)]
    leaning = [(turn + lean) % 360.0 for lean in leans for turn in turns]
    return tuple(dict.fromkeys((*turns, *leaning)))


def hands_of(piece: Piece, copy: int) -> tuple[bool, ...]:
    """Return whether copy number `copy` (from 1, over all garments) lies flipped, the usual first.

    Hands are decided within each garment: every second copy is the mirrored one of a pair, so an
    odd count leaves one as drawn. A copy that is no half of a pair may be both where its piece may
    lie with either side up.
    """
    number = (copy - 1) % piece.cut
    if piece.hand == "mirrored" and piece.fold is None and number < piece.cut // 2 * 2:
        return (number % 2 == 1,)
    return (False, True) if piece.either_side else (False,)


def build_problem(job: Job) -> Problem:
    """Return the parts of a job with their shapes.

    Raises JobError naming the first piece that cannot be laid (and the number of others).
    """
    faults: list[JobError] = []
    shapes: list[Shape] = []
    index: dict[tuple[str, Orientation], int] = {}
    outlines: dict[str, Points] = {}
    parts: list[Part] = []
    pieces = {piece.id: piece for piece in job.pieces}

    def shape_of(piece: Piece, orientation: Orientation) -> int:
        key = (piece.id, orientation)
        if key not in index:
            points = oriented(outlines[piece.id], piece.grain, orientation.turn, orientation.flip)
            low, high = points.min(axis=0), points.max(axis=0)
            index[key] = len(shapes)
            shapes.append(
                Shape(
                    piece.id,
                    orientation,
                    points,
                    (float(low[0]), float(low[1])),
                    (float(high[0]), float(high[1])),
                )
            )
        return index[key]

    ranks = ranks_of(job.pieces)
    held_copies = {(spot.piece, copy) for spot in job.held for copy in spot.copies}
    for piece in job.pieces:
        try:
            outlines[piece.id] = whole_outline(piece)
            turns = lying_turns(piece, job.fabric)
            area = abs(signed_area(outlines[piece.id]))
            for copy in range(1, piece.cut * piece.garments + 1):
                if (piece.id, copy) in held_copies:
                    continue
                ways = [Orientation(turn, flip) for flip in hands_of(piece, copy) for turn in turns]
                fitting = _fitting(
                    piece, [shape_of(piece, way) for way in ways], shapes, job.fabric
                )
                garment = (copy - 1) // piece.cut + 1
                parts.append(Part(piece.id, copy, garment, area, fitting, ranks[piece.priority]))
        except JobError as error:
            faults.append(error)
    if faults:
        raise first_of(faults)
    obstacles = tuple(
        Spot(shape_of(pieces[spot.piece], Orientation(spot.turn, spot.flip)), spot.x, spot.y)
        for spot in job.held
    )
    return Problem(job.fabric, tuple(parts), tuple(shapes), obstacles, outlines)


def ranks_of(pieces: Sequence[Piece]) -> dict[float | None, int]:
    """Return the place of each priority among those of all pieces; no priority comes last."""
    given = {piece.priority for piece in pieces}
    ordered = sorted(given, key=lambda each: math.inf if each is None else each)
    return {priority: rank for rank, priority in enumerate(ordered)}


def by_rank(problem: Problem, spots: Sequence[Spot | None]) -> tuple[float, ...]:
    """Return the area in mm2 of the parts without a spot, for each rank: less is better."""
    left = [0.0] * (max((part.rank for part in problem.parts), default=0) + 1)
    for part, spot in zip(problem.parts, spots, strict=True):
        if spot is None:
            left[part.rank] += part.area
    return tuple(left)


def placements_of(
    problem: Problem, spots: Sequence[Spot | None], held: Sequence[Placement] = ()
) -> tuple[tuple[Placement, ...], tuple[LeftOver, ...]]:
    """Return the placements of spots given in the order of the parts, and what is left over."""
    placed: list[Placement] = list(held)
    missing: dict[str, list[int]] = {}
    for part, spot in zip(problem.parts, spots, strict=True):
        if spot is None:
            missing.setdefault(part.piece, []).append(part.copy)
            continue
        orientation = problem.shapes[spot.shape].orientation
        placed.append(
            Placement(
                part.piece,
                (part.copy,),
                part.garment,
                orientation.turn,
                orientation.flip,
                spot.x,
                spot.y,
            )
        )
    left = tuple(LeftOver(piece, tuple(copies)) for piece, copies in missing.items())
    return tuple(placed), left


def outline_tuple(points: Points) -> Outline:
    """Return an outline array as the tuple the model holds."""
    return tuple((float(x), float(y)) for x, y in points)


def _fitting(
    piece: Piece, candidates: Sequence[int], shapes: Sequence[Shape], fabric: Fabric
) -> tuple[int, ...]:
    """Return the candidates that fit between the selvedges (and on a fixed length)."""
    free = fabric.width - 2.0 * fabric.edge_margin
    across = [number for number in candidates if shapes[number].size[1] <= free + FIT_TOLERANCE]
    if not across:
        least = min(shapes[number].size[1] for number in candidates)
        label = piece.label[0].upper() + piece.label[1:]
        raise PieceTooWide(piece.id, label, least + 2.0 * fabric.edge_margin, fabric.width)
    return tuple(across)


def allowed_box(fabric: Fabric, shape: Shape, length: float) -> tuple[float, float, float, float]:
    """Return (x_low, y_low, x_high, y_high) of the positions that keep a shape on the cloth.

    This is the inner-fit rectangle of a strip of the given length, edge margin included; it is
    empty when a high bound is below its low bound by more than rounding. Every search asks this
    function where a part may lie, never the fabric: later rules (repeats, bands, fold edges)
    narrow its answer in this one place.
    """
    margin = fabric.edge_margin
    x_low, y_low = margin - shape.low[0], margin - shape.low[1]
    x_high = length - margin - shape.high[0]
    y_high = fabric.width - margin - shape.high[1]
    if x_low > x_high >= x_low - FIT_TOLERANCE:
        x_high = x_low
    if y_low > y_high >= y_low - FIT_TOLERANCE:
        y_high = y_low
    return x_low, y_low, x_high, y_high


def needed_length(problem: Problem, spots: Sequence[Spot | None]) -> float:
    """Return the length of cloth, mm, that the placed and held parts need, edge margin included."""
    ends = [
        spot.x + problem.shapes[spot.shape].high[0]
        for spot in (*spots, *problem.obstacles)
        if spot is not None
    ]
    return max(ends, default=-problem.fabric.edge_margin) + problem.fabric.edge_margin
