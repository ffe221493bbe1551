# SPDX-License-Identifier: GPL-2.0-or-later
"""Pools hold the least of each whole block of a map, for each way it may lie on the blocks."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from nesting.geometry.arrays import Ints
from nesting.grid.lattice import RIM, Cells, pool_sizes
from nesting.grid.pools import build_pools, build_pools_numpy
from tests.helpers import slow_maps


@pytest.mark.parametrize("build", [build_pools, build_pools_numpy])
@given(depths=arrays(np.uint16, st.tuples(st.integers(1, 70), st.integers(1, 70))))
def test_a_pool_holds_the_least_of_each_whole_block(
    build: Callable[[Ints, Cells, Cells], None], depths: np.ndarray
) -> None:
    nx, ny = depths.shape
    row, pooled = np.array([RIM * (ny + 2 * RIM) + RIM, 0, 0, nx, ny, *6 * [0]], dtype=np.int64), 0
    for column, block, (wide, tall) in pool_sizes(nx, ny):
        row[column : column + 3] = pooled, wide, tall
        pooled += block * block * wide * tall
    pools = np.zeros(pooled, dtype=np.uint16)
    build(row, np.pad(depths, RIM).ravel(), pools)
    slow_maps.assert_pools(row, pools, depths)
