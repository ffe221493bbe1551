# SPDX-License-Identifier: GPL-2.0-or-later
"""Several searches that take turns, so that all become better together and a stop spoils none.

Each runs in a thread of its own and asks its stop rule often, as every search does; the rule holds
it back while it is another's turn. The next turn is that of the search that has had least of its
share. A search that ends leaves its share to the others. What a search finds depends on its rounds
alone, so turns change nothing in it but when it happens.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from typing import TypeVar

from nesting.stop import AnyOf, Clock, StopRule

TURN = 0.5
"""Seconds of one turn: long enough for whole rounds, short enough for a stop to be fair."""
LOOK_EVERY = 0.05
"""Seconds between two looks of a search that waits."""

T = TypeVar("T")


class Turns:
    """Whose turn it is. `shares` are those of the time that each is to have."""

    def __init__(self, shares: Sequence[float], clock: Clock) -> None:
        self._shares = list(shares)
        self._clock = clock
        self._had = [0.0] * len(self._shares)
        self._going = set(range(len(self._shares)))
        self._now = 0
        self._since = clock()
        self._change = threading.Condition()

    def wait(self, number: int, is_over: Callable[[], bool]) -> None:
        """Come back when it is the turn of a search, or when all is over."""
        with self._change:
            if self._now == number and self._clock() - self._since >= TURN:
                self._pass_on()
            while self._now != number and not is_over():
                self._change.wait(LOOK_EVERY)

    def leave(self, number: int) -> None:
        """Let the others have the time of a search that has ended."""
        with self._change:
            self._going.discard(number)
            if self._now == number:
                self._pass_on()

    def _pass_on(self) -> None:
        """Give the turn to the search that has had least of its share."""
        now = self._clock()
        self._had[self._now] += now - self._since
        self._since = now
        if self._going:
            self._now = min(self._going, key=lambda one: (self._had[one] / self._shares[one], one))
        self._change.notify_all()


def in_turns(
    searches: Sequence[Callable[[StopRule], T]],
    shares: Sequence[float],
    rules: Sequence[StopRule],
    clock: Clock,
) -> list[T]:
    """Return what searches come to that take turns; each is handed the rule by which it stops.

    `rules` say when each is to end. One alone is run as it is. Raises what a search raises.
    """
    if len(searches) == 1:
        return [searches[0](rules[0])]
    turns, failed = Turns(shares, clock), threading.Event()
    results: dict[int, T] = {}
    faults: dict[int, BaseException] = {}

    def work(number: int) -> None:
        over = AnyOf(rules[number], lambda rounds: failed.is_set())

        def rule(rounds: int) -> bool:
            turns.wait(number, lambda: over(rounds))
            return over(rounds)

        try:
            turns.wait(number, lambda: over(0))
            results[number] = searches[number](rule)
        except BaseException as fault:  # handed on to the calling thread
            faults[number] = fault
            failed.set()
        finally:
            turns.leave(number)

    threads = [threading.Thread(target=work, args=(one,)) for one in range(len(searches))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for number in sorted(faults):
        raise faults[number]
    return [results[number] for number in range(len(searches))]
