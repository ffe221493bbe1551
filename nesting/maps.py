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
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

import numpy as np

from nesting.depths import HAIR, build_map, turn_map
from nesting.lattice import RIM, Cells, Ints, pool_sizes, row_of
from nesting.pools import build_pools
from nesting.shapes import Points, from_lowest, starts_of
from nesting.stop import go_on_unless, never

KEPT = 2
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

    def forgiving(self, depth: int) -> Grid:
        """Return the same maps with `depth` eighths of a cell forgiven.

        Chains mostly ask for the same depths, so the last few grids are kept for all of them.
        """
        known = self._forgiven.get(depth)
        if known is None:
            known = Grid(
                self.step,
                self.count,
                self.offsets,
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
    sizes: Sequence[tuple[float, float]],
    step: float,
    is_cancelled: Callable[[], bool] = never,
    workers: int = 1,
    half_turns: Sequence[int] | None = None,
) -> Grid:
    """Return the maps of shapes, each given as convex parts in mm from the low corner of its box.

    `sizes` are the extents of the boxes, mm; the parts may reach beyond by a little. `step` mm is
    the cell wished for; it is made larger when the maps would not fit into memory.
    `half_turns` names for each shape the one that is the same turned by 180 degrees, -1 for none.
    `workers` threads build the maps, each of two shapes once: which of the two is fixed only turns
    a map round. Raises Stopped when cancelled.
    """
    boxes = np.array(sizes)
    step *= math.sqrt(max(1.0, _wished(boxes, step) / MOST_CELLS))
    whole = np.rint(boxes / step)
    offsets = (whole * step - boxes) / 2.0
    laid = [
        [(part + offset) / step for part in parts]
        for parts, offset in zip(shapes, offsets, strict=True)
    ]
    count, same = len(shapes), _same_maps(half_turns or [-1] * len(shapes))
    table, total, pooled = _table_of([_extent(parts) for parts in laid], whole, same)
    cells, pools = np.zeros(total, dtype=np.uint16), np.zeros(pooled, dtype=np.uint16)
    fixed = [_flat(parts) for parts in laid]
    moving = [_flat([from_lowest(-part) for part in parts]) for parts in laid]

    def fill(pair: int, reverse: int) -> None:
        go_on_unless(is_cancelled)
        row, back = table[pair], table[reverse]
        build_map(*fixed[pair // count], *moving[pair % count], row, cells)
        build_pools(row, cells, pools)
        if reverse != pair:
            turn_map(row, back, cells)
            build_pools(back, cells, pools)

    reverses = [same[pair % count * count + pair // count] for pair in range(count * count)]
    every = {(min(pair), max(pair)) for pair in zip(same, reverses, strict=True)}
    with ThreadPoolExecutor(workers) as threads:
        # The list hears of the first fault; the loops hold no lock.
        list(threads.map(fill, *zip(*sorted(every), strict=True)))
    return Grid(step, count, offsets, table, cells, pools)


def _table_of(
    extents: Sequence[tuple[float, float, float, float]], whole: Points, same: Sequence[int]
) -> tuple[Ints, int, int]:
    """Return the table of a grid, and how many values its maps and its pools have in all.

    `extents` of the shapes are in cells, `whole` are those of their boxes, rounded to whole cells;
    `same` is the pair whose map each pair has.
    """
    count = len(extents)
    table = np.zeros((count * count, 11), dtype=np.int64)
    total = pooled = 0
    for pair, built in enumerate(same):
        if built != pair:
            table[pair] = table[built]
            # Places count from low corners: turned, a high one takes the part of each.
            table[pair, 1:3] += (whole[built % count] - whole[built // count]).astype(np.int64)
            continue
        low, high = _reach(extents[pair // count], extents[pair % count])
        nx, ny = high[0] - low[0] + 1, high[1] - low[1] + 1
        table[pair, :5] = total + RIM * row_of(ny) + RIM, *low, nx, ny
        total += (nx + 2 * RIM) * row_of(ny)
        for column, block, (wide, tall) in pool_sizes(nx, ny):
            table[pair, column : column + 3] = pooled, wide, tall
            pooled += wide * tall * block * block
    return table, total, pooled


def _same_maps(half_turns: Sequence[int]) -> list[int]:
    """Return for each pair of shapes the first pair that has the same map.

    Two shapes turned by 180 degrees together overlap as before, with the other one fixed.
    """
    count = len(half_turns)
    same = []
    for pair in range(count * count):
        one, two = half_turns[pair % count], half_turns[pair // count]
        same.append(pair if min(one, two) < 0 else min(pair, one * count + two))
    return same


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
