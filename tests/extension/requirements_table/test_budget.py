# SPDX-License-Identifier: GPL-2.0-or-later
"""How many rounds fit into a stated time."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from extension.requirements_table.budget import (
    FIRST_ROUNDS,
    MOST_GROWTH,
    QUICK_ROUNDS,
    SAFE,
    WORTH_IT,
    Cost,
    first_rounds,
    makespan,
    next_rounds,
)

seconds_each = st.lists(st.floats(0.001, 10.0), min_size=1, max_size=40)
costs = st.lists(st.builds(Cost, st.floats(0.0, 5.0), st.floats(0.001, 10.0)), min_size=1)


def test_one_worker_does_one_cell_after_the_other() -> None:
    assert makespan([1.0, 2.0, 3.0], 1) == 6.0


@given(seconds_each, st.integers(1, 8))
def test_no_order_of_the_cells_takes_longer_than_the_bound(each: list[float], workers: int) -> None:
    free = [0.0] * workers
    for cost in each:  # list scheduling: whoever is free first takes the next
        free.sort()
        free[0] += cost
    assert max(free) <= makespan(each, workers) * (1 + 1e-9)


@given(costs, st.integers(1, 50), st.floats(0.0, 1000.0), st.integers(1, 8))
def test_another_pass_fits_into_the_time_and_is_worth_it(
    each: list[Cost], rounds: int, seconds: float, workers: int
) -> None:
    more = next_rounds(rounds, each, seconds, workers)
    if more:
        taken = makespan([cost.of(more - rounds) for cost in each], workers)
        assert taken <= SAFE * seconds * (1 + 1e-9)
        assert WORTH_IT * rounds <= more <= MOST_GROWTH * rounds


def test_rounds_are_told_in_two_digits() -> None:
    assert next_rounds(500, [Cost(0.0, 0.001)], 1.35 / SAFE, 1) == 1800  # 1350 more fit


def test_what_is_prepared_is_taken_off_first() -> None:
    assert next_rounds(4, [Cost(10.0, 1.0)], 60.0 / SAFE, 1) == 54


def test_without_time_or_work_there_is_no_other_pass() -> None:
    one = [Cost(0.0, 1.0)]
    assert next_rounds(2, one, 0.0, 2) == 0
    assert next_rounds(2, one, -5.0, 2) == 0
    assert next_rounds(2, [], 100.0, 2) == 0


def test_when_time_is_short_the_first_pass_is_quick() -> None:
    assert first_rounds(24, 180.0, 2) == FIRST_ROUNDS
    assert first_rounds(24, 180.0, 1) == QUICK_ROUNDS
    assert first_rounds(200, 180.0, 2) == QUICK_ROUNDS
