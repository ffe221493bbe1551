# SPDX-License-Identifier: GPL-2.0-or-later
"""How the outline of a part differs from its piece: larger or smaller, or of another shape."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from extension.layouts.registration import SAME, Contour, contour, nearest


@dataclass(frozen=True, slots=True)
class Resized:
    """`change` is by how many per cent an outline is longer all round, less than 0 when shorter.

    `is_scaled`: it is that of the piece, only larger or smaller.
    """

    change: float
    is_scaled: bool


def resized(outline: Contour, sources: Sequence[Contour]) -> Resized:
    """Return how an outline differs from the one of some outlines that it was made from.

    That is the whole of a piece, or its half on a fold: the one that it is when it is scaled, else
    the one that is as large as it most nearly.
    """
    for source in sources:
        size = outline.perimeter / source.perimeter
        if nearest(source, _scaled(outline, 1.0 / size)) <= SAME:
            return Resized(100.0 * (size - 1.0), is_scaled=True)
    likely = min(sources, key=lambda one: abs(math.log(outline.area / one.area)))
    return Resized(100.0 * (outline.perimeter / likely.perimeter - 1.0), is_scaled=False)


def _scaled(outline: Contour, size: float) -> Contour:
    ring = outline.ring * size
    return contour(np.column_stack([ring.real, ring.imag]))
