# SPDX-License-Identifier: GPL-2.0-or-later
"""Jigsaws with known optima are put together without waste; what is none is given up soon."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from shapely import affinity
from shapely.geometry import LineString, box
from shapely.ops import split

from nesting.cloth.problem import Problem, Spot, build_problem, needed_length, placements_of
from nesting.construct.puzzle import put_together
from nesting.judge.check import check_laid
from nesting.judge.outlines import lay
from nesting.model import Fabric, Job, Outline, Piece
from tests.helpers.published import instance_job
from tests.helpers.spots import faults

LENGTH, WIDTH = 120.0, 100.0


def problem_of(
    outlines: Sequence[Outline],
    fabric: Fabric | None = None,
    turns: tuple[float, ...] = (0.0,),
    cut: int = 1,
) -> Problem:
    pieces = tuple(
        Piece(f"p{k}", outline, cut=cut, hand="same", turns=turns, turns_on_nap=True)
        for k, outline in enumerate(outlines)
    )
    return build_problem(Job(fabric or Fabric(WIDTH), pieces))


def jigsaw(count: int, seed: int, turns: Sequence[float] = (0.0,)) -> list[Outline]:
    """Return a rectangle cut into so many parts by random lines, each turned at random."""
    rng = np.random.default_rng(seed)
    parts = [box(0.0, 0.0, LENGTH, WIDTH)]
    while len(parts) < count:
        parts.sort(key=lambda part: -part.area)
        largest, angle = parts.pop(0), rng.uniform(0.0, math.pi)
        away = 1000.0 * np.array([math.cos(angle), math.sin(angle)])
        middle = np.array(largest.centroid.coords[0])
        parts += split(largest, LineString([middle - away, middle + away])).geoms
    outlines = []
    for part in parts:
        turned = affinity.rotate(part, float(rng.choice(turns)), origin=(0, 0))
        outlines.append(tuple(turned.exterior.coords[:-1]))
    return outlines


def square(side: float) -> Outline:
    return ((0.0, 0.0), (side, 0.0), (side, side), (0.0, side))


def assert_no_waste(problem: Problem, spots: tuple[Spot, ...] | None) -> None:
    assert spots is not None
    assert len(spots) == len(problem.parts)
    assert faults(problem, spots) == []
    room = problem.fabric.width - 2.0 * problem.fabric.edge_margin
    length = problem.area / room + 2.0 * problem.fabric.edge_margin
    assert needed_length(problem, spots) == pytest.approx(length, rel=1e-9)


@pytest.mark.parametrize("turns", [(0.0,), (0.0, 180.0), (0.0, 90.0, 180.0, 270.0)])
@pytest.mark.parametrize("count", [1, 2, 6, 10, 16, 25, 60])
def test_rectangles_cut_by_random_lines_come_together(count: int, turns: tuple[float, ...]) -> None:
    for seed in range(3):
        problem = problem_of(jigsaw(count, seed, turns), turns=turns)
        assert_no_waste(problem, put_together(problem))


@pytest.mark.parametrize("count", [6, 16, 25])
def test_rounded_to_six_places_they_come_together_but_for_a_hair(count: int) -> None:
    for seed in range(3):
        parts = [tuple((round(x, 6), round(y, 6)) for x, y in p) for p in jigsaw(count, seed)]
        job = Job(Fabric(WIDTH), tuple(Piece(f"p{k}", p) for k, p in enumerate(parts)))
        problem = build_problem(job)
        spots = put_together(problem)
        assert spots is not None
        assert needed_length(problem, spots) == pytest.approx(LENGTH, abs=1e-5)
        placements, _ = placements_of(problem, spots)
        laid = lay({piece.id: piece for piece in job.pieces}, placements)
        assert check_laid(laid, replace(job.fabric, length=LENGTH)) == ()


@pytest.mark.parametrize("places", [4, 3])
def test_what_is_rounded_too_far_is_never_handed_out_with_an_overlap(places: int) -> None:
    for seed in range(8):
        parts = [
            tuple((round(x, places), round(y, places)) for x, y in p) for p in jigsaw(10, seed)
        ]
        job = Job(Fabric(WIDTH), tuple(Piece(f"p{k}", p) for k, p in enumerate(parts)))
        problem = build_problem(job)
        spots = put_together(problem)
        if spots is not None:
            placements, _ = placements_of(problem, spots)
            assert not check_laid(lay({p.id: p for p in job.pieces}, placements), job.fabric)


def test_a_published_jigsaw_comes_together(benchmark_folder: Path) -> None:
    # ESICUP data set dighe1 (CC0): 16 parts, strip 100 wide, optimum 100.
    problem = build_problem(instance_job(benchmark_folder, "dighe1"))
    spots = put_together(problem)
    assert_no_waste(problem, spots)
    assert spots is not None
    assert needed_length(problem, spots) == pytest.approx(100.0, abs=1e-9)


def test_the_smallest_squared_rectangle_comes_together() -> None:
    # Z. Moroń 1925: a 33 x 32 rectangle of nine squares, no two alike (from memory; the areas
    # add up: 1056).
    sides = (18, 15, 14, 10, 9, 8, 7, 4, 1)
    assert sum(side * side for side in sides) == 33 * 32
    problem = problem_of([square(float(side)) for side in sides], Fabric(32.0))
    spots = put_together(problem)
    assert_no_waste(problem, spots)


def test_equal_squares_fill_a_row_of_pixels() -> None:
    side = 2540.0 / 96.0
    problem = problem_of([square(side)], Fabric(5 * side), cut=20)
    assert_no_waste(problem, put_together(problem))


def test_the_edge_margin_is_kept() -> None:
    problem = problem_of(jigsaw(10, 1), Fabric(WIDTH + 24.0, edge_margin=12.0))
    assert_no_waste(problem, put_together(problem))


def test_a_concave_jigsaw_comes_together() -> None:
    left: Outline = ((0, 0), (60, 0), (20, 30), (60, 60), (30, 100), (0, 100))
    right: Outline = ((60, 0), (120, 0), (120, 100), (30, 100), (60, 60), (20, 30))
    problem = problem_of([left, right])
    assert_no_waste(problem, put_together(problem))


def test_what_leaves_waste_is_no_jigsaw() -> None:
    assert put_together(problem_of([square(30.0)], cut=9)) is None
    parts = jigsaw(10, 1)
    parts[3] = tuple((1.01 * x, 1.01 * y) for x, y in parts[3])
    assert put_together(problem_of(parts)) is None


@pytest.mark.parametrize("name", ["albano", "jakobs1", "shirts"])
def test_published_garments_are_given_up(name: str, benchmark_folder: Path) -> None:
    assert put_together(build_problem(instance_job(benchmark_folder, name))) is None


def test_parts_that_must_not_touch_are_no_jigsaw() -> None:
    assert put_together(problem_of(jigsaw(6, 1), Fabric(WIDTH, gap=3.0))) is None


def test_held_parts_are_no_jigsaw() -> None:
    problem = problem_of(jigsaw(6, 1))
    held = Problem(
        problem.fabric, problem.parts, problem.shapes, (Spot(0, 0.0, 0.0),), problem.outlines
    )
    assert put_together(held) is None
    assert put_together(problem_of([])) is None


def test_a_stop_is_obeyed() -> None:
    assert put_together(problem_of(jigsaw(6, 1)), lambda: True) is None


def test_a_bad_start_is_taken_back(monkeypatch: pytest.MonkeyPatch) -> None:
    # Of two squares and a bar, the corner takes either: the bar must come along the selvedge.
    bar: Outline = ((0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0))
    problem = problem_of([square(30.0), square(30.0), bar], Fabric(70.0))
    assert_no_waste(problem, put_together(problem))
    monkeypatch.setattr("nesting.construct.puzzle.MOST_TRIES", 2)
    assert put_together(problem) is None
