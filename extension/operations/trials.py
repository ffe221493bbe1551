# SPDX-License-Identifier: GPL-2.0-or-later
"""Short runs beside the main one: the time that is kept for them, and what they may not spoil."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from extension.job.compared import AS_SHORT
from extension.job.options import LayOutOptions
from nesting.cloth.bounds import lower_bound
from nesting.cloth.problem import build_problem
from nesting.cloth.repeats import has_match
from nesting.errors import BrokenLayout
from nesting.model import Job, Layout
from nesting.stop import AfterRounds, AfterSeconds, Clock, Stopped, StopRule

TRIAL_SHARE = 0.2
"""Share of the time limit that is kept for trials: of 20 seconds, enough for two of them."""
SHORT_SHARE = 0.4
"""The same where the length of the cloth is given: what would make the parts fit is tried too."""
TRIAL_LEAST = 2.0
"""Seconds below which such a trial says nothing."""
TRIAL_ROUNDS = 4
"""A trial gets one round for so many rounds of the run."""


Laid = TypeVar("Laid")


class Trials:
    """The time that is kept for trials: shared evenly, among as many as it is enough for.

    `kept` are the last of the `seconds`. What one leaves of its share goes to the next.
    """

    def __init__(self, kept: float, seconds: float, wanted: int) -> None:
        self.begin, self._end = seconds - kept, seconds
        self.count = min(wanted, int(kept / TRIAL_LEAST))
        self._each = kept / max(self.count, 1)
        self._made = 0

    def may_begin(self, options: LayOutOptions) -> bool:
        """Return whether there is time for one more; rounds take as long as they take."""
        return options.rounds is not None or self._made < self.count

    def has_time_left(self, clock: Clock) -> bool:
        """Return whether those that ended early have left enough for one more."""
        return self.count > 0 and clock() <= self._end - TRIAL_LEAST

    def rule(self, options: LayOutOptions, clock: Clock) -> StopRule:
        """Return when the next trial ends."""
        if options.rounds is not None:
            return AfterRounds(max(options.rounds // TRIAL_ROUNDS, 1))
        self._made += 1
        return AfterSeconds(min(self.begin + self._made * self._each, self._end), clock)


def unless_refused(lay: Callable[[], Laid]) -> Laid | None:
    """Return what a short run lays; None when the judge refuses it.

    The layout that was found before is good all the same, so that the run goes on.
    """
    try:
        return lay()
    except BrokenLayout:
        return None


def endless(job: Job) -> Job:
    """Return a job on cloth without an end; a remnant has the shape that it has."""
    fabric = job.fabric
    return job if fabric.outline else replace(job, fabric=replace(fabric, length=None))


def proven_shortest(layout: Layout, job: Job, should_stop: Callable[[], bool]) -> bool:
    """Return whether no layout of another job, which may lie as this one does, can be shorter.

    That is only looked into where it is so of the layout's own job, and quickly said: on a length
    of cloth that lies open, without a design.
    """
    if layout.left_over or layout.length - layout.lower_bound >= AS_SHORT:
        return False
    fabric = job.fabric
    if not fabric.is_plain or fabric.outline or has_match(fabric, job.pieces):
        return False
    tilting = [piece.id for piece in job.pieces if piece.off_grain > 0.0]
    try:
        bound = lower_bound(build_problem(job), tilting, should_stop)
    except Stopped:
        return False
    return layout.length - bound < AS_SHORT
