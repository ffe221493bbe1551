# SPDX-License-Identifier: GPL-2.0-or-later
"""Notches of a piece: which are single, double or triple, and where each lies along its seam.

A seam runs from corner to corner of the stitching line where that is drawn, else of the outline.
Seams that are sewn together are equally long as a rule, and notches on them lie equally far along
(common practice, no source); an eased seam is longer.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from extension.pieces.outlines import drawn_lines
from extension.svg.model import Leaf
from nesting.model import Outline, Point

TOGETHER = 12.0
"""mm along a seam within which strokes are one notch, double or triple."""
EQUAL = 2.0
"""mm by which equal lengths may differ: what pen and mitred corners make of them."""
CORNER = math.radians(30.0)
"""Angle by which a line turns at a corner."""
REACH = 5.0
"""mm to either side over which that is measured."""

Agreement = Literal["both", "one", "none", "unknown"]
"""How two notches lie along their seams: equally far from both ends, from one, from none; or the
ends are not known, because the line has no corner."""


@dataclass(frozen=True, eq=False, slots=True)
class Notch:
    """One notch: its strokes in their order along the line, and where it lies, mm on the page.

    `ends` are how far it is along the line from the corners before and after it, None without
    corners; `along` is the direction of the line there.
    """

    strokes: tuple[Leaf, ...]
    at: Point
    ends: tuple[float, float] | None
    along: Point

    @property
    def kind(self) -> int:
        """Of how many strokes it is."""
        return len(self.strokes)


def notches_on(line: Outline, strokes: Sequence[Leaf]) -> tuple[Notch, ...]:
    """Return the notches on a closed line that strokes make, in their order along it."""
    if not strokes or len(line) < 3:
        return ()
    ring = shapely.LinearRing(line)
    places = sorted(
        ((float(ring.project(_middle(leaf))), leaf.id, leaf) for leaf in strokes),
        key=lambda one: one[:2],
    )
    groups: list[list[tuple[float, str, Leaf]]] = []
    for place in places:
        if groups and place[0] - groups[-1][-1][0] <= TOGETHER:
            groups[-1].append(place)
        else:
            groups.append([place])
    if len(groups) > 1 and groups[0][0][0] + ring.length - groups[-1][-1][0] <= TOGETHER:
        groups[0] = [*groups.pop(), *groups[0]]
    corners = _corners(ring)
    return tuple(_notch(ring, corners, group) for group in groups)


def agreement(one: Notch, other: Notch) -> Agreement:
    """Return whether two notches lie equally far along their seams, whichever way these run."""
    if one.ends is None or other.ends is None:
        return "unknown"
    same, crossed = (
        [abs(a - b) <= EQUAL for a, b in zip(one.ends, ends, strict=True)]
        for ends in (other.ends, other.ends[::-1])
    )
    if all(same) or all(crossed):
        return "both"
    return "one" if any((*same, *crossed)) else "none"


def strokes_that_meet(one: Notch, other: Notch) -> tuple[Leaf, Leaf]:
    """Return of two notches alike the stroke of each that is nearest to the ends that meet."""
    if one.ends is None or other.ends is None:
        return one.strokes[0], other.strokes[0]
    pairs = [(k, m) for k in (0, 1) for m in (0, 1)]
    near, far = min(pairs, key=lambda pair: abs(_end(one, pair[0]) - _end(other, pair[1])))
    return one.strokes[-near], other.strokes[-far]


def _end(notch: Notch, which: int) -> float:
    assert notch.ends is not None
    return notch.ends[which]


def _middle(leaf: Leaf) -> shapely.Point:
    """Return the middle of a stroke's box."""
    low_x, low_y, high_x, high_y = drawn_lines(leaf).bounds
    return shapely.Point((low_x + high_x) / 2.0, (low_y + high_y) / 2.0)


def _notch(
    ring: shapely.LinearRing, corners: Sequence[float], group: Iterable[tuple[float, str, Leaf]]
) -> Notch:
    """Return the notch that some strokes make, by their places along the line."""
    placed, whole = list(group), float(ring.length)
    first, last = placed[0][0], placed[-1][0]
    place = (first + ((last - first) % whole) / 2.0) % whole
    ends = None
    if corners:
        ends = (
            min((place - corner) % whole for corner in corners),
            min((corner - place) % whole for corner in corners),
        )
    before, at, after = (_point(ring, place + by) for by in (-1.0, 0.0, 1.0))
    step = np.subtract(after, before)
    length = float(np.hypot(*step)) or 1.0
    strokes = tuple(leaf for _, _, leaf in placed)
    return Notch(strokes, at, ends, (float(step[0]) / length, float(step[1]) / length))


def _corners(ring: shapely.LinearRing) -> list[float]:
    """Return where along a closed line its corners are, mm."""
    points = list(ring.coords)[:-1]
    steps = [math.dist(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True)]
    places = np.concatenate(([0.0], np.cumsum(steps)[:-1]))
    turns = [
        (_turn(ring, float(place)), float(place))
        for place in places
        if _turn(ring, float(place)) >= CORNER
    ]
    found: list[float] = []
    for _, place in sorted(turns, reverse=True):
        away = [min((place - one) % ring.length, (one - place) % ring.length) for one in found]
        if all(one > 2.0 * REACH for one in away):
            found.append(place)
    return found


def _turn(ring: shapely.LinearRing, place: float) -> float:
    """Return by which angle a line turns at a place along it, radians."""
    before, at, after = (_point(ring, place + by) for by in (-REACH, 0.0, REACH))
    into, out = np.subtract(at, before), np.subtract(after, at)
    return abs(math.atan2(into[0] * out[1] - into[1] * out[0], float(into @ out)))


def _point(ring: shapely.LinearRing, place: float) -> Point:
    """Return the point of a closed line that lies so far along it, mm."""
    point = ring.interpolate(place % ring.length)
    return float(point.x), float(point.y)
