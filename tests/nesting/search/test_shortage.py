# SPDX-License-Identifier: GPL-2.0-or-later
"""On a fixed length as much area as possible is laid, and what is left over is listed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.cloth.problem import Problem, Spot, needed_length
from nesting.judge.check import check
from nesting.model import Fabric, Job, Layout, LeftOver, Outline, Piece, Placement
from nesting.search.shortage import largest_first
from nesting.solve import solve
from nesting.stop import AfterRounds


def rectangle(along: float, across: float) -> Outline:
    return ((0.0, 0.0), (along, 0.0), (along, across), (0.0, across))


def no_search(
    problem: Problem,
    start: tuple[Spot | None, ...],
    *,
    seed: int,
    workers: int,
    should_stop: Callable[[int], bool],
    on_better: Callable[[tuple[Spot, ...], int], None],
) -> int:
    """A search that finds nothing: it uses up its rounds."""
    rounds = 0
    while not should_stop(rounds):
        rounds += 1
    return rounds


def lay(job: Job, rounds: int = 50) -> Layout:
    layout = solve(job, stop=AfterRounds(rounds), clock=lambda: 0.0, search=no_search)
    assert check(job, layout) == ()
    assert layout.length <= (job.fabric.length or 0.0) + 1e-6
    return layout


def left(layout: Layout) -> dict[str, int]:
    return {rest.piece: len(rest.copies) for rest in layout.left_over}


SQUARES = Piece("square", rectangle(100.0, 100.0), cut=10, hand="same")


@pytest.mark.parametrize(
    ("length", "over"), [(400.0, {}), (399.0, {"square": 1}), (99.0, {"square": 10})]
)
def test_what_does_not_fit_is_left_over(length: float, over: dict[str, int]) -> None:
    layout = lay(Job(Fabric(310.0, length=length), (SQUARES,)))
    assert left(layout) == over
    assert len(layout.placements) == 10 - sum(over.values())


def test_a_cloth_on_which_nothing_fits_leaves_everything_over() -> None:
    layout = lay(Job(Fabric(310.0, length=50.0), (SQUARES,)))
    assert layout.placements == ()
    assert (layout.length, layout.utilisation) == (0.0, 0.0)
    assert layout.left_over == (LeftOver("square", tuple(range(1, 11))),)


def test_the_length_stated_for_all_parts_is_kept_when_some_are_left_over() -> None:
    """She reads how much cloth is missing: the bound is that of all parts."""
    layout = lay(Job(Fabric(310.0, length=350.0), (SQUARES,)))
    assert layout.lower_bound == pytest.approx(400.0)
    assert layout.length == 300.0


def test_the_larger_parts_are_laid_and_small_ones_are_left_over() -> None:
    pieces = (
        Piece("small", rectangle(100.0, 40.0), cut=3, hand="same"),
        Piece("large", rectangle(100.0, 100.0), cut=3, hand="same"),
    )
    layout = lay(Job(Fabric(100.0, length=320.0), pieces))
    assert left(layout) == {"small": 3}


def test_held_parts_keep_their_place_on_a_short_cloth() -> None:
    held = Placement("square", (4,), 1, 0.0, False, 150.0, 100.0)
    layout = lay(Job(Fabric(310.0, length=300.0), (SQUARES,), (held,)))
    assert held in layout.placements
    assert left(layout)["square"] < 9


def test_no_rounds_still_give_the_first_layout() -> None:
    job = Job(Fabric(310.0, length=350.0), (SQUARES,))
    assert left(lay(job, rounds=0)) == {"square": 1}


def test_a_search_that_squeezes_all_parts_in_leaves_nothing_over() -> None:
    """Two right triangles that only fit as a square, which only the search finds."""
    triangle: Outline = ((0.0, 0.0), (100.0, 0.0), (0.0, 100.0))
    pieces = (Piece("t", triangle, cut=2, hand="same"),)
    job = Job(Fabric(100.0, length=110.0, nap=False), pieces)
    seen: list[float] = []

    def squeeze(problem: Problem, start: tuple[Spot | None, ...], **hooks: object) -> int:
        on_better, should_stop = hooks["on_better"], hooks["should_stop"]
        seen.append(needed_length(problem, start))
        assert problem.fabric.length is None
        assert callable(on_better)
        assert callable(should_stop)
        if len(problem.parts) == 2 and not should_stop(0):
            on_better((Spot(0, 0.0, 0.0), Spot(1, 105.0, 100.0)), 1)
        return 1

    layout = solve(job, stop=AfterRounds(3), clock=lambda: 0.0, search=squeeze)
    assert check(job, layout) == ()
    assert layout.left_over == ()
    assert layout.length == 105.0
    # First from the layout that was too long, then from the one that fits.
    assert seen == [200.0, 105.0]


def test_attempts_ask_about_fewer_parts_when_all_are_too_many() -> None:
    asked: list[int] = []

    def count(problem: Problem, start: tuple[Spot | None, ...], **hooks: object) -> int:
        asked.append(len(problem.parts))
        return no_search(problem, start, **hooks)  # type: ignore[arg-type]

    triangle: Outline = ((0.0, 0.0), (100.0, 0.0), (0.0, 100.0))
    job = Job(Fabric(100.0, length=350.0, nap=False), (Piece("t", triangle, cut=7, hand="same"),))
    layout = solve(job, stop=AfterRounds(40), clock=lambda: 0.0, search=count)
    assert check(job, layout) == ()
    # Three pairs make squares when the holes of the best attempt are filled; half of one is left.
    assert left(layout) == {"t": 1}
    assert asked[0] == 7
    assert min(asked) < 7
    assert set(asked) <= set(range(4, 8))


@given(st.lists(st.integers(1, 50), min_size=1, max_size=12), st.integers(0, 300))
def test_the_choice_takes_no_more_than_the_target_and_leaves_nothing_that_fits(
    areas: list[int], target: int
) -> None:
    chosen = largest_first([float(area) for area in areas], float(target))
    room = target - sum(areas[index] for index in chosen)
    assert room >= 0
    assert len(set(chosen)) == len(chosen)
    assert all(areas[index] > room for index in range(len(areas)) if index not in chosen)


def test_the_same_run_twice_gives_the_same_layout() -> None:
    job = Job(Fabric(310.0, length=350.0), (SQUARES, replace(SQUARES, id="more", cut=3)))
    assert lay(job) == lay(job)


SMALL = Piece("small", rectangle(100.0, 40.0), cut=3, hand="same")
LARGE = Piece("large", rectangle(100.0, 100.0), cut=3, hand="same")


@pytest.mark.parametrize("rounds", [0, 50])
@pytest.mark.parametrize(
    ("small", "large", "over"),
    [
        (None, None, {"small": 3}),
        (1.0, None, {"large": 2}),
        (1.0, 2.0, {"large": 2}),
        (2.0, 1.0, {"small": 3}),
        (None, 1.0, {"small": 3}),
        (1.0, 1.0, {"small": 3}),
        (-1.5, 0.0, {"large": 2}),
    ],
)
def test_what_has_priority_is_laid_first_and_then_the_larger(
    small: float | None, large: float | None, over: dict[str, int], rounds: int
) -> None:
    pieces = (replace(SMALL, priority=small), replace(LARGE, priority=large))
    layout = lay(Job(Fabric(100.0, length=320.0), pieces), rounds)
    assert left(layout) == over


def test_priority_changes_nothing_on_cloth_without_an_end() -> None:
    def laid(priority: float | None) -> Layout:
        pieces = (replace(SMALL, priority=priority), LARGE, replace(SQUARES, priority=priority))
        return solve(Job(Fabric(310.0), pieces), stop=AfterRounds(2), clock=lambda: 0.0)

    assert laid(1.0).placements == laid(None).placements


STRIPS = st.lists(
    st.tuples(st.integers(1, 50), st.sampled_from([None, 1.0, 2.0, 3.0])), min_size=1, max_size=7
)


@given(STRIPS, st.integers(1, 200))
def test_whatever_of_the_first_ranks_fits_by_itself_is_laid(
    strips: list[tuple[int, float | None]], length: int
) -> None:
    pieces = tuple(
        Piece(f"p{number}", rectangle(float(along), 100.0), priority=priority)
        for number, (along, priority) in enumerate(strips)
    )
    layout = lay(Job(Fabric(100.0, length=float(length)), pieces), 6)
    over = {int(rest.piece[1:]) for rest in layout.left_over}
    for first in (1.0, 2.0, 3.0, None):
        urgent = [
            number
            for number, (_, priority) in enumerate(strips)
            if first is None or (priority is not None and priority <= first)
        ]
        if sum(strips[number][0] for number in urgent) <= length:
            assert over.isdisjoint(urgent)


def test_nothing_can_be_better_when_the_least_of_the_last_rank_is_left_over() -> None:
    """Two strips of 100 mm on 199 mm: the search is not asked again."""
    asked: list[int] = []

    def count(problem: Problem, start: tuple[Spot | None, ...], **hooks: object) -> int:
        asked.append(len(problem.parts))
        return no_search(problem, start, **hooks)  # type: ignore[arg-type]

    first = Piece("first", rectangle(90.0, 100.0), priority=1.0)
    last = Piece("last", rectangle(120.0, 100.0))
    job = Job(Fabric(100.0, length=199.0), (last, first))
    layout = solve(job, stop=AfterRounds(40), clock=lambda: 0.0, search=count)
    assert left(layout) == {"last": 1}
    assert asked == []
