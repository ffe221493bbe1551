# SPDX-License-Identifier: GPL-2.0-or-later
"""Outlines that grow by another amount along each edge, their corners mitred or square.

Each edge grows by a strip of its own width. Where two strips meet in an outward corner, their outer
lines go on until they meet (a mitre), unless one would have to run back for it: then each ends
square to its edge. A sharp corner is cut off square to its middle, as everywhere else.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LinearRing, LineString, Polygon
from shapely.geometry.polygon import orient

from extension.pieces.outlines import SAME_POINT, without_repeats

Points = NDArray[np.float64]
_AT_POINT = 0.15
"""mm from a point of a ring within which another one is the same."""
_PARALLEL = 1e-9
_STRAIGHT = 1e-6
"""mm by which a point may lie beside the line through its neighbours and be on it."""
_SLIVER = 1e-6
"""mm2 below which a corner has no area."""
_PINHOLE = 1.0
"""mm2 below which an opening is the computer's rounding."""


def grown_by_edges(
    whole: Polygon,
    usual: float,
    edges: Sequence[tuple[float, Sequence[tuple[float, float]]]],
    mitre_limit: float,
) -> Polygon:
    """Return a polygon grown by `usual` mm, and by another amount along some of its edges.

    `edges` are amounts, mm, and lines along the ring of `whole`. `mitre_limit`: how far a corner
    may reach, in allowances.
    """
    ring = LinearRing(orient(whole).exterior)
    stretches = [(by, *_along(ring, LineString(line))) for by, line in edges]
    ring = _with_points(ring, stretches)
    points = np.array(ring.coords[:-1])
    steps = np.roll(points, -1, axis=0) - points
    lengths = np.hypot(*steps.T)
    middles = np.cumsum(lengths) - lengths / 2.0
    amounts = np.full(len(points), usual)
    for by, start, length in stretches:
        amounts[(middles - start) % ring.length < length] = by
    amounts[amounts < SAME_POINT] = 0.0
    ways = steps / lengths[:, None]
    # Counter-clockwise, so that the outside is to the right.
    normals = np.column_stack([ways[:, 1], -ways[:, 0]])
    parts = [whole]
    for at, by in enumerate(amounts):
        start, end, off = points[at], points[(at + 1) % len(points)], amounts[at] * normals[at]
        if by > 0.0:
            parts.append(Polygon([start, start + off, end + off, end]))
        parts += _corner(
            end,
            (ways[at], ways[(at + 1) % len(points)]),
            (by, amounts[(at + 1) % len(points)]),
            mitre_limit,
        )
    united = shapely.union_all(parts)
    largest = max(shapely.get_parts(united), key=lambda part: part.area)
    holes = [hole for hole in largest.interiors if Polygon(hole).area > _PINHOLE]
    return Polygon(_without_straight(largest.exterior), [_without_straight(one) for one in holes])


def _without_straight(ring: LinearRing) -> LinearRing:
    """Return a ring without points that repeat, or at which it goes straight on: strips met."""
    points = np.array(without_repeats(ring.coords[:-1]))
    before, behind = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
    chord, off = behind - before, points - before
    beside = np.abs(off[:, 0] * chord[:, 1] - off[:, 1] * chord[:, 0])
    kept = points[beside > _STRAIGHT * np.hypot(*chord.T)]
    return LinearRing(kept) if len(kept) > 2 else ring


def _along(ring: LinearRing, line: LineString) -> tuple[float, float]:
    """Return where along a ring a line on it starts, whichever way it runs, and its length."""
    first, last = (ring.project(shapely.Point(line.coords[end])) for end in (0, -1))
    middle = ring.project(line.interpolate(0.5, normalized=True))
    forward = (last - first) % ring.length
    if (middle - first) % ring.length > forward:
        return last, (first - last) % ring.length
    return first, forward


def _with_points(ring: LinearRing, stretches: Sequence[tuple[float, float, float]]) -> LinearRing:
    """Return a ring that has a point where each stretch starts and ends."""
    points = np.array(ring.coords)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    placed = list(zip(along[:-1], map(tuple, points[:-1]), strict=True))
    for _, start, length in stretches:
        for at in (start, (start + length) % ring.length):
            apart = np.abs(along - at)
            if min(apart.min(), ring.length - at) > _AT_POINT:
                point = ring.interpolate(at)
                placed.append((at, (point.x, point.y)))
    placed.sort(key=lambda each: each[0])
    return LinearRing(list(dict.fromkeys(point for _, point in placed)))


def _corner(
    at: Points, ways: tuple[Points, Points], amounts: tuple[float, float], limit: float
) -> list[Polygon]:
    """Return what fills an outward corner between the strips of two edges.

    `ways` are the directions along the edges, of length 1, the outside to the right of them.
    """
    (first, second), (one, other) = ways, amounts
    sine = float(first[0] * second[1] - first[1] * second[0])
    cosine = float(first @ second)
    if max(one, other) <= 0.0 or (sine <= _PARALLEL and cosine > -1.0 + _PARALLEL):
        return []
    ends = [at + by * np.array([way[1], -way[0]]) for by, way in ((one, first), (other, second))]
    corners = [at, ends[0], *_between(at, ways, amounts, ends, limit), ends[1]]
    made = Polygon(corners)
    return [made] if made.is_valid and made.area > _SLIVER else []


def _between(
    at: Points,
    ways: tuple[Points, Points],
    amounts: tuple[float, float],
    ends: Sequence[Points],
    limit: float,
) -> list[Points]:
    """Return the points of a corner between the ends of the two strips."""
    (first, second), (one, other) = ways, amounts
    sine = float(first[0] * second[1] - first[1] * second[0])
    cosine = float(first @ second)
    most = limit * max(one, other)
    middle = first - second
    if abs(sine) > _PARALLEL:
        # How far each outer line has to go on beyond its strip, or to run back.
        on, back = (other - one * cosine) / sine, (one - other * cosine) / sine
        if min(on, back) < -_PARALLEL:
            return []
        tip = ends[0] + on * first
        if float(np.hypot(*(tip - at))) <= most * (1.0 + _PARALLEL):
            return [tip]
        if cosine > 0.0 and one != other:
            return []
        middle = tip - at
    middle = middle / float(np.hypot(*middle))
    cut = []
    for end, way in ((ends[0], first), (ends[1], -second)):
        ahead = float(way @ middle)
        if ahead <= _PARALLEL:
            return []
        cut.append(end + (most - float((end - at) @ middle)) / ahead * way)
    return cut
