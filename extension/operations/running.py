# SPDX-License-Identifier: GPL-2.0-or-later
"""The engine run for the layouts of one run: within one limit, judged, and what is tried beside.

All layouts are searched for in turns; then short trials tell what no nap would save, and how much
is missing of cloth that is too short.
"""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from extension.job.options import LayOutOptions
from extension.job.plan import Plan
from extension.job.shares import shares
from extension.job.summary import NapTrial
from extension.operations.progress import ProgressOfAll
from extension.operations.turns import in_turns
from nesting.cloth.problem import allowed_turns
from nesting.errors import BrokenLayout
from nesting.judge.check import check
from nesting.model import Job, Layout
from nesting.search.keeper import OnProgress, Progress
from nesting.solve import solve
from nesting.stop import AfterRounds, AfterSeconds, AnyOf, Clock, StopRule

TRIAL_SHARE = 0.15
"""Share of the time limit that is kept to find out what no nap would save, or what is missing."""
TRIAL_LEAST = 2.0
"""Seconds below which such a trial says nothing."""
TRIAL_ROUNDS = 4
"""A trial gets one round for so many rounds of the run."""

NOT_TRIED = "What no nap would save was not tried: the time was too short."
NO_OTHER_WAY = "No piece may be turned without nap either."


@dataclass(frozen=True, eq=False, slots=True)
class Run:
    """How the engine is run: seconds since the start, whether to stop, and who hears of it."""

    clock: Clock
    stop: StopRule
    on_progress: OnProgress | None = None


@dataclass(frozen=True, eq=False, slots=True)
class Found:
    """What was found for one plan.

    `without_nap`: what a short run without nap needs, or why there is no figure. `all_need`: the
    length, mm, on which a short run laid all parts where not all fit on the cloth; else None.
    """

    layout: Layout
    without_nap: NapTrial
    all_need: float | None

    @property
    def without_nap_mm(self) -> float | None:
        """The length that a short run without nap needs, mm, where there was one."""
        return self.without_nap if isinstance(self.without_nap, float) else None


def find(
    plans: Sequence[Plan], options: Sequence[LayOutOptions], seconds: float, run: Run
) -> list[Found]:
    """Return a layout for each plan, all within the `seconds` of the run or each in its rounds.

    Raises JobError for a plan that cannot be laid, BrokenLayout when the judge refuses what came.
    """
    wanted = [_trial_is_wanted(plan, one) for plan, one in zip(plans, options, strict=True)]
    trials = _Trials(seconds, sum(wanted))
    end = trials.begin if any(wanted) and trials.count else seconds
    hears = _Hears(plans, run)
    searches = [
        partial(_solved, plan.job, one, run, hears.of(number))
        for number, (plan, one) in enumerate(zip(plans, options, strict=True))
    ]
    rules = [AnyOf(_own_limit(one, end, run), run.stop) for one in options]
    layouts = in_turns(searches, shares(plans), rules, run.clock)
    return [
        _tried(plan, one, layout, run, trials)
        for plan, one, layout in zip(plans, options, layouts, strict=True)
    ]


class _Hears:
    """Tells whoever listens how far all layouts are, whichever of them has got farther."""

    def __init__(self, plans: Sequence[Plan], run: Run) -> None:
        self._names = [plan.material for plan in plans]
        self._run = run
        self._last: dict[int, Progress] = {}
        self._lock = threading.Lock()

    def of(self, number: int) -> OnProgress | None:
        """Return who hears of one layout."""
        tell = self._run.on_progress
        if tell is None or len(self._names) == 1:
            return tell

        def hear(now: Progress) -> None:
            with self._lock:
                self._last[number] = now
                each = [(self._names[one], self._last[one]) for one in sorted(self._last)]
                tell(ProgressOfAll.of(each, self._run.clock()))

        return hear


def _own_limit(options: LayOutOptions, end: float, run: Run) -> StopRule:
    """Return when a search ends of its own: after its rounds, or at the second when all do."""
    if options.rounds is not None:
        return AfterRounds(options.rounds)
    return AfterSeconds(end, run.clock)


def _solved(
    job: Job, options: LayOutOptions, run: Run, hears: OnProgress | None, limit: StopRule
) -> Layout:
    """Return the engine's layout. The judge is asked here once more: nothing passes it unseen."""
    layout = solve(
        job,
        seed=options.seed,
        stop=limit,
        workers=options.workers,
        clock=run.clock,
        on_progress=hears,
    )
    violations = check(job, layout)
    if violations:
        raise BrokenLayout(violations)
    return layout


# --- trials -------------------------------------------------------------------------------------


class _Trials:
    """The time that is kept for trials: shared evenly, among as many as it is enough for."""

    def __init__(self, seconds: float, wanted: int) -> None:
        kept = TRIAL_SHARE * seconds
        self.begin = (1.0 - TRIAL_SHARE) * seconds
        self.count = min(wanted, int(kept / TRIAL_LEAST))
        self._each = kept / max(self.count, 1)
        self._made = 0

    def may_begin(self, options: LayOutOptions) -> bool:
        """Return whether there is time for one more; rounds take as long as they take."""
        return options.rounds is not None or self._made < self.count

    def rule(self, options: LayOutOptions, run: Run) -> StopRule:
        """Return when the next trial ends."""
        if options.rounds is not None:
            return AfterRounds(max(options.rounds // TRIAL_ROUNDS, 1))
        self._made += 1
        return AfterSeconds(self.begin + self._made * self._each, run.clock)


def _trial_is_wanted(plan: Plan, options: LayOutOptions) -> bool:
    """Return whether there may be something to try beside the run."""
    return _nap_may_matter(plan) or options.fabric_length is not None


def _tried(plan: Plan, options: LayOutOptions, layout: Layout, run: Run, trials: _Trials) -> Found:
    """Return a layout with what trials tell about it."""
    if layout.left_over:
        return Found(layout, "", _needed_by_all(plan, options, layout, run, trials))
    return Found(layout, _without_nap(plan, options, layout, run, trials), None)


def _nap_may_matter(plan: Plan) -> bool:
    """Return whether some piece could lie in another way if the cloth had no nap."""
    fabric = plan.job.fabric
    free = replace(fabric, nap=False)
    return fabric.nap and any(
        allowed_turns(piece, free) != allowed_turns(piece, fabric) for piece in plan.job.pieces
    )


def _without_nap(
    plan: Plan, options: LayOutOptions, layout: Layout, run: Run, trials: _Trials
) -> NapTrial:
    """Return the length that a short run without nap needs, or why there is none."""
    if not plan.job.fabric.nap:
        return ""
    if not _nap_may_matter(plan):
        return NO_OTHER_WAY
    if not trials.may_begin(options) or run.stop(0):
        return NOT_TRIED
    free = replace(plan.job, fabric=replace(plan.job.fabric, nap=False, length=None))
    # A layout with nap is one without as well: no nap never needs more.
    return min(_trial(free, options, run, trials).length, layout.length)


def _needed_by_all(
    plan: Plan, options: LayOutOptions, layout: Layout, run: Run, trials: _Trials
) -> float | None:
    """Return the length on which a short run lays all parts that do not fit on the cloth."""
    if not trials.may_begin(options) or run.stop(0):
        return None
    longer = replace(plan.job, fabric=replace(plan.job.fabric, length=None))
    return _trial(longer, options, run, trials).length


def _trial(job: Job, options: LayOutOptions, run: Run, trials: _Trials) -> Layout:
    """Return a layout by a short run beside the main one."""
    return _solved(job, options, run, None, AnyOf(trials.rule(options, run), run.stop))
