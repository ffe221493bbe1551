# SPDX-License-Identifier: GPL-2.0-or-later
"""Lines in the making: segments put end to end, and how the ends of each point and bend."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from extension.joining.segments import FloatArray, IntArray, Look, length_of

FRAME = 3.0
"""mm of a line from its end on that tell where it points and how it bends, twice over."""
CORNER = math.radians(20.0)
"""A turn at one point from which it is a corner and not a part of a curve."""


@dataclass(frozen=True, eq=False, slots=True)
class Line:
    """Segments put together: points (N, 2) in page mm, N = 1 for a dot.

    `members` are the numbers of the segments in order; `dashes` the lengths of its unbroken
    stretches and `gaps` what was between them, mm. `look` is that of most of its length.
    """

    points: FloatArray
    look: Look
    members: tuple[int, ...]
    dashes: tuple[float, ...]
    gaps: tuple[float, ...] = ()

    @property
    def length(self) -> float:
        """Return its length, gaps included, mm."""
        return length_of(self.points)


@dataclass(frozen=True, eq=False, slots=True)
class Ends:
    """Both ends of every line: 2 k is the first of line k, 2 k + 1 its last, e ^ 1 the other.

    `place` (2 n, 2) mm; `outward` (2 n, 2) unit vectors out of the line, 0 where a dot says
    nothing; `bend` (2 n) curvature in 1/mm going outward, positive towards +90 degrees on the page
    (y down); `length` (2 n) mm of the line; `look` (2 n) its number.
    """

    place: FloatArray
    outward: FloatArray
    bend: FloatArray
    length: FloatArray
    look: IntArray


def ends_of(lines: Sequence[Line]) -> Ends:
    """Return the ends of lines."""
    looks = {look: number for number, look in enumerate(sorted({line.look for line in lines}))}
    places, outwards, bends = [], [], []
    for line in lines:
        for points in (line.points, line.points[::-1]):
            outward, bend = frame(points)
            places.append(points[0])
            outwards.append(outward)
            bends.append(bend)
    lengths = np.array([line.length for line in lines], dtype=float)
    numbers = np.array([looks[line.look] for line in lines], dtype=np.intp)
    return Ends(
        np.array(places, dtype=float).reshape(-1, 2),
        np.array(outwards, dtype=float).reshape(-1, 2),
        np.array(bends, dtype=float),
        np.repeat(lengths, 2),
        np.repeat(numbers, 2),
    )


def frame(points: FloatArray) -> tuple[tuple[float, float], float]:
    """Return the unit vector out of a line at its first point, and how it bends going outward.

    From three points of the line up to `FRAME` apart, by the derivative of the parabola through
    them; what lies behind a corner says nothing. A dot has no direction: (0, 0).
    """
    near = _up_to_corner(points)
    if len(near) < 2:
        return (0.0, 0.0), 0.0
    if len(near) == 2:
        return _unit(near[0] - near[1]), 0.0
    step = min(length_of(near) / 2.0, FRAME)
    here = near[0]
    one, two = (_along(near, distance) for distance in (step, 2.0 * step))
    slope = (3.0 * here - 4.0 * one + two) / (2.0 * step)
    change = (here - 2.0 * one + two) / step**2
    speed = math.hypot(slope[0], slope[1])
    if speed == 0.0:
        return _unit(near[0] - near[1]), 0.0
    return _unit(slope), float(slope[0] * change[1] - slope[1] * change[0]) / speed**3


def _up_to_corner(points: FloatArray) -> FloatArray:
    """Return the beginning of a line as long as it takes to see its frame, up to a corner."""
    if len(points) < 3:
        return points
    gone = math.dist(points[0], points[1])
    for index in range(1, len(points) - 1):
        before, after = points[index] - points[index - 1], points[index + 1] - points[index]
        cross = before[0] * after[1] - before[1] * after[0]
        turn = abs(math.atan2(cross, before[0] * after[0] + before[1] * after[1]))
        if gone >= 2.0 * FRAME or turn > CORNER:
            return points[: index + 1]
        gone += math.dist(points[index], points[index + 1])
    return points


def _along(points: FloatArray, distance: float) -> FloatArray:
    """Return the point of a polyline at a distance (mm) from its first point."""
    steps = np.diff(points, axis=0)
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
    return np.array([np.interp(distance, gone, points[:, axis]) for axis in (0, 1)])


def _unit(vector: FloatArray) -> tuple[float, float]:
    size = math.hypot(vector[0], vector[1])
    return (float(vector[0]) / size, float(vector[1]) / size) if size else (0.0, 0.0)


def put_together(lines: Iterable[FloatArray]) -> FloatArray:
    """Return lines that follow each other as one, without points that repeat the one before."""
    points: FloatArray = np.concatenate(list(lines))
    steps = np.abs(np.diff(points, axis=0)).max(axis=1)
    kept: FloatArray = points[np.concatenate([[True], steps > 1e-9])]
    return kept


def prolonged(points: FloatArray, by: float) -> FloatArray:
    """Return a line made longer at both ends, straight on, by so many mm."""
    parts = []
    for end, before in ((points[0], points[1]), (points[-1], points[-2])):
        direction = (end - before) / np.hypot(*(end - before))
        parts.append(end + by * direction)
    return np.vstack([parts[0], points, parts[1]])
