# SPDX-License-Identifier: GPL-2.0-or-later
"""Fold brackets that are drawn as three lines: a base, and a leg at each of its ends."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Point as Spot

from extension.markings.arrows import arrow_of
from extension.markings.foldmarks import LEAST_EDGE, is_bracket
from extension.markings.strokes import Stroke, corners
from extension.svg.model import Leaf
from nesting.model import Point

SHORT = 2.0
"""mm by which a leg may end before, beside or beyond the end of the base."""

MOST_STROKES, MOST_POINTS = 6, 12
"""Strokes of a drawn object, and points of each, at most: one with more is dashes or a curve."""


@dataclass(frozen=True, eq=False, slots=True)
class _Line:
    ends: tuple[Point, Point]
    leaf: Leaf

    @property
    def length(self) -> float:
        return math.dist(*self.ends)


def three_lines(leaves: Sequence[Leaf]) -> tuple[Stroke, ...]:
    """Return the brackets among single straight lines, each as tip, corner, corner, tip.

    The legs are of any length but shorter than the base, and stand square on its ends, on one
    side; they touch it or end just short of it.
    """
    lines = [line for leaf in leaves for line in _lines(leaf)]
    bases = [line for line in lines if line.length >= LEAST_EDGE]
    if not bases or len(lines) < 3:
        return ()
    tree = shapely.STRtree(shapely.points([point for line in lines for point in line.ends]))
    found = (_bracket(base, lines, tree) for base in bases)
    return tuple(stroke for stroke in found if stroke is not None)


def _bracket(base: _Line, lines: Sequence[_Line], tree: shapely.STRtree) -> Stroke | None:
    """Return the bracket with this base whose legs begin nearest to its ends."""
    best: tuple[float, Stroke] | None = None
    second = list(_legs(base, 1, lines, tree))
    for off, tip, one in _legs(base, 0, lines, tree):
        for beyond, other, two in second:
            points = (tip, *base.ends, other)
            if is_bracket(points) and (best is None or off + beyond < best[0] - 1e-6):
                leaves = tuple(dict.fromkeys((base.leaf, one, two)))
                best = off + beyond, Stroke(points, leaves)
    return None if best is None else best[1]


def _legs(
    base: _Line, end: int, lines: Sequence[_Line], tree: shapely.STRtree
) -> Iterator[tuple[float, Point, Leaf]]:
    """Yield how far from an end of the base a leg begins, where it ends, and its leaf."""
    corner = base.ends[end]
    along = np.subtract(base.ends[1], base.ends[0]) / base.length
    for hit in sorted(int(each) for each in tree.query(Spot(corner), "dwithin", distance=SHORT)):
        line = lines[hit // 2]
        tail, tip = line.ends[hit % 2], line.ends[1 - hit % 2]
        if line is base or not 1.0 <= line.length < base.length:
            continue
        off = math.dist(tail, corner)
        square = abs(float(np.subtract(tip, tail) @ along)) <= 0.1 * line.length
        if square and off <= 0.5 * line.length + 0.5:
            yield off, tip, line.leaf


def _lines(leaf: Leaf) -> Iterator[_Line]:
    """Yield the straight open lines that a leaf draws, one with a head as its shaft."""
    if not 1 <= len(leaf.rings) <= MOST_STROKES or any(ring.closed for ring in leaf.rings):
        return
    if any(len(ring.points) > MOST_POINTS for ring in leaf.rings):
        return
    rings = [corners(ring) for ring in leaf.rings]
    arrow = None if all(len(points) == 2 for points in rings) else arrow_of(leaf)
    if arrow is not None:
        yield _Line((arrow.start, arrow.end), leaf)
        return
    for points in rings:
        if len(points) == 2 and points[0] != points[1]:
            yield _Line((points[0], points[1]), leaf)
