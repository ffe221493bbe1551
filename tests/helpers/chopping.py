# SPDX-License-Identifier: GPL-2.0-or-later
"""Breaks outlines into segments whose truth is known: dashes, dots, cuts anywhere, lost corners."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import cycle, pairwise

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon
from shapely.ops import substring

Points = NDArray[np.float64]


def dashed(
    outline: Points, pattern: Sequence[float], start: float = 0.0, closed: bool = True
) -> list[Points]:
    """Return the dashes of a line: dash, gap, dash, gap ... in mm, `start` mm into the pattern.

    A dash of no length is a dot: one point. On a closed line the pattern is cut where it meets
    its beginning, as every drawing program does it.
    """
    line = _line(outline, closed)
    found = []
    for low, high in _dashes(line.length, pattern, start):
        low, high = max(low, 0.0), min(high, line.length)
        if high > low:
            found.append(np.asarray(substring(line, low, high).coords, dtype=float))
        elif high == low:
            found.append(np.asarray(line.interpolate(low).coords, dtype=float))
    return found


def _dashes(length: float, pattern: Sequence[float], start: float) -> Iterator[tuple[float, float]]:
    place = -start
    steps = cycle(pattern)
    while place < length:
        dash, gap = next(steps), next(steps)
        if place + dash >= 0.0:
            yield place, place + dash
        place += dash + gap


def edge_by_edge(outline: Points, pattern: Sequence[float], corner: float = 20.0) -> list[Points]:
    """Return the dashes of a closed outline whose pattern begins anew at every corner.

    `corner` is the turn, degrees, that makes one.
    """
    return [dash for edge in edges(outline, corner) for dash in dashed(edge, pattern, closed=False)]


def edges(outline: Points, corner: float = 20.0) -> list[Points]:
    """Return a closed outline cut at its corners."""
    ring = np.vstack([outline, outline[:1]])
    turns = [
        abs(_turn(outline[i - 1], outline[i], outline[(i + 1) % len(outline)]))
        for i in range(len(outline))
    ]
    places = [i for i, turn in enumerate(turns) if turn > math.radians(corner)]
    if not places:
        return [ring]
    double = np.vstack([outline, outline, outline[:1]])
    around = [*places, places[0] + len(outline)]
    return [double[low : high + 1] for low, high in pairwise(around)]


def cut_at(outline: Points, places: Sequence[float], gap: float = 0.0) -> list[Points]:
    """Return a closed outline cut at shares (0 to 1) of its length, `gap` mm taken out at each."""
    line = _line(outline, True)
    half = gap / 2.0
    cuts = sorted(place * line.length for place in places)
    found = []
    for low, high in pairwise([*cuts, cuts[0] + line.length]):
        if high - low > gap:
            found.append(_around(line, low + half, high - half))
    return found


def without_corners(outline: Points, before: float, after: float) -> list[Points]:
    """Return the edges of an outline, so many mm of them missing before and after each corner."""
    return [shortened(edge, after, before) for edge in edges(outline)]


def shortened(line: Points, beginning: float, end: float) -> Points:
    """Return a line without so many mm of its beginning and of its end."""
    whole = LineString(line)
    part = substring(whole, beginning, whole.length - end)
    return np.asarray(part.coords, dtype=float)


def apart(one: Points, other: Points) -> float:
    """Return how far two outlines are apart, mm: area of what only one encloses / perimeter."""
    first, second = Polygon(one), Polygon(other)
    return float(first.symmetric_difference(second).area / second.length)


def _around(line: LineString, low: float, high: float) -> Points:
    """Return a part of a closed line that may run past its end."""
    if high <= line.length:
        return np.asarray(substring(line, low, high).coords, dtype=float)
    if low >= line.length:
        return _around(line, low - line.length, high - line.length)
    first = np.asarray(substring(line, low, line.length).coords, dtype=float)
    second = np.asarray(substring(line, 0.0, high - line.length).coords, dtype=float)
    return np.vstack([first[:-1], second])


def _line(outline: Points, closed: bool) -> LineString:
    return LineString(np.vstack([outline, outline[:1]]) if closed else outline)


def _turn(before: Points, here: Points, after: Points) -> float:
    one, two = here - before, after - here
    return math.atan2(one[0] * two[1] - one[1] * two[0], float(one @ two))
