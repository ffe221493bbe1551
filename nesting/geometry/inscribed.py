# SPDX-License-Identifier: GPL-2.0-or-later
"""The widest disc in an area: where a sign has most room, and how deep an overlap is."""

from __future__ import annotations

import math

import numpy as np
import shapely


def widest_disc(
    area: shapely.Polygon, tolerance: float | None = None
) -> tuple[shapely.Point, float]:
    """Return the middle and the radius of the widest disc in an area.

    The radius is exact to `tolerance`, in the area's units; unless told, to a thousandth of its
    longer side. An area without any width has a disc of radius 0 on it. GEOS divides by zero on
    some slivers and comes to a right answer all the same; of that nobody needs to hear.
    """
    with np.errstate(all="ignore"):
        spoke = shapely.maximum_inscribed_circle(area, tolerance=tolerance)
    if spoke.is_empty or not math.isfinite(spoke.length):
        return area.representative_point(), 0.0
    middle = shapely.Point(spoke.coords[0])
    return middle, float(spoke.length)
