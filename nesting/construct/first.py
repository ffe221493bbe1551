# SPDX-License-Identifier: GPL-2.0-or-later
"""A first valid layout at once: bounding boxes in columns, no geometry and no compiled code.

A column runs from selvedge to selvedge and is as long as its longest part; parts come longest
first and go into the first column with room across the width (next-fit's better sibling,
first-fit decreasing). Parts that may not lie wherever the cloth lets them come before: those that
must lie near the start of the cloth first of all. N equal rectangles h long and w wide take
ceil(N / floor(W / w)) columns, which is the proven least for rectangles that may not turn.
Source: Coffman, Garey, Johnson, Tarjan, "Performance bounds for level-oriented two-dimensional
packing algorithms", SIAM J. Comput. 9(4), 1980.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from nesting.cloth.problem import Problem, Spot, needed_length, room_of
from nesting.cloth.rooms import FIT_TOLERANCE, Axis, Room, on_cloth
from nesting.geometry.lying import Shape
from nesting.geometry.shapes import Points, signed_area

Box = tuple[float, float, float, float]

BOX_LIKE, SLICES = 0.8, 16
"""Share of its box from which an obstacle counts as its box, and into how many slices it is cut
otherwise."""


@dataclass(slots=True)
class _Gap:
    """What is left of a column between two parts, obstacles or selvedges, mm.

    The column begins at `x` and ends at `end`.
    """

    x: float
    end: float
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

    def turn_of(k: int) -> tuple[int, float, bool, float, float, int]:
        part = problem.parts[k]
        farthest = (
            room_of(problem, part, chosen[k], math.inf).along.high if part.rooms else math.inf
        )
        return ranks[k], farthest, not part.rooms, -shapes[k].size[0], -shapes[k].size[1], k

    order = sorted(range(len(shapes)), key=turn_of)
    for place, part in enumerate(order):
        if place and ranks[part] != ranks[order[place - 1]]:
            columns.close()
        room = room_of(problem, problem.parts[part], chosen[part])
        where = columns.take(shapes[part], room, least)
        if where is not None:
            spots[part] = Spot(chosen[part], *where)
    return tuple(spots)


class _Columns:
    """The columns opened so far, left to right, and the gaps in them."""

    def __init__(self, problem: Problem) -> None:
        self._fabric = problem.fabric
        self._obstacles = [
            box
            for spot in problem.fixed
            for box in _boxes(problem.shapes[spot.shape], spot, whole=spot.counts)
        ]
        self._gaps: list[_Gap] = []
        self._next: float | None = None

    def take(self, shape: Shape, room: Room, least: float) -> tuple[float, float] | None:
        """Return the position of a shape and take its place; None when no column can be opened.

        Gaps narrower than `least` mm are forgotten.
        """
        found = _first_place(shape, room, self._gaps) or self._open(shape, room)
        if found is None:
            return None
        gap, (left, low) = found
        below = low - self._fabric.gap
        if below > gap.low and below - gap.low >= least - FIT_TOLERANCE:
            self._gaps.append(_Gap(gap.x, gap.end, gap.low, below))
        gap.low = low + (shape.size[1] + self._fabric.gap)
        if gap.high - gap.low < least - FIT_TOLERANCE:
            self._gaps.remove(gap)
        return left - shape.low[0], low - shape.low[1]

    def close(self) -> None:
        """Put nothing more into the columns so far: longer parts may follow than they hold."""
        self._gaps = []

    def _open(self, shape: Shape, room: Room) -> tuple[_Gap, tuple[float, float]] | None:
        """Open the next column with a place for a shape; return its gap and the low corner."""
        apart, (length, _) = self._fabric.gap, shape.size
        cloth = on_cloth(self._fabric, shape.low, shape.high, math.inf)
        low, high = cloth.across.low + shape.low[1], cloth.across.high + shape.high[1]
        x = cloth.along.low + shape.low[0] if self._next is None else self._next
        while (left := _not_below(room.along, x, shape.low[0])) is not None:
            blocking = [
                box
                for box in self._obstacles
                if box[0] < left + length + apart - FIT_TOLERANCE
                and left < box[2] + apart - FIT_TOLERANCE
            ]
            gaps = [
                _Gap(left, left + length, *span) for span in _free_spans(low, high, blocking, apart)
            ]
            found = _first_place(shape, room, gaps)
            if found is not None:
                self._gaps += gaps
                self._next = left + length + apart
                return found
            if not blocking:
                return None
            x = min(box[2] for box in blocking) + apart
        return None


def _first_place(
    shape: Shape, room: Room, gaps: Sequence[_Gap]
) -> tuple[_Gap, tuple[float, float]] | None:
    """Return the first gap where a shape may lie, and the low corner of its box there."""
    for gap in gaps:
        left = _not_below(room.along, gap.x, shape.low[0])
        low = _not_below(room.across, gap.low, shape.low[1])
        if left is None or low is None:
            continue
        fits_along = gap.end - left >= shape.size[0] - FIT_TOLERANCE
        if fits_along and gap.high - low >= shape.size[1] - FIT_TOLERANCE:
            return gap, (left, low)
    return None


def _not_below(axis: Axis, corner: float, low: float) -> float | None:
    """Return the least corner of a box, not below one, with which its shape lies on an axis.

    `low` is the corner of the shape before it is moved. None when there is none.
    """
    position = corner - low
    if not axis.period and axis.low - FIT_TOLERANCE <= position:
        return corner if position <= axis.high + FIT_TOLERANCE else None
    found = axis.at_least(position)
    return found + low if math.isfinite(found) else None


def _boxes(shape: Shape, spot: Spot, *, whole: bool) -> list[Box]:
    """Return the bounding box of a shape at a spot, or those of slices when it is far from one."""
    x, y, (wide, high) = spot.x, spot.y, shape.size
    if whole or abs(signed_area(shape.points)) > BOX_LIKE * wide * high:
        return [(shape.low[0] + x, shape.low[1] + y, shape.high[0] + x, shape.high[1] + y)]
    cuts = [shape.low[0] + wide * k / SLICES for k in range(SLICES + 1)]
    return [
        (left + x, low + y, right + x, top + y)
        for left, right in pairwise(cuts)
        for low, top in _span(shape.points, left, right)
    ]


def _span(points: Points, left: float, right: float) -> Iterator[tuple[float, float]]:
    """Yield from where to where an outline reaches across between two cuts."""
    met = []
    for (x, y), (u, v) in pairwise([*points.tolist(), points[0].tolist()]):
        if max(x, u) < left or min(x, u) > right:
            continue
        for at in (max(left, min(x, u)), min(right, max(x, u))):
            met += [y, v] if u == x else [y + (v - y) * (at - x) / (u - x)]
    if met:
        yield min(met), max(met)


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
