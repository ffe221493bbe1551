# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether an outline of a job can be one, and the outline with plain numbers."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from typing import Any

import shapely

from nesting.jobs.values import is_list, number_faults, said
from nesting.judge.verdict import capital
from nesting.model import Outline, Point

FARTHEST = 100_000.0
"""Largest coordinate of an outline, mm."""
LEAST_AREA = 0.01
"""mm2 below which an outline has no area."""
SAME_PLACE = 1e-6
"""mm within which two points following each other are one."""


def points_faults(whose: str, points: Any, least: int) -> Iterator[str]:
    """Yield the first thing that keeps a value from being a list of points on the table."""
    what = capital(whose)
    if not is_list(points):
        yield f"{what} must be a list of points, not {said(points)}."
        return
    if len(points) < least:
        yield f"{what} has {len(points)} points, but needs at least {least}: redraw it."
        return
    for point in points:
        if not is_list(point) or len(point) != 2:
            yield f"{what} has a point that is not two numbers: {said(point)}."
            return
        for value in point:
            # Almost every value is a plain number within bounds; there are many.
            if type(value) is float and -FARTHEST <= value <= FARTHEST:
                continue
            faults = list(
                number_faults(f"A coordinate of {whose}", value, -FARTHEST, FARTHEST, " mm")
            )
            yield from faults
            if faults:
                return


def shape_faults(what: str, outline: Outline, thing: str = "piece") -> Iterator[str]:
    """Yield why an outline, of a piece or another `thing`, does not run once round an area."""
    if len(outline) < 3:
        yield f"{what} has fewer than three different points: redraw it."
        return
    polygon = shapely.Polygon(outline)
    # What crosses itself may enclose nothing on balance: only its repaired form tells.
    area = polygon.area if polygon.is_valid else shapely.make_valid(polygon).area
    if not area >= LEAST_AREA:
        yield f"{what} has no area: redraw it, or leave the {thing} out."
    elif not polygon.is_valid:
        where = re.search(r"\[(\S+) (\S+)\]", shapely.is_valid_reason(polygon))
        near = f" near ({float(where[1]):.1f}, {float(where[2]):.1f}) mm" if where else ""
        yield f"{what} crosses or touches itself{near}: redraw it so that it runs round once."


def clean_outline(points: Sequence[Sequence[float]]) -> Outline:
    """Return an outline without points that repeat the one before (or the last the first)."""
    kept: list[Point] = []
    for point in map(point_of, points):
        if not kept or math.dist(point, kept[-1]) > SAME_PLACE:
            kept.append(point)
    while len(kept) > 1 and math.dist(kept[-1], kept[0]) <= SAME_PLACE:
        kept.pop()
    return tuple(kept)


def point_of(point: Sequence[float]) -> Point:
    """Return a point as two plain floats."""
    return float(point[0]), float(point[1])
