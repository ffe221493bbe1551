# SPDX-License-Identifier: GPL-2.0-or-later
"""What maps and pools are there for, as plainly as can be said, to compare with.

The cost of all positions is the whole sum of the shifted maps; a pool is the least of each block.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from nesting.geometry.arrays import Ints
from nesting.grid.lattice import LANES, LARGE, POOL_RIM, RIM, SMALL, Cells
from nesting.grid.maps import Grid


def map_of(grid: Grid, fixed: int, moving: int) -> tuple[int, int, Ints]:
    """Return the map of two shapes of a grid, with its least x and y."""
    start, x, y, nx, ny = (int(value) for value in grid.table[fixed * grid.count + moving, :5])
    row = ny + 2 * RIM
    at = start - RIM * row - RIM
    with_rim = grid.cells[at : at + (nx + 2 * RIM) * row].reshape(-1, row).astype(np.int64)
    inner = with_rim[RIM:-RIM, RIM:-RIM]
    assert with_rim.sum() == inner.sum()
    return x, y, inner


def pool_of(depths: Ints, block: int) -> Ints:
    """Return the least of each whole block for each shift: (block, block, along x, along y).

    Where there is a block less for a shift than for others stands 0.
    """
    whole = [size // block for size in depths.shape]
    pool = np.zeros((block, block, *whole), dtype=np.int64)
    for shift in np.ndindex(block, block):
        low = [-each % block for each in shift]
        wide, tall = ((size - at) // block for size, at in zip(depths.shape, low, strict=True))
        within = depths[low[0] :, low[1] :][: max(wide, 0) * block, : max(tall, 0) * block]
        least = within.reshape(max(wide, 0), block, max(tall, 0), block).min(axis=(1, 3))
        pool[shift][: least.shape[0], : least.shape[1]] = least
    return pool


def assert_pools(row: Ints, pools: Cells, depths: Cells) -> None:
    """Fail unless both pools of a map, of that row of a grid's table, hold what they should.

    That is the least of whole blocks, and noughts round small pools and behind large ones' rows.
    """
    for block, rim, (start, wide, tall) in ((SMALL, POOL_RIM, row[5:8]), (LARGE, 0, row[8:11])):
        pool = pools[start : start + block * block * wide * tall].reshape(block, block, wide, tall)
        least = pool_of(depths.astype(np.int64), block)
        across, along = least.shape[2:]
        inner = pool[:, :, rim : rim + across, rim : rim + along]
        assert np.array_equal(inner, least)
        assert pool.sum() == inner.sum()
        assert tall - along == 2 * rim or (tall % LANES == 0 <= tall - along < LANES)


def costs_of(
    maps: Sequence[tuple[int, int, Ints]], weights: Sequence[int], room: tuple[int, int]
) -> Ints:
    """Return the cost of every position of a box: the sum of weight x depth over shifted maps.

    A map is given with the place of its low corner in the box.
    """
    total = np.zeros(room, dtype=np.int64)
    for (x, y, depths), weight in zip(maps, weights, strict=True):
        wide, tall = depths.shape
        low_x, high_x = max(x, 0), min(x + wide, room[0])
        low_y, high_y = max(y, 0), min(y + tall, room[1])
        if low_x < high_x and low_y < high_y:
            within = depths[low_x - x : high_x - x, low_y - y : high_y - y]
            total[low_x:high_x, low_y:high_y] += weight * within
    return total


def first_cheapest(costs: Ints, below: int, first: int) -> tuple[int, int, int]:
    """Return the least cost and its position; (below, -1, -1) when none is less than `below`.

    Ties go to the large block `first`, then to the lowest large block, small block and position,
    all counted along y first.
    """
    wide, tall = costs.shape
    x, y = np.divmod(np.arange(wide * tall), tall)
    large = x // LARGE * -(-tall // LARGE) + y // LARGE
    order = np.lexsort((y, x, y // SMALL, x // SMALL, large, large != first))
    chosen = int(order[np.argmin(costs.ravel()[order])])
    least = int(costs.flat[chosen])
    return (least, int(x[chosen]), int(y[chosen])) if least < below else (below, -1, -1)
