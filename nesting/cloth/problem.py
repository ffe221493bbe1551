# SPDX-License-Identifier: GPL-2.0-or-later
"""A job made ready for the search: parts, their allowed orientations, and shapes shared by them.

The search sees parts and shapes by index; nothing here depends on how it searches.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from nesting.cloth.bands import ways_on_bands
from nesting.cloth.flaws import flaw_shapes
from nesting.cloth.hands import hands_of
from nesting.cloth.rooms import WHOLE, Room, on_cloth
from nesting.errors import JobError, PieceTooWide, first_of
from nesting.geometry.lying import Orientation, Shape
from nesting.geometry.shapes import Points, oriented, signed_area, whole_outline
from nesting.model import Fabric, Job, LeftOver, Outline, Piece, Placement

LEAN, MOST_LEANS = 8.0, 3
"""Degrees between two leans off the grain that are tried, and how many to a side at most."""
MANY_PARTS, MANY_SHAPES = 36, 40
"""More than these, together, are laid in bulk and searched in windows: maps of all pairs would take
long to make, and their cells would be coarse."""


@dataclass(frozen=True, slots=True)
class Part:
    """What is placed at once. `copies` are what it cuts: one on open cloth.

    `shapes` are indices into `Problem.shapes`, one per allowed turn. `rank` counts the priorities
    of a job from 0: on cloth of a fixed length parts of one rank are laid before those of the next,
    whatever their size. `rooms` narrow where the part may lie in each of its shapes, beyond what
    the cloth does; () where nothing does.
    """

    piece: str
    copies: tuple[int, ...]
    garment: int
    area: float
    shapes: tuple[int, ...]
    rank: int = 0
    rooms: tuple[Room, ...] = ()


@dataclass(frozen=True, slots=True)
class Spot:
    """Where the search puts a part: which of the problem's shapes, moved by (x, y) mm."""

    shape: int
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Fixed(Spot):
    """What does not move: a held part, which counts for area and length, or an obstacle."""

    counts: bool = True


@dataclass(frozen=True, eq=False, slots=True)
class Problem:
    """Parts to place on a fabric, and what lies there already."""

    fabric: Fabric
    parts: tuple[Part, ...]
    shapes: tuple[Shape, ...]
    fixed: tuple[Fixed, ...]
    outlines: dict[str, Points]
    """Whole outline of every piece, in its own coordinates."""
    hopeless: tuple[Part, ...] = ()
    """Parts that fit nowhere on the cloth, even alone: they are left over."""

    @property
    def held(self) -> tuple[Fixed, ...]:
        """What is fixed and counts for area and length: the held parts."""
        return tuple(one for one in self.fixed if one.counts)

    @property
    def areas(self) -> tuple[float, ...]:
        """Area in mm2 of each part, then of each fixed one."""
        return *(part.area for part in self.parts), *(self.area_of(spot) for spot in self.fixed)

    @property
    def mean_side(self) -> float:
        """Side, mm, of a square as large as the mean of the parts, the held ones included."""
        return math.sqrt(self.area / (len(self.parts) + len(self.held)))

    @property
    def area(self) -> float:
        """Area in mm2 of all parts, the held ones included."""
        return sum((*(part.area for part in self.parts), *(self.area_of(one) for one in self.held)))

    @property
    def is_narrowed(self) -> bool:
        """Whether any part may not lie wherever the cloth lets it."""
        return any(part.rooms for part in self.parts)

    @property
    def is_long(self) -> bool:
        """Whether there are so many parts and shapes that what is worked out of each takes long."""
        return len(self.parts) > MANY_PARTS and len(self.shapes) > MANY_SHAPES

    def area_of(self, spot: Spot) -> float:
        """Return the area in mm2 of what lies at a spot."""
        return abs(signed_area(self.shapes[spot.shape].points))


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
                    is_hidden=piece.hidden,
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
            for copy in piece.numbers:
                if (piece.id, copy) in held_copies:
                    continue
                ways = [Orientation(turn, flip) for flip in hands_of(piece, copy) for turn in turns]
                fitting = _fitting(
                    piece, [shape_of(piece, way) for way in ways], shapes, job.fabric
                )
                garment = (copy - 1) // piece.cut + 1
                lying, rooms = ways_on_bands(piece, job.fabric, fitting, shapes)
                rank = ranks[piece.id]
                parts.append(Part(piece.id, (copy,), garment, area, lying, rank, rooms))
        except JobError as error:
            faults.append(error)
    if faults:
        raise first_of(faults)
    held = tuple(
        Fixed(shape_of(pieces[spot.piece], Orientation(spot.turn, spot.flip)), spot.x, spot.y)
        for spot in job.held
    )
    still = flaw_shapes(job.fabric.flaws, outlines)
    if job.fabric.outline:
        from nesting.cloth.remnant import off_cloth  # a library that a first layout can wait for

        still += off_cloth(job.fabric, outlines)
    fixed = (*held, *(Fixed(len(shapes) + k, 0.0, 0.0, counts=False) for k in range(len(still))))
    return Problem(job.fabric, tuple(parts), (*shapes, *still), fixed, outlines)


def ranks_of(pieces: Sequence[Piece]) -> dict[str, int]:
    """Return by its id the place of each piece's priority among all; no priority comes last."""
    given = {piece.priority for piece in pieces}
    ordered = sorted(given, key=lambda each: math.inf if each is None else each)
    return {piece.id: ordered.index(piece.priority) for piece in pieces}


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
    for part in problem.hopeless:
        missing.setdefault(part.piece, []).extend(part.copies)
    for part, spot in zip(problem.parts, spots, strict=True):
        if spot is None:
            missing.setdefault(part.piece, []).extend(part.copies)
            continue
        orientation = problem.shapes[spot.shape].orientation
        placed.append(
            Placement(
                part.piece,
                part.copies,
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
    """Return the candidates that fit between the selvedges.

    On a remnant what is too wide is left over like all that does not fit.
    """
    rooms = {k: on_cloth(fabric, shapes[k].low, shapes[k].high, math.inf) for k in candidates}
    across = [k for k in candidates if rooms[k].across.low <= rooms[k].across.high]
    if not across and fabric.outline:
        return tuple(candidates)
    if not across:
        least = min(shapes[number].size[1] for number in candidates)
        label = piece.label[0].upper() + piece.label[1:]
        raise PieceTooWide(piece.id, label, least + 2.0 * fabric.edge_margin, fabric.width)
    return tuple(across)


def room_of(problem: Problem, part: Part, shape: int, length: float | None = None) -> Room:
    """Return where a part may lie in one of its shapes, on cloth of a length.

    Without a length it is that of the fabric, if it has one. Every search asks this, never the
    fabric: what narrows a room narrows it in this one place.
    """
    if length is None:
        length = math.inf if problem.fabric.length is None else problem.fabric.length
    lying = problem.shapes[shape]
    room = on_cloth(problem.fabric, lying.low, lying.high, length)
    narrower = part.rooms[part.shapes.index(shape)] if part.rooms else WHOLE
    return room if narrower is WHOLE else room.meet(narrower)


def least_end(problem: Problem, part: Part) -> float:
    """Return how far along the cloth, mm, a part reaches when it lies as far left as it may."""
    return min(
        room_of(problem, part, shape, math.inf).along.at_least(-math.inf)
        + problem.shapes[shape].high[0]
        for shape in part.shapes
    )


def needed_length(problem: Problem, spots: Sequence[Spot | None]) -> float:
    """Return the length of cloth, mm, that the placed and held parts need, edge margin included."""
    ends = [
        spot.x + problem.shapes[spot.shape].high[0]
        for spot in (*spots, *problem.held)
        if spot is not None
    ]
    return max(ends, default=-problem.fabric.edge_margin) + problem.fabric.edge_margin
