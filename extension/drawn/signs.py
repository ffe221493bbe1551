# SPDX-License-Identifier: GPL-2.0-or-later
"""Arrow heads of a piece and the sign of its fold, joined up though a PDF import parts them."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely

from extension.drawn.frames import page_point
from extension.pieces.model import Mark
from extension.svg.model import Leaf
from nesting.model import Point

ON_FOLD = 3.0
"""mm: an arrow that ends this near the fold edge points to it."""
AT_TIP = 0.5
"""mm: a head reaches this near the end of its line."""
LARGEST_HEAD, LARGEST_STROKE = 0.5, 0.25
"""Longest side of a head, as a share of its line: of a closed shape, and of open strokes."""


def signs_of_fold(marks: Sequence[Mark], fold: tuple[Point, Point]) -> set[str]:
    """Return the ids of the brackets with two arrow heads that point to the fold edge, and heads.

    (The usual sign of printed patterns for an edge that lies on the fold: common practice.) The
    heads are markers of the line, or small shapes or strokes at both its ends.
    """
    found = set[str]()
    for mark in marks:
        if _points_to(mark.leaf, fold):
            # A straight stroke at its end may as well be a notch.
            heads = _heads(mark.leaf, [one for one in marks if not _is_straight(one.leaf)])
            if _has_markers(mark.leaf) or all(heads):
                found |= {mark.leaf.id, *(head.id for end in heads for head in end)}
    return found


def heads_of_grain(marks: Sequence[Mark]) -> set[str]:
    """Return the ids of the shapes and strokes that are arrow heads of a grainline."""
    return {
        head.id
        for mark in marks
        if mark.role == "grainline" and _is_line(mark.leaf)
        for end in _heads(mark.leaf, marks)
        for head in end
    }


def _points_to(leaf: Leaf, fold: tuple[Point, Point]) -> bool:
    """Return whether both ends of a line are at the fold edge, and not all of it."""
    if not _is_line(leaf):
        return False
    edge = shapely.LineString([page_point(end) for end in fold])
    away = [edge.distance(shapely.Point(point)) for point in leaf.rings[0].points]
    return bool(max(away[0], away[-1]) <= ON_FOLD < max(away))


def _heads(leaf: Leaf, marks: Sequence[Mark]) -> tuple[tuple[Leaf, ...], tuple[Leaf, ...]]:
    """Return the shapes that may be heads at the beginning and at the end of a line."""
    points = leaf.rings[0].points
    length = shapely.LineString(points).length
    shapes = [mark.leaf for mark in marks if 0.0 < _size(mark.leaf) <= _most(mark.leaf) * length]
    first, last = (
        tuple(shape for shape in shapes if _reach(shape, end) <= AT_TIP)
        for end in (points[0], points[-1])
    )
    return first, last


def _is_line(leaf: Leaf) -> bool:
    return len(leaf.rings) == 1 and not leaf.rings[0].closed and len(leaf.rings[0].points) > 1


def _is_straight(leaf: Leaf) -> bool:
    return _is_line(leaf) and len(leaf.rings[0].points) == 2


def _has_markers(leaf: Leaf) -> bool:
    return all(leaf.style.get(f"marker-{end}", "none") != "none" for end in ("start", "end"))


def _size(leaf: Leaf) -> float:
    """Return the longer side of the box of what is drawn with lines, mm; 0 for what is not."""
    if not leaf.rings:
        return 0.0
    low_x, low_y, high_x, high_y = leaf.box
    return max(high_x - low_x, high_y - low_y)


def _reach(leaf: Leaf, point: Point) -> float:
    """Return how near a shape's outline, or a corner of an open stroke, comes to a point, mm."""
    if not _is_closed(leaf):
        # A pointed stroke touches with its point, a straight one with an end.
        corners = [at for ring in leaf.rings for at in ring.points[1:-1] or ring.points]
        return min(math.dist(corner, point) for corner in corners)
    lines = [shapely.LinearRing(ring.points) for ring in leaf.rings if len(ring.points) > 2]
    return min((float(line.distance(shapely.Point(point))) for line in lines), default=1e9)


def _is_closed(leaf: Leaf) -> bool:
    return any(ring.closed for ring in leaf.rings)


def _most(leaf: Leaf) -> float:
    """Return how large a head may be, as a share of its line."""
    return LARGEST_HEAD if _is_closed(leaf) else LARGEST_STROKE
