# SPDX-License-Identifier: GPL-2.0-or-later
"""The parts that depths are made of: distances, against scipy."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.ndimage import distance_transform_edt

from nesting.grid.depths import squared_distances


@given(
    arrays(np.uint8, st.tuples(st.integers(1, 30), st.integers(1, 30)), elements=st.integers(0, 1)),
    st.integers(1, 3),
)
def test_distances_are_those_of_scipy(inner: np.ndarray, every: int) -> None:
    mask = np.pad(inner, 1)
    wanted = np.rint(distance_transform_edt(mask) ** 2).astype(np.int64)[::every, ::every]
    out = np.empty(wanted.shape, np.int64)
    squared_distances(mask, every, out)
    assert np.array_equal(out, wanted)
