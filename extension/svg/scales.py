# SPDX-License-Identifier: GPL-2.0-or-later
"""By how much a map enlarges."""

from __future__ import annotations

import math

from extension.svg.model import Matrix
from extension.svg.transforms import determinant


def scale_of(matrix: Matrix) -> float:
    """Return by how much the map enlarges lengths on average (the root of its determinant)."""
    return math.sqrt(abs(determinant(matrix)))
