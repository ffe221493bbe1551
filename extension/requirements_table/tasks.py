# SPDX-License-Identifier: GPL-2.0-or-later
"""One cell laid out in whatever process it is sent to: a job in, its layout and times out.

Nothing here depends on where it runs: one worker and a fixed number of rounds give the same layout
everywhere. Only a stop depends on the time.
"""

from __future__ import annotations

import math
import pickle
import time
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from extension.requirements_table.budget import FREE, PREPARING, Cost
from nesting import ENGINE
from nesting.errors import ThriftlayError
from nesting.model import Job, Layout
from nesting.solve import solve
from nesting.stop import AfterRounds, AnyOf, Clock, StopRule

if TYPE_CHECKING:
    from nesting.search.team import Search

LOOK_EVERY = 0.05
"""Seconds between two looks at the flag."""
NO_MORE = "-no-more"
"""What is added to the flag's name for the file after which no task at all is begun."""


@dataclass(frozen=True, slots=True)
class Bookmark:
    """How far a cell is: whole rounds done, and the standing of its search, pickled.

    The process that hands out the work has no search, so to it these are bytes. Going on from
    them gives what going through without a break would give.
    """

    rounds: int
    standing: bytes


NOWHERE = Bookmark(0, b"")


@dataclass(frozen=True, eq=False, slots=True)
class Task:
    """What one process is to do.

    `bookmark` is how far the cell is already, as an earlier task told: it goes on from there, to so
    many rounds in all, or to the end of the round in which the `seconds` are over, but that of at
    least one more than it `had` (a cell that has only been constructed has no bookmark). `flag`
    names a file that appears when all are to stop, "" for none; when it is there from the start, a
    task that `can_wait` is not begun, and none is beside a file that says `NO_MORE`.
    """

    number: int
    job: Job
    seed: int
    rounds: int
    bookmark: Bookmark = NOWHERE
    flag: str = ""
    can_wait: bool = False
    seconds: float = math.inf
    had: int = 0


@dataclass(frozen=True, eq=False, slots=True)
class Done:
    """What came of a task.

    `layout` is None when it was not begun or failed, `fault` says why it failed. `cost` is
    what its rounds took. `bookmark` is from where it can go on. `ended`: there was nothing more to
    find; `stopped`: the flag came first.
    """

    number: int
    layout: Layout | None
    fault: str = ""
    cost: Cost = FREE
    bookmark: Bookmark = NOWHERE
    ended: bool = False
    stopped: bool = False


class Flag:
    """Stop when a file appears."""

    def __init__(self, path: str, clock: Clock) -> None:
        self._path = path
        self._clock = clock
        self._next = 0.0
        self.seen = False

    def __call__(self, rounds: int) -> bool:
        """Return whether the file has been seen."""
        if self._path and not self.seen and self._clock() >= self._next:
            self._next = self._clock() + LOOK_EVERY
            self.seen = Path(self._path).exists()
        return self.seen


class Slice:
    """Stop when a round ends and the time is over: never in the middle of one."""

    def __init__(self, seconds: float, clock: Clock, begun: int) -> None:
        self._seconds = seconds
        self._clock = clock
        self._done = begun
        self._over = False

    def __call__(self, rounds: int) -> bool:
        """Return whether so many rounds are enough."""
        if rounds > self._done:
            self._done = rounds
            self._over = self._clock() >= self._seconds
        return self._over


class Watch:
    """Asks another rule, and notes when rounds end, beyond those `begun` with."""

    def __init__(self, rule: StopRule, clock: Clock, begun: int = 0) -> None:
        self._rule = rule
        self._clock = clock
        self._begun = begun
        self._ends: list[tuple[int, float]] = []
        self.stopped = False

    def __call__(self, rounds: int) -> bool:
        """Return whether the other rule says stop."""
        done = rounds - self._begun
        if done > (self._ends[-1][0] if self._ends else 0):
            self._ends.append((done, self._clock()))
        self.stopped = self._rule(rounds)
        return self.stopped

    def cost(self, now: float) -> Cost:
        """Return what the rounds cost: each as those of the second half, the rest is preparation.

        When all went into preparation, each as their mean.
        """
        rounds, end = self._ends[-1] if self._ends else (1, now)
        half = max(PREPARING, rounds // 2)
        marks = [each for each in self._ends if each[0] <= half]
        if rounds <= PREPARING or not marks:
            return Cost(0.0, now / rounds)
        before, began = marks[-1]
        each = (end - began) / (rounds - before)
        return Cost(max(0.0, now - rounds * each), each)


def engine_here() -> str:
    """Return which engine a process has."""
    return ENGINE


def run_task(task: Task) -> Done:
    """Lay out one cell."""
    started = time.perf_counter()

    def clock() -> float:
        return time.perf_counter() - started

    flag = Flag(task.flag, clock)
    if (task.can_wait and flag(0)) or _is_too_late(task):
        return Done(task.number, None, stopped=True)
    begun = task.bookmark.rounds
    rule = AnyOf(flag, AfterRounds(task.rounds), Slice(task.seconds, clock, max(begun, task.had)))
    watch = Watch(rule, clock, begun)
    search = _search_from(task.bookmark)
    try:
        layout = solve(task.job, seed=task.seed, stop=watch, workers=1, clock=clock, search=search)
    except ThriftlayError as error:
        return Done(task.number, None, str(error))
    return Done(
        task.number,
        layout,
        cost=watch.cost(clock()),
        bookmark=_bookmark_of(search),
        ended=not watch.stopped,
        stopped=flag.seen and watch.stopped,
    )


def _is_too_late(task: Task) -> bool:
    """Return whether nothing is to be begun any more."""
    return bool(task.flag) and Path(task.flag + NO_MORE).exists()


def _search_from(bookmark: Bookmark) -> Search:
    """Return the search, going on from where it stood."""
    from nesting.search.team import (
        Search,  # only in a process that searches: it takes a second to load
    )

    return Search(pickle.loads(bookmark.standing) if bookmark.standing else None)


def _bookmark_of(search: Search) -> Bookmark:
    """Return how far a search is, for another process."""
    if search.standing is None:
        return NOWHERE
    return Bookmark(search.standing.rounds, pickle.dumps(search.standing))
