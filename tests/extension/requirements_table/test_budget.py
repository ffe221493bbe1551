# SPDX-License-Identifier: GPL-2.0-or-later
"""How many rounds fit into a stated time."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from extension.requirements_table.budget import (
    MOST_GROWTH,
    SAFE,
    WORTH_IT,
    makespan,
    next_rounds,
)

costs = st.lists(st.floats(0.001, 10.0), min_size=1, max_size=40)


def test_one_worker_does_one_cell_after_the_other() -> None:
    assert makespan([1.0, 2.0, 3.0], 10, 1) == 60.0


@given(costs, st.integers(1, 50), st.integers(1, 8))
def test_no_order_of_the_cells_takes_longer_than_the_bound(
    each: list[float], rounds: int, workers: int
) -> None:
    free = [0.0] * workers
    for cost in each:  # list scheduling: whoever is free first takes the next
        free.sort()
        free[0] += rounds * cost
    assert max(free) <= makespan(each, rounds, workers) * (1 + 1e-9)


@given(costs, st.integers(1, 50), st.floats(0.0, 1000.0), st.integers(1, 8))
def test_another_pass_fits_into_the_time_and_is_worth_it(
    each: list[float], rounds: int, seconds: float, workers: int
) -> None:
    more = next_rounds(rounds, each, seconds, workers)
    if more:
        assert makespan(each, more, workers) <= SAFE * seconds * (1 + 1e-9)
        assert WORTH_IT * rounds <= more <= MOST_GROWTH * rounds


def test_rounds_are_told_in_two_digits() -> None:
    assert next_rounds(500, [0.001], 1.5, 1) == 1200  # 1275 fit


def test_without_time_or_work_there_is_no_other_pass() -> None:
    assert next_rounds(2, [1.0], 0.0, 2) == 0
    assert next_rounds(2, [1.0], -5.0, 2) == 0
    assert next_rounds(2, [], 100.0, 2) == 0
