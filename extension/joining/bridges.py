# SPDX-License-Identifier: GPL-2.0-or-later
"""The ways over a gap between two ends: straight on, round a bend, or through a lost corner."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from extension.joining.lines import Ends
from extension.joining.runs import AS_USUAL, Pairs, detour, smooth
from extension.joining.segments import TOUCH, BoolArray, FloatArray

Kind = Literal["touch", "smooth", "corner", "straight"]

LEAST_TURN = math.radians(8.0)
"""Lines that turn less have no corner between them that could be told from a bend."""
TURN_COST = 0.5
"""mm that a right angle counts as, so that of several lines from one place the straighter go on."""
BACK_COST = 2.0
"""By how much more than a gap the stretch counts by which lines run past their corner."""
DETOUR = 3.0
"""Times a gap up to which the way through a corner is taken before the straight one: two lines
that ran past a right angle by as much count for 2.8 times what is between their ends."""
EXPECTED = 0.4
"""Share of itself that a gap counts for when the dash pattern has it just there."""
STEP = math.radians(4.0)
"""Turn per chord of a bend that is drawn over a gap."""


@dataclass(frozen=True, eq=False, slots=True)
class Ways:
    """The best way over for each of some pairs, and its cost in mm (infinite: there is none).

    `corner` says that it goes through the meeting point of the two lines, `ahead_one` and
    `ahead_two` mm ahead of their ends (behind them when negative).
    """

    pairs: Pairs
    cost: FloatArray
    corner: BoolArray
    ahead_one: FloatArray
    ahead_two: FloatArray


@dataclass(frozen=True, slots=True)
class Way:
    """One way over from an end to another. `gap` mm between the ends."""

    one: int
    two: int
    cost: float
    gap: float
    corner: bool
    ahead_one: float
    ahead_two: float


def ways_over(
    pairs: Pairs,
    ends: Ends,
    reach: FloatArray,
    usual: FloatArray,
    onward: FloatArray,
    unlike: FloatArray,
    tolerance: float,
) -> Ways:
    """Return the best way over for each pair.

    In mm per pair: `reach` is the longest way through a corner, `usual` the usual gap of the
    lines' dash pattern, `onward` the longest gap that is gone straight over; `unlike` (0 to 1)
    how much the two lines differ in pattern and look.
    """
    one, two, meets = _meeting(pairs, ends)
    around = np.maximum(one, 0.0) + np.maximum(two, 0.0)
    back = np.maximum(-one, 0.0) + np.maximum(-two, 0.0)
    meets &= (around + back <= reach) & (back <= tolerance) & (pairs.gap > TOUCH)
    through_corner = np.where(meets, around + BACK_COST * back, np.inf)
    follows = smooth(pairs, ends) & (pairs.gap <= onward)
    expected = np.where(pairs.gap <= AS_USUAL * usual, EXPECTED, 1.0)
    straight_on = np.where(follows, expected * detour(pairs, ends), np.inf)
    near = np.where(pairs.gap <= tolerance, BACK_COST * pairs.gap, np.inf)
    near = np.where(pairs.gap <= TOUCH, 0.0, near)
    corner = through_corner < np.minimum(straight_on, near)
    corner |= meets & _sharper_than_bend(pairs, ends) & (through_corner <= DETOUR * pairs.gap)
    length = np.minimum(through_corner, np.minimum(straight_on, near))
    cost = length * (1.0 + 2.0 * unlike) + TURN_COST * (1.0 - np.cos(pairs.turn))
    own = (pairs.one ^ 1 == pairs.two) & (ends.length[pairs.one] <= 10.0 * length)
    return Ways(pairs, np.where(own, np.inf, cost), corner, one, two)


def way(ways: Ways, index: int) -> Way:
    """Return one of many ways."""
    pairs = ways.pairs
    return Way(
        int(pairs.one[index]),
        int(pairs.two[index]),
        float(ways.cost[index]),
        float(pairs.gap[index]),
        bool(ways.corner[index]),
        float(ways.ahead_one[index]),
        float(ways.ahead_two[index]),
    )


def straight_over(ends: Ends, one: int, two: int) -> Way:
    """Return the way straight on from one end to another."""
    gap = math.dist(ends.place[one], ends.place[two])
    return Way(one, two, gap, gap, False, 0.0, 0.0)


def _meeting(pairs: Pairs, ends: Ends) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Return how far ahead of each end the two lines meet, mm, and whether they do."""
    u, v = ends.outward[pairs.one], ends.outward[pairs.two]
    over = ends.place[pairs.two] - ends.place[pairs.one]
    across = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    meets = np.abs(across) > math.sin(LEAST_TURN)
    safe = np.where(meets, across, 1.0)
    one = (over[:, 0] * v[:, 1] - over[:, 1] * v[:, 0]) / safe
    two = (over[:, 0] * u[:, 1] - over[:, 1] * u[:, 0]) / safe
    return one, two, meets


def _sharper_than_bend(pairs: Pairs, ends: Ends) -> BoolArray:
    """Return whether lines turn at least twice as much as their bends would over the gap."""
    bend = np.abs(ends.bend[pairs.one] - ends.bend[pairs.two]) / 2.0
    sharper: BoolArray = np.abs(pairs.turn) > 2.0 * bend * pairs.gap
    return sharper


def drawn_over(ends: Ends, way_over: Way) -> FloatArray:
    """Return the points between the two ends, (N, 2) mm, N = 0 for a straight way.

    A corner is the meeting point; a bend is the cubic that leaves and arrives along the lines with
    handles of a third of the gap, as an arc of so little turn is drawn.
    """
    start, end = ends.place[way_over.one], ends.place[way_over.two]
    u, v = ends.outward[way_over.one], ends.outward[way_over.two]
    if way_over.corner:
        return np.array([start + way_over.ahead_one * u])
    turn = abs(math.atan2(u[1] * v[0] - u[0] * v[1], -(u[0] * v[0] + u[1] * v[1])))
    steps = min(math.ceil(turn / STEP), 16)
    if way_over.gap <= TOUCH or steps < 2 or turn > math.pi / 2.0:
        return np.empty((0, 2))
    t = (np.arange(1, steps) / steps)[:, None]
    handle = way_over.gap / 3.0
    near, far = start + handle * u, end + handle * v
    rest = 1.0 - t
    points: FloatArray = (
        rest**3 * start + 3.0 * rest**2 * t * near + 3.0 * rest * t**2 * far + t**3 * end
    )
    return points
