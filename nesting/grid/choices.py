# SPDX-License-Identifier: GPL-2.0-or-later
"""What the loops on the grid are handed: parts as they lie, what each may take, scratch."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from nesting.geometry.arrays import Ints

Costs = NDArray[np.int32]

NX, NY, LOW_X, LOW_Y, MARKS_X, MARKS_Y = range(6)
"""Figures of a room on the grid: how many positions it has along and across, the least of them, and
where the marks of its positions begin, negative where all of them are open."""


class Laid(NamedTuple):
    """Parts on the grid: the shape and the position in cells of each."""

    shapes: Ints
    xs: Ints
    ys: Ints


class Choices(NamedTuple):
    """What the parts may take: the choices of part k are those from `starts[k]` to `starts[k + 1]`.

    `kinds` (n,) are shapes, `rooms` (n, 6) where each may lie, see `NX`, and `marks` say of the
    positions of rooms with steps which are open: 1.
    """

    kinds: Ints
    starts: Ints
    rooms: Ints
    marks: NDArray[np.uint8]


class Scratch(NamedTuple):
    """Where the loops write what they work with, and `place` what they find.

    `bounds` has the bound of each large block of a room, `sums` the same with `apron` blocks more
    at both ends of each row, so that a row of a pool never reaches beyond; `near` has a row of
    COLUMNS figures per part.
    """

    apron: int
    bounds: Costs
    sums: Costs
    near: Ints
    close: Ints
    costs: Costs
    place: Ints
