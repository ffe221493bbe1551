# SPDX-License-Identifier: GPL-2.0-or-later
"""Stop rules stop exactly when they should; time is a fake clock."""

from __future__ import annotations

import math

import pytest

from nesting.stop import AfterRounds, AfterSeconds, AnyOf, Request


class FakeClock:
    def __init__(self, now: float = 0.0) -> None:
        self.now = now

    def __call__(self) -> float:
        return self.now


@pytest.mark.parametrize(("limit", "rounds", "stops"), [(0, 0, True), (2, 1, False), (2, 2, True)])
def test_rounds_are_counted(limit: int, rounds: int, stops: bool) -> None:
    assert AfterRounds(limit)(rounds) is stops


def test_seconds_count_from_the_start_of_the_clock_not_from_the_first_question() -> None:
    clock = FakeClock(7.0)
    rule = AfterSeconds(10.0, clock)
    assert not rule(0)
    clock.now = 9.99
    assert not rule(1000)
    clock.now = 10.0
    assert rule(0)


def test_a_time_limit_that_is_no_number_stops_at_once() -> None:
    assert AfterSeconds(math.nan, FakeClock())(0)
    assert AfterSeconds(0.0, FakeClock())(0)


def test_a_request_holds_once_it_is_made() -> None:
    request = Request()
    assert not request(5)
    request.ask()
    assert request(5)
    request.ask()
    assert request(0)


def test_any_of_several_rules_stops_and_no_rule_never_does() -> None:
    request = Request()
    rule = AnyOf(AfterRounds(3), request)
    assert not rule(2)
    assert rule(3)
    request.ask()
    assert rule(0)
    assert not AnyOf()(10**9)
