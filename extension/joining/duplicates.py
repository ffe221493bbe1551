# SPDX-License-Identifier: GPL-2.0-or-later
"""Cleans lines that are drawn twice: copies are taken away, overlaps are cut back to a touch."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import LineString, Point
from shapely.ops import substring

from extension.joining.segments import TOUCH, Look, Segment, directed, in_fixed_order


@dataclass(frozen=True, eq=False, slots=True)
class Cleaned:
    """Segments without copies.

    `segments` has one for each that was given, cut back where it overlapped another; `order` has
    the numbers of those to be used, in an order that does not depend on the drawing's; `twice`
    those drawn more than once, in whole or in part; `copies` those that were taken away; `count`
    is how many were taken away or cut.
    """

    segments: tuple[Segment, ...]
    order: tuple[int, ...]
    twice: frozenset[int]
    copies: tuple[int, ...]
    count: int


def cleaned(segments: Sequence[Segment]) -> Cleaned:
    """Return the segments without what lies on another segment of the same look."""
    cleaner = _Cleaner(segments)
    by_look: dict[Look, list[int]] = {}
    for number in in_fixed_order(segments):
        by_look.setdefault(segments[number].look, []).append(number)
    for numbers in by_look.values():
        cleaner.clean(numbers)
    return cleaner.result([number for numbers in by_look.values() for number in numbers])


class _Cleaner:
    """Takes away and cuts back, one look after the other."""

    def __init__(self, segments: Sequence[Segment]) -> None:
        self._segments = list(segments)
        self._gone: set[int] = set()
        self._cut: set[int] = set()
        self._twice: set[int] = set()
        self._copies: set[int] = set()

    def clean(self, numbers: Sequence[int]) -> None:
        """Clean the segments of one look."""
        shapes = {number: _shape(self._segments[number]) for number in numbers}
        longest_first = sorted(numbers, key=lambda number: -round(shapes[number].length, 2))
        pairs = _near(longest_first, shapes)
        for keeper, other in pairs:
            if keeper not in self._gone and other not in self._gone:
                self._take_away(keeper, other, shapes)
        for keeper, other in pairs:
            if keeper not in self._gone and other not in self._gone:
                self._cut_back(keeper, other, shapes)

    def result(self, order: Sequence[int]) -> Cleaned:
        """Return what is left."""
        kept = tuple(number for number in order if number not in self._gone)
        count = len(self._gone) + len(self._cut - self._gone)
        copies = tuple(number for number in order if number in self._copies)
        return Cleaned(tuple(self._segments), kept, frozenset(self._twice), copies, count)

    def _take_away(self, keeper: int, other: int, shapes: dict[int, shapely.Geometry]) -> None:
        """Take `other` away when all of it lies on `keeper`, which is at least as long."""
        one, two = shapes[keeper], shapes[other]
        if not _lies_on(self._segments[other], one):
            return
        self._gone.add(other)
        self._copies.add(other)
        if one.length - two.length <= 2.0 * TOUCH:
            self._twice.add(keeper)

    def _cut_back(self, keeper: int, other: int, shapes: dict[int, shapely.Geometry]) -> None:
        """Cut `other` where its end and an end of `keeper` lie within each other."""
        for keep in _uncovered(shapes[keeper], shapes[other]):
            self._cut.add(other)
            self._twice |= {keeper, other}
            if keep.length <= TOUCH:
                self._gone.add(other)
                return
            shapes[other] = keep
            points = np.asarray(keep.coords, dtype=float)
            self._segments[other] = replace(self._segments[other], points=points)


def _shape(segment: Segment) -> shapely.Geometry:
    points = directed(segment.points)
    return LineString(points) if len(points) > 1 else Point(points[0])


def _near(numbers: Sequence[int], shapes: dict[int, shapely.Geometry]) -> list[tuple[int, int]]:
    """Return the pairs that touch or overlap anywhere, in order."""
    geometries = [shapes[number] for number in numbers]
    tree = shapely.STRtree(geometries)
    first, second = tree.query(geometries, "dwithin", TOUCH)
    inner = first < second
    pairs = sorted(zip(first[inner].tolist(), second[inner].tolist(), strict=True))
    return [(numbers[one], numbers[two]) for one, two in pairs]


def _lies_on(segment: Segment, shape: shapely.Geometry) -> bool:
    """Return whether every point of a segment lies within `TOUCH` of a line."""
    points = segment.points
    middles = (points[1:] + points[:-1]) / 2.0
    every = np.concatenate([points, middles])
    return bool((shapely.distance(shapely.points(every), shape) <= TOUCH).all())


def _uncovered(keeper: shapely.Geometry, line: shapely.Geometry) -> Iterator[shapely.Geometry]:
    """Yield the line cut back at each end that runs along the keeper past the keeper's end."""
    if line.length <= TOUCH or keeper.length <= TOUCH:
        return
    tips = [Point(keeper.coords[0]), Point(keeper.coords[-1])]
    for at_start in (True, False):
        tip = Point(line.coords[0 if at_start else -1])
        if tip.distance(keeper) > TOUCH:
            continue
        for other in tips:
            place = line.project(other)
            over = place if at_start else line.length - place
            if other.distance(line) > TOUCH or over <= 2.0 * TOUCH:
                continue
            low, high = (0.0, place) if at_start else (place, line.length)
            if _runs_along(substring(line, low, high), keeper):
                line = substring(line, high, line.length) if at_start else substring(line, 0.0, low)
                yield line
                break


def _runs_along(part: shapely.Geometry, keeper: shapely.Geometry) -> bool:
    points = np.asarray(part.coords, dtype=float)
    every = np.concatenate([points, (points[1:] + points[:-1]) / 2.0])
    return bool((shapely.distance(shapely.points(every), keeper) <= TOUCH).all())
