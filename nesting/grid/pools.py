# SPDX-License-Identifier: GPL-2.0-or-later
"""Pools of an overlap map: the least of every whole block of positions, for every shift.

Sums of pools bound sums of maps from below, so most blocks need not be looked into, and a fine grid
costs hardly more than a coarse one.
"""

from __future__ import annotations

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from nesting.compiled import Index, compiled, compiled_or
from nesting.geometry.arrays import Ints
from nesting.grid.lattice import LARGE, POOL_RIM, SMALL, Cells, map_of, row_of

# --- with numpy ---------------------------------------------------------------------------------


def build_pools_numpy(row: Ints, cells: Cells, pools: Cells) -> None:
    """Fill in what `build_pools` fills in."""
    depths = map_of(row[0], row[3], row[4], cells)
    for block, rim, (at, wide, tall) in ((SMALL, POOL_RIM, row[5:8]), (LARGE, 0, row[8:11])):
        pool = pools[at : at + block * block * wide * tall].reshape(block, block, wide, tall)
        least = depths
        for axis in (0, 1):
            if least.shape[axis] < block:
                return
            least = sliding_window_view(least, block, axis=axis).min(axis=-1)
        for shift in np.ndindex(block, block):
            some = least[-shift[0] % block :: block, -shift[1] % block :: block]
            pool[shift][rim : rim + len(some), rim : rim + some.shape[1]] = some


# --- loops --------------------------------------------------------------------------------------


@compiled_or(build_pools_numpy)
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
