# SPDX-License-Identifier: GPL-2.0-or-later
"""Closes outlines along a line that several of them share, as the fold edge of a nest of sizes.

The line may be drawn once for all sizes, or once for each, dash upon dash, which comes to the
same. An open line whose two ends meet another one closes along the stretch between them when that
has no corner. So an inner line from edge to edge closes nothing; and what closes along the edge
of an outline must enclose about as much as that does, which a dart does not.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import LineString, Point
from shapely.ops import substring

from extension.joining.lines import CORNER, Line, frame, prolonged, put_together
from extension.joining.outlines import COMPACT, Outline, compactness, outline_of
from extension.joining.segments import TOUCH, FloatArray, Segment

LEAST_LINE = 150.0
"""mm; a shorter line is no outline but for a stretch."""
ALIKE = 0.4
"""Share of an outline's area that another must have to be a size of it."""


@dataclass(frozen=True, eq=False, slots=True)
class Along:
    """Outlines that were closed along a common line, and the lines that are still open."""

    outlines: tuple[Outline, ...]
    open: tuple[Line, ...]


@dataclass(frozen=True, eq=False, slots=True)
class _Host:
    """A line to close along; `owner` is an outline that it is part of, if there is one."""

    line: Line
    points: FloatArray
    closed: bool
    owner: Outline | None


def closed_along(
    outlines: Sequence[Outline],
    lines: Sequence[Line],
    segments: Sequence[Segment],
    reach: Sequence[float],
) -> Along:
    """Return what closes along a line that it shares with another.

    `reach` is for each of `lines` how far, mm, its ends may be from the common line.
    """
    hosts = _hosts(outlines, lines, max(reach, default=0.0))
    tree = shapely.STRtree([LineString(host.points) for host in hosts])
    found: list[Outline] = []
    used: set[int] = set()
    for line, far in sorted(zip(lines, reach, strict=True), key=lambda each: -each[0].length):
        if line.length < LEAST_LINE:
            break
        near = tree.query(LineString(line.points), "dwithin", far)
        others = [int(index) for index in sorted(near) if hosts[int(index)].line is not line]
        closing = next(_closings(line, [hosts[index] for index in others], far), None)
        if closing is not None:
            outline, stretch = _with_members(closing, segments)
            found.append(outline)
            used |= {*line.members, *stretch}
            if closing.host.owner is None:
                index = hosts.index(closing.host)
                hosts[index] = replace(closing.host, owner=outline)
    left = [line for line in lines if not used & set(line.members)]
    return Along(tuple(found), tuple(left))


def _hosts(outlines: Sequence[Outline], lines: Sequence[Line], reach: float) -> list[_Host]:
    """Return what may be closed along; open lines reach to a corner past their ends."""
    hosts = [
        _Host(line, prolonged(line.points, reach), False, None)
        for line in lines
        if len(line.points) > 1
    ]
    rings = ((outline, np.vstack([outline.points, outline.points[:1]])) for outline in outlines)
    return [*hosts, *(_Host(outline.line, ring, True, outline) for outline, ring in rings)]


@dataclass(frozen=True, eq=False, slots=True)
class _Closing:
    """A line closed along a stretch of a host."""

    line: Line
    host: _Host
    stretch: LineString
    gaps: tuple[float, float]


def _closings(line: Line, hosts: Sequence[_Host], reach: float) -> Iterator[_Closing]:
    """Yield the ways in which a line closes soundly along one of the hosts."""
    for host in hosts:
        shape = LineString(host.points)
        meetings = [_meeting(points, shape, reach) for points in (line.points[::-1], line.points)]
        if meetings[0] is None or meetings[1] is None:
            continue
        gaps = meetings[0][1], meetings[1][1]
        for stretch in _stretches(shape, meetings[0][0], meetings[1][0], host.closed):
            closing = _Closing(line, host, stretch, gaps)
            if _has_no_corner(stretch) and _is_sound(closing):
                yield closing


def _meeting(points: FloatArray, host: LineString, reach: float) -> tuple[float, float] | None:
    """Return where on a host (mm along it) a line meets it that goes on from its first point.

    And how far it goes on, mm. None when it does not meet the host within reach.
    """
    tip = Point(points[0])
    if tip.distance(host) <= TOUCH:
        return host.project(tip), 0.0
    outward, _ = frame(points)
    ray = LineString([points[0], points[0] + reach * np.array(outward)])
    crossing = ray.intersection(host)
    if crossing.is_empty:
        return None
    hit = min(
        (Point(xy) for xy in shapely.get_coordinates(crossing)), key=lambda one: one.distance(tip)
    )
    return host.project(hit), hit.distance(tip)


def _stretches(shape: LineString, start: float, end: float, closed: bool) -> Iterator[LineString]:
    """Yield the stretches of a host from one place to another; two when it is closed."""
    yield substring(shape, start, end)
    if not closed:
        return
    if start < end:
        first, second = substring(shape, start, 0.0), substring(shape, shape.length, end)
    else:
        first, second = substring(shape, start, shape.length), substring(shape, 0.0, end)
    both = put_together([np.asarray(first.coords), np.asarray(second.coords)])
    if len(both) > 1:
        yield LineString(both)


def _has_no_corner(stretch: LineString) -> bool:
    steps = np.diff(np.asarray(stretch.coords, dtype=float), axis=0)
    steps = steps[np.hypot(steps[:, 0], steps[:, 1]) > TOUCH]
    if not len(steps):
        return False
    headings = np.arctan2(steps[:, 1], steps[:, 0])
    turns = (np.diff(headings) + math.pi) % math.tau - math.pi
    return bool((np.abs(turns) <= CORNER).all())


def _is_sound(closing: _Closing) -> bool:
    """Return whether what closes is an outline, and no smaller thing on the edge of one."""
    if closing.stretch.length > closing.line.length:
        return False
    closed = _closed(closing, ())
    outline = outline_of(closed)
    if outline.fault is not None or compactness(closed) < COMPACT:
        return False
    owner = closing.host.owner
    return owner is None or ALIKE <= outline.area / owner.area <= 1.0 / ALIKE


def _closed(closing: _Closing, members: Sequence[int]) -> Line:
    """Return the closed line; `members` are the segments of the stretch."""
    line = closing.line
    points = put_together([line.points, np.asarray(closing.stretch.coords, dtype=float)])
    gaps = tuple(gap for gap in closing.gaps if gap > TOUCH)
    dashes = (*line.dashes, closing.stretch.length)
    return Line(points, line.look, (*line.members, *members), dashes, (*line.gaps, *gaps))


def _with_members(
    closing: _Closing, segments: Sequence[Segment]
) -> tuple[Outline, tuple[int, ...]]:
    """Return the outline of a closing, and the segments of the host that are part of it."""
    members = tuple(
        number
        for number in closing.host.line.members
        if Point(segments[number].points.mean(axis=0)).distance(closing.stretch) <= TOUCH
    )
    return outline_of(_closed(closing, members)), members
