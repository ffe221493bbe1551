# SPDX-License-Identifier: GPL-2.0-or-later
"""The segments that are joined: open strokes of the pen, as they are drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]
BoolArray = NDArray[np.bool_]

TOUCH = 0.05
"""mm: ends this near each other are one place."""


@dataclass(frozen=True, slots=True, order=True)
class Look:
    """How a line is drawn. `width` in mm; `dashes` is its own dash pattern, mm, () for solid."""

    colour: str
    width: float
    dashes: tuple[float, ...] = ()


@dataclass(frozen=True, eq=False, slots=True)
class Segment:
    """One open stroke of the pen: points (N, 2) in page mm, N = 1 for a dot.

    `source` is the number of the drawn object that it belongs to.
    """

    points: FloatArray
    look: Look
    source: int


def length_of(points: FloatArray) -> float:
    """Return the length of a polyline, mm."""
    steps = np.diff(points, axis=0)
    return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


def in_fixed_order(segments: Sequence[Segment]) -> list[int]:
    """Return the numbers of the segments in an order that depends on their geometry alone.

    So the order of the objects in a drawing, and the way round a line was drawn, change nothing.
    """

    def key(number: int) -> tuple[object, ...]:
        segment = segments[number]
        first, last = _rounded_ends(segment.points)
        low, high = (first, last) if first <= last else (last, first)
        return segment.look, low, high, round(length_of(segment.points), 3), number

    return sorted(range(len(segments)), key=key)


def directed(points: FloatArray) -> FloatArray:
    """Return a line so that it begins at its upper left end."""
    first, last = _rounded_ends(points)
    return points if first <= last else points[::-1]


def _rounded_ends(points: FloatArray) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return both ends of a line to a thousandth of a mm, for comparing."""
    (x, y), (last_x, last_y) = points[0].tolist(), points[-1].tolist()
    # Adding 0 makes one zero of the two.
    first = round(x, 3) + 0.0, round(y, 3) + 0.0
    return first, (round(last_x, 3) + 0.0, round(last_y, 3) + 0.0)
