# SPDX-License-Identifier: GPL-2.0-or-later
"""Several shapes that lie still beside each other and move as one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nesting.cloth.problem import Spot
from nesting.geometry.lying import Orientation, Shape
from nesting.geometry.shapes import frozen

NAME = "\0 clump"
"""What a clump has instead of a piece; no piece is called so."""


@dataclass(frozen=True, eq=False, slots=True)
class Clump(Shape):
    """Shapes that move as one: each of the `members` with where it lies in it, (x, y) mm.

    The points are those of all members.
    """

    members: tuple[tuple[Shape, float, float], ...] = ()


def clump_of(shapes: Sequence[Shape], spots: Sequence[Spot]) -> Clump:
    """Return what lies at some spots as one shape that lies at (0, 0)."""
    members = tuple((shapes[spot.shape], spot.x, spot.y) for spot in spots)
    points = frozen(np.concatenate([shape.points + np.array((x, y)) for shape, x, y in members]))
    low, high = points.min(axis=0), points.max(axis=0)
    return Clump(
        NAME,
        Orientation(0.0, False),
        points,
        (float(low[0]), float(low[1])),
        (float(high[0]), float(high[1])),
        members=members,
    )


def members_of(shapes: Sequence[Shape]) -> list[tuple[Shape, float, float]]:
    """Return all single shapes of some shapes, each with where it lies in its own."""
    return [one for shape in shapes for one in _single(shape)]


def _single(shape: Shape) -> Sequence[tuple[Shape, float, float]]:
    """Return the members of a clump, or a shape alone."""
    return shape.members if isinstance(shape, Clump) else ((shape, 0.0, 0.0),)
