# SPDX-License-Identifier: GPL-2.0-or-later
"""How far lengths can be trusted, from what was done for them: rounds, neighbours, proven bounds.

Never from a guess: a length is rough when its search was short by what was measured of searches.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from extension.job.limits import SECONDS_LIMIT
from extension.requirements_table.budget import AMPLE, FOR_ALL, PREPARING, Cost
from extension.requirements_table.cells import Planned
from extension.requirements_table.laws import shortest
from nesting.errors import ThriftlayError
from nesting.model import Layout
from nesting.stop import Clock, StopRule
from nesting.tighten import tighten

ENOUGH = 50
"""Rounds from which on a length is not rough: cells of the benchmark's table were then 0.8 % above
runs of a minute in the mean, after 25 rounds 1.2 %, after 4 rounds 2.4 % (RESULTS.md)."""
SINGLE_RUN = 160
"""Rounds that are as much as a single layout gets in its usual time (RESULTS.md)."""
BEHIND = 0.02
"""Share by which a neighbour's layout beats the cell's own: it asks for as much as a single run."""
NEAR_BOUND = 0.005
"""Share above the proven least length within which more time does not matter."""
JUMP = 0.92
"""The length jumps where wider cloth needs less than this share of the area that narrower needs."""


def rounds_wanted(own: Layout | None, shown: Layout | None) -> int:
    """Return how many rounds a cell should have had: more when a neighbour's layout beats its own.

    `shown` is the shortest known for the cell, with the cell's own bound.
    """
    if shown is None or shown.length <= shown.lower_bound * (1.0 + NEAR_BOUND):
        return 0
    behind = own is None or own.length > shown.length * (1.0 + BEHIND)
    return SINGLE_RUN if behind else ENOUGH


@dataclass(frozen=True, slots=True)
class RightTime:
    """The seconds that would be right for a table; `at_least`: some cells were not measured."""

    seconds: float
    at_least: bool


def right_time(
    costs: Sequence[Cost | None], had: Sequence[int], wanted: Sequence[int], workers: int
) -> RightTime:
    """Return the time in which so many workers would give every cell the rounds it should have.

    `costs` are as measured on the computer as busy as it was, None where nothing was; `had` are
    the rounds so far. The first rounds hold what is prepared and do not tell what more would cost:
    then the time counts that is ample on an idle computer.
    """
    known = [
        None if cost is None or rounds <= PREPARING else cost.of(max(rounds, asked))
        for cost, rounds, asked in zip(costs, had, wanted, strict=True)
    ]
    needed = sum(
        AMPLE if seconds is None else seconds
        for seconds, asked in zip(known, wanted, strict=True)
        if asked > 0 or seconds is not None
    )
    unknown = any(one is None and asked > 0 for one, asked in zip(known, wanted, strict=True))
    return RightTime(needed / (workers * FOR_ALL), unknown)


def is_much_less(narrow: Layout, wide: Layout) -> bool:
    """Return whether wider cloth needs much less area than narrower."""
    return wide.length * wide.width < JUMP * narrow.length * narrow.width


def is_proven(narrow: Layout, wide: Layout) -> bool:
    """Return whether no layout on the narrower cloth can be as short as that on the wider."""
    return narrow.lower_bound > wide.length * (1.0 + 1e-9)


def tried_narrower(
    cells: Sequence[Planned],
    layouts: Sequence[Layout | None],
    rounds: Sequence[int],
    stop: StopRule,
    clock: Clock,
) -> tuple[list[Layout | None], set[int]]:
    """Return the layouts after narrower cloth has tried what wider cloth does so much better.

    `cells` can be laid and stand in the order of the table, `layouts` are theirs. Where both of
    two neighbours have been searched like a single layout and the length still falls by much, the
    parts are put on the narrower cloth as they lie on the wider, moved apart and pressed together.
    The numbers of the cells that have had this try come with them. (The other way round there is
    nothing to try: what lies on narrower cloth lies on wider cloth as it is.)
    """
    own, tried = list(layouts), set[int]()
    pairs = [
        (number, narrow)
        for number, (narrow, wide) in enumerate(pairwise(cells))
        if are_neighbours(narrow, wide)
        and narrow.job.fabric.is_plain
        and min(rounds[number], rounds[number + 1]) >= SINGLE_RUN
    ]
    shown = shortest([one.job for one in cells], layouts) if pairs else []
    for number, narrow in reversed(pairs):  # what narrower cloth gains, still narrower cloth tries
        one, other = shown[number], shown[number + 1]
        if one is None or other is None or not is_much_less(one, other) or is_proven(one, other):
            continue
        try:
            again = tighten(narrow.job, other.placements, stop=stop, clock=clock)
        except ThriftlayError:
            continue
        if stop(0):
            break
        tried.add(number)
        if again.length < one.length:
            own[number] = shown[number] = replace(again, rounds=rounds[number], seed=one.seed)
    return own, tried


def are_neighbours(narrow: Planned, wide: Planned) -> bool:
    """Return whether two cells stand side by side in a row: all but the width is the same."""
    one, other = narrow.cell, wide.cell
    return replace(one, width=other.width) == other


def told_seconds(seconds: float) -> int:
    """Return seconds as one would set them: rounded up to whole minutes, at most a day."""
    return min(math.ceil(seconds / 60.0) * 60, round(SECONDS_LIMIT))
