# SPDX-License-Identifier: GPL-2.0-or-later
"""Edges with a seam allowance of their own: lines along an outline, as for a hem.

Which stretch of the outline such a line means, and what is refused of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from shapely.geometry import LinearRing, LineString, Point
from shapely.ops import substring

from extension.language.errors import DrawingError
from extension.pieces.folds import FoldEdge
from extension.pieces.model import Edge, Mark
from extension.pieces.objects import called, given_name, role_carrier
from extension.svg.model import Leaf
from nesting.model import Outline

ON_OUTLINE = 0.5
"""mm by which a drawn line may lie beside the edge it means."""
SNAP = 2.0
"""mm along the outline within which the end of a line means the corner that is near."""
CORNER = 15.0
"""Degrees by which an outline turns in a corner."""
SHARED = 1.0
"""mm that two lines, or a line and the fold, may have in common: where they meet."""
_STEP = 2.0
"""mm between two points of a line that must lie on the outline."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Part of a ring: from `start` on for `length`, mm along it."""

    start: float
    length: float


def edges_of(
    outline: Outline, fold: FoldEdge | None, marks: Sequence[Mark], label: str
) -> tuple[Edge, ...]:
    """Return the edges of a piece that have an allowance of their own, in piece coordinates.

    `outline` is what is laid of it as drawn, page mm. Raises DrawingError, naming the line, for one
    without an allowance, beside the outline, on the fold, or on another such line.
    """
    ring = LinearRing(outline)
    found: list[tuple[Edge, Leaf, LineString]] = []
    for mark in marks:
        if mark.role != "edge":
            continue
        leaf = mark.leaf
        if mark.allowance is None:
            raise DrawingError(
                f"{called(leaf)} is an edge of {label} (lay:role=“edge”), but how much is to be "
                "added there is not said: give it lay:allowance, such as “40mm”, or take the role "
                "away.",
                leaf.id,
            )
        for one in lines_of(leaf, label):
            stretch = stretch_under(ring, one)
            if stretch is None:
                raise _beside(leaf, label)
            line = line_of(ring, stretch)
            if fold is not None and _common(line, LineString([fold.start, fold.end])) > SHARED:
                raise DrawingError(
                    f"{called(leaf)} runs along the fold of {label}, which gets no allowance: "
                    "shorten it to the edges that are sewn, or take its lay:role away.",
                    leaf.id,
                )
            carrier = role_carrier(leaf) or leaf
            named = given_name(carrier) or given_name(leaf)
            seen = "" if named else called(leaf)
            points = tuple((float(x), -float(y)) for x, y in line.coords)
            found.append((Edge(named or leaf.id, mark.allowance, points, seen), leaf, line))
    _check_apart(found, label)
    return tuple(edge for edge, _, _ in found)


def stretch_under(ring: LinearRing, line: LineString) -> Stretch | None:
    """Return the part of a ring along which a line runs; None where it does not.

    An end that lies near a corner of the ring means the corner.
    """
    steps = max(int(line.length / _STEP), 2)
    points = [line.interpolate(step / steps, normalized=True) for step in range(steps + 1)]
    if max(ring.distance(point) for point in points) > ON_OUTLINE:
        return None
    corners = _corners(ring)
    ends = [ring.project(point) for point in (points[0], points[-1])]
    first, last = (_snapped(at, corners, ring) for at in ends)
    if first == last:
        # A short edge, and both ends lie near the same corner: it is no corner of both.
        first, last = ends
    middle = ring.project(points[steps // 2])
    forward = (last - first) % ring.length
    if (middle - first) % ring.length > forward:
        first, forward = last, (first - last) % ring.length
    if abs(forward - line.length) > 2.0 * SNAP + 0.02 * line.length:
        return None
    return Stretch(first, forward)


def line_of(ring: LinearRing, stretch: Stretch) -> LineString:
    """Return a stretch of a ring as a line."""
    end = stretch.start + stretch.length
    if end <= ring.length:
        return substring(ring, stretch.start, end)
    before = substring(ring, stretch.start, ring.length)
    behind = substring(ring, 0.0, end - ring.length)
    return LineString([*before.coords, *behind.coords[1:]])


def lines_of(leaf: Leaf, label: str) -> list[LineString]:
    """Return the open lines of a leaf. Raises DrawingError where there is none."""
    lines = [
        LineString(ring.points) for ring in leaf.rings if not ring.closed and len(ring.points) > 1
    ]
    if not lines or any(ring.closed for ring in leaf.rings):
        raise DrawingError(
            f"{called(leaf)} is no open line, so it is no edge of {label}: draw a line along the "
            "edge alone; for an allowance all round give lay:allowance to the outline.",
            leaf.id,
        )
    return [line for line in lines if line.length > SHARED] or [_too_short(leaf, label)]


def _too_short(leaf: Leaf, label: str) -> LineString:
    raise _beside(leaf, label)


def _beside(leaf: Leaf, label: str) -> DrawingError:
    return DrawingError(
        f"{called(leaf)} does not lie on the outline of {label}, so nobody knows which edge it "
        "means: move it onto the edge, snapping to its nodes, or take its lay:role away.",
        leaf.id,
    )


def _corners(ring: LinearRing) -> list[float]:
    """Return where along a ring it turns."""
    points = np.array(ring.coords[:-1])
    steps = np.roll(points, -1, axis=0) - points
    lengths = np.hypot(*steps.T)
    angles = np.degrees(np.arctan2(steps[:, 1], steps[:, 0]))
    turns = np.abs((angles - np.roll(angles, 1) + 180.0) % 360.0 - 180.0)
    along = np.concatenate([[0.0], np.cumsum(lengths)[:-1]])
    return [float(at) for at, turn in zip(along, turns, strict=True) if turn >= CORNER]


def _snapped(at: float, corners: Sequence[float], ring: LinearRing) -> float:
    """Return a place along a ring, or that of the corner beside it."""

    def away(corner: float) -> float:
        apart = float(abs(corner - at) % ring.length)
        return min(apart, float(ring.length) - apart)

    near = float(min(corners, key=away, default=at))
    return near if away(near) <= SNAP else at


def _common(one: LineString, other: LineString) -> float:
    """Return the length of a line that lies on another."""
    return float(one.intersection(other.buffer(0.1, cap_style="flat")).length)


def _check_apart(found: Sequence[tuple[Edge, Leaf, LineString]], label: str) -> None:
    """Raise DrawingError for two lines along the same edge that do not say the same."""
    for (one, leaf, line), (other, second, beside) in combinations(found, 2):
        if one.allowance != other.allowance and _common(line, beside) > SHARED:
            raise DrawingError(
                f"{called(leaf)} and {called(second)} run along the same edge of {label} with "
                f"{one.allowance:g} mm and {other.allowance:g} mm of allowance: keep one of them.",
                second.id,
            )


def lies_on(edges: Sequence[Edge], at: tuple[float, float], near: float) -> bool:
    """Return whether a point, in piece coordinates, lies on an edge where allowance is added."""
    return any(
        edge.allowance > 0.0 and LineString(edge.line).distance(Point(at)) <= near for edge in edges
    )
