# SPDX-License-Identifier: GPL-2.0-or-later
"""Overlap maps: for two shapes, how deep they overlap at every position on a grid.

A map holds, for each position of a moving shape relative to a fixed one (in whole cells, between
the low corners of their boxes, which count as whole cells), the distance out of the no-fit polygon
in eighths of a cell, 0 where they do not overlap. Beside each map lie its two *pools*: the least
value of every whole block of positions, small and large, for every way the map may lie on the
blocks.
"""

from __future__ import annotations

import math
import threading
from collections.abc import Callable, Collection, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

import numpy as np

from nesting.geometry.arrays import Ints
from nesting.geometry.shapes import Points, from_lowest, starts_of
from nesting.grid.depths import HAIR, build_map, turn_map
from nesting.grid.lattice import RIM, Cells, Maps, pool_sizes, row_of
from nesting.grid.pools import build_pools
from nesting.stop import go_on_unless, never

SAME_TO = 6
"""Digits of a cell to which two shapes are compared."""
KEPT = 2
"""Grids with another depth forgiven that are kept."""
MOST_CELLS = 12_000_000
"""Cells of the maps of all pairs, shared or not, without their rims; the grid is made coarser when
they would be more."""


@dataclass(frozen=True, eq=False, slots=True)
class Grid:
    """The maps of all pairs of shapes.

    `table` has a row per (fixed, moving) pair, moving fastest: where its place (0, 0) lies in
    `cells`, its least x and y, its size in x and y; then for the small blocks and for the large
    ones the start of the pool in `pools` and its size in blocks, rim and all. Rows of a map lie
    `row_of(size in y)` apart.

    A shape at place k has the low corner of its box at k cells plus its row of `offsets`, (count,
    2) in mm: a box counts as whole cells with the shape in the middle, so that two shapes turned by
    180 degrees together are still on the grid. Their map is shared.
    """

    step: float
    count: int
    offsets: Points
    table: Ints
    cells: Cells
    pools: Cells
    _forgiven: dict[int, Grid] = field(default_factory=dict, repr=False)
    _lock: threading.Lock = field(default_factory=threading.Lock, repr=False)

    @property
    def maps(self) -> Maps:
        """What the loops need of it."""
        return Maps(self.count, self.table, self.cells, self.pools)

    def forgiving(self, depth: int) -> Grid:
        """Return the same maps with `depth` eighths of a cell forgiven.

        Chains mostly ask for the same depths, so the last few grids are kept for all of them.
        """
        with self._lock:
            known = self._forgiven.get(depth)
            if known is None:
                while len(self._forgiven) >= KEPT:
                    self._forgiven.pop(next(iter(self._forgiven)))
                cells, pools = _less(self.cells, depth), _less(self.pools, depth)
                known = Grid(self.step, self.count, self.offsets, self.table, cells, pools)
                self._forgiven[depth] = known
            return known


def build_grid(
    shapes: Sequence[Sequence[Points]],
    sizes: Sequence[tuple[float, float]],
    step: float,
    is_cancelled: Callable[[], bool] = never,
    workers: int = 1,
    half_turns: Sequence[int] | None = None,
    passing: Collection[tuple[int, int]] = (),
) -> Grid:
    """Return the maps of shapes, each given as convex parts in mm from the low corner of its box.

    `sizes` are the extents of the boxes, mm; the parts may reach beyond by a little. `step` mm is
    the cell wished for; it is made larger when the maps would not fit into memory.
    `half_turns` names for each shape the one whose outline is the same turned by 180 degrees, whose
    half turn it is in its turn, or -1. `passing` pairs of shapes, named both ways round, may lie
    over each other: their maps are empty.
    `workers` threads build the maps, each of two shapes once: which of the two is fixed only turns
    a map round. Raises Stopped when cancelled.
    """
    boxes = np.array(sizes)
    step *= math.sqrt(max(1.0, _wished(boxes, step) / MOST_CELLS))
    whole = np.rint(boxes / step).astype(np.int64)
    offsets = (whole * step - boxes) / 2.0
    laid = [
        [(part + offset) / step for part in parts]
        for parts, offset in zip(shapes, offsets, strict=True)
    ]
    count, turned = len(shapes), _turn_exactly(laid, whole, half_turns or [-1] * len(shapes))
    tasks, table, total, pooled = _table_of([_extent(parts) for parts in laid], whole, turned)
    cells, pools = np.zeros(total, dtype=np.uint16), np.zeros(pooled, dtype=np.uint16)
    fixed = [_flat(parts) for parts in laid]
    moving = [_flat([from_lowest(-part) for part in parts]) for parts in laid]

    def fill(pair: int, reverse: int) -> None:
        go_on_unless(is_cancelled)
        if divmod(pair, count) in passing:
            return
        row, back = table[pair], table[reverse]
        build_map(*fixed[pair // count], *moving[pair % count], row, cells)
        build_pools(row, cells, pools)
        if row[0] != back[0]:
            turn_map(row, back, cells)
            build_pools(back, cells, pools)

    with ThreadPoolExecutor(workers) as threads:
        # The list hears of the first fault; the loops hold no lock.
        list(threads.map(fill, *zip(*tasks, strict=True)))
    return Grid(step, count, offsets, table, cells, pools)


def _turn_exactly(
    laid: list[list[Points]], whole: Ints, half_turns: Sequence[int]
) -> Sequence[int]:
    """Make every second shape of a half turn exactly the first one, turned; return what is left.

    Outlines that are the same when turned may have been simplified or cut up in another way. A
    shape that is its own half turn is none when its parts are not.
    """
    kept = list(half_turns)
    for one, two in enumerate(half_turns):
        if two < one:
            continue
        turned = [from_lowest(whole[one] - part) for part in laid[one]]
        if two > one:
            laid[two], whole[two] = turned, whole[one]
        elif not _are_same(laid[one], turned):
            kept[one] = -1
    return kept


def _are_same(parts: Sequence[Points], others: Sequence[Points]) -> bool:
    """Return whether convex parts, in cells, are the same but for rounding, in whatever order."""
    every = sorted(np.round(np.concatenate(parts), SAME_TO).tolist())
    return every == sorted(np.round(np.concatenate(others), SAME_TO).tolist())


def _table_of(
    extents: Sequence[tuple[float, float, float, float]], whole: Ints, half_turns: Sequence[int]
) -> tuple[list[tuple[int, int]], Ints, int, int]:
    """Return what is to be built, the table of a grid, and how long its maps and pools are in all.

    Built are the maps of some pairs of shapes, each with another pair whose map is the first one
    turned round. `extents` of the shapes are in cells; `whole` are those of their boxes.
    """
    count = len(extents)
    table, tasks = np.zeros((count * count, 11), dtype=np.int64), []
    total = pooled = 0

    def add(pair: int, low: Ints, nx: int, ny: int) -> None:
        nonlocal total, pooled
        table[pair, :5] = total + RIM * row_of(ny) + RIM, *low, nx, ny
        total += (nx + 2 * RIM) * row_of(ny)
        for column, block, (wide, tall) in pool_sizes(nx, ny):
            table[pair, column : column + 3] = pooled, wide, tall
            pooled += wide * tall * block * block
        one, two = divmod(pair, count)
        if min(half_turns[one], half_turns[two]) >= 0:
            # Turned by 180 degrees together two shapes overlap as before, with the other one fixed.
            mate = half_turns[two] * count + half_turns[one]
            table[mate] = table[pair]
            table[mate, 1:3] += whole[two] - whole[one]

    for pair in range(count * count):
        one, two = divmod(pair, count)
        if table[pair, 3] > 0:
            continue
        low, high = _reach(extents[one], extents[two])
        nx, ny = high[0] - low[0] + 1, high[1] - low[1] + 1
        add(pair, np.array(low), nx, ny)
        reverse = two * count + one
        if table[reverse, 3] == 0:
            add(reverse, -np.array(high), nx, ny)
        tasks.append((pair, reverse))
    return tasks, table, total, pooled


def _extent(parts: Sequence[Points]) -> tuple[float, float, float, float]:
    """Return low x, low y, high x, high y of convex parts."""
    every = np.concatenate(parts)
    low, high = every.min(axis=0), every.max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _wished(sizes: Points, step: float) -> float:
    """Return about how many cells the maps of all pairs have, without their rims."""
    wide, tall = sizes.T / step
    return float(((wide[:, None] + wide + 2.0) * (tall[:, None] + tall + 2.0)).sum())


def _reach(
    fixed: tuple[float, float, float, float], moving: tuple[float, float, float, float]
) -> tuple[tuple[int, int], tuple[int, int]]:
    """Return the least and greatest positions beyond which two shapes, in cells, are apart."""
    low = [math.floor(fixed[axis] - moving[axis + 2] + HAIR) for axis in (0, 1)]
    high = [math.ceil(fixed[axis + 2] - moving[axis] - HAIR) for axis in (0, 1)]
    return (low[0], low[1]), (high[0], high[1])


def _flat(parts: Sequence[Points]) -> tuple[Points, Ints]:
    """Return polygons as one array and where each begins."""
    return np.ascontiguousarray(np.concatenate(parts)), starts_of(parts)


def _less(values: Cells, depth: int) -> Cells:
    """Return values less a depth, not below 0."""
    step = np.uint16(depth)
    less: Cells = np.maximum(values, step)
    less -= step
    return less
