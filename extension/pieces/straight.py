# SPDX-License-Identifier: GPL-2.0-or-later
"""Straight runs of flattened lines: what a grainline's shaft and a fold edge are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from extension.svg.model import Ring
from nesting.model import Point

STRAIGHT_TOLERANCE = 0.05
"""mm by which a point of a straight run may lie beside the line through its ends."""


@dataclass(frozen=True, slots=True)
class Run:
    """A straight run from one point to another, in the order drawn.

    `first` is the index of its first point and `steps` the number of segments in it.
    """

    start: Point
    end: Point
    first: int
    steps: int

    @property
    def length(self) -> float:
        """Return the distance between its ends."""
        return math.dist(self.start, self.end)


def straight_runs(
    points: Sequence[Point], *, closed: bool, tolerance: float = STRAIGHT_TOLERANCE
) -> tuple[Run, ...]:
    """Return the longest straight runs that cover a line, none lying within another.

    `points` are (x, y) in mm without a repeated last point. A curve gives many short runs.
    """
    count = len(points)
    last = count if closed else count - 1
    if count < 2:
        return ()
    array = np.asarray(points, dtype=np.float64)
    steps = [0] * count
    for first in range(last):
        # A run that starts one point later reaches at least as far, less the one point.
        known = max(1, steps[first - 1] - 1) if first else 1
        most = count - 1 if closed else count - 1 - first
        steps[first] = _reach(array, first, min(known, most), most, tolerance)
    kept = [
        first
        for first in range(last)
        if not (steps[first - 1] > steps[first] if first or closed else False)
    ]
    return tuple(
        Run(points[first], points[(first + steps[first]) % count], first, steps[first])
        for first in kept
    )


def longest_run(rings: Sequence[Ring]) -> Run | None:
    """Return the longest straight run of a drawn object, the first of equals; None without any."""
    runs = [run for ring in rings for run in straight_runs(ring.points, closed=ring.closed)]
    return max(runs, key=lambda run: run.length, default=None)


def _reach(points: np.ndarray, first: int, known: int, most: int, tolerance: float) -> int:
    """Return how many segments from `first` on lie on one straight line."""
    steps = known
    while steps < most and _is_straight(points, first, steps + 1, tolerance):
        steps += 1
    return steps


def _is_straight(points: np.ndarray, first: int, steps: int, tolerance: float) -> bool:
    run = points[(first + np.arange(steps + 1)) % len(points)]
    chord = run[-1] - run[0]
    length = float(np.hypot(*chord))
    if length == 0.0:
        return False
    offset = run - run[0]
    along = offset @ chord / length
    beside = np.abs(offset[:, 0] * chord[1] - offset[:, 1] * chord[0]) / length
    return bool((beside <= tolerance).all() and (np.diff(along) >= -tolerance).all())
