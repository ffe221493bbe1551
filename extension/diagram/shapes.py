# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout on paper, to scale: where the cloth and its parts lie, mm of paper.

x runs from the cut end, y downwards from the upper selvedge.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from extension.diagram.places import Place
from extension.units import System
from nesting.model import Point

MARGINS = (20.0, 6.0, 9.0, 9.0)
"""mm of paper round the cloth for words: left, right, above, below."""


@dataclass(frozen=True, slots=True)
class Cloth:
    """The cloth of a picture: `length` and `width` in mm, between the selvedges."""

    length: float
    width: float
    nap: bool
    system: System


@dataclass(frozen=True, eq=False, slots=True)
class Shape:
    """A part on paper: its outline, and its grainline with the top of the piece last."""

    place: Place
    outline: shapely.Polygon
    grain: tuple[Point, Point]

    @property
    def grainline(self) -> shapely.LineString:
        """The grainline as a line."""
        return shapely.LineString(self.grain)


@dataclass(frozen=True, eq=False, slots=True)
class Picture:
    """Cloth and parts on paper; `scale` is mm on paper per mm of cloth."""

    cloth: Cloth
    scale: float
    shapes: tuple[Shape, ...]

    @property
    def size(self) -> tuple[float, float]:
        """Length and width of the cloth on paper, mm."""
        return self.cloth.length * self.scale, self.cloth.width * self.scale

    @property
    def extent(self) -> tuple[float, float]:
        """Width and height of the whole picture on paper, mm."""
        left, right, above, below = MARGINS
        return self.size[0] + left + right, self.size[1] + above + below


def picture_of(places: Sequence[Place], cloth: Cloth, scale: float) -> Picture:
    """Return a layout on paper."""

    def paper(x: float, y: float) -> Point:
        return x * scale, (cloth.width - y) * scale

    shapes = [
        Shape(
            place,
            shapely.Polygon([paper(*point) for point in place.polygon.exterior.coords]),
            (paper(*place.grain[0]), paper(*place.grain[1])),
        )
        for place in places
    ]
    return Picture(cloth, scale, tuple(shapes))


def fitting_scale(cloth: Cloth, room: tuple[float, float]) -> float:
    """Return the largest scale at which the picture fits into `room`, mm of paper."""
    left, right, above, below = MARGINS
    return min((room[0] - left - right) / cloth.length, (room[1] - above - below) / cloth.width)
