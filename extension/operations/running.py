# SPDX-License-Identifier: GPL-2.0-or-later
"""The engine run for the layouts of one run: within one limit, judged, and what is tried beside.

All layouts are searched for in turns, and so are the ways to lay the cloth of one that are
compared; then short trials tell what no nap would save, what folding would need, how much is
missing of cloth that is too short, and what would make the parts fit on it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from extension.job.advice import Advice
from extension.job.changes import (
    FOLDED,
    NO_NAP,
    Change,
    Tried,
    area_of_cloth_is_too_small,
    changes_of,
    nap_may_matter,
)
from extension.job.compared import Compared
from extension.job.design import runs_one_way
from extension.job.matched import COST_NOT_TRIED
from extension.job.options import LayOutOptions
from extension.job.plan import Plan
from extension.job.shares import shares
from extension.job.summary import NapTrial
from extension.operations.advising import SHARE as ADVICE_SHARE
from extension.operations.advising import Bench, advice_on
from extension.operations.progress import Hears
from extension.operations.trials import (
    SHORT_SHARE,
    TRIAL_SHARE,
    Trials,
    endless,
    proven_shortest,
    unless_refused,
)
from extension.operations.turns import in_turns
from extension.operations.ways import Taken, Way, folding_may_matter, laid_as, taken_of, ways_of
from nesting.cloth.repeats import has_match
from nesting.errors import BrokenLayout, JobError
from nesting.judge.check import check
from nesting.model import Job, Layout
from nesting.search.keeper import OnProgress, Progress
from nesting.solve import solve
from nesting.stop import AfterRounds, AfterSeconds, AnyOf, Clock, StopRule

NOT_TRIED = "What no nap would save was not tried: the time was too short."
NO_SHORTER = "Without nap no layout can be shorter either."
NO_OTHER_WAY = "No piece may be turned without nap either."
ONE_WAY_UP = "The design has one way up, so the cloth is laid as with a nap."


@dataclass(frozen=True, eq=False, slots=True)
class Run:
    """How the engine is run: seconds since the start, whether to stop, and who hears of it."""

    clock: Clock
    stop: StopRule
    on_progress: OnProgress | None = None


@dataclass(frozen=True, eq=False, slots=True)
class Found:
    """What was found for one plan: the way that was taken of those that there were.

    `folded`: what a short run on cloth folded lengthwise came to, where there was one.
    `without_nap`: what a short run without nap needs, or why there is no figure; `plain`: the same
    of one on plain cloth, where something matches. `all_need`: the
    length, mm, on which a short run laid all parts where not all fit on the cloth; else None.
    `fitting` are the changes that were tried to make them fit, or were not for want of time; None
    where nothing of the kind can, since the parts alone are larger than the cloth. `advice`: what
    would save cloth, where that was asked for.
    """

    taken: Taken
    without_nap: NapTrial = ""
    all_need: float | None = None
    folded: Compared | None = None
    plain: NapTrial = ""
    fitting: tuple[Tried, ...] | None = ()
    advice: Advice | None = None

    @property
    def layout(self) -> Layout:
        """The layout that was taken."""
        return self.taken.best.layout

    @property
    def options(self) -> LayOutOptions:
        """The options that it was laid by."""
        return self.taken.way.options

    @property
    def plan(self) -> Plan:
        """The plan that it meets."""
        return self.taken.way.plan

    @property
    def without_nap_mm(self) -> float | None:
        """The length that a short run without nap needs, mm, where there was one."""
        return self.without_nap if isinstance(self.without_nap, float) else None

    @property
    def plain_mm(self) -> float | None:
        """The length that a short run on plain cloth needs, mm, where there was one."""
        return self.plain if isinstance(self.plain, float) else None


def find(
    plans: Sequence[Plan], options: Sequence[LayOutOptions], seconds: float, run: Run
) -> list[Found]:
    """Return a layout for each plan, all within the `seconds` of the run or each in its rounds.

    Raises JobError for a plan that cannot be laid, BrokenLayout when the judge refuses what came.
    """
    ways = [ways_of(plan, one) for plan, one in zip(plans, options, strict=True)]
    asked = [one.advice for one in options]
    limit, seconds = seconds, seconds * (1.0 - ADVICE_SHARE * any(asked))
    share = TRIAL_SHARE if all(one.fabric_length is None for one in options) else SHORT_SHARE
    trials = Trials(share * seconds, seconds, sum(map(_trials_wanted, plans, options)))
    end = trials.begin if trials.count else seconds
    every = [way for some in ways for way in some]
    hears = Hears([_called(way, ways) for way in every], run.on_progress, run.clock)
    searches = [
        partial(_laid, way, run, hears.of(number), len(every) > len(plans))
        for number, way in enumerate(every)
    ]
    rules = [AnyOf(_own_limit(way.options, end, run), run.stop) for way in every]
    each = [
        share / len(some) for share, some in zip(shares(plans), ways, strict=True) for _ in some
    ]
    results = iter(in_turns(searches, each, rules, run.clock))
    taken = [taken_of(some, [next(results) for _ in some]) for some in ways]
    first = [_tried(one, run, trials) for one in taken]
    tried = [replace(one, folded=_folded(one, run, trials)) for one in first]
    weights = [weight * one for weight, one in zip(shares(plans), asked, strict=True)]
    return [
        replace(one, advice=_advice(one, run, hears, limit, weights[place:]))
        for place, one in enumerate(tried)
    ]


def _called(way: Way, ways: Sequence[Sequence[Way]]) -> str:
    """Return what progress calls a way: by how the cloth lies where that is compared."""
    if len(ways) == 1:
        return way.options.spread
    if way.options.remnant is not None:
        return way.options.remnant.title
    return way.name if any(way in some and len(some) > 1 for some in ways) else way.plan.material


def _laid(
    way: Way, run: Run, hears: OnProgress | None, is_one_of_several: bool, limit: StopRule
) -> Compared | JobError:
    """Return what the engine finds, or why a way that is compared with others cannot be laid."""
    try:
        return _searched(way, way.options, run, hears, limit)
    except JobError as fault:
        if not is_one_of_several:
            raise
        return fault


def _own_limit(options: LayOutOptions, end: float, run: Run) -> StopRule:
    """Return when a search ends of its own: after its rounds, or at the second when all do."""
    if options.rounds is not None:
        return AfterRounds(options.rounds)
    return AfterSeconds(end, run.clock)


def _searched(
    way: Way, options: LayOutOptions, run: Run, hears: OnProgress | None, limit: StopRule
) -> Compared:
    """Return the engine's layout of a way."""
    return Compared(way.options, _solved(way.plan.job, options, run, hears, limit))


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


def _trials_wanted(plan: Plan, options: LayOutOptions) -> int:
    """Return how many things there may be to try beside the search for a layout."""
    if options.fabric_length is not None:
        changes = len(changes_of(plan, options, is_compared=options.compares))
        return changes if options.remnant is not None else 1 + changes
    found = nap_may_matter(plan) + folding_may_matter(plan, options)
    return found + has_match(plan.job.fabric, plan.job.pieces)


def _tried(taken: Taken, run: Run, trials: Trials) -> Found:
    """Return a layout with what trials tell about it; what folding would need comes last."""
    plan, options = taken.way.plan, taken.way.options
    if taken.best.left_over:
        all_need = None
        if options.remnant is None:  # on which length all would fit says nothing of one
            all_need = _needed_by_all(plan, options, run, trials)
        return Found(taken, all_need=all_need, fitting=_fitting(taken, all_need, run, trials))
    without_nap = _without_nap(plan, options, taken.best.layout, run, trials)
    return Found(taken, without_nap, plain=_on_plain(plan, options, taken.best.layout, run, trials))


def _folded(found: Found, run: Run, trials: Trials) -> Compared | None:
    """Return what a short run on cloth folded lengthwise comes to."""
    options = found.options
    if found.taken.is_compared or not folding_may_matter(found.plan, options):
        return None
    if not trials.may_begin(options) or run.stop(0):
        return None
    way = laid_as(found.plan, replace(options, spread="lengthwise"))
    limit = AnyOf(trials.rule(options, run.clock), run.stop)
    try:
        tried = unless_refused(lambda: _searched(way, options, run, None, limit))
    except JobError:
        return None  # what is beside the layout is not worth losing it
    # What came first, unsearched, says nothing about folding.
    return None if tried is None or tried.is_draft else tried


def _without_nap(
    plan: Plan, options: LayOutOptions, layout: Layout, run: Run, trials: Trials
) -> NapTrial:
    """Return the length that a short run without nap needs, or why there is none."""
    if not plan.job.fabric.nap:
        return ""
    if runs_one_way(plan.job.fabric.repeat):
        return ONE_WAY_UP
    if not nap_may_matter(plan):
        return NO_OTHER_WAY
    free = endless(replace(plan.job, fabric=replace(plan.job.fabric, nap=False)))
    if proven_shortest(layout, free, lambda: run.stop(0)):
        return NO_SHORTER
    if not trials.may_begin(options) or run.stop(0):
        return NOT_TRIED
    trial = _trial(free, options, run, trials)
    if trial is None:
        return ""
    # A layout with nap is one without as well: no nap never needs more. On a remnant a run may end
    # before all is laid, and then its length says nothing.
    return layout.length if trial.left_over else min(trial.length, layout.length)


def _on_plain(
    plan: Plan, options: LayOutOptions, layout: Layout, run: Run, trials: Trials
) -> NapTrial:
    """Return the length that a short run on cloth without a design needs, or why there is none."""
    fabric = plan.job.fabric
    if not has_match(fabric, plan.job.pieces):
        return ""
    if not trials.may_begin(options) or run.stop(0):
        return COST_NOT_TRIED
    plain = endless(replace(plan.job, fabric=replace(fabric, repeat=None)))
    trial = _trial(plain, options, run, trials)
    # What matches is a layout on plain cloth as well: that never needs more.
    return "" if trial is None else min(trial.length, layout.length)


def _needed_by_all(plan: Plan, options: LayOutOptions, run: Run, trials: Trials) -> float | None:
    """Return the length on which a short run lays all parts that do not fit on the cloth."""
    if not trials.may_begin(options) or run.stop(0):
        return None
    trial = _trial(endless(plan.job), options, run, trials)
    return None if trial is None else trial.length


def _fitting(
    taken: Taken, all_need: float | None, run: Run, trials: Trials
) -> tuple[Tried, ...] | None:
    """Return what single changes come to, each by a short run; see `Found.fitting`."""
    plan, options, layout = taken.way.plan, taken.way.options, taken.best.layout
    cloth = options.fabric_length
    if cloth is None or (all_need is not None and all_need <= cloth):
        return ()
    if area_of_cloth_is_too_small(plan, layout, cloth):
        return None
    changes = changes_of(plan, options, is_compared=taken.is_compared)
    return tuple(_with_change(change, cloth, run, trials) for change in changes)


def _with_change(change: Change, cloth: float, run: Run, trials: Trials) -> Tried:
    """Return what a change comes to: tried until all parts fit, or its time is over."""
    options = change.options
    may_begin = trials.may_begin(options) or trials.has_time_left(run.clock)
    if not may_begin or run.stop(0):
        return Tried(change, None)
    least = math.inf

    def hear(now: Progress) -> None:
        nonlocal least
        if now.best is not None and not now.best[1].left_over:
            least = min(least, now.length)

    job = change.plan.job
    fits = AnyOf(lambda rounds: least <= cloth, trials.rule(options, run.clock))
    try:
        laid = unless_refused(
            lambda: _solved(endless(job), options, run, hear, AnyOf(fits, run.stop))
        )
    except JobError:
        return Tried(change, None, is_possible=False)
    if laid is None:
        return Tried(change, None)
    there = replace(job, fabric=replace(job.fabric, length=cloth))
    return Tried(change, laid, fits=not (laid.left_over or check(there, laid)))


def _advice(
    found: Found, run: Run, hears: Hears, limit: float, weights: Sequence[float]
) -> Advice | None:
    """Return what would save cloth of a layout: its share of the time until the `limit`.

    `weights` are those of the layouts that are still to be looked at, its own first.
    """
    plan, options, layout = found.plan, found.options, found.layout
    if not options.advice:
        return None
    known: dict[str, Layout | float] = {}
    if found.without_nap_mm is not None:
        known[NO_NAP] = found.without_nap_mm
    if found.folded is not None:
        known[FOLDED] = found.folded.layout
    begin = run.clock()

    def solve(job: Job, options: LayOutOptions, rule: StopRule) -> Layout:
        return _solved(job, options, run, hears.time_passes, AnyOf(rule, run.stop))

    end = begin + (limit - begin) * weights[0] / sum(weights)
    bench = Bench(solve, run.clock, run.stop, end)
    return advice_on(plan, options, layout, bench, known=known, is_compared=found.taken.is_compared)


def _trial(job: Job, options: LayOutOptions, run: Run, trials: Trials) -> Layout | None:
    """Return a layout by a short run beside the main one; None when the judge refuses it."""
    rule = AnyOf(trials.rule(options, run.clock), run.stop)
    return unless_refused(lambda: _solved(job, options, run, None, rule))
