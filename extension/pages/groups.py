# SPDX-License-Identifier: GPL-2.0-or-later
"""What hangs together among many things, of which some pairs touch."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.int64]


def groups_of(one: Numbers, two: Numbers, count: int) -> tuple[int, Numbers]:
    """Return how many groups `count` things fall into, and the group of each.

    `one` and `two` (N,) are the pairs that touch. The library is loaded only now: that takes
    half a second, which all other commands save.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    table = coo_array((np.ones(len(one)), (one, two)), shape=(count, count))
    found, group = connected_components(table)
    return int(found), group.astype(np.int64)
