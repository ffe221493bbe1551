# SPDX-License-Identifier: GPL-2.0-or-later
"""From open segments to closed outlines, step by step; what was joined, what was not, and why."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import Polygon

from extension.joining.borders import with_shared_borders
from extension.joining.common import closed_along
from extension.joining.duplicates import cleaned
from extension.joining.lines import Line
from extension.joining.outlines import Outline, outline_of
from extension.joining.passes import Unclear, corners, free_places, members_of, one_pass, reach_of
from extension.joining.segments import Segment
from nesting.model import Point

TOLERANCE = 1.0
"""mm: the longest gap that is closed where no dash pattern explains it."""


@dataclass(frozen=True, eq=False, slots=True)
class OpenLine:
    """What did not become an outline: its segments, and where it ends (mm on the page).

    `gap` is the distance between its two ends; `fault` what is wrong when it closed all the same.
    """

    segments: tuple[int, ...]
    ends: tuple[Point, Point]
    gap: float
    fault: str | None = None


@dataclass(frozen=True, eq=False, slots=True)
class Joined:
    """The result; segments by the numbers they were given in. Outlines lie in reading order."""

    outlines: tuple[Outline, ...]
    unclear: tuple[Unclear, ...]
    open: tuple[OpenLine, ...]
    duplicates: int


def join_segments(segments: Sequence[Segment], tolerance: float = TOLERANCE) -> Joined:
    """Return the closed outlines that segments were broken from.

    `tolerance` is the longest gap, mm, that is closed where no dash pattern explains it. The result
    does not depend on the order of the segments or on the way round each was drawn.
    """
    clean = cleaned(segments)
    first = one_pass(clean.segments, clean.order, tolerance)
    open_members = members_of(first.open)
    left = [number for number in clean.order if number in open_members]
    # What is still open is looked at again, with nothing taken for granted near a free end.
    second = one_pass(clean.segments, left, tolerance, free_places(first.open))
    outlines = [outline_of(line) for line in (*first.closed, *second.closed)]
    sound = [outline for outline in outlines if outline.fault is None]
    faulty = [outline for outline in outlines if outline.fault is not None]
    shared = with_shared_borders(sound, second.open, clean, tolerance)
    far = reach_of(shared.open, tolerance)
    along = closed_along(shared.outlines, shared.open, clean.segments, far)
    lines, across, _ = corners(along.open, tolerance, across=True)
    mixed = [one for line in across if (one := outline_of(line)).fault is None]
    decided = [one for one in first.unclear if one.decided]
    return Joined(
        _in_reading_order((*shared.outlines, *along.outlines, *mixed)),
        (*decided, *second.unclear, *shared.unclear),
        (*(_open(one.line, one.fault) for one in faulty), *map(_open, lines)),
        clean.count,
    )


def _open(line: Line, fault: str | None = None) -> OpenLine:
    (x, y), (last_x, last_y) = line.points[0].tolist(), line.points[-1].tolist()
    gap = math.hypot(last_x - x, last_y - y)
    return OpenLine(line.members, ((x, y), (last_x, last_y)), gap, fault)


def _in_reading_order(outlines: Sequence[Outline]) -> tuple[Outline, ...]:
    """Return the outlines by rows, from the left, each followed by what lies within it."""
    if not outlines:
        return ()
    areas = [Polygon(outline.points) for outline in outlines]
    tree = shapely.STRtree(areas)
    largest = list(range(len(outlines)))
    for inner, outer in sorted(zip(*tree.query(areas, "within").tolist(), strict=True)):
        if outlines[outer].area > outlines[largest[inner]].area:
            largest[inner] = outer
    rows = _rows({outer: areas[outer].bounds for outer in set(largest)})

    def key(number: int) -> tuple[float, ...]:
        outer, (low_x, low_y, _, _) = largest[number], areas[number].bounds
        place = (rows[outer], round(areas[outer].bounds[0], 2), round(areas[outer].bounds[1], 2))
        return (*place, -round(outlines[number].area, 1), round(low_x, 2), round(low_y, 2))

    return tuple(outlines[number] for number in sorted(range(len(outlines)), key=key))


def _rows(boxes: Mapping[int, tuple[float, float, float, float]]) -> dict[int, int]:
    """Return the row of each box: a new one begins below the middle of all that began the last."""
    rows: dict[int, int] = {}
    row, middle = -1, -math.inf
    for number, (_, top, _, bottom) in sorted(boxes.items(), key=lambda each: each[1][1]):
        if top > middle:
            row, middle = row + 1, (top + bottom) / 2.0
        rows[number] = row
    return rows
