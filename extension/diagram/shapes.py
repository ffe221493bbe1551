# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout on paper, to scale: where the cloth and its parts lie, mm of paper.

x runs from the cut end, y downwards from the upper selvedge.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from extension.diagram.cloth import Cloth
from extension.diagram.places import Place
from nesting.model import Point

MARGINS = (20.0, 6.0, 9.0, 9.0)
"""mm of paper round the cloth for words: left, right, above, below."""


@dataclass(frozen=True, eq=False, slots=True)
class Shape:
    """A part in the picture: its outline, and its grainline with the top of the piece last.

    `laid` is the edge of the pattern that is laid, `ends` what is measured to across the cloth.
    """

    place: Place
    outline: shapely.Polygon
    laid: shapely.Polygon
    grain: tuple[Point, Point]
    ends: tuple[Point, ...]

    @property
    def grainline(self) -> shapely.LineString:
        """The grainline as a line."""
        return shapely.LineString(self.grain)


@dataclass(frozen=True, eq=False, slots=True)
class Picture:
    """Cloth and parts on paper, from `start` to `end` on the cloth (mm from the cut end).

    `scale` is mm on paper per mm of cloth. `others` are what is seen of parts that are told on
    another stretch of the same cloth. On paper, x runs from `start`.
    """

    cloth: Cloth
    scale: float
    shapes: tuple[Shape, ...]
    start: float
    end: float
    others: tuple[shapely.Polygon, ...] = ()

    @property
    def size(self) -> tuple[float, float]:
        """Length and width of the cloth that is seen, on paper, mm."""
        return (self.end - self.start) * self.scale, self.cloth.width * self.scale

    @property
    def extent(self) -> tuple[float, float]:
        """Width and height of the whole picture on paper, mm."""
        left, right, above, below = MARGINS
        return self.size[0] + left + right, self.size[1] + above + below

    @property
    def goes_on(self) -> bool:
        """Whether there is more of the cloth on another picture."""
        return self.end < self.cloth.length - 0.01


def picture_of(
    places: Sequence[Place],
    cloth: Cloth,
    scale: float,
    ends: tuple[float, float] | None = None,
    everything: Sequence[Place] = (),
) -> Picture:
    """Return a layout on paper, or with `ends` the stretch of it between them.

    `places` are the parts that are told there, `everything` all parts of the layout.
    """
    start, end = ends or (0.0, cloth.length)

    def paper(x: float, y: float) -> Point:
        return (x - start) * scale, (cloth.high - y) * scale

    def outline(polygon: shapely.Polygon) -> shapely.Polygon:
        return shapely.Polygon([paper(*point) for point in polygon.exterior.coords])

    shapes = tuple(
        Shape(
            place,
            outline(place.polygon),
            outline(place.paper),
            (paper(*place.grain[0]), paper(*place.grain[1])),
            tuple(paper(*end.at) for end in place.ends),
        )
        for place in places
    )
    own, seen = set(places), shapely.box(0.0, 0.0, (end - start) * scale, cloth.width * scale)
    others = [
        part
        for place in everything
        if place not in own
        for part in shapely.get_parts(outline(place.polygon).intersection(seen))
        if part.geom_type == "Polygon" and part.area > 0.01
    ]
    return Picture(cloth, scale, shapes, start, end, tuple(others))


def told_scale(scale: float) -> float:
    """Return the largest scale, not above `scale`, that is what it is printed as: 1:7.29."""
    return 100.0 / math.ceil(100.0 / scale - 1e-9)


def fitting_scale(cloth: Cloth, room: tuple[float, float]) -> float:
    """Return the largest scale at which the picture fits into `room`, mm of paper."""
    left, right, above, below = MARGINS
    high = room[1] - above - below
    return min((room[0] - left - right) / cloth.length, high / cloth.width)
