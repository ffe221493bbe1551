# SPDX-License-Identifier: GPL-2.0-or-later
"""Where inside a part a block of text can lie without touching its edge or its marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from nesting.geometry.inscribed import widest_disc
from nesting.model import Outline, Point

CELLS = 20_000
"""How many cells a part's box is cut into, about: also a long strip has fine ones then."""
MOST_ALONG = 4_000
MIDDLE_ENOUGH = 0.9
"""Share of the greatest distance from the edge at which the centre of area is middle enough."""


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
    width, height = high_x - low_x, high_y - low_y
    cell = max(float(np.sqrt(width * height / CELLS)), max(width, height) / MOST_ALONG)
    columns, rows = int(np.ceil(width / cell)), int(np.ceil(height / cell))
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


class Rooms:
    """Rooms of parts that are alike, found once: a garment has many copies of a piece."""

    def __init__(self) -> None:
        self._found: dict[object, tuple[Point, Room]] = {}

    def room(
        self,
        kind: object,
        outline: Outline,
        obstacles: Sequence[shapely.Geometry],
        margin: float,
    ) -> Room:
        """Return `room_in` of a part; parts of one `kind` differ by nothing but where they lie."""
        corner = (min(x for x, _ in outline), min(y for _, y in outline))
        if kind not in self._found:
            self._found[kind] = (corner, room_in(outline, obstacles, margin))
        first, room = self._found[kind]
        dx, dy = corner[0] - first[0], corner[1] - first[1]
        return replace(
            room,
            low=(room.low[0] + dx, room.low[1] + dy),
            centre=(room.centre[0] + dx, room.centre[1] + dy),
        )


def visual_centre(part: shapely.Geometry) -> Point:
    """Return where the eye looks for a label: the centre of area, or where a part is widest.

    The point farthest from the edge is anywhere along the middle of a strip; so the centre of
    area is preferred where it lies about as far inside.
    """
    if part.geom_type != "Polygon":
        part = max(part.geoms, key=lambda one: one.area)
    extent = max(part.bounds[2] - part.bounds[0], part.bounds[3] - part.bounds[1])
    widest, _ = widest_disc(part, extent / 200)
    centre = part.centroid
    edge = part.boundary
    if part.contains(centre) and edge.distance(centre) >= MIDDLE_ENOUGH * edge.distance(widest):
        return float(centre.x), float(centre.y)
    return float(widest.x), float(widest.y)
