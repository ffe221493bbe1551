# SPDX-License-Identifier: GPL-2.0-or-later
"""What would save cloth, looked for behind a layout: short runs, each with one thing changed.

First some with nothing changed and other seeds, which tell what luck is; then every change, a
consent of all pieces at once; then, of a consent that saves, the pieces one by one that made use of
it. A run with rounds gives each a share of its rounds and tries all; one with a time limit keeps
part of that, and what there was no time for is named.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from extension.job.advice import DRAFT, NOT_ALL_FIT, Advice, Measured
from extension.job.changes import Change, area_of
from extension.job.compared import AS_SHORT, Compared
from extension.job.options import LayOutOptions
from extension.job.plan import Plan
from extension.job.saving_changes import of_one_piece, saving_changes
from extension.operations.trials import endless, unless_refused
from nesting.errors import JobError
from nesting.judge.check import check
from nesting.judge.outlines import FIGURES
from nesting.model import Job, Layout
from nesting.stop import AfterRounds, AfterSeconds, Clock, StopRule

SHARE = 0.5
"""Share of the time limit that is kept for it."""
LEAST = 1.0
"""Seconds below which a short run is not begun."""
ROUNDS = 8
"""A short run gets one round for so many rounds of the run."""
SEEDS = 3
"""Short runs with nothing changed."""
ALONE = 4
"""Pieces that are tried alone of each consent, the largest first."""

Solve = Callable[[Job, LayOutOptions, StopRule], Layout]


@dataclass(eq=False, slots=True)
class Bench:
    """Where short runs are made one after the other, until the clock shows `end`.

    `solve` lays a job with the seed of options until a rule says stop; `stop` is the person's own.
    """

    solve: Solve
    clock: Clock
    stop: StopRule
    end: float
    is_begun: int = field(default=0)

    def length_of(self, job: Job, options: LayOutOptions, still: int) -> Layout | None:
        """Return the layout of a short run, `still` more to come after it; None for want of time.

        None as well when the judge refuses what came: what was laid before is good all the same.
        Raises JobError when parts cannot be laid so.
        """
        if self.stop(0):
            return None
        rule: StopRule
        if options.rounds is not None:
            rule = AfterRounds(max(options.rounds // ROUNDS, 1))
        else:
            left = self.end - self.clock()
            if left < LEAST:
                return None
            until = self.clock() + max(left / (still + 1), LEAST)
            rule = AfterSeconds(min(until, self.end), self.clock)
        found = unless_refused(lambda: self.solve(endless(job), options, rule))
        # What came first, unsearched, says nothing, nor does a run that a stop cut short.
        if found is None or self.stop(0) or Compared(options, found).is_draft:
            return None
        return found


def advice_on(
    plan: Plan,
    options: LayOutOptions,
    layout: Layout,
    bench: Bench,
    *,
    known: Mapping[str, Layout | float],
    is_compared: bool,
) -> Advice:
    """Return what single changes save of the cloth of a layout.

    `known` is what short runs have told already, by the words of the change: it is not tried again,
    so that no two figures contradict each other. `is_compared`: the cloth was laid folded and open.
    """
    if layout.left_over or Compared(options, layout).is_draft:
        return Advice(
            options, layout.length, refused=DRAFT if not layout.left_over else NOT_ALL_FIT
        )
    is_shortest = layout.length - layout.lower_bound < AS_SHORT
    changes = saving_changes(plan, options, is_compared=is_compared)
    wanted = 0 if is_shortest else SEEDS
    unknown = [change for change in changes if change.words not in known]
    still = wanted + len(unknown) + ALONE
    seeds: list[float] = []
    for number in range(1, wanted + 1):
        still -= 1
        other = replace(options, seed=options.seed + number)
        found = bench.length_of(plan.job, other, still)
        if found is not None:
            seeds.append(found.length)
    run = _Run(bench, known, [])
    measured: list[Measured] = []
    for change in changes:
        still -= change.words not in known
        measured.append(run.measured(change, still))
    best = min(layout.length, *seeds, *run.unchanged, layout.length)
    alone = [
        (one.change, piece)
        for one in measured
        if one.length is not None and one.length < best - AS_SHORT and len(one.used) > 1
        for piece in _largest(layout, one.used)
    ]
    for place, (change, piece) in enumerate(alone):
        one = run.measured(of_one_piece(change, piece), len(alone) - place - 1)
        measured.append(replace(one, used=(piece,)))
    return Advice(
        options,
        layout.length,
        tuple(seeds),
        tuple(run.unchanged),
        tuple(measured),
        is_shortest=is_shortest,
    )


def _largest(layout: Layout, pieces: Sequence[str]) -> list[str]:
    """Return the largest of some pieces, by the area of all their copies."""
    copies = {one.piece: 0 for one in layout.placements}
    for spot in layout.placements:
        copies[spot.piece] += len(spot.copies)
    return sorted(pieces, key=lambda id_: -area_of(layout, id_) * copies[id_])[:ALONE]


@dataclass(frozen=True, eq=False, slots=True)
class _Run:
    """Measures changes one after the other; notes what came to be laid with nothing changed."""

    bench: Bench
    known: Mapping[str, Layout | float]
    unchanged: list[float]

    def measured(self, change: Change, still: int) -> Measured:
        """Return what a change comes to, `still` more to be tried after it."""
        told = self.known.get(change.words)
        if isinstance(told, float):
            return Measured(change, told)
        try:
            found = told or self.bench.length_of(change.plan.job, change.options, still)
        except JobError:
            return Measured(change, is_possible=False)
        if found is None:
            return Measured(change)
        if _changes_nothing(change, found):
            self.unchanged.append(found.length)
        used = tuple(change.used_by(found)) if change.is_consent else ()
        return Measured(change, found.length, used)


def _changes_nothing(change: Change, layout: Layout) -> bool:
    """Return whether a layout could have been laid with nothing changed: the judge says so."""
    job = change.before.job
    # What lies on narrower cloth may lie on this as well.
    same = job.fabric.width >= change.plan.job.fabric.width and change.times == 1
    if not same or job.fabric.sections != change.plan.job.fabric.sections:
        return False
    broken = check(replace(job, fabric=replace(job.fabric, length=None)), layout)
    # The figures that it states are those of narrower cloth, and how the parts lie is asked here.
    return not [one for one in broken if not (change.is_narrower and one.kind == FIGURES)]
