# SPDX-License-Identifier: GPL-2.0-or-later
"""Dimension lines on the picture: how far the large parts lie from the cut end and a selvedge.

A line without room for its figure is left out, so that the picture stays legible: the placing table
has every distance.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely

from extension.diagram.captions import HEAD, SMALLEST, Caption
from extension.diagram.shapes import Picture, Shape
from extension.diagram.tape import tape_text
from extension.drawn.lettering import ASCENT, line_width
from nesting.model import Point

LETTERS = SMALLEST
"""mm: font size of the figures."""
AIR = 0.35
"""mm between a figure and its line, and between figures and other lines."""
LEAST_AREA = 150.0
"""mm2 on paper below which a part is too small for lines of its own."""
MOST_PARTS = 12
SHORTEST = 6.0
"""mm on paper: a shorter distance has no room for two heads and a figure."""
APART = 1.5
"""mm between two lines that run side by side."""
ALONG = 0.25
"""Share of a grainline by which a line may stand in from its end, where another is in the way."""
_AWAY, _TAIL = 2.0, 1.0
"""mm of a line before its figure, towards the part, and behind it."""
_TRIES = 9
_STEP = 0.5
"""mm between two places that are tried along a line."""


@dataclass(frozen=True, slots=True)
class Distance:
    """A line that a distance is measured along, from the edge of the cloth to the part.

    `over` is where it runs across other parts. `from_before` says that it began on an earlier
    stretch of the cloth, so that only its end is seen.
    """

    start: Point
    end: Point
    text: str
    over: shapely.Geometry
    from_before: bool = False

    @property
    def line(self) -> shapely.LineString:
        """The line itself."""
        return shapely.LineString((self.start, self.end))

    @property
    def is_level(self) -> bool:
        """Whether it runs along the cloth."""
        return self.start[1] == self.end[1]


@dataclass(frozen=True, slots=True)
class Figure:
    """The figure of a distance: the middle of its baseline; it reads upwards unless `level`."""

    distance: Distance
    at: Point
    level: bool

    @property
    def box(self) -> shapely.Polygon:
        """The room its letters take."""
        return _box(self.at, self.distance.text, self.level)


def distances(picture: Picture) -> list[Distance]:
    """Return the lines that the large parts may have, the largest part first."""
    large = [one for one in picture.shapes if one.outline.area >= LEAST_AREA][:MOST_PARTS]
    found: list[Distance] = []
    for shape in large:
        others = shapely.union_all(
            [*(one.outline for one in picture.shapes if one is not shape), *picture.others]
        )
        for ways in (_level(shape, picture, others), *_upright(shape, picture, others)):
            clear = (way for way in ways if not any(_beside_each_other(way, one) for one in found))
            found += [*clear][:1]
    return found


def _beside_each_other(one: Distance, other: Distance) -> bool:
    """Return whether two lines of one direction would be taken for each other."""
    if one.is_level != other.is_level:
        return False
    return bool(one.line.buffer(APART, cap_style="flat").intersects(other.line))


def _level(shape: Shape, picture: Picture, others: shapely.Geometry) -> Iterator[Distance]:
    """Yield the ways to show the distance from the cut end, that which crosses least first."""
    left, _, _, _ = shape.laid.bounds
    system = picture.cloth.system
    text = tape_text(shape.place.leading, system)
    from_before = picture.start > 0.0
    if text == tape_text(picture.start, system) or (left < SHORTEST and not from_before):
        return
    touching = shape.laid.intersection(shapely.box(left - 1.0, -1e6, left + 0.2, 1e6))
    low, high = touching.bounds[1], touching.bounds[3]
    tries = [low + (high - low) * (n + 1) / (_TRIES + 1) for n in range(_TRIES)]
    # Too near to the edge of a later stretch, the line and its figure stand in the part itself.
    room = line_width(text, LETTERS) + _AWAY + _TAIL
    start = 0.0 if left >= (room if from_before else SHORTEST) else left + room
    ways = [_distance((start, y), (left, y), text, others, from_before) for y in tries]
    if start > 0.0:
        ways = [way for way in ways if shape.laid.buffer(0.2).contains(way.line)]
    yield from sorted(
        ways, key=lambda way: (round(way.over.length, 3), abs(way.end[1] - (low + high) / 2.0))
    )


def _upright(
    shape: Shape, picture: Picture, others: shapely.Geometry
) -> Iterator[Iterator[Distance]]:
    """Yield, for each point that is measured to, the ways to show how far the selvedge is."""
    edge = picture.size[1] if shape.place.edge == "lower" else 0.0
    for at, other, told in zip(shape.ends, shape.ends[::-1], shape.place.ends, strict=True):
        if abs(at[1] - edge) < SHORTEST:
            continue
        text = tape_text(told.distance, picture.cloth.system)
        # Only along the cloth is the distance the same elsewhere on the grainline.
        is_level = abs(at[1] - other[1]) < 0.05
        reach = ALONG * (other[0] - at[0]) if is_level else 0.0
        steps = range(int(abs(reach) / APART) + 1)
        xs = [at[0] + step * APART * (1.0 if reach > 0.0 else -1.0) for step in steps]
        yield (_distance((x, edge), (x, at[1]), text, others) for x in xs)


def _distance(
    start: Point, end: Point, text: str, others: shapely.Geometry, from_before: bool = False
) -> Distance:
    over = shapely.LineString((start, end)).intersection(others)
    return Distance(start, end, text, over, from_before)


def figures(
    picture: Picture, wanted: Sequence[Distance], captions: Sequence[Caption]
) -> list[Figure]:
    """Return the figures for which there is room beside their lines, clear of all else."""
    fixed = [shape.outline.exterior for shape in picture.shapes]
    fixed += [shape.laid.exterior for shape in picture.shapes]
    fixed += [shape.grainline.buffer(HEAD) for shape in picture.shapes]
    fixed += [part.exterior for part in picture.others]
    wide, tall = picture.size
    fixed += [shapely.LineString(((0.0, y), (wide, y))) for y in (0.0, tall)]  # the selvedges
    fixed += [one.leader for one in captions if one.leader is not None]
    words = [one.box for one in captions]
    found: list[Figure] = []
    for distance in wanted:
        if any(box.distance(distance.line) < AIR for box in words):
            continue
        zone = distance.line.buffer(2.0 * LETTERS)
        near = [one for one in (*fixed, *words) if one.intersects(zone)]
        figure = next((one for one in _spots(distance) if _is_clear(one.box, near)), None)
        if figure is not None:
            found.append(figure)
            words.append(figure.box)
            fixed.append(distance.line)
    return found


def _is_clear(box: shapely.Polygon, others: Sequence[shapely.Geometry]) -> bool:
    """Return whether a figure keeps clear of everything else."""
    with_air = box.buffer(AIR, join_style="mitre")
    return not any(with_air.intersects(other) for other in others)


def _spots(distance: Distance) -> Iterator[Figure]:
    """Yield places of a figure beside its line, those near the part first."""
    half = line_width(distance.text, LETTERS) / 2.0
    length = distance.line.length
    away = half + _AWAY
    while away + half + _TAIL <= length + 1e-6:
        point = distance.line.interpolate(length - away)
        for side in (-1.0, 1.0):
            yield _beside(distance, (point.x, point.y), side)
        away += _STEP


def _beside(distance: Distance, at: Point, side: float) -> Figure:
    """Return a figure above (-1) or below its line, or left or right of it."""
    step = AIR * 1.2 if side < 0.0 else AIR * 1.2 + ASCENT * LETTERS
    x, y = at
    if distance.is_level:
        return Figure(distance, (x, y + side * step), True)
    return Figure(distance, (x + side * step, y), False)


def _box(at: Point, text: str, level: bool) -> shapely.Polygon:
    """Return the room that the letters of a figure take; figures have no descenders."""
    (x, y), half, rise = at, line_width(text, LETTERS) / 2.0, ASCENT * LETTERS
    if level:
        return shapely.box(x - half, y - rise, x + half, y)
    return shapely.box(x - rise, y - half, x, y + half)
