# SPDX-License-Identifier: GPL-2.0-or-later
"""Many parts laid at once: one by one to the leftmost, then lowest, place that is free in cells.

Each outline, grown by half the gap, is cut into slices across the cloth (`slices`), and places are
looked for column by column (`free`): that takes a millisecond a part, where exact no-fit polygons
take one a pair. What a cell covers in part counts as covered, so layouts are valid as they come
out, and cost about a cell a part.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from nesting.cloth.problem import Problem, Spot, needed_length, room_of
from nesting.cloth.rooms import FIT_TOLERANCE, Axis, Room
from nesting.construct.bottomleft import orders_by_size
from nesting.construct.free import Cloth, Marks, leftmost_free
from nesting.construct.slices import Mask, Raster, Slices, covered, slices_of
from nesting.geometry.shapes import Points, oriented
from nesting.geometry.simplify import ARC_TOLERANCE, bases_of
from nesting.stop import Stopped, never

CELLS = 64.0
"""Slices along a side of a square as large as the mean of the parts."""
ROWS = 4.0
"""Rows along the side of a slice."""
ORDERS = 3
"""Orders that are tried, a round each: by the area of the box, the length, the diagonal."""
SHORTER = 1e-6
"""mm by which a layout must be shorter to count as better."""
ON_CELL = 1e-9
"""mm within which a position is exactly on a cell."""


@dataclass(frozen=True, eq=False, slots=True)
class _Way:
    """A shape with its room: where it may lie, and what it covers.

    At column 0 and row 0 it lies at `base`; `end` is how far it reaches along from there.
    """

    shape: int
    room: Room
    base: tuple[float, float]
    mask: Mask
    slices: Slices
    along: Marks
    across: Marks


class BulkConstructor:
    """Lays out a problem by orders of its parts, within `most` mm of cloth.

    The contract is that of `nesting.construct.bottomleft.Constructor`. Raises Stopped when told to
    stop while it is made.
    """

    def __init__(
        self, problem: Problem, most: float, should_stop: Callable[[], bool] = never
    ) -> None:
        self._problem = problem
        side = problem.mean_side
        self._raster = Raster(side / CELLS, side / CELLS / ROWS)
        self._bases = bases_of(problem.shapes, problem.fabric.gap, 0.0, should_stop)
        self._grown = problem.fabric.gap / 2.0 + 2.0 * ARC_TOLERANCE
        fabric = problem.fabric
        around = 2.0 * (self._grown - fabric.edge_margin)
        self._columns = math.ceil((most + around) / self._raster.wide) + 1
        self._rows = math.ceil((fabric.width + around) / self._raster.tall) + 2
        self._known: dict[tuple[int, Room], _Way] = {}
        self._ways = [
            [self._way(shape, room_of(problem, part, shape)) for shape in part.shapes]
            for part in problem.parts
        ]

    def lay(
        self,
        order: Sequence[int],
        kept: Sequence[Spot | None] = (),
        should_stop: Callable[[], bool] = never,
    ) -> tuple[Spot | None, ...] | None:
        """Return the spots of all parts placed in an order, None where there is no room.

        `kept` are the spots of the first parts of the order, known from an earlier layout. None
        when told to stop.
        """
        cloth = Cloth(self._columns, self._rows)
        spots: list[Spot | None] = [None] * len(self._problem.parts)
        for fixed in self._problem.fixed:
            self._cover(cloth, fixed)
        for part, spot in zip(order, kept, strict=False):
            spots[part] = spot
            if spot is not None:
                self._cover(cloth, spot)
        for part in order[len(kept) :]:
            if should_stop():
                return None
            spots[part] = self._laid(cloth, part)
        return tuple(spots)

    def _laid(self, cloth: Cloth, part: int) -> Spot | None:
        """Lay a part where it ends leftmost, then lies lowest; return where, if anywhere."""
        best: tuple[int, int, int, _Way] | None = None
        for way in self._ways[part]:
            size = len(way.mask)
            last = self._columns if best is None else best[0] - size + 1
            column, row = leftmost_free(
                cloth.taken, cloth.spans, cloth.counts, cloth.longest,
                way.slices, way.along, way.across, 0, last,
            )  # fmt: skip
            if column >= 0 and (best is None or (column + size, row) < best[:2]):
                best = column + size, row, column, way
        if best is None:
            return None
        _, row, column, way = best
        cell = self._raster
        x = _at(way.room.along, way.base[0] + column * cell.wide)
        y = _at(way.room.across, way.base[1] + row * cell.tall)
        for right in range(int(way.along[column])):
            for up in range(int(way.across[row])):
                cloth.cover(column + right, way.mask, row + up)
        return Spot(way.shape, x, y)

    def _cover(self, cloth: Cloth, spot: Spot) -> None:
        """Cover what lies at a spot, as far as it is within the cloth."""
        cell, edge = self._raster, self._problem.fabric.edge_margin - self._grown
        outline = self._outline(spot.shape) + np.array((spot.x, spot.y))
        low = np.floor((outline.min(axis=0) - edge) / (cell.wide, cell.tall)).astype(np.int64)
        anchor = low * (cell.wide, cell.tall) + edge
        mask = covered(outline, (float(anchor[0]), float(anchor[1])), cell)
        column, row = (int(at) for at in low)
        mask = mask[max(0, -column) : self._columns - column, max(0, -row) : self._rows - row]
        if mask.size:
            cloth.cover(max(0, column), mask, max(0, row))

    def _way(self, shape: int, room: Room) -> _Way:
        """Return a shape with its room."""
        key = shape, room
        if key not in self._known:
            lying, cell = self._problem.shapes[shape], self._raster
            anchor = lying.low[0] - self._grown, lying.low[1] - self._grown
            mask = covered(self._outline(shape), anchor, cell)
            margin = self._problem.fabric.edge_margin
            base = margin - lying.low[0], margin - lying.low[1]
            along = _marks(room.along, base[0], cell.wide, self._columns)
            across = _marks(room.across, base[1], cell.tall, self._rows)
            across[max(0, self._rows - mask.shape[1]) :] = 0
            self._known[key] = _Way(shape, room, base, mask, slices_of(mask), along, across)
        return self._known[key]

    def _outline(self, shape: int) -> Points:
        """Return the true outline of a shape, grown by half the gap."""
        lying = self._problem.shapes[shape]
        turn, flip = lying.orientation.turn, lying.orientation.flip
        return oriented(self._bases[lying.piece], 0.0, turn, flip)


def lay_in_bulk(
    problem: Problem,
    start: tuple[Spot, ...],
    should_stop: Callable[[int], bool],
    on_better: Callable[[tuple[Spot, ...], int], None],
) -> int:
    """Hand over layouts that are shorter than the first, each round by another order; return them.

    `should_stop` is asked with the rounds done, as in `nesting.search.improver.Improver`.
    """
    length, rounds = needed_length(problem, start), 0

    def stopped() -> bool:
        return should_stop(rounds)

    try:
        constructor = BulkConstructor(problem, length, stopped)
    except Stopped:
        return rounds
    for order in orders_by_size(problem)[:ORDERS]:
        spots = None if stopped() else constructor.lay(order, should_stop=stopped)
        if spots is None:
            break
        rounds += 1
        laid = tuple(spot for spot in spots if spot is not None)
        if len(laid) == len(spots) and needed_length(problem, laid) < length - SHORTER:
            length = needed_length(problem, laid)
            on_better(laid, rounds)
    return rounds


def _marks(axis: Axis, base: float, step: float, count: int) -> Marks:
    """Return at which of `count` cells from a base on an axis has a position.

    1 where it is exactly there, 2 where one lies before the next cell.
    """
    places = base + step * np.arange(count)
    if not axis.period:
        inside = (places >= axis.low - ON_CELL) & (places <= axis.high + ON_CELL)
        marks = inside.astype(np.uint8)
        cell = math.floor((axis.low - base) / step)
        if not inside.any() and 0 <= cell < count and axis.low <= axis.high + FIT_TOLERANCE:
            marks[cell] = 2
        return marks
    marks = np.zeros(count, dtype=np.uint8)
    at = axis.at_least(max(axis.low, base))
    while at <= places[-1]:
        cell = math.floor((at - base) / step + ON_CELL)
        marks[cell] = 1 if abs(at - places[cell]) < ON_CELL else max(2, marks[cell])
        at = axis.at_least(at + axis.period / 2.0)
    return marks


def _at(axis: Axis, cell: float) -> float:
    """Return the position of an axis at a cell or, where there is none, the first one beyond."""
    return axis.at_least(cell - ON_CELL) if axis.period else axis.nearest(cell)
