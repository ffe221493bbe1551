# SPDX-License-Identifier: GPL-2.0-or-later
"""Overlap maps: for two shapes, how deep they overlap at every position on a grid.

A map holds, for each position of a moving shape relative to a fixed one (in whole cells between
the low corners of their boxes), the distance out of the no-fit polygon in eighths of a cell, 0
where they do not overlap. Both shapes are given as convex parts, so the no-fit polygon is the
union of sums of convex polygons, and a grid node is inside or not, exactly. Idea: Sato, Martins,
Gomes, Tsuzuki, "Raster penetration map applied to the irregular packing problem", EJOR 279(2),
2019; the distance transform is that of Felzenszwalb, Huttenlocher, "Distance transforms of sampled
functions", Theory of Computing 8, 2012.

Beside each map lie its two *pools*: the least value of every whole block of positions, small and
large, for every way the map may lie on the blocks. Sums of pools bound sums of maps from below, so
most blocks need not be looked into, and a fine grid costs hardly more than a coarse one. Maps and
small pools have a rim of noughts, and rows of large pools end in some: so sums need not ask, row by
row, how far a block reaches into a map, which would cost more than the adding.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import Index, compiled
from nesting.shapes import Points, from_lowest
from nesting.stop import go_on_unless, never

Ints = NDArray[np.int64]
Cells = NDArray[np.uint16]
Bits = NDArray[np.uint8]
Ends = NDArray[np.int32]

SMALL_BITS, LARGE_BITS = 2, 4
SMALL, LARGE = 1 << SMALL_BITS, 1 << LARGE_BITS
"""Positions along a side of a small and of a large block."""
SIDE = LARGE // SMALL
"""Small blocks along a side of a large one."""
RIM, POOL_RIM = SMALL - 1, SIDE - 1
"""Noughts round a map, and round a small pool."""
LANES = 4
"""Rows of a large pool are a multiple of so many long."""
DEPTHS = 8
"""Steps of depth in a cell."""
FINER = 2
"""The mask that depths are measured on is this many times finer than the grid."""
HAIR = 1e-6
"""Cells: what touches by less than this does not overlap."""
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


def pool_sizes(nx: int, ny: int) -> tuple[tuple[int, int, tuple[int, int]], ...]:
    """Return for the two pools of a map of nx by ny positions: column, block, size in blocks."""
    small = nx // SMALL + 2 * POOL_RIM, ny // SMALL + 2 * POOL_RIM
    large = nx // LARGE, -(-(ny // LARGE) // LANES) * LANES
    return (5, SMALL, small), (8, LARGE, large)


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


def starts_of(parts: Sequence[Points]) -> Ints:
    """Return where each of some arrays begins in their concatenation, and its end."""
    return np.cumsum([0, *(len(part) for part in parts)]).astype(np.int64)


def _less(values: Cells, depth: int) -> Cells:
    """Return values less a depth, not below 0."""
    step = np.uint16(depth)
    less: Cells = np.maximum(values, step)
    less -= step
    return less


# --- loops --------------------------------------------------------------------------------------


@compiled
def row_of(size: int) -> int:
    """Return how far apart the rows of a map lie that has so many positions along y."""
    return size + 2 * RIM


@compiled
def convex_sum(first: Points, second: Points, out: Points) -> int:
    """Write the Minkowski sum of two convex polygons and return its number of points.

    Both are counter-clockwise and start at their lowest, then leftmost, vertex.
    """
    n, m = len(first), len(second)
    i = j = count = 0
    while i < n or j < m:
        out[count, 0] = first[i % n, 0] + second[j % m, 0]
        out[count, 1] = first[i % n, 1] + second[j % m, 1]
        count += 1
        if i >= n:
            j += 1
            continue
        if j >= m:
            i += 1
            continue
        ax, ay = first[(i + 1) % n, 0] - first[i, 0], first[(i + 1) % n, 1] - first[i, 1]
        bx, by = second[(j + 1) % m, 0] - second[j, 0], second[(j + 1) % m, 1] - second[j, 1]
        turn = ax * by - ay * bx
        if turn >= 0.0:
            i += 1
        if turn <= 0.0:
            j += 1
    return count


@compiled
def cover_convex(
    ring: Points, count: int, x0: float, y0: float, ends: Ends, low: Points, high: Points
) -> None:
    """Count the nodes (x0 + i, y0 + j) strictly inside a convex polygon of `count` points.

    `ends` (nx, ny + 1) holds in each column the number of polygons that begin at a node less that
    of those that have ended just before it. `low` and `high` are scratch columns (N, 1).
    """
    nx, ny = ends.shape[0], ends.shape[1] - 1
    left = right = ring[0, 0]
    for k in range(count):
        left, right = min(left, ring[k, 0]), max(right, ring[k, 0])
    first = max(int(np.ceil(left + FINER * HAIR - x0)), 0)
    last = min(int(np.floor(right - FINER * HAIR - x0)), nx - 1)
    for column in range(first, last + 1):
        low[column, 0], high[column, 0] = -1e300, 1e300
    for k in range(count):
        ax, ay = ring[k, 0], ring[k, 1]
        following = k + 1 if k + 1 < count else 0
        bx, by = ring[following, 0], ring[following, 1]
        if ax == bx:
            continue
        slope = (by - ay) / (bx - ax)
        begin = max(int(np.ceil(min(ax, bx) - x0)), first)
        end = min(int(np.floor(max(ax, bx) - x0)), last)
        for column in range(begin, end + 1):
            y = ay + slope * (column + x0 - ax)
            if bx > ax:
                low[column, 0] = max(low[column, 0], y)
            else:
                high[column, 0] = min(high[column, 0], y)
    for column in range(first, last + 1):
        begin = max(int(np.ceil(low[column, 0] + FINER * HAIR - y0)), 0)
        end = min(int(np.floor(high[column, 0] - FINER * HAIR - y0)), ny - 1)
        if begin <= end:
            ends[column, begin] += 1
            ends[column, end + 1] -= 1


@compiled
def squared_distances(mask: Bits, every: int, out: Ints) -> None:
    """Write the squared distance, in nodes, of set nodes to the nearest one not set.

    `out` gets those of each node whose row and column are multiples of `every`.
    """
    nx, ny = mask.shape
    rows, columns = out.shape
    run, near = np.zeros(ny, np.int32), np.empty((rows, ny), np.int32)
    for i in range(nx):
        for j in range(ny):
            run[j] = (run[j] + 1) * mask[i, j]
        if i % every == 0:
            near[i // every] = run
    run[:] = 0
    for i in range(nx - 1, -1, -1):
        for j in range(ny):
            run[j] = (run[j] + 1) * mask[i, j]
        if i % every == 0:
            for j in range(ny):
                near[i // every, j] = min(near[i // every, j], run[j])
    # The least of parabolas over the nodes of a row; `height` is that of each over node 0.
    hull, height = np.empty(ny, np.int32), np.empty(ny, np.int32)
    border = np.empty(ny + 1, np.float64)
    for i in range(rows):
        k = 0
        hull[0], height[0], border[0] = 0, near[i, 0] ** 2, -1e20
        for q in range(1, ny):
            own = near[i, q] ** 2 + q * q
            meet = (own - height[k]) / (2.0 * (q - hull[k]))
            while meet <= border[k]:
                k -= 1
                meet = (own - height[k]) / (2.0 * (q - hull[k]))
            k += 1
            hull[k], height[k], border[k] = q, own, meet
        border[k + 1] = 1e20
        k = 0
        for column in range(columns):
            q = column * every
            while border[k + 1] < q:
                k += 1
            out[i, column] = height[k] - 2 * q * hull[k] + q * q


@compiled
def build_map(
    fixed: Points, fixed_starts: Ints, moving: Points, moving_starts: Ints, row: Ints, cells: Cells
) -> None:
    """Fill in the map of a fixed shape and a moving one, both in cells, the moving one negated."""
    nx, ny = row[3], row[4]
    wide, tall = (nx - 1) * FINER + 1, (ny - 1) * FINER + 1
    ends, mask = np.zeros((wide, tall + 1), np.int32), np.empty((wide, tall), np.uint8)
    ring = np.empty((len(fixed) + len(moving) + 2, 2))
    low, high = np.empty((wide, 1)), np.empty((wide, 1))
    for i in range(len(fixed_starts) - 1):
        for j in range(len(moving_starts) - 1):
            count = convex_sum(
                fixed[fixed_starts[i] : fixed_starts[i + 1]],
                moving[moving_starts[j] : moving_starts[j + 1]],
                ring,
            )
            for k in range(count):
                ring[k, 0] *= FINER
                ring[k, 1] *= FINER
            cover_convex(ring, count, row[1] * FINER, row[2] * FINER, ends, low, high)
    for i in range(wide):
        covered = 0
        for j in range(tall):
            covered += ends[i, j]
            mask[i, j] = covered > 0
    distances = np.empty((nx, ny), np.int64)
    squared_distances(mask, FINER, distances)
    for i in range(nx):
        for j in range(ny):
            squared = distances[i, j]
            if squared > 0:
                depth = int(DEPTHS * np.sqrt(float(squared)) / FINER + 0.5)
                cells[Index(row[0] + i * row_of(ny) + j)] = min(max(1, depth), 65535)


@compiled
def turn_map(row: Ints, back: Ints, cells: Cells) -> None:
    """Copy a map of two shapes as that of the two the other way about: every position negated."""
    nx, ny = row[3], row[4]
    for i in range(nx):
        start, last = row[0] + i * row_of(ny), back[0] + (nx - 1 - i) * row_of(ny) + ny - 1
        for j in range(ny):
            cells[Index(last - j)] = cells[Index(start + j)]


@compiled
def build_pools(row: Ints, cells: Cells, pools: Cells) -> None:
    """Fill in the pools of a map: for each shift against the blocks, the least of each whole one.

    With a shift of s the map's first position lies s positions behind the edge of a block.
    """
    start, nx, ny = row[0], row[3], row[4]
    least = np.empty((nx, ny), np.uint16)
    for i in range(nx):
        for j in range(ny):
            least[i, j] = cells[Index(start + i * row_of(ny) + j)]
    side = 1
    while side < LARGE:
        # From the least of the windows that begin at each node to those of windows twice as wide;
        # windows that reach out of the map are never asked for.
        for i in range(nx):
            for j in range(ny - side):
                least[i, j] = min(least[i, j], least[i, Index(j + side)])
        for i in range(nx - side):
            for j in range(ny):
                least[i, j] = min(least[i, j], least[Index(i + side), j])
        side *= 2
        if side == SMALL:
            _pick(least, SMALL, POOL_RIM, row[5], row[6], row[7], pools)
    _pick(least, LARGE, 0, row[8], row[9], row[10], pools)


@compiled
def _pick(least: Cells, block: int, rim: int, at: int, wide: int, tall: int, pools: Cells) -> None:
    """Write the least of each whole block, shift by shift."""
    nx, ny = least.shape
    for shift_x in range(block):
        for shift_y in range(block):
            first_x, first_y = (block - shift_x) % block, (block - shift_y) % block
            for u in range((nx - first_x) // block):
                to = at + (u + rim) * tall + rim
                for v in range((ny - first_y) // block):
                    pools[Index(to + v)] = least[first_x + u * block, first_y + v * block]
            at += wide * tall
