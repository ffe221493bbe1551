# SPDX-License-Identifier: GPL-2.0-or-later
"""The default search: a jigsaw, or some constructed layouts, then chains that share the best.

Many parts of many shapes are laid in bulk and then searched in windows, a worker in each.

A round is a fixed number of evaluations in each of `workers` chains, then one exchange of the best
in their order, so rounds, seed and number of workers decide the result and the machine does not
(but that rounds are shorter where numba is missing).
Chains run in threads: their loops are compiled and hold no lock, so they run side by side, and the
maps are there once. The calling thread only waits, asks the stop rule often, and leaves at once.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from nesting.cloth.problem import Problem, Spot, needed_length
from nesting.compiled import IS_COMPILED
from nesting.construct import bottomleft
from nesting.construct.bulk import lay_in_bulk
from nesting.construct.puzzle import put_together
from nesting.search.chain import Chain
from nesting.search.lineage import Found
from nesting.search.table import build_table
from nesting.search.window import Window, searched
from nesting.search.windows import takes_windows, together, windows_of

CONSTRUCTED = 2
"""Rounds of constructed layouts before the chains start from the best of them."""
CONSTRUCTED_PARTS = 12
"""With more parts the chains start from the first layout at once: constructing takes too long.
Where loops are not compiled it is the quicker way."""
WHOLE, STALE = 100, 20
"""With more shapes long layouts are searched in windows from the start, with fewer after so many
rounds of whole chains without a better one: whole chains are quicker as long as cells are fine."""
ASKED_EVERY = 0.05
"""Seconds between two questions to the stop rule."""
SHORTER = 1e-6
"""mm by which a layout must be shorter to count as better."""

T = TypeVar("T")


@dataclass(frozen=True, eq=False, slots=True)
class Standing:
    """How far a search is after whole rounds: what it needs to go on elsewhere. Can be pickled."""

    chains: tuple[Chain, ...]
    rounds: int
    best: tuple[Spot, ...]
    found: int
    """The round in which the best was found."""
    since: int | None = None
    """The rounds done when windows began to be searched, if they were; then there are no chains."""


class Search:
    """The default search. The contract is that of `nesting.search.improver.Improver`.

    The first call goes on from where `before` stood as if there had been no break, with the same
    problem, seed and number of workers; then rounds are counted from the very beginning. After a
    call `standing` is how far it is, None when chains had not begun or were stopped in mid-round.
    """

    def __init__(self, before: Standing | None = None) -> None:
        self._before = before
        self.standing: Standing | None = None

    def __call__(
        self,
        problem: Problem,
        start: tuple[Spot | None, ...],
        *,
        seed: int,
        workers: int,
        should_stop: Callable[[int], bool],
        on_better: Callable[[tuple[Spot, ...], int], None],
    ) -> int:
        """Search for ever shorter layouts until told to stop; return the rounds done."""
        before, self._before, self.standing = self._before, None, None
        best, found, rounds = _complete(start), 0, 0

        def keep(spots: tuple[Spot, ...], number: int) -> None:
            nonlocal best, found
            best, found = spots, number
            on_better(spots, number)

        def stopped() -> bool:
            return should_stop(rounds)

        if before is None:
            rounds = _construct(problem, start, seed, workers, should_stop, keep)
        else:
            rounds = before.rounds
            keep(before.best, before.found)
        if not _has_chains(problem) or best is None or stopped():
            return rounds
        cancelled = threading.Event()
        # From columns whole chains come farther than from a layout in bulk.
        first = (_complete(start) or best) if problem.is_long else best
        begin = partial(_begin, problem, first, seed, workers, before, cancelled.is_set)
        in_windows = takes_windows(problem)
        since = before.since if before else None
        if in_windows and len(problem.shapes) > WHOLE and since is None:
            since = rounds
        try:
            if since is None:
                begun = _together([begin], stopped)
                chains = () if begun is None else begun[0]
                while chains and not stopped():
                    if in_windows and rounds - found >= STALE:
                        # Nothing holds their maps any more.
                        begun, chains, since = None, (), rounds
                        break
                    shared = _go_round(chains, cancelled.is_set, stopped)
                    if shared is None:
                        return rounds
                    rounds += 1
                    if shared.length < needed_length(problem, best) - SHORTER:
                        keep(shared.spots, rounds)
                    if all(chain.is_done for chain in chains):
                        break
                if chains:
                    self.standing = Standing(chains, rounds, best, found)
            while since is not None and not stopped():
                joined = _go_round_in_windows(
                    problem, best, rounds, since, seed, workers, cancelled.is_set, stopped
                )
                if joined is None:
                    return rounds
                rounds += 1
                if needed_length(problem, joined) < needed_length(problem, best) - SHORTER:
                    keep(joined, rounds)
            if since is not None:
                self.standing = Standing((), rounds, best, found, since)
        finally:
            cancelled.set()
        return rounds


def _begin(
    problem: Problem,
    best: tuple[Spot, ...],
    seed: int,
    workers: int,
    before: Standing | None,
    is_cancelled: Callable[[], bool],
) -> tuple[Chain, ...]:
    """Return chains that begin from a layout, or those that go on from where they stood."""
    table = build_table(problem, is_cancelled, workers)
    if before is None:
        return tuple(Chain(table, best, seed, number) for number in range(workers))
    for chain in before.chains:
        chain.take_up(table)
    return before.chains


def _go_round(
    chains: Sequence[Chain], is_cancelled: Callable[[], bool], should_stop: Callable[[], bool]
) -> Found | None:
    """Do a round of every chain and let all share the best; None when told to stop before."""

    def task(chain: Chain) -> Callable[[], Found]:
        def work() -> Found:
            chain.round(is_cancelled)
            return chain.best

        return work

    found = _together([task(chain) for chain in chains], should_stop)
    if found is None:
        return None
    best = min(found, key=lambda one: one.length)
    for chain in chains:
        chain.adopt(best)
    return best


def _go_round_in_windows(
    problem: Problem,
    spots: tuple[Spot, ...],
    rounds: int,
    since: int,
    seed: int,
    workers: int,
    is_cancelled: Callable[[], bool],
    should_stop: Callable[[], bool],
) -> tuple[Spot, ...] | None:
    """Search a window for each worker and return the layout with all that they gain.

    Windows are searched `since` a round. None when told to stop before.
    """
    windows, chained = windows_of(problem, spots, rounds - since, workers)

    def task(window: Window, number: int) -> Callable[[], tuple[Spot, ...]]:
        return lambda: searched(
            problem,
            spots,
            window,
            rounds=chained,
            seed=[seed, rounds, number],
            number=number,
            is_cancelled=is_cancelled,
        )

    found = _together([task(one, number) for number, one in enumerate(windows)], should_stop)
    return None if found is None else together(problem, spots, windows, found)


def _has_chains(problem: Problem) -> bool:
    """Return whether chains search: they need more than one part."""
    return len(problem.parts) > 1


def _construct(
    problem: Problem,
    start: tuple[Spot | None, ...],
    seed: int,
    workers: int,
    should_stop: Callable[[int], bool],
    keep: Callable[[tuple[Spot, ...], int], None],
) -> int:
    """Try the parts as a jigsaw and construct what chains can start from; return the rounds done.

    Where no chains search, the constructive search goes on alone until told to stop.
    """
    best = _complete(start)
    whole = put_together(problem, lambda: should_stop(0))
    if whole is not None and (
        best is None or needed_length(problem, whole) < needed_length(problem, best)
    ):
        best = whole
        # Found while the first round goes on: a replay must run it.
        keep(whole, 1)
    has_chains = _has_chains(problem)
    if has_chains and best is not None and problem.is_long:
        return lay_in_bulk(problem, best, should_stop, keep)
    many = IS_COMPILED and len(problem.parts) > CONSTRUCTED_PARTS
    if has_chains and best is not None and many:
        return 0
    return bottomleft.improve(
        problem,
        start if best is None else best,
        seed=seed,
        workers=workers,
        should_stop=lambda done: (has_chains and done >= CONSTRUCTED) or should_stop(done),
        on_better=keep,
    )


def _together(tasks: Sequence[Callable[[], T]], should_stop: Callable[[], bool]) -> list[T] | None:
    """Run tasks side by side and return their results in order; None when told to stop before.

    The threads of a stopped run are left to themselves: they look at the cancelling event soon.
    A process waits for them when it ends, because a solver that is cut short while Python is taken
    down would bring it down, or it ends together with them (`streams.end`), which is sooner.
    """
    results: dict[int, T] = {}
    faults: dict[int, BaseException] = {}
    ended = threading.Semaphore(0)

    def run(number: int) -> None:
        try:
            results[number] = tasks[number]()
        except BaseException as fault:  # handed on to the calling thread
            faults[number] = fault
        finally:
            ended.release()

    for number in range(len(tasks)):
        threading.Thread(target=run, args=(number,)).start()
    waiting = len(tasks)
    while waiting:
        if ended.acquire(timeout=ASKED_EVERY):
            waiting -= 1
        elif should_stop():
            return None
    for number in sorted(faults):
        raise faults[number]
    return [results[number] for number in range(len(tasks))]


def _complete(spots: Sequence[Spot | None]) -> tuple[Spot, ...] | None:
    """Return spots if none is missing."""
    found = tuple(spot for spot in spots if spot is not None)
    return found if len(found) == len(spots) else None
