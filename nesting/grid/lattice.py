# SPDX-License-Identifier: GPL-2.0-or-later
"""The measures of overlap maps and their pools, and how both lie in memory.

Maps and small pools have a rim of noughts, and rows of large pools end in some: so sums need not
ask, row by row, how far a block reaches into a map, which would cost more than the adding.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import compiled
from nesting.geometry.arrays import Ints

Cells = NDArray[np.uint16]

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


class Maps(NamedTuple):
    """The maps of all pairs of some shapes and their pools, as the loops have them.

    See `nesting.grid.maps.Grid`.
    """

    kinds: int
    table: Ints
    cells: Cells
    pools: Cells


@compiled
def row_of(size: int) -> int:
    """Return how far apart the rows of a map lie that has so many positions along y."""
    return size + 2 * RIM


def map_of(start: int, nx: int, ny: int, cells: Cells) -> Cells:
    """Return the map (nx, ny) whose place (0, 0) lies at `start`; not a copy."""
    long = int(row_of(ny))
    return cells[start : start + nx * long].reshape(nx, long)[:, :ny]


def pool_sizes(nx: int, ny: int) -> tuple[tuple[int, int, tuple[int, int]], ...]:
    """Return for the two pools of a map of nx by ny positions: column, block, size in blocks."""
    small = nx // SMALL + 2 * POOL_RIM, ny // SMALL + 2 * POOL_RIM
    large = nx // LARGE, -(-(ny // LARGE) // LANES) * LANES
    return (5, SMALL, small), (8, LARGE, large)
