# SPDX-License-Identifier: GPL-2.0-or-later
"""Closed outlines of lines that came out closed: sound or with a fault, in one fixed form."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely.geometry import Polygon

from extension.joining.lines import Line
from extension.joining.segments import FloatArray

Fault = Literal["crosses itself", "too small"]

LEAST_AREA = 100.0
"""mm2; what encloses less is no piece: an arrow head, a drill mark, a letter."""
HAIR = 1e-3
"""Share of its area by which mending may change an outline that crosses itself by a hair."""
COMPACT = 0.05
"""Least compactness of what is closed otherwise than by lines of one look: a strip is less."""
SPARED = 0.02
"""mm by which an outline may leave its points when those on straight lines are taken out."""


@dataclass(frozen=True, eq=False, slots=True)
class Outline:
    """A closed outline: points (N, 2) in page mm, clockwise as seen, without a repeated last one.

    It begins at its leftmost point (the upper of several). `line` is what it was made of.
    """

    points: FloatArray
    line: Line
    area: float
    fault: Fault | None = None


def outline_of(line: Line) -> Outline:
    """Return the outline that a closed line draws."""
    points = line.points
    if len(points) < 3:
        return Outline(points, line, 0.0, "too small")
    polygon = Polygon(points)
    if not polygon.is_valid:
        polygon, whole = _mended(polygon), polygon
        if abs(polygon.area - whole.area) > HAIR * max(whole.area, polygon.area):
            return Outline(points, line, float(polygon.area), "crosses itself")
    if polygon.area < LEAST_AREA:
        return Outline(points, line, float(polygon.area), "too small")
    ring = _in_fixed_form(np.asarray(polygon.exterior.coords[:-1], dtype=float))
    spare = shapely.LinearRing(ring).simplify(SPARED)
    return Outline(np.asarray(spare.coords[:-1], dtype=float), line, float(polygon.area))


def compactness(line: Line) -> float:
    """Return 4 pi area / length2 of a closed line: 1 for a circle, near 0 for a strip."""
    shape = Polygon(line.points)
    return float(4.0 * math.pi * shape.area / shape.length**2) if shape.length else 0.0


def _mended(polygon: Polygon) -> Polygon:
    """Return the largest area of an outline that crosses itself."""
    parts = shapely.get_parts(shapely.get_parts(shapely.make_valid(polygon)))
    parts = [part for part in parts if isinstance(part, Polygon)]
    return max(parts, key=lambda part: part.area, default=Polygon())


def _in_fixed_form(ring: FloatArray) -> FloatArray:
    """Return a ring clockwise as seen on the page (y down), beginning at its leftmost point."""
    following = np.roll(ring, -1, axis=0)
    twice = float((ring[:, 0] * following[:, 1] - following[:, 0] * ring[:, 1]).sum())
    if twice < 0.0:
        ring = ring[::-1]
    first = int(np.lexsort(np.round(ring, 3).T[::-1])[0])
    return np.roll(ring, -first, axis=0)
