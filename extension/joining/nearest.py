# SPDX-License-Identifier: GPL-2.0-or-later
"""A tree that finds the nearest of many places.

It is loaded only when lines are joined: that takes half a second, which all other commands save.
"""

from __future__ import annotations

from typing import Any

from extension.joining.segments import FloatArray


def tree_of(places: FloatArray) -> Any:
    """Return a search tree, as scipy has it, of places (N, dimensions)."""
    from scipy.spatial import cKDTree

    return cKDTree(places)
