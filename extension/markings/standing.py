# SPDX-License-Identifier: GPL-2.0-or-later
"""Fold brackets that stand on a line: with that edge they enclose a strip, which is no piece."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry import LineString

from extension.markings.brackets import MOST_POINTS, three_lines
from extension.markings.foldmarks import is_bracket
from extension.markings.strokes import Stroke, corners
from extension.pieces.outlines import drawn_lines
from extension.pieces.straight import straight_runs
from extension.svg.model import Leaf
from nesting.model import Point

DEEPEST = 20.0
"""mm that the legs of such a bracket are long at most; what is deeper may be a piece."""
TOUCHES = 1.5
"""mm within which a leg ends on the line, and within which two lines end at one corner."""
SLANT = 0.05
"""How far the line that it stands on may lean from it, as a share of that line's length."""
DASH_GAP = 6.0
"""mm between two dashes of one line, at most."""


def standing_brackets(leaves: Sequence[Leaf]) -> tuple[Stroke, ...]:
    """Return the brackets among open lines whose legs end on a straight line that goes on.

    It goes on past both legs, or turns there into other lines: three that end at a corner are two
    of an outline and a leg, while the four sides of a rectangle meet by two.
    """
    drawn = [leaf for leaf in leaves if leaf.rings and not leaf.hidden and not leaf.far]
    found = [stroke for stroke in (*_bent(drawn), *three_lines(drawn)) if _is_low(stroke)]
    if not found:
        return ()
    tree = shapely.STRtree([drawn_lines(leaf) for leaf in drawn])
    return tuple(stroke for stroke in found if _stands(stroke, drawn, tree))


def _bent(leaves: Sequence[Leaf]) -> Iterator[Stroke]:
    for leaf in leaves:
        for ring in leaf.rings:
            if not ring.closed and len(leaf.rings) == 1 and 4 <= len(ring.points) <= MOST_POINTS:
                points = corners(ring)
                if is_bracket(points):
                    yield Stroke(points, (leaf,))


def _is_low(stroke: Stroke) -> bool:
    tip, first, second, other = stroke.points
    return max(math.dist(tip, first), math.dist(other, second)) <= DEEPEST


def _stands(stroke: Stroke, leaves: Sequence[Leaf], tree: shapely.STRtree) -> bool:
    """Return whether both legs end on lines that lie on one straight line and go on there."""
    tip, first, second, other = stroke.points
    length = math.dist(first, second)
    along = np.subtract(second, first) / length
    hits = tree.query(LineString([tip, other]), "dwithin", distance=TOUCHES)
    near = [leaf for hit in sorted(hits) if (leaf := leaves[int(hit)]) not in stroke.leaves]
    stretches = [(*each, leaf) for leaf in near for each in _stretches(leaf, tip, along)]
    reach = float(np.subtract(other, tip) @ along)
    for low, high, own in _merged(stretches):
        if low > TOUCHES or high < reach - TOUCHES:
            continue
        ends = [tip] if low > -TOUCHES else []
        ends += [other] if high < reach + TOUCHES else []
        if all(_goes_on(end, own, stroke, leaves, tree) for end in ends):
            return True
    return False


def _stretches(leaf: Leaf, origin: Point, along: np.ndarray) -> Iterator[tuple[float, float]]:
    """Yield from where to where a leaf draws straight lines through a point, in a direction."""
    for ring in leaf.rings:
        for run in straight_runs(ring.points, closed=ring.closed):
            offsets = np.subtract([run.start, run.end], origin)
            beside = np.abs(offsets[:, 1] * along[0] - offsets[:, 0] * along[1])
            low, high = sorted(float(value) for value in offsets @ along)
            if beside.max() <= TOUCHES + (high - low) * SLANT and high - low >= 1.0:
                yield low, high


def _merged(
    stretches: Sequence[tuple[float, float, Leaf]],
) -> Iterator[tuple[float, float, set[Leaf]]]:
    """Yield stretches with those joined that follow each other, as the dashes of a line do."""
    held: tuple[float, float, set[Leaf]] | None = None
    for low, high, leaf in sorted(stretches, key=lambda each: each[:2]):
        if held is not None and low <= held[1] + DASH_GAP:
            held = held[0], max(held[1], high), held[2] | {leaf}
            continue
        if held is not None:
            yield held
        held = low, high, {leaf}
    if held is not None:
        yield held


def _goes_on(
    tip: Point, line: set[Leaf], stroke: Stroke, leaves: Sequence[Leaf], tree: shapely.STRtree
) -> bool:
    """Return whether the line a leg ends on is joined by another there, or bends on by itself."""
    hits = tree.query(shapely.Point(tip), "dwithin", distance=TOUCHES)
    here = [leaf for hit in hits if (leaf := leaves[int(hit)]) not in stroke.leaves]
    return any(leaf not in line or not _ends_at(leaf, tip) for leaf in here)


def _ends_at(leaf: Leaf, place: Point) -> bool:
    """Return whether an open line of a leaf ends at a place."""
    rings = [ring for ring in leaf.rings if not ring.closed]
    ends = [end for ring in rings for end in (ring.points[0], ring.points[-1])]
    return any(math.dist(end, place) <= TOUCHES for end in ends)
