# SPDX-License-Identifier: GPL-2.0-or-later
"""How a shape lies: its turn and its hand, and what it may lie over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from nesting.geometry.shapes import Points


@dataclass(frozen=True, slots=True)
class Orientation:
    """How a part lies: an allowed turn (degrees on top of grain along x), and its hand."""

    turn: float
    flip: bool


@dataclass(frozen=True, eq=False, slots=True)
class Shape:
    """A whole outline in one orientation, not yet moved: a placement's (x, y) is added to it.

    `low` and `high` are the corners of its bounding box. What `is_hidden` may lie over what gives
    way to it.
    """

    piece: str
    orientation: Orientation
    points: Points
    low: tuple[float, float]
    high: tuple[float, float]
    is_hidden: bool = False
    gives_way: bool = False

    @property
    def size(self) -> tuple[float, float]:
        """Extent along the length and across the width, mm."""
        return self.high[0] - self.low[0], self.high[1] - self.low[1]


def keep_apart(one: Shape, other: Shape) -> bool:
    """Return whether two shapes may not lie over each other."""
    over = one.is_hidden and other.gives_way
    return not (over or (other.is_hidden and one.gives_way))


def passing_pairs(shapes: Sequence[Shape]) -> frozenset[tuple[int, int]]:
    """Return the pairs of shapes, by index and either way round, that may lie over each other."""
    hidden = [k for k, shape in enumerate(shapes) if shape.is_hidden]
    below = [k for k, shape in enumerate(shapes) if shape.gives_way]
    return frozenset(pair for k in hidden for j in below for pair in ((k, j), (j, k)))
