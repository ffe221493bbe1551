# SPDX-License-Identifier: GPL-2.0-or-later
"""Straight lines with or without heads: how long, in which direction, which end has a head.

Heads are drawn as markers of the line, as part of its path, as little triangles or chevrons of
their own beside its ends; or the arrow is one filled outline. Directions are those of the shaft.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from shapely.geometry import LineString, Polygon

from extension.markings.strokes import corners
from extension.pieces.grain import shaft
from extension.pieces.straight import Run, straight_runs
from extension.svg.model import Leaf, Ring
from nesting.model import Outline, Point

SHORTEST = 8.0
"""mm; what is shorter is no line of a piece but a notch, a dash, a head."""
SHORTEST_PART = 4.0
"""mm of a line that has a head: less than the shortest where words stand in the middle of it."""
AXIAL = 0.5
"""mm from the axis within which a point lies on it."""
AXIAL_SHARE = 0.03
"""Share of a line that this is at most: heads of short ones are not even a millimetre wide."""
HEAD_REACH = 0.45
"""Share of an arrow that a head takes at most, and of its length that a head is wide."""
LARGEST_HEAD = 40.0
"""mm."""
MOST_RUNS = 24
"""Straight runs of one drawn object that are tried as the axis of a line."""
SLIM = 0.4
"""Width of a filled arrow as a share of its length, at most."""
WAIST = 0.65
"""Width of the shaft of a filled arrow as a share of that of its head, at most."""
COLLINEAR = 0.5
"""Degrees, and mm beside the axis, within which two pieces of a broken line are one."""


@dataclass(frozen=True, eq=False, slots=True)
class Arrow:
    """A straight line on the page (mm) and the leaves that it is drawn by.

    `line` is the leaf whose own geometry gives the direction to whoever reads it as a line; None
    when no single leaf does. `heads` says whether there is one at the start, and at the end.
    `filled`: drawn as one closed outline.
    """

    start: Point
    end: Point
    heads: tuple[bool, bool]
    leaves: tuple[Leaf, ...]
    line: Leaf | None
    filled: bool = False

    @property
    def length(self) -> float:
        """Return the distance between its ends, mm."""
        return math.dist(self.start, self.end)

    @property
    def drawn(self) -> LineString:
        """Return the line from end to end."""
        return LineString([self.start, self.end])

    @property
    def has_head(self) -> bool:
        """Return whether either end has a head."""
        return any(self.heads)


def arrows_of(leaves: Sequence[Leaf]) -> tuple[Arrow, ...]:
    """Return the straight lines among the marks of one piece, heads and broken parts joined."""
    found = [arrow for leaf in leaves if (arrow := arrow_of(leaf)) is not None]
    small = [leaf for leaf in leaves if leaf.rings and _is_small(leaf)]
    crowned: list[Arrow] = []
    taken: set[Leaf] = set()
    for arrow in sorted(found, key=lambda each: -round(each.length, 3)):
        if arrow.leaves[0] not in taken:
            free = [leaf for leaf in small if leaf not in taken and leaf not in arrow.leaves]
            crowned.append(_with_heads(arrow, free))
            taken.update(crowned[-1].leaves[1:])
    places = {leaf: place for place, leaf in enumerate(leaves)}
    crowned.sort(key=lambda arrow: places[arrow.leaves[0]])
    return tuple(_unbroken(crowned))


def arrow_of(leaf: Leaf) -> Arrow | None:
    """Return the straight line, or the arrow, that one leaf draws; None when it is neither."""
    closed = [ring for ring in leaf.rings if ring.closed]
    if closed and len(closed) == len(leaf.rings) == 1:
        return filled_arrow(leaf)
    if not leaf.rings:
        return None
    run = _longest_axis(leaf.rings)
    if run is None or run.length < SHORTEST_PART:
        return None
    points = np.array([point for ring in leaf.rings for point in corners(ring)])
    own = _heads_among(points, run.start, run.end)
    if own is None:
        return None
    marked = [leaf.style.get(name, "none") != "none" for name in ("marker-start", "marker-end")]
    if math.dist(run.start, points[-1]) < math.dist(run.start, points[0]):
        marked.reverse()
    heads = (own[0] or marked[0], own[1] or marked[1])
    if run.length < SHORTEST and not any(heads):
        return None
    return Arrow(run.start, run.end, heads, (leaf,), _if_read_alike(leaf, run.start, run.end))


def _longest_axis(rings: Sequence[Ring]) -> Run | None:
    """Return the longest straight line that rings draw, in one stroke or in dashes.

    Where the dashes are shorter than the legs of a head, it is not the longest straight run.
    """
    runs = [run for ring in rings for run in straight_runs(ring.points, closed=ring.closed)]
    runs = sorted(runs, key=lambda run: -round(run.length, 6))[:MOST_RUNS]
    points = np.array([point for ring in rings for point in ring.points])
    best: Run | None = None
    for run in (each for each in runs if each.length > 0.0):
        along, beside = _frame(points, run.start, run.end)
        on_axis = np.abs(beside) <= AXIAL / 2.0
        first = points[on_axis][int(np.argmin(along[on_axis]))]
        last = points[on_axis][int(np.argmax(along[on_axis]))]
        ends = Run((float(first[0]), float(first[1])), (float(last[0]), float(last[1])), 0, 1)
        if best is None or ends.length > 1.02 * best.length:
            best = ends
    return best


def _axial(length: float) -> float:
    """Return how many mm beside the axis of a line a point still lies on it."""
    return min(AXIAL, AXIAL_SHARE * length)


def _frame(points: np.ndarray, start: Point, end: Point) -> tuple[np.ndarray, np.ndarray]:
    """Return where points lie along an axis (0 at its start, 1 at its end), and beside it (mm)."""
    chord = np.subtract(end, start)
    length = float(np.hypot(*chord))
    unit = chord / length
    offset = points - np.array(start)
    return offset @ unit / length, offset @ np.array([-unit[1], unit[0]])


def _heads_among(points: np.ndarray, start: Point, end: Point) -> tuple[bool, bool] | None:
    """Return which ends have a head among the points of a line; None when it is no arrow.

    The points beside the axis must lie near its ends, on both sides of it.
    """
    along, beside = _frame(points, start, end)
    length = math.dist(start, end)
    off = np.abs(beside) > _axial(length)
    if not off.any():
        return False, False
    near = (along[off] <= HEAD_REACH, along[off] >= 1.0 - HEAD_REACH)
    widest = float(np.abs(beside).max())
    fits = widest <= min(HEAD_REACH * length, LARGEST_HEAD)
    if not fits or not (near[0] | near[1]).all() or along.min() < -0.1 or along.max() > 1.1:
        return None
    heads = []
    for side in near:
        sides = beside[off][side]
        if len(sides) and not (sides.min() < 0.0 < sides.max()):
            return None
        heads.append(bool(len(sides)))
    return heads[0], heads[1]


def filled_arrow(leaf: Leaf) -> Arrow | None:
    """Return the arrow that a closed slim outline draws, None when it is none.

    One or both ends are heads: wide, and running to a point; the shaft between is slimmer.
    """
    ring = leaf.rings[0]
    outline = corners(ring)
    if not 5 <= len(outline) <= 24 or not Polygon(outline).is_valid:
        return None
    start, end = _axis(outline, ring)
    length = math.dist(start, end)
    if length < SHORTEST:
        return None
    _, beside = _frame(np.array(outline), start, end)
    if float(np.ptp(beside)) > SLIM * length or abs(beside.max() + beside.min()) > 0.1 * length:
        return None
    stations = np.linspace(0.004, 0.996, 125)
    widths = _widths(outline, start, end, stations)
    widest = float(widths.max())
    middle = widths[np.abs(stations - 0.5) <= 0.1]
    if float(np.median(middle)) > WAIST * widest:
        return None
    heads = (_is_head(widths, stations), _is_head(widths[::-1], stations))
    if not any(heads):
        return None
    return Arrow(start, end, heads, (leaf,), _if_read_alike(leaf, start, end), True)


def _is_head(widths: np.ndarray, stations: np.ndarray) -> bool:
    """Return whether an outline is widest near its start and runs to a point there."""
    near = widths[stations <= HEAD_REACH]
    return bool(near.max() >= 0.8 * widths.max() and near[0] <= 0.4 * near.max())


def _axis(outline: Outline, ring: Ring) -> tuple[Point, Point]:
    """Return the ends of the axis of a slim outline: its line of symmetry.

    The direction is that of its two longest edges where these run side by side, or else that of
    the principal axis of its area: the line of symmetry of an arrow whose shaft tapers.
    """
    polygon = Polygon(outline)
    centre = np.array(polygon.centroid.coords[0])
    angle = _principal_angle(outline, centre)
    sides = sorted(straight_runs(ring.points, closed=True), key=lambda run: -run.length)[:2]
    if len(sides) == 2 and _run_side_by_side(*sides):
        (x, y), (u, v) = sides[0].start, sides[0].end
        angle = math.atan2(v - y, u - x)
    unit = np.array([math.cos(angle), math.sin(angle)])
    reach = (np.array(outline) - centre) @ unit
    first, last = centre + reach.min() * unit, centre + reach.max() * unit
    return (float(first[0]), float(first[1])), (float(last[0]), float(last[1]))


def _run_side_by_side(one: Run, other: Run) -> bool:
    """Return whether two edges are parallel and lie across from each other."""
    along, beside = _frame(np.array([other.start, other.end]), one.start, one.end)
    parallel = abs(float(np.ptp(beside))) <= math.radians(0.1) * other.length
    shared = min(1.0, float(along.max())) - max(0.0, float(along.min()))
    return parallel and shared >= 0.6 and float(np.abs(beside).min()) > 0.05


def _principal_angle(outline: Outline, centre: np.ndarray) -> float:
    """Return the angle of the axis along which the area of an outline stretches most."""
    points = np.array(outline) - centre
    following = np.roll(points, -1, axis=0)
    (x, y), (u, v) = points.T, following.T
    cross = x * v - u * y
    xx = float((cross * (x * x + x * u + u * u)).sum())
    yy = float((cross * (y * y + y * v + v * v)).sum())
    xy = float((cross * (x * v + 2 * x * y + 2 * u * v + u * y)).sum()) / 2.0
    if cross.sum() < 0.0:
        xx, yy, xy = -xx, -yy, -xy
    return 0.5 * math.atan2(2.0 * xy, xx - yy)


def _widths(outline: Outline, start: Point, end: Point, stations: np.ndarray) -> np.ndarray:
    """Return how wide an outline is across its axis at stations along it, mm."""
    along, beside = _frame(np.array([*outline, outline[0]]), start, end)
    found = []
    for station in stations:
        low, high = along[:-1] - station, along[1:] - station
        crossed = (low < 0.0) != (high < 0.0)
        share = low[crossed] / (low[crossed] - high[crossed])
        at = beside[:-1][crossed] + share * np.diff(beside)[crossed]
        found.append(float(np.ptp(at)) if len(at) else 0.0)
    return np.array(found)


def _if_read_alike(leaf: Leaf, start: Point, end: Point) -> Leaf | None:
    """Return a leaf when its longest straight run has the direction of the arrow it draws."""
    run = shaft(leaf.rings)
    if run is None:
        return None
    dx, dy = run.end[0] - run.start[0], run.end[1] - run.start[1]
    turn = abs(dx * (end[1] - start[1]) - dy * (end[0] - start[0]))
    same = turn <= math.radians(0.05) * run.length * math.dist(start, end)
    return leaf if same else None


def _is_small(leaf: Leaf) -> bool:
    low_x, low_y, high_x, high_y = leaf.box
    return 0.5 <= max(high_x - low_x, high_y - low_y) <= LARGEST_HEAD


def _is_near(leaf: Leaf, tip: Point) -> bool:
    low_x, low_y, high_x, high_y = leaf.box
    reach = 0.3 * LARGEST_HEAD
    return low_x - reach <= tip[0] <= high_x + reach and low_y - reach <= tip[1] <= high_y + reach


def _with_heads(arrow: Arrow, small: Sequence[Leaf]) -> Arrow:
    """Return a line with the heads that are drawn as leaves of their own at its ends."""
    if arrow.filled:
        return arrow
    heads, leaves = list(arrow.heads), list(arrow.leaves)
    start, end = arrow.start, arrow.end
    for side, (tail, tip) in enumerate(((end, start), (start, end))):
        made = heads_at(small, tail, tip)
        if made:
            heads[side] = True
            leaves += made
            # A triangle may sit on the end of its line: the arrow reaches to its point.
            reach = max(_reach_of_head(leaf, tail, tip) or 0.0 for leaf in made)
            share = 1.0 + max(reach, 0.0) / math.dist(tail, tip)
            spot = tuple(a + share * (b - a) for a, b in zip(tail, tip, strict=True))
            start, end = ((spot[0], spot[1]), end) if side == 0 else (start, (spot[0], spot[1]))
    return replace(arrow, start=start, end=end, heads=(heads[0], heads[1]), leaves=tuple(leaves))


def heads_at(leaves: Sequence[Leaf], tail: Point, tip: Point) -> list[Leaf]:
    """Return the small leaves that are the head of a line at its tip: one, or two barbs."""
    near = [leaf for leaf in leaves if leaf.rings and _is_small(leaf) and _is_near(leaf, tip)]
    made = [leaf for leaf in near if _reach_of_head(leaf, tail, tip) is not None]
    return made or _barbs(near, tail, tip)


def _reach_of_head(leaf: Leaf, tail: Point, tip: Point) -> float | None:
    """Return by how many mm a small leaf reaches beyond a line's end, None when it is no head.

    A head is symmetric about the line, has its point on it, and all else of it lies behind.
    """
    points = np.array([point for ring in leaf.rings for point in corners(ring)])
    if not 3 <= len(points) <= 10:
        return None
    length = math.dist(tail, tip)
    along, beside = _frame(points, tail, tip)
    along = (along - 1.0) * length
    point = int(np.argmax(along))
    size = float(max(np.ptp(along), np.ptp(beside)))
    wide = float(beside.max()) > 0.1 * size and float(beside.min()) < -0.1 * size
    even = abs(float(beside.max() + beside.min())) <= 0.25 * size
    at_tip = along.min() - 0.25 * size <= 0.0 <= along.max() + 0.25 * size
    pointed = abs(float(beside[point])) <= max(0.15 * size, 0.3)
    sharp = float(np.abs(beside[along > along.max() - 0.25 * float(np.ptp(along))]).max())
    short = size <= HEAD_REACH * length
    if wide and even and at_tip and pointed and short and sharp <= 0.35 * float(np.ptp(beside)):
        return float(along[point])
    return None


def _barbs(small: Sequence[Leaf], tail: Point, tip: Point) -> list[Leaf]:
    """Return two short lines that run back from the end of a line, one on either side."""
    found: dict[bool, Leaf] = {}
    length = math.dist(tail, tip)
    for leaf in small:
        points = np.array([point for ring in leaf.rings for point in corners(ring)])
        if len(points) != 2 or any(ring.closed for ring in leaf.rings):
            continue
        along, beside = _frame(points, tail, tip)
        along = (along - 1.0) * length
        near, far = (0, 1) if abs(along[0]) < abs(along[1]) else (1, 0)
        at_tip = math.hypot(along[near], beside[near]) <= 1.0
        if (
            at_tip
            and along[far] < -0.5
            and _axial(length) < abs(beside[far]) <= HEAD_REACH * length
        ):
            found.setdefault(bool(beside[far] > 0.0), leaf)
    return list(found.values()) if len(found) == 2 else []


def _unbroken(arrows: Sequence[Arrow]) -> list[Arrow]:
    """Return the lines with those joined that are one line, interrupted by its text, say."""
    found = list(arrows)
    index = 0
    while index < len(found):
        partner = next(
            (o for o in range(index + 1, len(found)) if _continues(found[index], found[o])), None
        )
        if partner is None:
            index += 1
            continue
        found[index] = _one_line(found[index], found.pop(partner))
    return found


def _continues(one: Arrow, other: Arrow) -> bool:
    """Return whether two lines lie on one axis with a short gap, and no head points into it."""
    if one.filled or other.filled:
        return False
    longer, shorter = (one, other) if one.length >= other.length else (other, one)
    ends = np.array([shorter.start, shorter.end])
    along, beside = _frame(ends, longer.start, longer.end)
    if float(np.abs(beside).max()) > COLLINEAR:
        return False
    gap = max(float(along.min()) - 1.0, -float(along.max())) * longer.length
    if not -0.5 <= gap <= max(0.5 * (one.length + other.length), 5.0):
        return False
    joint = longer.heads[1] if along.min() > 0.5 else longer.heads[0]
    own = shorter.heads[int(np.argmin(np.abs(along - 0.5)))]
    return not joint and not own


def _one_line(one: Arrow, other: Arrow) -> Arrow:
    """Return two parts of a broken line as one, in the direction of the first."""
    spots = [
        (spot, head)
        for line in (one, other)
        for spot, head in ((line.start, line.heads[0]), (line.end, line.heads[1]))
    ]
    axis = np.subtract(one.end, one.start)
    ordered = sorted(spots, key=lambda spot: float(np.dot(spot[0], axis)))
    (start, at_start), (end, at_end) = ordered[0], ordered[-1]
    leaves = tuple(dict.fromkeys((*one.leaves, *other.leaves)))
    line = one.line if one.line is other.line else None
    return Arrow(start, end, (at_start, at_end), leaves, line)
