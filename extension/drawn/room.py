# SPDX-License-Identifier: GPL-2.0-or-later
"""Where inside a part a block of text can lie without touching its edge or its marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.ops import polylabel

from nesting.model import Outline, Point

CELLS = 240
"""Cells along the longer side of a part: fine enough for text of a thirtieth of its size."""


@dataclass(frozen=True, eq=False, slots=True)
class Room:
    """A part cut into square cells of `cell` mm, and how many taken cells lie left above of each.

    `sums[i, j]` counts the taken cells in rows below i and columns below j; `low` is the corner of
    the first cell; `centre` is the visual centre of the part.
    """

    low: Point
    cell: float
    sums: NDArray[np.int64]
    centre: Point

    def spot(self, width: float, height: float) -> Point | None:
        """Return the centre of a free box of this size (mm) nearest to the visual centre."""
        rows, columns = self._cells(height), self._cells(width)
        high, wide = self.sums.shape[0] - rows, self.sums.shape[1] - columns
        if high <= 0 or wide <= 0:
            return None
        taken = (
            self.sums[rows:, columns:]
            - self.sums[:high, columns:]
            - self.sums[rows:, :wide]
            + self.sums[:high, :wide]
        )
        free = np.argwhere(taken == 0)
        if not len(free):
            return None
        centres = (free[:, ::-1] + np.array([columns, rows]) / 2) * self.cell + np.array(self.low)
        best = int(np.argmin(np.hypot(*(centres - np.array(self.centre)).T).round(6)))
        return float(centres[best, 0]), float(centres[best, 1])

    def _cells(self, extent: float) -> int:
        # One cell more on each side: a box need not start at the edge of a cell.
        return int(np.ceil(extent / self.cell)) + 1


def room_in(outline: Outline, obstacles: Sequence[shapely.Geometry], margin: float) -> Room:
    """Return the room inside an outline (sheet mm) but for `margin` mm along it and obstacles."""
    part = shapely.Polygon(outline).buffer(0)
    low_x, low_y, high_x, high_y = part.bounds
    cell = max(high_x - low_x, high_y - low_y) / CELLS
    columns = int(np.ceil((high_x - low_x) / cell))
    rows = int(np.ceil((high_y - low_y) / cell))
    x, y = np.meshgrid(
        low_x + (np.arange(columns) + 0.5) * cell, low_y + (np.arange(rows) + 0.5) * cell
    )
    # A cell is free when all of it is: its centre keeps half a diagonal away from what is not.
    reach = cell * 0.71
    free_region = part.buffer(-(margin + reach))
    if obstacles:
        free_region = free_region.difference(shapely.union_all(list(obstacles)).buffer(reach))
    taken = ~shapely.contains_xy(free_region, x, y)
    sums = np.zeros((rows + 1, columns + 1), dtype=np.int64)
    sums[1:, 1:] = np.cumsum(np.cumsum(taken, axis=0), axis=1)
    return Room((low_x, low_y), cell, sums, visual_centre(part))


def visual_centre(part: shapely.Polygon) -> Point:
    """Return the point of a part farthest from its edge, where the eye looks for a label."""
    if part.geom_type != "Polygon":
        part = max(part.geoms, key=lambda one: one.area)
    extent = max(part.bounds[2] - part.bounds[0], part.bounds[3] - part.bounds[1])
    centre = polylabel(part, tolerance=extent / 200)
    return float(centre.x), float(centre.y)
