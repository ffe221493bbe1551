# SPDX-License-Identifier: GPL-2.0-or-later
"""Frames of the pages that a sheet is printed on: equal rectangles side by side, across pieces."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from extension.pieces.outlines import ClosedShape

SMALLEST = 40.0
"""mm: the shorter side of a page's frame at least; teaching patterns are drawn at a quarter."""
RECTANGULAR = 0.999
"""Share of its smallest enclosing rectangle that the frame of a page fills."""
EQUAL = 0.5
"""mm by which the sides and places of frames in a row may differ."""
APART = (0.8, 1.1)
"""How far the next page's frame is, by its side: pages overlap, or have a margin between them."""
CROSSED = 1.0
"""mm2 that an outline has at least on both sides of a frame that it crosses."""


@dataclass(frozen=True, slots=True)
class _Rectangle:
    """A rectangle with its middle, its sides and the direction of the first of these."""

    index: int
    middle: tuple[float, float]
    sides: tuple[float, float]
    along: tuple[float, float]


def page_frames(shapes: Sequence[ClosedShape], claimed: Sequence[bool]) -> set[int]:
    """Return the outlines that are frames of pages: two or more in a row, which others cross.

    Pieces lie side by side or in each other, never across: patches of a quilt are no frames.
    """
    found = [one for i, shape in enumerate(shapes) if not claimed[i] for one in _read(i, shape)]
    frames: set[int] = set()
    if len(found) > 1:
        tree = shapely.STRtree([shape.polygon for shape in shapes])
        for group in _rows(found):
            if len(group) > 1 and any(_is_crossed(shapes, tree, i, group) for i in group):
                frames |= group
    return frames


def _read(index: int, shape: ClosedShape) -> Iterator[_Rectangle]:
    """Yield an outline as a rectangle, if it is one that may be the frame of a page."""
    if shape.fault is not None or len(shape.outline) < 4:
        return
    box = shape.polygon.minimum_rotated_rectangle
    if not isinstance(box, shapely.Polygon) or shape.area < RECTANGULAR * box.area:
        return
    corners = [(float(x), float(y)) for x, y in box.exterior.coords[:3]]
    sides = math.dist(*corners[:2]), math.dist(*corners[1:])
    if min(sides) < SMALLEST:
        return
    (x, y), (u, v) = corners[:2]
    along = (u - x) / sides[0], (v - y) / sides[0]
    yield _Rectangle(index, (box.centroid.x, box.centroid.y), sides, along)


def _rows(rectangles: Sequence[_Rectangle]) -> list[set[int]]:
    """Return equal rectangles that stand beside each other, in one group each."""
    groups = {one.index: {one.index} for one in rectangles}
    middles = np.array([one.middle for one in rectangles])
    for one in rectangles:
        reach = APART[1] * max(one.sides) + EQUAL
        near = np.flatnonzero(np.abs(middles - one.middle).max(axis=1) <= reach)
        for other in (rectangles[int(place)] for place in near):
            if groups[one.index] is not groups[other.index] and _beside(one, other):
                joined = groups[one.index] | groups[other.index]
                groups.update(dict.fromkeys(joined, joined))
    return list({id(group): group for group in groups.values()}.values())


def _beside(one: _Rectangle, other: _Rectangle) -> bool:
    """Return whether two rectangles are equal and stand as neighbours of a grid."""
    if max(abs(a - b) for a, b in zip(sorted(one.sides), sorted(other.sides), strict=True)) > EQUAL:
        return False
    x, y = other.middle[0] - one.middle[0], other.middle[1] - one.middle[1]
    cos, sin = one.along
    moved = abs(x * cos + y * sin), abs(y * cos - x * sin)
    return any(
        APART[0] * side <= moved[axis] <= APART[1] * side and moved[1 - axis] <= EQUAL
        for axis, side in enumerate(one.sides)
    )


def _is_crossed(
    shapes: Sequence[ClosedShape], tree: shapely.STRtree, frame: int, group: set[int]
) -> bool:
    """Return whether an outline that is no frame of the group lies across a frame."""
    page = shapes[frame].polygon
    for index in map(int, tree.query(page, "intersects")):
        shape = shapes[index]
        if index in group or shape.fault is not None:
            continue
        within = shapely.intersection(page, shape.polygon).area
        if within > CROSSED and shape.area - within > CROSSED and page.area - within > CROSSED:
            return True
    return False
