# SPDX-License-Identifier: GPL-2.0-or-later
"""The reserve of least tangled states: which are kept, which are started from, for how long."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from nesting.search.reserve import MOST, STARTS, Reserve


def state(number: int) -> np.ndarray:
    return np.full((3, 2), number, dtype=np.int64)


def picked(reserve: Reserve, times: int) -> list[int]:
    generator = np.random.default_rng(1)
    return [int(reserve.pick(generator, state(-1))[0, 0]) for _ in range(times)]


@given(st.lists(st.integers(1, 60), max_size=80))
def test_the_least_tangled_are_kept_and_each_is_started_from_so_often(sums: list[int]) -> None:
    """Whatever the order they come in; then what it was asked to return otherwise."""
    reserve = Reserve()
    for each in sums:
        reserve.add(each, state(each))
    wanted = sorted(set(sums))[:MOST]
    came = picked(reserve, STARTS * len(wanted))
    assert sorted(came) == [each for each in wanted for _ in range(STARTS)]
    assert picked(reserve, 1) == [-1]


def test_what_was_dropped_does_not_come_back_until_all_is_cleared() -> None:
    reserve = Reserve()
    reserve.add(7, state(7))
    assert picked(reserve, STARTS) == [7] * STARTS
    reserve.add(7, state(70))
    assert picked(reserve, 1) == [-1]
    reserve.clear()
    reserve.add(7, state(700))
    assert picked(reserve, 1) == [700]


def test_less_tangled_states_are_preferred() -> None:
    reserve = Reserve()
    for each in range(1, MOST + 1):
        reserve.add(each, state(each))
    assert np.mean(picked(reserve, STARTS)) < MOST / 3


def test_states_kept_and_handed_out_are_copies() -> None:
    reserve, given_state = Reserve(), state(3)
    reserve.add(3, given_state)
    given_state[:] = 0
    reserve.pick(np.random.default_rng(0), state(-1))[:] = 9
    assert picked(reserve, 1) == [3]
