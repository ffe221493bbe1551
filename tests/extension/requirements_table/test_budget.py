# SPDX-License-Identifier: GPL-2.0-or-later
"""How the time of a table is dealt out: all of it, and most where lengths contradict each other."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.requirements_table.budget import (
    FIRST_ROUNDS,
    FOR_ALL,
    LEAST_SLICE,
    QUICK_ROUNDS,
    Cost,
    contradiction,
    first_rounds,
    pulls,
    slices,
)
from nesting.model import Fabric, Job, Layout, Piece

costs = st.lists(st.builds(Cost, st.floats(0.0, 5.0), st.floats(0.001, 10.0)), min_size=1)
JOB = Job(Fabric(500.0), (Piece("a", ((0, 0), (90, 0), (90, 80), (0, 80))),))


def laid(length: float, bound: float = 0.0) -> Layout:
    return Layout(500.0, length, 0.5, bound, 0.0, 0, 2, 1, "by hand", (), (), {})


def on(width: float, nap: bool) -> Job:
    return Job(Fabric(width, nap=nap), JOB.pieces)


@given(costs, st.floats(0.0, 1000.0), st.integers(1, 8), st.randoms())
def test_slices_fit_into_the_time_and_are_worth_taking_a_cell_up(
    each: list[Cost], seconds: float, workers: int, chance: Random
) -> None:
    going = slices(
        dict(enumerate(each)),
        {number: chance.random() for number in range(len(each))},
        seconds,
        workers,
    )
    taken = sum(going.values())
    assert taken <= seconds * workers + max(going.values(), default=0.0)
    for number, slice_ in going.items():
        assert slice_ <= seconds or slice_ <= FOR_ALL * seconds * workers / len(each)
        assert slice_ >= min(LEAST_SLICE * each[number].of(1), seconds)
    if any(cost.of(1) <= seconds for cost in each) and seconds > 0.0:
        assert going


def test_with_time_for_all_everybody_gets_the_same() -> None:
    assert slices({0: Cost(1.0, 0.1), 4: Cost(2.0, 0.2)}, {0: 1.0, 4: 9.0}, 40.0, 2) == {
        0: 40.0 * 2 * FOR_ALL / 2,
        4: 40.0 * 2 * FOR_ALL / 2,
    }


def test_with_little_time_those_go_on_that_are_pulled_most() -> None:
    going = slices(dict.fromkeys(range(9), Cost(1.0, 1.0)), dict(enumerate(range(9))), 10.0, 1)
    assert list(going) == [8, 7]


def test_when_no_cell_can_do_a_round_any_more_it_is_over() -> None:
    assert slices({0: Cost(2.0, 1.0)}, {0: 1.0}, 2.9, 2) == {}
    assert slices({}, {}, 100.0, 2) == {}


def test_cells_that_contradict_their_neighbours_are_pulled_more() -> None:
    jobs = [on(900.0, True), on(900.0, False), on(1400.0, True)]
    layouts = [laid(500.0), laid(400.0), laid(550.0)]
    # Wider cloth needs 10 % more than narrower: the other two contradict nobody.
    assert [contradiction(number, jobs, layouts) for number in range(3)] == pytest.approx(
        [0.0, 0.0, 0.1]
    )
    first, second, third = pulls(jobs, layouts, [4, 4, 4])
    assert third > 2.0 * first > second
    assert pulls(jobs, [*layouts[:2], None], [4, 4, 0])[2] == 0.0


def test_no_nap_and_a_size_with_a_lower_bound_need_no_more() -> None:
    jobs = [on(900.0, True), on(900.0, False)]
    assert contradiction(1, jobs, [laid(400.0), laid(440.0)]) == pytest.approx(0.1)
    larger = Job(Fabric(900.0), (Piece("b", ((0, 0), (99, 0), (99, 90), (0, 90))),))
    sizes = [on(900.0, True), larger]
    assert contradiction(0, sizes, [laid(550.0), laid(500.0, 120.0)]) == pytest.approx(0.1)
    assert contradiction(1, sizes, [laid(500.0), laid(550.0, 120.0)]) == 0.0


def test_a_cell_far_above_its_bound_is_pulled_more_and_rounds_still_it() -> None:
    jobs = [on(900.0, True), on(910.0, True)]
    near, far = pulls(jobs, [laid(500.0, 495.0), laid(500.0, 250.0)], [4, 4])
    assert far > near
    assert pulls(jobs, [laid(500.0, 495.0), laid(500.0, 250.0)], [4, 40])[1] < near


def test_what_was_only_constructed_and_lies_far_above_its_bound_goes_on_before_contradictions() -> (
    None
):
    jobs = [on(900.0, True), on(900.0, False), on(500.0, True)]
    layouts = [laid(500.0, 420.0), laid(550.0, 420.0), laid(800.0, 460.0)]
    contradicted, failed = pulls(jobs, layouts, [2, 2, 2])[1:]
    assert failed > contradicted
    contradicted, failed = pulls(jobs, layouts, [9, 9, 9])[1:]
    assert failed < contradicted


def test_when_time_is_short_the_first_pass_is_quick() -> None:
    assert first_rounds(24, 180.0, 2) == FIRST_ROUNDS
    assert first_rounds(24, 180.0, 1) == QUICK_ROUNDS
    assert first_rounds(200, 180.0, 2) == QUICK_ROUNDS
