# SPDX-License-Identifier: GPL-2.0-or-later
"""From a job to a judged layout: the one place that wires the engine's parts together.

Steps: validate, make parts, lay them at once in columns, then improve until the stop rule says
enough or nothing better is possible. Every candidate passes the judge before it counts, and the
result does so once more.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from nesting.cloth.problem import Part, Problem, build_problem
from nesting.cloth.repeats import has_match
from nesting.construct.first import first_layout
from nesting.errors import BrokenLayout
from nesting.folded import solve_folded
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.judge.verdict import Violation
from nesting.model import Job, Layout
from nesting.search.improver import Improver
from nesting.search.keeper import Keeper, OnProgress, Progress
from nesting.search.shortage import Shortage
from nesting.several import solve_several
from nesting.stop import Clock, StopRule


def default_search() -> Improver:
    """Return the search that improves layouts: this line chooses it.

    It is imported only now because compiled code takes a second to load, and the first layout
    does not need it.
    """
    from nesting.search.team import Search

    return Search()


def without_hopeless(problem: Problem) -> Problem:
    """Return a problem without the parts that fit nowhere on the cloth, even alone.

    On a remnant there may be many of them, and no choice of parts with one of them can be laid.
    """
    from nesting.construct.bottomleft import Constructor  # compiled, as above

    constructor = Constructor(problem, 0.0)
    known: dict[tuple[int, ...], bool] = {}
    fitting: list[Part] = []
    hopeless: list[Part] = []
    for number, part in enumerate(problem.parts):
        if part.shapes not in known:
            spots = constructor.lay((number,))
            known[part.shapes] = spots is not None and spots[number] is not None
        (fitting if known[part.shapes] else hopeless).append(part)
    return replace(problem, parts=tuple(fitting), hopeless=tuple(hopeless))


def solve(
    job: Job,
    *,
    seed: int = 0,
    stop: StopRule,
    workers: int = 1,
    clock: Clock,
    on_progress: OnProgress | None = None,
    search: Improver | None = None,
) -> Layout:
    """Return the best layout found until `stop` says enough.

    The same job, seed, number of workers and number of rounds give the same placements. On a
    fixed length of cloth it lays as much area as it can, by the priority of the pieces, and lists
    what is left over. `clock`
    gives the seconds since the start; `on_progress` hears of every better layout and of the time
    passing; `search` is put in place of the default one.
    Raises JobError for a job that cannot be laid, BrokenLayout if the judge refuses everything.
    """
    job = validated(job)
    if job.fabrics:
        return _on_several(job, seed, stop, workers, clock, on_progress, search)
    if not job.fabric.is_plain or has_match(job.fabric, job.pieces):
        return solve_folded(
            job, seed=seed, stop=stop, workers=workers, clock=clock, on_progress=on_progress
        )
    problem = build_problem(job)
    if job.fabric.outline:
        problem = without_hopeless(problem)
    keeper = Keeper(job, problem, seed=seed, workers=workers, clock=clock, on_progress=on_progress)
    start = first_layout(problem)
    keeper.offer(start, 0)

    # The bound of many shapes takes longer than to lay them better than in columns.
    waits = problem.is_long and None not in start

    def should_stop(rounds: int) -> bool:
        nonlocal waits
        if waits and rounds > 0:
            waits = False
            keeper.find_bound(lambda: stop(0))
        keeper.hear(rounds)
        return keeper.is_perfect or stop(rounds)

    keeper.find_bound(lambda: waits or stop(0))
    if should_stop(0):
        return keeper.result(0)
    search = search or default_search()
    rounds = 0
    if None in start:
        rounds = Shortage(
            problem,
            bound=keeper.bound,
            search=search,
            seed=seed,
            workers=workers,
            offer=keeper.offer,
            kept=lambda: keeper.spots,
            should_stop=should_stop,
        ).lay()
        start = keeper.spots
    if None not in start:
        rounds += search(
            replace(problem, fabric=replace(problem.fabric, length=None)),
            start,
            seed=seed,
            workers=workers,
            should_stop=lambda more: should_stop(rounds + more),
            on_better=lambda spots, more: keeper.offer(spots, rounds + more),
        )
    return keeper.result(rounds)


def _on_several(
    job: Job,
    seed: int,
    stop: StopRule,
    workers: int,
    clock: Clock,
    on_progress: OnProgress | None,
    search: Improver | None,
) -> Layout:
    """Return the best layout on several pieces of cloth that the judge passes."""
    one = partial(solve, search=search)
    best, refused = None, tuple[Violation, ...]()
    for layout in solve_several(job, seed=seed, stop=stop, workers=workers, clock=clock, solve=one):
        refused = check(job, layout)
        if refused:
            continue
        best = layout
        if on_progress is not None:
            figures = layout.length, layout.utilisation, layout.lower_bound
            on_progress(Progress(layout.seconds, layout.rounds, *figures, (job, layout)))
    if best is None:
        raise BrokenLayout(refused)
    return best
