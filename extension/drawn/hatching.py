# SPDX-License-Identifier: GPL-2.0-or-later
"""Oblique lines across an area, for whatever outline: odd ones get fewer lines or none."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.errors import GEOSException

from nesting.model import Point

MOST_LINES = 1000
"""Lines across one area: in a larger one they stand farther apart."""
FARTHEST = 1e9
"""mm from the origin; geometry works too long on what is farther, and nobody sees it."""
_LEAST = 1e-6
"""mm; shorter strokes show nothing."""


def hatching(area: shapely.Geometry, spacing: float) -> list[tuple[Point, Point]]:
    """Return the strokes that hatch an area rising to the right, `spacing` mm apart at 45 degrees.

    An area without extent, with coordinates that are no numbers or beyond all reason, or which
    geometry cannot cut gets none.
    """
    low_x, low_y, high_x, high_y = map(float, area.bounds)
    rise, reach = high_y - low_y, high_x - low_x + high_y - low_y
    farthest = max(map(abs, (low_x, low_y, high_x, high_y)))
    # Not so written that a coordinate which is no number passes.
    if area.is_empty or not (reach > 0.0 and farthest <= FARTHEST):
        return []
    step = max(spacing * math.sqrt(2.0), reach / MOST_LINES)
    starts = [low_x - rise + (k + 0.5) * step for k in range(math.ceil(reach / step))]
    lines = shapely.MultiLineString([((x, high_y), (x + rise, low_y)) for x in starts])
    return [
        (ends[0], ends[-1])
        for part in shapely.get_parts(_common(lines, area))
        if part.geom_type == "LineString" and part.length > _LEAST
        for ends in [[(float(x), float(y)) for x, y in part.coords]]
    ]


def _common(lines: shapely.Geometry, area: shapely.Geometry) -> shapely.Geometry:
    """Return the parts of lines within an area, none where that cannot be worked out."""
    try:
        with np.errstate(all="ignore"):
            return shapely.intersection(lines, shapely.make_valid(area))
    except GEOSException:
        return shapely.MultiLineString()
