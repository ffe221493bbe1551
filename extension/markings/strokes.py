# SPDX-License-Identifier: GPL-2.0-or-later
"""The corners of drawn lines: each ring as few points, and open ones joined where ends meet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString
from shapely.geometry import Point as Spot

from extension.svg.model import Leaf, Ring
from nesting.model import Outline, Point

CORNER = 0.15
"""mm by which a simplified line may leave what is drawn."""
MEET = 0.6
"""mm within which the ends of two lines meet."""
MOST_CORNERS = 12
"""A line with more corners is a curve, and no symbol."""


@dataclass(frozen=True, eq=False, slots=True)
class Stroke:
    """An open line by its corners, page mm, and the leaves that it is drawn by."""

    points: Outline
    leaves: tuple[Leaf, ...]

    @property
    def length(self) -> float:
        """Return the length of the line, mm."""
        return sum(math.dist(a, b) for a, b in zip(self.points, self.points[1:], strict=False))


def corners(ring: Ring) -> Outline:
    """Return the corners of a ring; of a closed one without repeating the first."""
    points = list(dict.fromkeys(ring.points)) if ring.closed else list(ring.points)
    if ring.closed:
        points = _from_a_corner(points)
        points.append(points[0])
    if len(points) < 2:
        return tuple(points)
    kept = [(float(x), float(y)) for x, y in LineString(points).simplify(CORNER).coords]
    if 3 < len(kept) <= MOST_CORNERS + 4:
        kept = _without_straight(kept, points)
    return tuple(kept[:-1] if ring.closed else kept)


def _without_straight(kept: Sequence[Point], points: Sequence[Point]) -> list[Point]:
    """Return corners without those at which a line goes straight on.

    Simplifying keeps one in the middle of a side that lies along the chord of the whole line, since
    of points that are equally far from it any may be taken for a corner.
    """
    left, places = list(kept), [0]
    for point in kept[1:-1]:
        places.append(points.index(point, places[-1] + 1))
    places.append(len(points) - 1)
    index = 1
    while index < len(left) - 1:
        chord = LineString([left[index - 1], left[index + 1]])
        between = points[places[index - 1] + 1 : places[index + 1]]
        if chord.length > 0.0 and (
            shapely.distance(shapely.points(between), chord).max() <= CORNER
        ):
            del left[index], places[index]
        else:
            index += 1
    return left


def _from_a_corner(points: list[Point]) -> list[Point]:
    """Return a ring that begins at the point farthest from its middle: a corner of it."""
    x = sum(point[0] for point in points) / len(points)
    y = sum(point[1] for point in points) / len(points)
    first = max(range(len(points)), key=lambda index: round(math.dist(points[index], (x, y)), 6))
    return points[first:] + points[:first]


def strokes_of(leaves: Sequence[Leaf]) -> tuple[Stroke, ...]:
    """Return the open lines of leaves by their corners; lines that meet at their ends are one.

    Where three or more ends meet nothing is joined: an arrow head on its shaft is not its bend.
    """
    found: list[Stroke] = []
    for leaf in leaves:
        for ring in leaf.rings:
            points = () if ring.closed else corners(ring)
            if 2 <= len(points) <= MOST_CORNERS:
                found.append(Stroke(points, (leaf,)))
    return _joined(found)


def meeting(leaves: Sequence[Leaf]) -> list[Leaf]:
    """Return the leaves with an open line that ends where one of another leaf does.

    Only these can be joined; on a sheet with thousands of notches they are few.
    """
    ends = [
        (point, place)
        for place, leaf in enumerate(leaves)
        for ring in leaf.rings
        if not ring.closed and len(ring.points) > 1
        for point in (ring.points[0], ring.points[-1])
    ]
    if not ends:
        return []
    spots = shapely.points([point for point, _ in ends])
    whose = np.array([place for _, place in ends])
    one, other = shapely.STRtree(spots).query(spots, "dwithin", distance=MEET)
    kept = set(whose[one[whose[one] != whose[other]]].tolist())
    return [leaf for place, leaf in enumerate(leaves) if place in kept]


def _joined(strokes: Sequence[Stroke]) -> tuple[Stroke, ...]:
    """Return strokes with those joined whose ends meet two by two."""
    if not strokes:
        return ()
    ends = [point for stroke in strokes for point in (stroke.points[0], stroke.points[-1])]
    tree = shapely.STRtree([Spot(point) for point in ends])
    nets = list(range(len(strokes)))
    found: dict[int, Stroke] = dict(enumerate(strokes))
    for number, end in enumerate(ends):
        hits = tree.query(Spot(end), "dwithin", distance=MEET)
        meeting = sorted({int(hit) // 2 for hit in hits} - {number // 2})
        if len(meeting) != 1:
            continue
        one, other = nets[number // 2], nets[meeting[0]]
        if one == other or len(found[one].points) + len(found[other].points) > MOST_CORNERS:
            continue
        found[one] = _glued(found[one], found.pop(other))
        nets = [one if net == other else net for net in nets]
    return tuple(found.values())


def _glued(one: Stroke, other: Stroke) -> Stroke:
    """Return two strokes that meet as one, in the direction of the first."""
    ways = [
        (math.dist(first[-1], second[0]), first + second[1:])
        for first in (one.points, one.points[::-1])
        for second in (other.points, other.points[::-1])
    ]
    _, points = min(ways, key=lambda way: way[0])
    return Stroke(points, tuple(dict.fromkeys((*one.leaves, *other.leaves))))
