# SPDX-License-Identifier: GPL-2.0-or-later
"""The grainline of a piece: a drawn line, or a direction typed in the piece's own coordinates."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from extension.language.errors import DrawingError
from extension.pieces.attributes import Typed
from extension.pieces.fingerprint import is_as_drawn
from extension.pieces.objects import called
from extension.pieces.straight import Run, longest_run
from extension.svg.model import Leaf, Ring
from extension.svg.transforms import apply_vector
from nesting.geometry.shapes import unit_vector
from nesting.model import Point

STRAIGHT_SHARE = 0.25
"""Share of its subpath that the shaft of an arrow must be; a curve has no straight run as long."""
ON_AXIS = 0.5
"""mm beside the shaft within which another point of the same drawn line lies on its axis."""
_SNAP = 1e-7
"""Degrees from a quarter turn within which a direction is that quarter turn: rounding."""


@dataclass(frozen=True, slots=True)
class Axis:
    """A direction in piece coordinates, degrees, from the start to the end of what gives it."""

    degrees: float
    source: Literal["grainline", "typed", "fold", "drawing", "as drawn"]


def direction(start: Point, end: Point) -> float:
    """Return the direction between two page points in piece coordinates (y up), degrees."""
    return snapped(math.degrees(math.atan2(start[1] - end[1], end[0] - start[0])))


def snapped(degrees: float) -> float:
    """Return an angle in [0, 360), exact where it is a quarter turn but for rounding."""
    quarters = round(degrees / 90.0)
    exact = 90.0 * quarters if abs(degrees - 90.0 * quarters) <= _SNAP else degrees
    return exact % 360.0


def off_axis(one: float, other: float) -> float:
    """Return the angle between two directions taken as lines, 0 to 90 degrees."""
    apart = (one - other) % 180.0
    return min(apart, 180.0 - apart)


def shaft(rings: Sequence[Ring]) -> Run | None:
    """Return the straight line that a drawn line or arrow stands for; None when it is curved.

    It is the longest straight run, so heads drawn as part of the line do not count, lengthened by
    what else of it lies on the same axis, so that a line drawn in dashes is one.
    """
    longest = longest_run(rings)
    if longest is None or longest.length == 0.0:
        return None
    own = next(
        ring for ring in rings if longest.start in ring.points and longest.end in ring.points
    )
    if longest.length < STRAIGHT_SHARE * _length(own):
        return None
    points = np.array([point for ring in rings for point in ring.points])
    chord = np.subtract(longest.end, longest.start) / longest.length
    offset = points - np.array(longest.start)
    on_axis = points[np.abs(offset @ np.array([-chord[1], chord[0]])) <= ON_AXIS]
    along = (on_axis - np.array(longest.start)) @ chord
    start, end = on_axis[int(np.argmin(along))], on_axis[int(np.argmax(along))]
    return Run((float(start[0]), float(start[1])), (float(end[0]), float(end[1])), 0, 1)


def drawn_line(leaves: Sequence[Leaf], what: str, label: str, object_id: str) -> Run:
    """Return the straight line of a grainline or fold, drawn as one or several leaves.

    `what` and `label` name the line and the piece. Raises DrawingError when it is curved.
    """
    run = shaft([ring for leaf in leaves for ring in leaf.rings])
    if run is None:
        raise DrawingError(
            f"The {what} of {label}, {called(leaves[0])}, is not straight: draw it as a straight "
            "line.",
            object_id,
        )
    return run


def typed_direction(leaf: Leaf, typed: Typed) -> Point:
    """Return a typed direction as a page vector: it turns with the outline.

    An angle a is the direction (cos a, -sin a) in the element's own coordinates, y down.
    """
    cos, sin = unit_vector(typed.degrees)
    return apply_vector(leaf.matrix, (cos, -sin))


def check_as_drawn(leaf: Leaf, drawn: str | None, what: str, label: str, object_id: str) -> None:
    """Raise DrawingError when the outline has changed since a direction was typed for it."""
    if drawn is not None and not is_as_drawn(leaf, drawn):
        raise DrawingError(
            f"The outline of {label} has changed since its {what} was typed, so the {what} may "
            f"have turned: mark it as a line.",
            object_id,
        )


def _length(ring: Ring) -> float:
    points = [*ring.points, ring.points[0]] if ring.closed else list(ring.points)
    return sum(math.dist(one, other) for one, other in pairwise(points))
