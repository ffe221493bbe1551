# SPDX-License-Identifier: GPL-2.0-or-later
"""Searches that take turns: by their shares, all until the end, and none after a fault."""

from __future__ import annotations

import threading
from collections.abc import Callable

import pytest

from extension.operations.turns import TURN, in_turns
from nesting.stop import AfterRounds, StopRule


class Hours:
    """A clock that goes on when work is done, and notes who did it."""

    def __init__(self) -> None:
        self.now = 0.0
        self.done: list[int] = []
        self._lock = threading.Lock()

    def __call__(self) -> float:
        return self.now

    def search(self, number: int, step: float = TURN / 2.0) -> Callable[[StopRule], int]:
        """Return a search whose rounds take a step of the clock, and which ends when told to."""

        def search(rule: StopRule) -> int:
            rounds = 0
            while not rule(rounds):
                with self._lock:
                    rounds += 1
                    self.now += step
                    self.done.append(number)
            return rounds

        return search


def test_a_search_alone_is_run_as_it_is() -> None:
    rule = AfterRounds(3)
    assert in_turns([lambda given: given is rule], [1.0], [rule], lambda: 0.0) == [True]


def test_each_has_its_share_of_the_time_at_every_moment() -> None:
    clock = Hours()
    searches = [clock.search(number) for number in range(3)]
    rules = [lambda rounds: clock.now >= 60.0] * 3
    in_turns(searches, [0.5, 0.3, 0.2], rules, clock)
    for rounds in (40, 80, 120, len(clock.done)):
        had = [clock.done[:rounds].count(number) / rounds for number in range(3)]
        assert had == pytest.approx([0.5, 0.3, 0.2], abs=0.12)


def test_all_have_begun_before_one_has_its_second_turn() -> None:
    clock = Hours()
    rules = [lambda rounds: clock.now >= 10.0] * 3
    in_turns([clock.search(number) for number in range(3)], [0.9, 0.05, 0.05], rules, clock)
    assert set(clock.done[:6]) == {0, 1, 2}


def test_the_share_of_a_search_that_has_ended_goes_to_the_others() -> None:
    clock = Hours()
    ends = [AfterRounds(2), AfterRounds(50)]
    found = in_turns([clock.search(0), clock.search(1)], [0.5, 0.5], ends, clock)
    assert found == [2, 50]


def test_a_stop_ends_all_with_what_each_has() -> None:
    clock = Hours()
    rules = [lambda rounds: len(clock.done) >= 20] * 2
    found = in_turns([clock.search(0), clock.search(1)], [0.5, 0.5], rules, clock)
    assert min(found) > 0
    assert sum(found) <= 21


def test_without_a_clock_one_comes_after_the_other() -> None:
    clock = Hours()
    searches = [clock.search(number, step=0.0) for number in range(3)]
    in_turns(searches, [0.4, 0.3, 0.3], [AfterRounds(5)] * 3, clock)
    assert clock.done == [0] * 5 + [1] * 5 + [2] * 5


def test_a_fault_of_one_ends_the_others_and_is_raised() -> None:
    clock = Hours()

    def fails(rule: StopRule) -> int:
        assert not rule(0)
        raise ValueError("no room")

    with pytest.raises(ValueError, match="no room"):
        in_turns([clock.search(0), fails], [0.5, 0.5], [lambda rounds: False] * 2, clock)
