# SPDX-License-Identifier: GPL-2.0-or-later
"""The ways in which the cloth of one layout is laid: one, or all that are compared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from extension.job.changes import may_be_cut_double
from extension.job.compared import Compared, best_of
from extension.job.options import LayOutOptions
from extension.job.plan import Plan, fabric_of
from extension.job.shares import rounds_shared
from extension.job.spread import COMPARED
from nesting.errors import JobError


@dataclass(frozen=True, eq=False, slots=True)
class Way:
    """A plan on cloth that lies as its options say."""

    plan: Plan
    options: LayOutOptions

    @property
    def name(self) -> str:
        """What progress calls it."""
        return f"{self.plan.material}, {self.options.spread}"


def ways_of(plan: Plan, options: LayOutOptions) -> list[Way]:
    """Return the ways in which a plan is to be laid; those that are compared share its rounds."""
    if not options.compares:
        return [Way(plan, options)]
    shares = [1.0 / len(COMPARED)] * len(COMPARED)
    each: Sequence[int | None] = [None] * len(COMPARED)
    if options.rounds is not None:
        each = rounds_shared(options.rounds, shares)
    return [
        laid_as(plan, replace(options, spread=spread, rounds=rounds))
        for spread, rounds in zip(COMPARED, each, strict=True)
    ]


def laid_as(plan: Plan, options: LayOutOptions) -> Way:
    """Return a plan on the cloth of other options."""
    return Way(replace(plan, job=replace(plan.job, fabric=fabric_of(options))), options)


@dataclass(frozen=True, eq=False, slots=True)
class Taken:
    """What was laid in one way or in several: `place` is that of the one that is drawn."""

    way: Way
    laid: tuple[Compared, ...]
    place: int = 0

    @property
    def best(self) -> Compared:
        """The one that is drawn."""
        return self.laid[self.place]

    @property
    def is_compared(self) -> bool:
        """Whether there were several ways."""
        return len(self.laid) > 1


def taken_of(ways: Sequence[Way], found: Sequence[Compared | JobError]) -> Taken:
    """Return which of some ways is drawn.

    One in which the pieces cannot be laid is left out; raises its JobError when all cannot.
    """
    laid = [
        (way, one) for way, one in zip(ways, found, strict=True) if not isinstance(one, JobError)
    ]
    if not laid:
        raise next(one for one in found if isinstance(one, JobError))
    compared = tuple(one for _, one in laid)
    place = best_of(compared)
    return Taken(laid[place][0], compared, place)


def folding_may_matter(plan: Plan, options: LayOutOptions) -> bool:
    """Return whether something on plain cloth could lie on a fold, or be cut twice at once."""
    job = plan.job
    if (
        options.border
        or not job.fabric.is_plain
        or job.held
        or options.compares
        or options.fabric_length is not None
    ):
        return False
    return may_be_cut_double(job)
