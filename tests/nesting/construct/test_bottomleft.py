# SPDX-License-Identifier: GPL-2.0-or-later
"""The constructive search: valid layouts, exact fits, better with more rounds, repeatable."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.cloth.problem import Fixed, Problem, Spot, build_problem, needed_length
from nesting.construct.bottomleft import Constructor, improve
from nesting.construct.first import first_layout
from nesting.model import Fabric, Job, Outline, Piece
from tests.helpers import strategies as some
from tests.helpers.loops import printed_without_numba
from tests.helpers.published import instance_job
from tests.helpers.searched import searched
from tests.helpers.spots import faults

run = partial(searched, improve)


def construct(problem: Problem, order: Sequence[int]) -> tuple[Spot | None, ...]:
    """Return the layout that places the parts in an order."""
    spots = Constructor(problem).lay(order)
    assert spots is not None
    return spots


def shortest(problem: Problem, rounds: int, seed: int = 1) -> float:
    """Return the length of the best layout of a run, the first one included."""
    lengths = [needed_length(problem, spots) for spots, _ in run(problem, rounds, seed)[1]]
    return min([needed_length(problem, first_layout(problem)), *lengths])


def problem_of(
    fabric: Fabric, outlines: Sequence[Outline], turns: tuple[float, ...] = (0.0,), cut: int = 1
) -> Problem:
    pieces = tuple(
        Piece(f"p{k}", outline, cut=cut, hand="same", turns=turns, turns_on_nap=True)
        for k, outline in enumerate(outlines)
    )
    return build_problem(Job(fabric, pieces))


def rectangle(length: float, width: float) -> Outline:
    return ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))


def by_area(problem: Problem) -> list[int]:
    return sorted(range(len(problem.parts)), key=lambda part: -problem.parts[part].area)


@settings(max_examples=40)
@given(some.jobs(), st.randoms(use_true_random=False))
def test_every_order_gives_a_valid_layout(job: Job, random: object) -> None:
    problem = build_problem(job)
    order = list(range(len(problem.parts)))
    random.shuffle(order)  # type: ignore[attr-defined]
    spots = construct(problem, order)
    assert None not in spots
    assert faults(problem, spots) == []


@settings(max_examples=15)
@given(some.jobs())
def test_everything_handed_over_is_valid_and_ever_shorter(job: Job) -> None:
    problem = build_problem(job)
    done, better = run(problem, 12)
    assert done == 12
    lengths = [needed_length(problem, first_layout(problem))]
    for spots, number in better:
        assert faults(problem, spots) == []
        assert 1 <= number <= done
        lengths.append(needed_length(problem, spots))
    assert all(later < earlier for earlier, later in itertools.pairwise(lengths))


@settings(max_examples=25)
@given(some.jobs(), some.lengths(50, 1500))
def test_on_a_fixed_length_parts_lie_on_it_or_are_left_over(job: Job, length: float) -> None:
    problem = build_problem(replace(job, fabric=replace(job.fabric, length=length)))
    assert faults(problem, construct(problem, by_area(problem))) == []


@settings(max_examples=25)
@given(some.jobs())
def test_held_parts_are_gone_round(job: Job) -> None:
    free = build_problem(job)
    laid = construct(free, by_area(free))
    assert laid[0] is not None
    # The first part where it came to lie is held; the others are laid anew round it.
    held = Fixed(laid[0].shape, laid[0].x, laid[0].y)
    problem = replace(free, parts=free.parts[1:], fixed=(held,))
    if problem.parts:
        spots = construct(problem, by_area(problem)[::-1])
        assert None not in spots
        assert faults(problem, spots) == []


# --- exact fits ----------------------------------------------------------------------------------


@given(st.integers(1, 30), some.lengths(5, 200), some.lengths(5, 200), some.lengths(200, 900))
def test_equal_rectangles_take_the_least_columns(
    count: int, length: float, width: float, across: float
) -> None:
    problem = problem_of(Fabric(across), [rectangle(length, width)], cut=count)
    columns = -(-count // int(across // width))
    spots = construct(problem, range(count))
    assert needed_length(problem, spots) == pytest.approx(columns * length, rel=1e-12)
    assert faults(problem, spots) == []


@pytest.mark.parametrize("gap", [0.0, 3.0])
def test_squares_in_pixels_fill_their_width(gap: float) -> None:
    # 100 px = 26.458333... mm: no whole number of grid steps, the row must fit all the same.
    side = 2540.0 / 96.0
    problem = problem_of(Fabric(7 * side + 6 * gap, gap=gap), [rectangle(side, side)], cut=28)
    spots = construct(problem, range(28))
    assert needed_length(problem, spots) == pytest.approx(4 * side + 3 * gap, abs=1e-7)
    assert faults(problem, spots) == []


JIGSAW: tuple[Outline, ...] = (
    # A rectangle of 120 x 100 cut into seven along slanted lines that meet in common points.
    ((0, 0), (50, 0), (30, 40), (0, 30)),
    ((50, 0), (120, 0), (120, 20), (70, 50), (30, 40)),
    ((0, 30), (30, 40), (20, 80), (0, 60)),
    ((30, 40), (70, 50), (60, 100), (20, 80)),
    ((120, 20), (120, 60), (100, 100), (60, 100), (70, 50)),
    ((0, 60), (20, 80), (60, 100), (0, 100)),
    ((120, 60), (120, 100), (100, 100)),
)


@pytest.mark.parametrize("angle", [0.0, 90.0])
def test_a_jigsaw_laid_in_a_right_order_is_exact(angle: float) -> None:
    length, width = (120.0, 100.0) if angle == 0.0 else (100.0, 120.0)
    pieces = [some.turned(piece, angle) for piece in JIGSAW]
    problem = problem_of(Fabric(width), pieces)
    # From the left, and from below where two start equally far left, no part can slip past its
    # place: the cloth left of it is full.
    order = sorted(range(7), key=lambda k: min(pieces[k]))
    assert needed_length(problem, construct(problem, order)) == pytest.approx(length, abs=1e-9)


def test_a_small_jigsaw_is_found_by_orders_alone() -> None:
    assert shortest(problem_of(Fabric(100.0), JIGSAW), 400) == pytest.approx(120.0, abs=1e-9)


def test_the_gap_is_kept_to_the_hundredth() -> None:
    problem = problem_of(Fabric(100.0, gap=3.0), [rectangle(40.0, 40.0)], cut=4)
    assert needed_length(problem, construct(problem, range(4))) == pytest.approx(83.0, abs=1e-6)


def test_a_hole_inside_a_part_is_used() -> None:
    frame: Outline = tuple(
        zip(
            [0, 300, 300, 160, 160, 250, 250, 50, 50, 140, 140, 0],
            [0, 0, 300, 300, 250, 250, 50, 50, 250, 250, 300, 300],
            strict=True,
        )
    )
    problem = problem_of(Fabric(300.0), [frame, rectangle(200.0, 200.0)])
    assert needed_length(problem, construct(problem, (0, 1))) == pytest.approx(300.0)


# --- search --------------------------------------------------------------------------------------


def garment(pairs: int = 4) -> Problem:
    """Return curved pieces in mirrored pairs, two turns."""
    rng = np.random.default_rng(5)
    angles = np.arange(80) * 2.0 * np.pi / 80
    pieces = []
    for k in range(pairs):
        waves = 1.0 + 0.2 * np.sin(2 * angles + k) + 0.1 * np.sin(3 * angles + 2 * k)
        x, y = rng.uniform(60, 200) * waves * np.cos(angles), 150 * waves * np.sin(angles)
        pieces.append(Piece(f"p{k}", tuple(zip(x.tolist(), y.tolist(), strict=True)), cut=2))
    return build_problem(Job(Fabric(900.0, gap=3.0, nap=False), tuple(pieces)))


def test_the_same_seed_gives_the_same_layouts() -> None:
    assert run(garment(), 30, seed=3) == run(garment(), 30, seed=3)


def test_another_seed_tries_other_orders() -> None:
    assert run(garment(), 60, seed=3) != run(garment(), 60, seed=4)


def test_more_rounds_go_on_from_fewer() -> None:
    few, more = run(garment(), 10), run(garment(), 40)
    assert more[1][: len(few[1])] == few[1]
    assert more[0] == 40


def test_several_workers_are_as_repeatable() -> None:
    assert run(garment(3), 10, workers=2) == run(garment(3), 10, workers=2)


def test_without_numba_the_result_is_the_same() -> None:
    printed = printed_without_numba(
        "from tests.nesting.construct.test_bottomleft import garment, run", "run(garment(2), 8)"
    )
    expected = run(garment(2), 8)
    assert expected[1]
    assert printed == str(expected)


def test_no_rounds_hand_over_nothing() -> None:
    assert run(garment(), 0) == (0, [])


def test_nothing_to_lay_is_no_rounds() -> None:
    assert run(build_problem(Job(Fabric(100.0), ())), 5) == (0, [])


def test_a_single_part_keeps_its_rounds() -> None:
    problem = problem_of(Fabric(100.0), [rectangle(50.0, 20.0)])
    assert run(problem, 40) == (40, [])


@pytest.mark.parametrize("asked", [1, 7, 60])
def test_a_stop_in_mid_round_is_obeyed_at_the_next_question(asked: int) -> None:
    questions = []

    def stop(rounds: int) -> bool:
        questions.append(rounds)
        return len(questions) >= asked

    done, better = run(garment(), 0, stop=stop)
    assert len(questions) == asked
    assert all(number <= done for _, number in better)


def test_settling_gives_back_what_simpler_outlines_cost() -> None:
    problem = garment()
    rough = Constructor(problem, tolerance=8.0).lay(by_area(problem))
    assert rough is not None
    exact = Constructor(problem, tolerance=0.0).lay(by_area(problem))
    assert exact is not None
    assert needed_length(problem, exact) < needed_length(problem, rough)
    assert faults(problem, rough) == []
    assert faults(problem, exact) == []


def test_kept_parts_stay_and_the_rest_follows_as_before() -> None:
    problem = garment()
    constructor, order = Constructor(problem), by_area(problem)
    whole = constructor.lay(order)
    assert whole is not None
    assert constructor.lay(order, [whole[part] for part in order[:3]]) == whole


# --- against published instances -----------------------------------------------------------------

# ESICUP data sets (CC0). The bounds are what this search reaches in so many rounds; they only ever
# get tighter.
UPPER_BOUNDS = {
    "albano": (60, 10_800.0),
    "shirts": (25, 65.0),
    "jakobs1": (60, 12.75),
}


@pytest.mark.parametrize("name", UPPER_BOUNDS)
def test_published_instances_stay_below_their_bounds(name: str, benchmark_folder: Path) -> None:
    rounds, bound = UPPER_BOUNDS[name]
    assert shortest(build_problem(instance_job(benchmark_folder, name)), rounds) <= bound
