# SPDX-License-Identifier: GPL-2.0-or-later
"""Links dashes that follow each other smoothly at regular gaps: the parts nobody would doubt.

Two ends are linked when each is the other's best continuation, straight on or round a bend, and
the gap between them is one that repeats along the line, or no longer than the tolerance. Lines
that run side by side, as the sizes of a nest do, are told apart because the way over to the next
line leaves at an angle and arrives back at the same angle: an S, where a bend is a C.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from extension.joining.lines import Ends
from extension.joining.nearest import tree_of
from extension.joining.patterns import pattern_of
from extension.joining.segments import TOUCH, BoolArray, FloatArray, IntArray
from extension.joining.touching import chains_of, planes

LONGEST_GAP = 25.0
"""mm; no dash pattern has longer gaps."""
NEIGHBOURS = 24
"""How many of the ends nearest to an end are looked at."""
LEAVES = math.radians(35.0)
"""How far from straight on a smooth link may leave a line."""
S_SHAPE = math.radians(30.0)
"""By how much the angles of leaving and of arriving may differ."""
FOR_DOTS = 2.0
"""By how much more both may be where a dot is linked: it only has the direction it was given."""
WINDOW = 6
"""How many dashes on either side of a gap say what is regular there."""
LEAST, LEAST_CLOSED = 8, 6
"""How many dashes in a row, or in a ring, it takes to believe in a pattern."""
AS_USUAL = 1.25
"""Times the usual gap up to which a gap is one of the pattern's."""


@dataclass(frozen=True, eq=False, slots=True)
class Pairs:
    """Pairs of ends that may be linked, one array per feature; `one` < `two`.

    `gap` mm; `leave` and `arrive` signed angles (radians) from the line to the way over, and from
    that to the next line; both 0 where the ends touch, `turn` is the whole angle between the lines.
    """

    one: IntArray
    two: IntArray
    gap: FloatArray
    leave: FloatArray
    arrive: FloatArray
    turn: FloatArray


def pairs_within(ends: Ends, reach: float, *, across: bool = False) -> Pairs:
    """Return the pairs of ends that are near each other, each with its nearest few.

    Ends of different looks pair only when asked to: `across`.
    """
    places = planes(ends.place, (0 * ends.look if across else ends.look).tolist())
    most = min(NEIGHBOURS + 1, len(places))
    if most < 2:
        nothing = np.empty(0, dtype=np.intp)
        return _features(ends, nothing, nothing)
    _, found = tree_of(places).query(places, k=most, distance_upper_bound=reach)
    first, second = np.repeat(np.arange(len(places)), most), found.reshape(-1)
    there = (second < len(places)) & (first != second)
    low, high = np.minimum(first, second)[there], np.maximum(first, second)[there]
    both = np.unique(low * len(places) + high)
    return _features(ends, both // len(places), both % len(places))


def _features(ends: Ends, one: IntArray, two: IntArray) -> Pairs:
    """Return what there is to know of pairs of ends."""
    over = ends.place[two] - ends.place[one]
    gap = np.hypot(over[:, 0], over[:, 1])
    onward = -ends.outward[two]
    leave = _angle(ends.outward[one], over)
    arrive = _angle(over, onward)
    touching = gap <= TOUCH
    leave[touching] = arrive[touching] = 0.0
    return Pairs(one, two, gap, leave, arrive, _angle(ends.outward[one], onward))


def links_of_runs(ends: Ends) -> tuple[list[int], dict[int, float]]:
    """Return the partner of each end (-1: none), and by look its longest regular gap, mm."""
    pairs = pairs_within(ends, LONGEST_GAP)
    partner, gaps = _mutual_best(ends, pairs)
    chains = chains_of(partner)
    believed = [
        end for chain, closed in chains for end in _steady(ends, chain, partner, gaps, closed)
    ]
    longest: dict[int, float] = {}
    for end in believed:
        look = int(ends.look[end])
        longest[look] = max(longest.get(look, 0.0), gaps[end])
    known = set(believed)
    for end, other in enumerate(partner):
        if other >= 0 and end not in known:
            usual = longest.get(int(ends.look[end]), 0.0)
            if not TOUCH < gaps[end] <= AS_USUAL * usual:
                partner[end] = partner[other] = -1
    return partner, longest


def smooth(pairs: Pairs, ends: Ends) -> BoolArray:
    """Return which pairs follow each other smoothly, as a mask."""
    s_shape = np.abs(pairs.leave - pairs.arrive)
    has_dot = (ends.length[pairs.one] == 0.0) | (ends.length[pairs.two] == 0.0)
    ease = np.where(has_dot, FOR_DOTS, 1.0)
    fine: BoolArray = (np.abs(pairs.leave) <= LEAVES * ease) & (
        np.abs(pairs.arrive) <= LEAVES * ease
    )
    fine &= s_shape <= S_SHAPE * ease
    fine &= np.where(pairs.gap <= TOUCH, np.abs(pairs.turn) <= LEAVES, True)
    # The two ends of one dash meet only when it goes round.
    fine &= (pairs.one ^ 1 != pairs.two) | (ends.length[pairs.one] > 10.0 * pairs.gap)
    return fine


def detour(pairs: Pairs, ends: Ends) -> FloatArray:
    """Return how good a smooth link is: its gap in mm, made longer by what speaks against it."""
    bend = (ends.bend[pairs.one] - ends.bend[pairs.two]) / 2.0
    unlike = np.abs(pairs.leave + pairs.arrive - bend * pairs.gap)
    s_shape = np.abs(pairs.leave - pairs.arrive)
    return pairs.gap * (1.0 + 2.0 * s_shape + unlike)


def _mutual_best(ends: Ends, pairs: Pairs) -> tuple[list[int], dict[int, float]]:
    """Return links between ends that are each other's best, and their gaps by end."""
    mask = smooth(pairs, ends)
    cost = detour(pairs, ends)[mask]
    one, two, gap = pairs.one[mask], pairs.two[mask], pairs.gap[mask]
    best: dict[int, int] = {}
    rank = np.lexsort((two, one, np.round(cost, 6)))
    for place in rank.tolist():
        best.setdefault(int(one[place]), place)
        best.setdefault(int(two[place]), place)
    partner = [-1] * len(ends.length)
    gaps: dict[int, float] = {}
    for end, place in best.items():
        other = int(two[place]) if int(one[place]) == end else int(one[place])
        if best.get(other) == place:
            partner[end] = other
            gaps[end] = float(gap[place])
    return partner, gaps


def _steady(
    ends: Ends,
    chain: Sequence[int],
    partner: Sequence[int],
    gaps: dict[int, float],
    closed: bool,
) -> list[int]:
    """Return the ends of those links of a chain that follow the dash pattern found around them."""
    count = len(chain)
    if count < (LEAST_CLOSED if closed else LEAST):
        return []
    lengths = [float(ends.length[end]) for end in chain]
    widths = [gaps.get(end ^ 1, 0.0) for end in chain]
    believed: list[int] = []
    for index in range(count if closed else count - 1):
        low, high = index - WINDOW + 1, index + WINDOW + 1
        if not closed:
            low, high = max(low, 0), min(high, count)
        near = [place % count for place in range(low, min(high, low + count))]
        pattern = pattern_of([lengths[k] for k in near], [widths[k] for k in near[:-1]])
        if pattern is not None and TOUCH < widths[index] <= AS_USUAL * pattern.gap:
            leaving = chain[index] ^ 1
            believed += [leaving, partner[leaving]]
    return believed


def _angle(before: FloatArray, after: FloatArray) -> FloatArray:
    """Return the signed angle from one direction to another; 0 where either has no length."""
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    dot = before[:, 0] * after[:, 0] + before[:, 1] * after[:, 1]
    angle: FloatArray = np.arctan2(cross, dot)
    return angle
