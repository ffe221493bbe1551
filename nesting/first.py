# SPDX-License-Identifier: GPL-2.0-or-later
"""A first valid layout at once: bounding boxes in columns, no geometry and no compiled code.

A column runs from selvedge to selvedge and is as long as its longest part; parts come longest
first and go into the first column with room across the width (next-fit's better sibling,
first-fit decreasing). N equal rectangles h long and w wide take ceil(N / floor(W / w)) columns,
which is the proven least for rectangles that may not turn.
Source: Coffman, Garey, Johnson, Tarjan, "Performance bounds for level-oriented two-dimensional
packing algorithms", SIAM J. Comput. 9(4), 1980.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from nesting.problem import (
    FIT_TOLERANCE,
    Problem,
    Shape,
    Spot,
    allowed_box,
    needed_length,
)

Box = tuple[float, float, float, float]


@dataclass(slots=True)
class _Room:
    """What is left of a column between two parts, obstacles or selvedges, mm."""

    x: float
    low: float
    high: float


def first_layout(problem: Problem) -> tuple[Spot | None, ...]:
    """Return a valid spot for each part, None for those that do not fit on a fixed length.

    There parts of one rank come before those of the next. Every part takes its shortest turn in
    one attempt and its narrowest in another; the attempt that lays more parts wins, then the
    shorter one.
    """
    attempts = [
        _lay(problem, tuple(min(part.shapes, key=by) for part in problem.parts))
        for by in (
            lambda shape: problem.shapes[shape].size[0],
            lambda shape: problem.shapes[shape].size[1],
        )
    ]
    return min(
        attempts, key=lambda spots: (_missing(problem, spots), needed_length(problem, spots))
    )


def _missing(problem: Problem, spots: Sequence[Spot | None]) -> tuple[int, ...]:
    """Return how many parts have no spot, those of the first rank first."""
    counts = Counter(
        part.rank for part, spot in zip(problem.parts, spots, strict=True) if spot is None
    )
    last = max((part.rank for part in problem.parts), default=0)
    return tuple(counts[rank] for rank in range(last + 1))


def _lay(problem: Problem, chosen: Sequence[int]) -> tuple[Spot | None, ...]:
    """Return spots of the parts, each in the shape chosen for it."""
    shapes = [problem.shapes[shape] for shape in chosen]
    least = min((shape.size[1] for shape in shapes), default=0.0)
    columns = _Columns(problem)
    spots: list[Spot | None] = [None] * len(shapes)
    open_ended = problem.fabric.length is None
    ranks = [0 if open_ended else part.rank for part in problem.parts]
    order = sorted(
        range(len(shapes)), key=lambda k: (ranks[k], -shapes[k].size[0], -shapes[k].size[1], k)
    )
    for place, part in enumerate(order):
        if place and ranks[part] != ranks[order[place - 1]]:
            columns.close()
        where = columns.take(shapes[part], least)
        if where is not None:
            spots[part] = Spot(chosen[part], *where)
    return tuple(spots)


class _Columns:
    """The columns opened so far, left to right, and the room in them."""

    def __init__(self, problem: Problem) -> None:
        self._fabric = problem.fabric
        self._length = math.inf if problem.fabric.length is None else problem.fabric.length
        self._obstacles = [_box(problem.shapes[spot.shape], spot) for spot in problem.obstacles]
        self._rooms: list[_Room] = []
        self._next: float | None = None

    def take(self, shape: Shape, least: float) -> tuple[float, float] | None:
        """Return the position of a shape and take its room; None when no column can be opened.

        Shapes come by decreasing length. Rooms narrower than `least` mm are forgotten.
        """
        allowed = allowed_box(self._fabric, shape, self._length)
        room = next((room for room in self._rooms if _fits(shape, room, allowed)), None)
        if room is None:
            room = self._open(shape, allowed)
        if room is None:
            return None
        place = room.x - shape.low[0], room.low - shape.low[1]
        room.low += shape.size[1] + self._fabric.gap
        if room.high - room.low < least - FIT_TOLERANCE:
            self._rooms.remove(room)
        return place

    def close(self) -> None:
        """Put nothing more into the columns so far: longer parts may follow than they hold."""
        self._rooms = []

    def _open(self, shape: Shape, allowed: Box) -> _Room | None:
        """Open the next column that has room for a shape and return that room."""
        gap, (length, _) = self._fabric.gap, shape.size
        x = allowed[0] + shape.low[0] if self._next is None else self._next
        low, high = allowed[1] + shape.low[1], allowed[3] + shape.high[1]
        while x - shape.low[0] <= allowed[2] + FIT_TOLERANCE:
            blocking = [
                box
                for box in self._obstacles
                if box[0] < x + length + gap - FIT_TOLERANCE and x < box[2] + gap - FIT_TOLERANCE
            ]
            rooms = [_Room(x, *span) for span in _free_spans(low, high, blocking, gap)]
            fitting = next((room for room in rooms if _fits(shape, room, allowed)), None)
            if fitting is not None:
                self._rooms += rooms
                self._next = x + length + gap
                return fitting
            if not blocking:
                return None
            x = min(box[2] for box in blocking) + gap
        return None


def _box(shape: Shape, spot: Spot) -> Box:
    """Return the bounding box of a shape at a spot."""
    return (
        shape.low[0] + spot.x,
        shape.low[1] + spot.y,
        shape.high[0] + spot.x,
        shape.high[1] + spot.y,
    )


def _fits(shape: Shape, room: _Room, allowed: Box) -> bool:
    """Return whether a shape may lie at the lower end of a room."""
    x, y = room.x - shape.low[0], room.low - shape.low[1]
    return (
        room.high - room.low >= shape.size[1] - FIT_TOLERANCE
        and allowed[0] - FIT_TOLERANCE <= x <= allowed[2] + FIT_TOLERANCE
        and allowed[1] - FIT_TOLERANCE <= y <= allowed[3] + FIT_TOLERANCE
    )


def _free_spans(
    low: float, high: float, blocking: Sequence[Box], gap: float
) -> list[tuple[float, float]]:
    """Return what boxes, with a gap round them, leave of a span across the width."""
    spans = []
    for box in sorted(blocking, key=lambda box: box[1]):
        if box[1] - gap > low:
            spans.append((low, box[1] - gap))
        low = max(low, box[3] + gap)
    if high > low:
        spans.append((low, high))
    return spans
