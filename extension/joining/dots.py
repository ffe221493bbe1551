# SPDX-License-Identifier: GPL-2.0-or-later
"""Gives dots (dashes of no length, drawn round) the direction of the line they lie in."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from extension.joining.lines import Ends
from extension.joining.nearest import tree_of
from extension.joining.segments import FloatArray, IntArray
from extension.joining.touching import APART, planes

NEIGHBOURS = 8
FARTHEST = 1.6
"""By how much farther than its nearest neighbour the neighbour on the other side may lie."""
OPPOSITE = 0.35
"""Cosine of the angle between two neighbours below which a line may run from one to the other."""


def point_dots(ends: Ends) -> Ends:
    """Return the ends with those of dots pointing along their line: 2 k one way, 2 k + 1 back."""
    dots = np.flatnonzero(ends.length[::2] == 0.0)
    if not len(dots) or len(ends.length) < 4:
        return ends
    outward = ends.outward.copy()
    places = planes(ends.place, ends.look.tolist())
    most = min(NEIGHBOURS + 2, len(places))
    distance, found = tree_of(places).query(places[2 * dots], k=most)
    for dot, far, near in zip(dots.tolist(), distance, found, strict=True):
        others = near[(near // 2 != dot) & (far < APART / 2.0)]
        outward[2 * dot] = _direction(ends, dot, others)
        outward[2 * dot + 1] = -outward[2 * dot]
    return replace(ends, outward=outward)


def _direction(ends: Ends, dot: int, others: IntArray) -> FloatArray:
    """Return the direction from a dot to its nearest neighbour, away from the one opposite."""
    over = ends.place[others] - ends.place[2 * dot]
    far = np.hypot(over[:, 0], over[:, 1])
    beside = far > 0.0
    if not beside.any():
        return np.zeros(2)
    units = over[beside] / far[beside, None]
    far = far[beside]
    opposite = (units @ units[0] < OPPOSITE) & (far <= FARTHEST * far[0])
    along = units[0] - units[int(np.argmax(opposite))] if opposite.any() else units[0]
    direction: FloatArray = along / np.hypot(along[0], along[1])
    return direction
