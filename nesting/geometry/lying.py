# SPDX-License-Identifier: GPL-2.0-or-later
"""How a shape lies: its turn and its hand."""

from __future__ import annotations

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

    `low` and `high` are the corners of its bounding box.
    """

    piece: str
    orientation: Orientation
    points: Points
    low: tuple[float, float]
    high: tuple[float, float]

    @property
    def size(self) -> tuple[float, float]:
        """Extent along the length and across the width, mm."""
        return self.high[0] - self.low[0], self.high[1] - self.low[1]
