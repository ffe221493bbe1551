# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether a piece is its own mirror image about its grainline, so that its copies have no hand.

What is cut has to be the same on both sides, and so have the notches and lines on it: a notch on
one side makes a left and a right of two rectangles. Words and the grainline with its heads do not
count.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from extension.pieces.model import Mark
from extension.svg.model import Leaf
from nesting.geometry.symmetry import are_mirrored
from nesting.model import Outline

_NO_LINES = ("outline", "grainline", "fold", "label")
"""Roles that say nothing about the sides of a piece."""

LARGEST_HEAD = 0.4
"""Share of a grainline that a head of it, drawn by itself, measures across its box at most."""
AT_END = 1.0
"""mm from an end of the line within which it lies."""

Points = NDArray[np.complex128]


def is_symmetric(outlines: Sequence[Outline], marks: Sequence[Mark], grain: float) -> bool:
    """Return whether closed outlines and marks are their own mirror image about the grain.

    The first of the outlines (piece coordinates, mm, y up) is the one that is cut: the mirror line
    runs through the middle of its extent across the grain. `grain` is in degrees.
    """
    shown = [mark.leaf for mark in _telling(marks)]
    if any(not leaf.rings for leaf in shown):  # a picture
        return False
    along = cmath.rect(1.0, math.radians(-grain))
    rings = [(_points(outline) * along, True) for outline in outlines]
    lines = [
        (_points(ring.points).conj() * along, ring.closed) for leaf in shown for ring in leaf.rings
    ]
    across = rings[0][0].imag
    middle = float(across.max()) + float(across.min())
    every = [_lines([ring]) for ring in rings]
    if lines:
        every.append(_lines(lines))
    return all(are_mirrored(one, middle) for one in every)


def marks_give_hand(cutting: Outline, marks: Sequence[Mark], grain: float, *, half: bool) -> bool:
    """Return whether a piece has a left and a right by its marks alone.

    `cutting` is what is cut of it, as for `is_symmetric`; what is opened out from a `half` has the
    marks of both, but for those of one side.
    """
    if half:
        return any(mark.one_side for mark in _telling(marks))
    outline = (cutting,)
    return is_symmetric(outline, (), grain) and not is_symmetric(outline, marks, grain)


def _telling(marks: Sequence[Mark]) -> list[Mark]:
    """Return the marks that may tell the sides of a piece apart."""
    shown = (mark for mark in marks if mark.role not in _NO_LINES and not mark.leaf.hidden)
    lines = [mark.leaf for mark in marks if mark.role == "grainline"]
    return [
        mark
        for mark in shown
        if not mark.leaf.text and not any(_is_head(mark.leaf, line) for line in lines)
    ]


def _is_head(leaf: Leaf, line: Leaf) -> bool:
    """Return whether a leaf is a head of a grainline that is drawn by itself, at an end of it."""
    low_x, low_y, high_x, high_y = leaf.box
    size = math.hypot(high_x - low_x, high_y - low_y)
    for ring in line.rings:
        start, end = ring.points[0], ring.points[-1]
        if size <= LARGEST_HEAD * math.dist(start, end) and any(
            low_x - AT_END <= x <= high_x + AT_END and low_y - AT_END <= y <= high_y + AT_END
            for x, y in (start, end)
        ):
            return True
    return False


def _lines(rings: Sequence[tuple[Points, bool]]) -> shapely.MultiLineString:
    """Return rings, closed or not, as lines; a ring of one point is a line of no length."""
    return shapely.MultiLineString(list(_closed(rings)))


def _closed(rings: Sequence[tuple[Points, bool]]) -> Iterator[NDArray[np.float64]]:
    """Yield the points (N, 2) of each ring, the first again at the end where it is closed."""
    for points, closed in rings:
        if closed or len(points) == 1:
            points = np.append(points, points[:1])
        if len(points):
            yield np.column_stack([points.real, points.imag])


def _points(outline: Outline) -> Points:
    """Return points as complex numbers."""
    xy = np.asarray(outline, dtype=np.float64).reshape(-1, 2)
    points: Points = xy[:, 0] + 1j * xy[:, 1]
    return points
