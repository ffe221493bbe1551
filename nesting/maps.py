# SPDX-License-Identifier: GPL-2.0-or-later
"""Overlap maps: for two shapes, how deep they overlap at every position on a grid.

A map holds, for each position of a moving shape relative to a fixed one (in whole cells between
the low corners of their boxes), the distance out of the no-fit polygon in eighths of a cell, 0
where they do not overlap. Beside each map lie its two *pools*: the least value of every whole block
of positions, small and large, for every way the map may lie on the blocks.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

import numpy as np

from nesting.depths import HAIR, build_map, turn_map
from nesting.lattice import RIM, Cells, Ints, pool_sizes, row_of
from nesting.pools import build_pools
from nesting.shapes import Points, from_lowest, starts_of
from nesting.stop import go_on_unless, never

KEPT = 1
"""Grids with another depth forgiven that are kept."""
MOST_CELLS = 12_000_000
"""Cells of all maps of a problem together, without their rims; the grid is made coarser when they
would be more."""


@dataclass(frozen=True, eq=False, slots=True)
class Grid:
    """The maps of all pairs of shapes.

    `table` has a row per (fixed, moving) pair, moving fastest: where its place (0, 0) lies in
    `cells`, its least x and y, its size in x and y; then for the small blocks and for the large
    ones the start of the pool in `pools` and its size in blocks, rim and all. Rows of a map lie
    `row_of(size in y)` apart.
    """

    step: float
    count: int
    table: Ints
    cells: Cells
    pools: Cells
    _forgiven: dict[int, Grid] = field(default_factory=dict, repr=False)

    def forgiving(self, depth: int) -> Grid:
        """Return the same maps with `depth` eighths of a cell forgiven.

        Chains mostly ask for the same depths, so the last few grids are kept for all of them.
        """
        known = self._forgiven.get(depth)
        if known is None:
            known = Grid(
                self.step,
                self.count,
                self.table,
                _less(self.cells, depth),
                _less(self.pools, depth),
            )
            while len(self._forgiven) >= KEPT:
                self._forgiven.pop(next(iter(self._forgiven)), None)
            self._forgiven[depth] = known
        return known


def build_grid(
    shapes: Sequence[Sequence[Points]],
    step: float,
    is_cancelled: Callable[[], bool] = never,
    workers: int = 1,
) -> Grid:
    """Return the maps of shapes, each given as convex parts in mm from the low corner of its box.

    `step` mm is the cell wished for; it is made larger when the maps would not fit into memory.
    `workers` threads build them, each pair once: which of the two is fixed only turns a map round.
    Raises Stopped when cancelled.
    """
    extents = [_extent(parts) for parts in shapes]
    step *= math.sqrt(max(1.0, _wished(extents, step) / MOST_CELLS))
    count = len(shapes)
    table = np.zeros((count * count, 11), dtype=np.int64)
    total = pooled = 0
    for pair in range(count * count):
        low, high = _reach(extents[pair // count], extents[pair % count], step)
        nx, ny = high[0] - low[0] + 1, high[1] - low[1] + 1
        table[pair, :5] = total + RIM * row_of(ny) + RIM, *low, nx, ny
        total += (nx + 2 * RIM) * row_of(ny)
        for column, block, (wide, tall) in pool_sizes(nx, ny):
            table[pair, column : column + 3] = pooled, wide, tall
            pooled += wide * tall * block * block
    cells, pools = np.zeros(total, dtype=np.uint16), np.zeros(pooled, dtype=np.uint16)
    fixed = [_flat([part / step for part in parts]) for parts in shapes]
    moving = [_flat([from_lowest(-part / step) for part in parts]) for parts in shapes]

    def fill(one: int, two: int) -> None:
        go_on_unless(is_cancelled)
        row, back = table[one * count + two], table[two * count + one]
        build_map(*fixed[one], *moving[two], row, cells)
        build_pools(row, cells, pools)
        if one != two:
            turn_map(row, back, cells)
            build_pools(back, cells, pools)

    pairs = [(one, two) for one in range(count) for two in range(one, count)]
    with ThreadPoolExecutor(workers) as threads:
        # The list hears of the first fault; the loops hold no lock.
        list(threads.map(fill, *zip(*pairs, strict=True)))
    return Grid(step, count, table, cells, pools)


def _extent(parts: Sequence[Points]) -> tuple[float, float, float, float]:
    """Return low x, low y, high x, high y of convex parts."""
    every = np.concatenate(parts)
    low, high = every.min(axis=0), every.max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _wished(extents: Sequence[tuple[float, float, float, float]], step: float) -> float:
    """Return about how many cells the maps of all pairs have, without their rims."""
    wide = np.array([high - low for low, _, high, _ in extents]) / step
    tall = np.array([high - low for _, low, _, high in extents]) / step
    return float(((wide[:, None] + wide + 2.0) * (tall[:, None] + tall + 2.0)).sum())


def _reach(
    fixed: tuple[float, float, float, float],
    moving: tuple[float, float, float, float],
    step: float,
) -> tuple[tuple[int, int], tuple[int, int]]:
    """Return the least and greatest positions, in cells, beyond which two shapes are apart."""
    low = [math.floor((fixed[axis] - moving[axis + 2]) / step + HAIR) for axis in (0, 1)]
    high = [math.ceil((fixed[axis + 2] - moving[axis]) / step - HAIR) for axis in (0, 1)]
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
