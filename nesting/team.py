# SPDX-License-Identifier: GPL-2.0-or-later
"""The default search: a jigsaw, or some constructed layouts, then chains that share the best.

A round is a fixed number of evaluations in each of `workers` chains, then one exchange of the best
in their order, so rounds, seed and number of workers decide the result and the machine does not.
Chains run in threads: their loops are compiled and hold no lock, so they run side by side, and the
maps are there once. The calling thread only waits, asks the stop rule often, and leaves at once.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from typing import TypeVar

from nesting import bottomleft
from nesting.compiled import IS_COMPILED
from nesting.problem import Problem, Spot, needed_length
from nesting.puzzle import put_together
from nesting.raster import Chain, Found, Table, build_table

CONSTRUCTED = 2
"""Rounds of constructed layouts before the chains start from the best of them."""
CONSTRUCTED_PARTS = 12
"""With more parts the chains start from the first layout at once: constructing takes too long."""
ASKED_EVERY = 0.05
"""Seconds between two questions to the stop rule."""
SHORTER = 1e-6
"""mm by which a layout must be shorter to count as better."""

T = TypeVar("T")


def improve(
    problem: Problem,
    start: tuple[Spot | None, ...],
    *,
    seed: int,
    workers: int,
    should_stop: Callable[[int], bool],
    on_better: Callable[[tuple[Spot, ...], int], None],
) -> int:
    """Search for ever shorter layouts until told to stop; return the rounds done.

    The contract is that of `nesting.improver.Improver`. First of all the parts are tried as a
    jigsaw. Without compiled loops the constructive search goes on alone.
    """
    best = _complete(start)

    def keep(spots: tuple[Spot, ...], rounds: int) -> None:
        nonlocal best
        best = spots
        on_better(spots, rounds)

    whole = put_together(problem, lambda: should_stop(0))
    if whole is not None and (
        best is None or needed_length(problem, whole) < needed_length(problem, best)
    ):
        # Found while the first round goes on: a replay must run it.
        keep(whole, 1)
    has_chains = IS_COMPILED and len(problem.parts) > 1
    rounds = 0
    if not has_chains or best is None or len(problem.parts) <= CONSTRUCTED_PARTS:
        rounds = bottomleft.improve(
            problem,
            start if best is None else best,
            seed=seed,
            workers=workers,
            should_stop=lambda done: (has_chains and done >= CONSTRUCTED) or should_stop(done),
            on_better=keep,
        )
    if not has_chains or best is None or should_stop(rounds):
        return rounds
    return rounds + _search(
        problem,
        best,
        seed,
        workers,
        lambda more: should_stop(rounds + more),
        lambda spots, more: on_better(spots, rounds + more),
    )


def _search(
    problem: Problem,
    start: tuple[Spot, ...],
    seed: int,
    workers: int,
    should_stop: Callable[[int], bool],
    on_better: Callable[[tuple[Spot, ...], int], None],
) -> int:
    """Run chains in rounds from a complete layout; return the rounds done."""
    cancelled = threading.Event()

    def begin() -> list[Chain]:
        table: Table = build_table(problem, cancelled.is_set, workers)
        return [Chain(table, start, seed, number) for number in range(workers)]

    def task(chain: Chain) -> Callable[[], Found]:
        def work() -> Found:
            chain.round(cancelled.is_set)
            return chain.best

        return work

    rounds, length = 0, needed_length(problem, start)

    def stopped() -> bool:
        return should_stop(rounds)

    try:
        begun = _together([begin], stopped)
        chains = [] if begun is None else begun[0]
        while chains and not stopped():
            found = _together([task(chain) for chain in chains], stopped)
            if found is None:
                break
            rounds += 1
            best = min(found, key=lambda one: one.length)
            if best.length < length - SHORTER:
                length = best.length
                on_better(best.spots, rounds)
            for chain in chains:
                chain.adopt(best)
            if all(chain.is_done for chain in chains):
                break
    finally:
        cancelled.set()
    return rounds


def _together(tasks: Sequence[Callable[[], T]], should_stop: Callable[[], bool]) -> list[T] | None:
    """Run tasks side by side and return their results in order; None when told to stop before.

    The threads of a stopped run are left to themselves: they look at the cancelling event soon.
    The process waits for them when it ends, because a solver cut short would bring it down.
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
