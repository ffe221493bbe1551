# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether lines are their own mirror image about a line along x."""

from __future__ import annotations

import numpy as np
import shapely

from nesting.geometry.shapes import Points

SAME_SIDE = 0.1
"""mm within which a line and the mirror image of another one are the same."""
STEP = 2.0
"""mm between the points of lines that are compared."""

FEW = 256
"""Points that are compared before all are."""


def is_own_mirror(outline: Points) -> bool:
    """Return whether a closed outline (N, 2), mm, mirrors itself about the middle of its width."""
    twice = float(outline[:, 1].min() + outline[:, 1].max())
    return are_mirrored(shapely.linearrings(outline), twice)


def are_mirrored(lines: shapely.Geometry, twice_middle: float) -> bool:
    """Return whether lines, mm, mirror themselves about y = twice_middle / 2."""
    mirrored = shapely.transform(
        lines, lambda xy: np.column_stack([xy[:, 0], twice_middle - xy[:, 1]])
    )
    shapely.prepare(lines)
    # A mirror image is as far from the lines as these are from it: one way is both ways.
    spaced = shapely.get_coordinates(shapely.segmentize(mirrored, STEP))
    # What is lopsided shows it at a few points; all those of many metres take half a minute.
    few = spaced[:: max(1, len(spaced) // FEW)]
    return all(
        (shapely.distance(lines, shapely.points(some)) <= SAME_SIDE).all() for some in (few, spaced)
    )
