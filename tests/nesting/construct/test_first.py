# SPDX-License-Identifier: GPL-2.0-or-later
"""The first layout: valid at once, and already the proven least for equal rectangles."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.cloth.problem import Problem, Spot, build_problem, needed_length
from nesting.construct.first import first_layout
from nesting.model import Fabric, Job, Piece, Placement
from tests.helpers import strategies as some
from tests.helpers.spots import faults

INCH = 25.4


def rectangles(count: int, length: float, width: float, fabric: Fabric) -> Problem:
    outline = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    return build_problem(Job(fabric, (Piece("square", outline, cut=count, hand="same"),)))


@given(some.jobs())
def test_every_first_layout_is_valid(job: Job) -> None:
    problem = build_problem(job)
    spots = first_layout(problem)
    assert None not in spots
    assert faults(problem, spots) == []


@given(some.jobs(), some.lengths(50, 1500))
def test_on_a_fixed_length_parts_lie_on_it_or_are_left_over(job: Job, length: float) -> None:
    problem = build_problem(replace(job, fabric=replace(job.fabric, length=length)))
    assert faults(problem, first_layout(problem)) == []


# Squares per yard of cloth 39, 40, 41 and 42 in wide: a quilters' chart, jajalger2018.org ("5-inch
# squares"), each row agreeing with floor(W / s) across times floor(36 / s) along. So many squares
# take all 36 // s rows, and that is proven to be the least.
PER_YARD = {
    0.5: (5616, 5760, 5904, 6048),
    1.0: (1404, 1440, 1476, 1512),
    1.5: (624, 624, 648, 672),
    2.0: (342, 360, 360, 378),
    2.5: (210, 224, 224, 224),
    3.0: (156, 156, 156, 168),
    3.5: (110, 110, 110, 120),
    4.0: (81, 90, 90, 90),
    4.5: (64, 64, 72, 72),
    5.0: (49, 56, 56, 56),
    5.5: (42, 42, 42, 42),
    6.0: (36, 36, 36, 42),
    6.5: (30, 30, 30, 30),
    7.0: (25, 25, 25, 30),
    7.5: (20, 20, 20, 20),
    8.0: (16, 20, 20, 20),
    8.5: (16, 16, 16, 16),
    9.0: (16, 16, 16, 16),
    9.5: (12, 12, 12, 12),
}


@pytest.mark.parametrize("side", [side for side in PER_YARD if side >= 1.0])
def test_squares_per_yard_need_their_rows_and_no_more(side: float) -> None:
    for width, count in zip((39, 40, 41, 42), PER_YARD[side], strict=True):
        rows = int(36 // side)
        problem = rectangles(count, side * INCH, side * INCH, Fabric(width * INCH))
        assert needed_length(problem, first_layout(problem)) == pytest.approx(rows * side * INCH)
        yard = replace(problem, fabric=Fabric(width * INCH, length=36 * INCH))
        assert None not in first_layout(yard)
        # One more does not go on the yard of the chart.
        more = rectangles(count + 1, side * INCH, side * INCH, yard.fabric)
        assert first_layout(more).count(None) == 1


def test_63_squares_of_nine_and_a_half_inches_take_152_inches() -> None:
    # Worked example at quiltingboard.com, thread 6228687 (2013): 4 across, 16 rows.
    problem = rectangles(63, 9.5 * INCH, 9.5 * INCH, Fabric(42 * INCH))
    assert needed_length(problem, first_layout(problem)) == pytest.approx(152 * INCH, rel=1e-12)


@given(
    st.integers(1, 60),
    some.lengths(10, 300),
    some.lengths(10, 300),
    some.lengths(300, 1500),
    st.sampled_from([0.0, 3.0, 12.5]),
    st.sampled_from([0.0, 5.0]),
)
def test_equal_rectangles_take_the_least_columns(
    count: int, length: float, width: float, across: float, gap: float, margin: float
) -> None:
    fabric = Fabric(across + 2 * margin, gap=gap, edge_margin=margin)
    problem = rectangles(count, length, width, fabric)
    columns = -(-count // int((across + gap) // (width + gap)))
    expected = columns * length + (columns - 1) * gap + 2 * margin
    assert needed_length(problem, first_layout(problem)) == pytest.approx(expected, rel=1e-12)


def test_a_quarter_turn_is_taken_when_it_saves() -> None:
    outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 30.0), (0.0, 30.0))
    piece = Piece("bar", outline, cut=3, hand="same", turns=(0.0, 90.0), turns_on_nap=True)
    problem = build_problem(Job(Fabric(100.0), (piece,)))
    assert needed_length(problem, first_layout(problem)) == pytest.approx(90.0)


def held(job: Job, x: float, y: float) -> Job:
    """Return a job with the first copy of its first piece held at a position."""
    piece = job.pieces[0]
    place = Placement(piece.id, (1,), 1, piece.turns[0] if job.fabric.nap else 0.0, False, x, y)
    return replace(job, held=(place,))


def test_parts_are_laid_round_held_ones() -> None:
    outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    job = Job(Fabric(300.0, gap=2.0), (Piece("square", outline, cut=12, hand="same"),))
    problem = build_problem(held(job, 130.0, 95.0))
    spots = first_layout(problem)
    assert len(problem.fixed) == 1
    assert faults(problem, spots) == []
    assert needed_length(problem, spots) < 900.0


@given(some.jobs(), some.lengths(0, 400), some.lengths(0, 1))
def test_held_parts_are_never_touched(job: Job, x: float, share: float) -> None:
    free = build_problem(job)
    shape = free.shapes[free.parts[0].shapes[0]]
    margin = job.fabric.edge_margin
    room = job.fabric.width - 2 * margin - shape.size[1]
    place = Placement(
        shape.piece,
        (1,),
        1,
        shape.orientation.turn,
        shape.orientation.flip,
        x + margin - shape.low[0],
        margin + share * room - shape.low[1],
    )
    problem = build_problem(replace(job, held=(place,)))
    assert faults(problem, first_layout(problem)) == []


def test_a_long_part_that_does_not_fit_leaves_room_for_shorter_ones() -> None:
    long = Piece("long", ((0.0, 0.0), (500.0, 0.0), (500.0, 10.0), (0.0, 10.0)))
    short = Piece("short", ((0.0, 0.0), (90.0, 0.0), (90.0, 10.0), (0.0, 10.0)))
    problem = build_problem(Job(Fabric(50.0, length=100.0), (long, short)))
    spots = first_layout(problem)
    assert spots[0] is None
    assert spots[1] is not None


def test_nothing_to_lay_needs_nothing() -> None:
    problem = build_problem(Job(Fabric(100.0), ()))
    assert first_layout(problem) == ()


def test_the_checker_of_this_file_sees_faults() -> None:
    problem = rectangles(3, 10.0, 10.0, Fabric(30.0, length=40.0, gap=1.0))
    clean = (Spot(0, 0.0, 0.0), Spot(0, 0.0, 11.0), None)
    assert faults(problem, clean) == []
    assert "overlap" in faults(problem, (Spot(0, 0.0, 0.0), Spot(0, 0.0, 9.9), None))[0]
    assert "gap" in faults(problem, (Spot(0, 0.0, 0.0), Spot(0, 0.0, 10.5), None))[0]
    assert "off" in faults(problem, (Spot(0, 0.0, 0.0), Spot(0, 31.0, 0.0), None))[0]


def test_the_first_layout_needs_no_heavy_library() -> None:
    code = (
        "import sys, nesting.construct.first; "
        "assert not {'numba', 'scipy', 'highspy', 'shapely', 'pyclipper'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)
