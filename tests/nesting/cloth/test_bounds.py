# SPDX-License-Identifier: GPL-2.0-or-later
"""The lower bound is never above a valid layout, and meets the optimum where that is known."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from nesting.cloth import bounds
from nesting.cloth.bounds import lower_bound, utilisation
from nesting.cloth.hands import hands_of
from nesting.cloth.problem import build_problem, needed_length
from nesting.judge.outlines import lay
from nesting.model import Fabric, Job, Outline, Piece, Placement
from tests.helpers import strategies
from tests.helpers.published import instance_job, read

INCH = 25.4


def rectangle(along: float, across: float) -> Outline:
    return ((0.0, 0.0), (along, 0.0), (along, across), (0.0, across))


def bound_of(*pieces: Piece, width: float, **fabric: float) -> float:
    return lower_bound(build_problem(Job(Fabric(width, **fabric), pieces)))


def strips(draw: st.DrawFn, width: float, gap: float) -> tuple[list[Outline], float]:
    """A valid layout by construction: columns of rectangles, cut apart along zigzags.

    Returns its parts as they lie, and its length. Parts keep the gap, the cloth is used well.
    """
    parts: list[Outline] = []
    x = 0.0
    for _ in range(draw(st.integers(1, 4))):
        length, y = draw(strategies.lengths(20, 200)), 0.0
        while True:
            across = draw(strategies.lengths(10, 300))
            if y + across > width:
                break
            skew = draw(strategies.lengths(-0.5 * length, 0.0)) if draw(st.booleans()) else 0.0
            low = ((x, y), (x + length, y))
            parts.append((*low, (x + length + skew, y + across), (x, y + across)))
            y += across + gap
        x += length + gap
    return parts, x - gap


@st.composite
def valid_layouts(draw: st.DrawFn) -> tuple[Job, float]:
    """Jobs with the length of a layout that is known to be valid."""
    width = draw(strategies.lengths(320, 800))
    gap = draw(st.sampled_from([0.0, 0.0, 3.0, 10.0]))
    margin = draw(st.sampled_from([0.0, 7.5]))
    parts, length = strips(draw, width - 2 * margin, gap)
    angle = draw(st.sampled_from([0.0, 90.0, 30.0]))
    pieces = tuple(
        Piece(f"p{number}", strategies.turned(outline, angle), grain=angle)
        for number, outline in enumerate(parts)
    )
    return Job(Fabric(width, gap=gap, edge_margin=margin), pieces), length + 2 * margin


@given(valid_layouts())
def test_the_bound_is_never_above_a_layout_that_is_valid_by_construction(
    case: tuple[Job, float],
) -> None:
    job, length = case
    bound = lower_bound(build_problem(job))
    assert bound <= length + 1e-6
    assert bound > 0.3 * length


@given(strategies.jobs(most_pieces=3), st.data())
def test_the_bound_is_never_above_a_row_of_all_parts(job: Job, data: st.DataObject) -> None:
    """All parts one behind the other, in any of their turns: the least clever valid layout."""
    problem = build_problem(job)
    x = job.fabric.edge_margin
    for part in problem.parts:
        shape = problem.shapes[data.draw(st.sampled_from(part.shapes))]
        x += shape.size[0] + job.fabric.gap
    length = x - job.fabric.gap + job.fabric.edge_margin
    assert lower_bound(problem) <= length + 1e-6


@given(strategies.shared_edges(), st.integers(1, 4))
def test_the_bound_is_never_above_rectangles_cut_in_two(
    pair: tuple[Outline, Outline], count: int
) -> None:
    width, height = max(x for x, _ in pair[1]), max(y for _, y in pair[1])
    pieces = [Piece(f"p{n}", outline, cut=count, hand="same") for n, outline in enumerate(pair)]
    # `count` rectangles, as many across as there is room for.
    across = max(1, math.floor(500.0 / height))
    assert bound_of(*pieces, width=500.0) <= math.ceil(count / across) * width + 1e-6


@pytest.mark.parametrize("gap", [0.0, 3.0])
@pytest.mark.parametrize(
    ("along", "across", "count", "width"),
    [(100, 100, 7, 350), (100, 60, 1, 60), (30, 51, 20, 100), (30, 49, 21, 101), (80, 20, 99, 450)],
)
def test_for_equal_rectangles_the_bound_is_the_optimum(
    along: float, across: float, count: int, width: float, gap: float
) -> None:
    """L = ceil(N / floor(W / w)) h: rows are whole. With a gap, (W + g) / (w + g), and g less."""
    piece = Piece("a", rectangle(along, across), cut=count, hand="same")
    rows = math.ceil(count / math.floor((width + gap) / (across + gap)))
    optimum = rows * (along + gap) - gap
    bound = bound_of(piece, width=float(width), gap=gap)
    assert bound <= optimum + 1e-6
    # Grown corners are round, so with a gap part of it is lost in each row.
    assert bound >= optimum - rows * 0.6 * gap - 1e-6


def test_parts_too_wide_to_lie_side_by_side_follow_each_other() -> None:
    wide = [Piece(f"p{n}", rectangle(100.0 + n, 260.0 + n)) for n in range(4)]
    narrow = Piece("n", rectangle(10.0, 10.0), cut=5, hand="same")
    assert bound_of(*wide, narrow, width=500.0) == pytest.approx(406.0)


DUMBBELL: Outline = (
    (0.0, 0.0),
    (100.0, 0.0),
    (100.0, 145.0),
    (200.0, 145.0),
    (200.0, 0.0),
    (300.0, 0.0),
    (300.0, 300.0),
    (200.0, 300.0),
    (200.0, 155.0),
    (100.0, 155.0),
    (100.0, 300.0),
    (0.0, 300.0),
)
"""Two blocks 300 mm high and 100 mm long with a bar between them."""


def test_columns_count_that_are_wide_in_separate_places() -> None:
    """Two dumbbells interlock at best: four blocks of 100 mm one behind the other."""
    piece = Piece("a", DUMBBELL, cut=2, hand="same")
    assert bound_of(piece, width=500.0) == pytest.approx(400.0)


def test_of_several_turns_the_one_that_gives_least_counts() -> None:
    """Across the cloth the dumbbell has narrow columns: only its length of 300 mm is left."""
    piece = Piece("a", DUMBBELL, cut=2, hand="same", turns=(0.0, 90.0), turns_on_nap=True)
    assert bound_of(piece, width=500.0) == pytest.approx(300.0)


def test_a_flip_of_an_oblique_part_is_another_shape() -> None:
    wedge: Outline = ((0.0, 0.0), (300.0, 0.0), (300.0, 120.0))
    piece = Piece("a", wedge, cut=2, turns=(30.0,), turns_on_nap=True)
    problem = build_problem(Job(Fabric(5000.0), (piece,)))
    lengths = [shape.size[0] for shape in problem.shapes]
    assert lengths[1] > lengths[0] + 10.0
    assert lower_bound(problem) == pytest.approx(max(lengths))


def test_a_run_of_columns_ends_where_the_chord_drops() -> None:
    """A saw of two teeth: each falls from 300 to 0 mm, so more than 150 mm last 50 mm twice."""
    saw = shapely.Polygon([(0, 0), (200, 0), (100, 300), (100, 1e-9), (0, 300)])
    assert saw.is_valid
    (run,) = bounds._longest_runs(bounds._slabs(saw), np.array([150.0]))
    assert run == pytest.approx(50.0)


def test_a_tall_box_does_not_make_a_triangle_wide() -> None:
    """Two right triangles as tall as the cloth make one rectangle: 100, not 200."""
    low: Outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 500.0))
    high: Outline = ((0.0, 0.0), (100.0, 500.0), (0.0, 500.0))
    assert bound_of(Piece("a", low), Piece("b", high), width=500.0) == pytest.approx(100.0)


def test_the_longest_part_is_a_bound_in_its_shortest_turn() -> None:
    piece = Piece("a", rectangle(300.0, 20.0))
    assert bound_of(piece, width=500.0, edge_margin=10.0) == 320.0
    across = Piece("a", rectangle(300.0, 20.0), turns=(0.0, 90.0), turns_on_nap=True)
    assert bound_of(across, width=500.0) == pytest.approx(20.0)


def test_of_a_part_that_may_tilt_only_the_area_counts() -> None:
    piece = Piece("a", rectangle(300.0, 20.0), off_grain=2.0)
    problem = build_problem(Job(Fabric(500.0), (piece,)))
    assert lower_bound(problem, tilting=["a"]) == pytest.approx(300.0 * 20.0 / 500.0)
    assert lower_bound(problem) == pytest.approx(300.0)


def test_held_parts_are_counted_and_the_cloth_reaches_past_them() -> None:
    piece = Piece("a", rectangle(100.0, 300.0), cut=2, hand="same")
    for x, expected in ((0.0, 200.0), (700.0, 800.0)):
        held = (Placement("a", (1,), 1, 0.0, False, x, 0.0),)
        problem = build_problem(Job(Fabric(500.0), (piece,), held))
        assert lower_bound(problem) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("size", "width", "count", "length", "share"),
    [
        # 63 squares of 9 1/2 in on 42 in: 152 in (quiltingboard.com 6228687, 2013), 89.0625 %.
        (9.5, 42, 63, 152, 0.890625),
        # Six 10 in squares on 35 in: 20 in, 600 / 700; twenty 4 in squares in a fat quarter of
        # 18 x 22 in: 320 / 396. Arithmetic from the definition of marker efficiency
        # (apparel-source.blogspot.com 2013/06: piece area / (length x width) x 100).
        (10, 35, 6, 20, 6 / 7),
        (4, 18, 20, 20, 320 / 360),
    ],
)
def test_published_squares(
    size: float, width: float, count: int, length: float, share: float
) -> None:
    piece = Piece("a", rectangle(size * INCH, size * INCH), cut=count, hand="same")
    bound = bound_of(piece, width=width * INCH)
    assert bound == pytest.approx(length * INCH, rel=1e-12)
    area = count * (size * INCH) ** 2
    assert utilisation(area, width * INCH, bound) == pytest.approx(share, rel=1e-12)


def test_utilisation_of_a_fat_quarter_counts_the_whole_of_it() -> None:
    assert utilisation(20 * 16.0, 18.0, 22.0) == pytest.approx(0.8081, abs=5e-5)
    assert utilisation(0.0, 18.0, 0.0) == 0.0


def test_an_annulus_of_a_circle_skirt_covers_its_cloth_as_computed() -> None:
    """Waist 28 in, length 24 in: radius 4.456 in, diameter 56.91 in (getcalculatortools.com circle
    skirt, 2026); 72.67 % of 60 in cloth by arithmetic from these."""
    inner = 28 / (2 * math.pi)
    outer = inner + 24
    assert inner == pytest.approx(4.456, abs=5e-4)
    assert 2 * outer == pytest.approx(56.91, abs=5e-3)
    area = math.pi * (outer**2 - inner**2)
    assert utilisation(area, 60.0, 2 * outer) == pytest.approx(0.7267, abs=5e-5)


@pytest.mark.parametrize("name", ["albano", "shapes0", "shapes1", "shirts", "fu", "dighe1"])
def test_published_lengths_are_not_below_the_bound(benchmark_folder: Path, name: str) -> None:
    """Lengths of Gomes & Oliveira, EJOR 171(3), 2006, 811-829; dighe1 is a jigsaw of length 100."""
    known = {"albano": 9957.41, "shapes0": 60.0, "shapes1": 56.0, "shirts": 62.21, "fu": 31.333}
    problem = build_problem(instance_job(benchmark_folder, name))
    bound = lower_bound(problem)
    width = float(read(benchmark_folder / f"{name}.json")["strip_width"])
    assert problem.area / width - 1e-9 <= bound <= known.get(name, 100.0) + 1e-9


@given(strategies.jobs(most_pieces=2))
def test_the_bound_does_not_depend_on_where_pieces_are_drawn(job: Job) -> None:
    moved = Job(
        job.fabric,
        tuple(
            replace(
                piece,
                outline=strategies.moved(piece.outline, 500.0, -250.0),
                fold=None
                if piece.fold is None
                else (
                    (piece.fold[0][0] + 500.0, piece.fold[0][1] - 250.0),
                    (piece.fold[1][0] + 500.0, piece.fold[1][1] - 250.0),
                ),
            )
            for piece in job.pieces
        ),
    )
    assert lower_bound(build_problem(moved)) == pytest.approx(lower_bound(build_problem(job)))


def test_the_row_of_all_parts_is_what_the_judge_sees() -> None:
    """The helper layouts above are measured by the judge's geometry once."""
    piece = Piece("a", rectangle(100.0, 50.0), cut=2)
    problem = build_problem(Job(Fabric(500.0), (piece,)))
    spots = [Placement("a", (n,), 1, 0.0, hands_of(piece, n)[0], 100.0 * n, 60.0) for n in (1, 2)]
    ends = [part.polygon.bounds[2] for part in lay({"a": piece}, spots)]
    assert np.array(ends) == pytest.approx([200.0, 300.0])
    assert needed_length(problem, []) == 0.0
