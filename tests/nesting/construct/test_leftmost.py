# SPDX-License-Identifier: GPL-2.0-or-later
"""The leftmost free position: free, nothing farther left is, and both ways of finding it agree."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import ArrayLike
from shapely.affinity import translate
from shapely.geometry import Polygon

from nesting.cloth.rooms import Axis, Room
from nesting.construct import leftmost as module
from nesting.construct.leftmost import Barrier, barrier_of, leftmost, leftmost_in, search_numpy
from nesting.geometry.nofit import nofit
from nesting.geometry.shapes import Points, counter_clockwise
from nesting.model import Outline
from tests.helpers import strategies as some
from tests.helpers.loops import stands_twice

Box = tuple[float, float, float, float]
WIDE: Box = (0.0, 0.0, math.inf, 1000.0)


def points_of(outline: ArrayLike) -> Points:
    return counter_clockwise(np.array(outline, dtype=np.float64))


SQUARE = points_of([(0, 0), (10, 0), (10, 10), (0, 10)])


def barriers(
    fixed: list[tuple[Points, float, float]], moving: Points
) -> list[tuple[Barrier, float, float]]:
    return [(barrier_of(nofit(shape, moving)), x, y) for shape, x, y in fixed]


@st.composite
def scenes(draw: st.DrawFn) -> tuple[list[tuple[Points, float, float]], Points, Box]:
    """Fixed shapes on a strip, a moving one, and a box of positions for it."""
    kinds = st.one_of(some.rectangles(20, 200), some.l_shapes(), some.star_shaped(20, 200))
    fixed = [
        (points_of(draw(kinds)), draw(some.lengths(0, 600)), draw(some.lengths(0, 600)))
        for _ in range(draw(st.integers(0, 7)))
    ]
    high_x = draw(st.sampled_from([math.inf, 500.0, 0.0]))
    return fixed, points_of(draw(kinds)), (0.0, 0.0, high_x, draw(some.lengths(0, 800)))


@settings(max_examples=80)
@given(scenes(), st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=20, max_size=20))
def test_it_is_free_and_nothing_is_farther_left(
    scene: tuple[list[tuple[Points, float, float]], Points, Box],
    shares: list[tuple[float, float]],
) -> None:
    fixed, moving, box = scene
    found = leftmost(barriers(fixed, moving), box)
    there = [translate(Polygon(shape), x, y) for shape, x, y in fixed]
    polygon = Polygon(moving)

    def overlap(x: float, y: float) -> float:
        laid = translate(polygon, x, y)
        return max((laid.intersection(other).area for other in there), default=0.0)

    if found is not None:
        assert overlap(*found) <= 1e-9 * polygon.area
        assert box[0] <= found[0] <= box[2]
        assert box[1] <= found[1] <= box[3]
    reach = min(box[2], 2000.0) if found is None else found[0] - 1e-6
    for along, across in shares:
        if reach >= box[0]:
            x, y = box[0] + along * (reach - box[0]), box[1] + across * (box[3] - box[1])
            assert overlap(x, y) > 0.0


@stands_twice
@settings(max_examples=80)
@given(scenes())
def test_compiled_loops_and_numpy_agree_to_the_last_bit(
    scene: tuple[list[tuple[Points, float, float]], Points, Box],
) -> None:
    fixed, moving, box = scene
    around = barriers(fixed, moving)
    loops = leftmost(around, box)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "search", search_numpy)
        assert leftmost(around, box) == loops


@given(scenes(), st.floats(0, 1))
def test_a_known_bound_does_not_change_the_answer(
    scene: tuple[list[tuple[Points, float, float]], Points, Box], share: float
) -> None:
    fixed, moving, box = scene
    around = barriers(fixed, moving)
    found = leftmost(around, box)
    if found is not None:
        assert leftmost(around, box, (share * found[0], 0.0)) == found
        assert leftmost(around, box, found) == found


def test_an_empty_cloth_is_filled_from_the_lower_left_corner() -> None:
    assert leftmost([], (1.0, 2.0, math.inf, 9.0)) == (1.0, 2.0)


def test_no_room_is_none() -> None:
    assert leftmost([], (0.0, 1.0, math.inf, 0.0)) is None
    full = barriers([(SQUARE, 0.0, 0.0)], SQUARE)
    assert leftmost(full, (0.0, 0.0, 5.0, 5.0)) is None


def test_a_part_as_wide_as_the_cloth_comes_next() -> None:
    row = barriers([(SQUARE, 0.0, 0.0)], SQUARE)
    assert leftmost(row, (0.0, 0.0, math.inf, 0.0)) == (10.0, 0.0)


def test_a_gap_exactly_as_wide_as_the_part_is_found() -> None:
    fixed = [(SQUARE, 0.0, 0.0), (SQUARE, 0.0, 20.0)]
    assert leftmost(barriers(fixed, SQUARE), WIDE) == (0.0, 10.0)


def test_a_gap_in_inches_is_found_however_the_rounding_falls() -> None:
    # 100 px squares: 26.458333... mm is no whole number of grid steps.
    side = 100 * 25.4 / 96
    square = SQUARE / 10 * side
    fixed = [(square, 0.0, k * side) for k in range(40) if k != 23]
    found = leftmost(barriers(fixed, square), (0.0, 0.0, math.inf, 39 * side))
    assert found == pytest.approx((0.0, 23 * side), abs=1e-8)


def test_a_room_that_fits_exactly_all_round_is_found() -> None:
    around = [
        (x, y) for x in (0.0, 10.0, 20.0) for y in (0.0, 10.0, 20.0) if (x, y) != (10.0, 10.0)
    ]
    fixed = [(SQUARE, x, y) for x, y in around]
    assert leftmost(barriers(fixed, SQUARE), (0.0, 0.0, 20.0, 20.0)) == (10.0, 10.0)


def test_a_slot_in_a_part_is_found() -> None:
    slotted = points_of(
        [(0, 0), (30, 0), (30, 20), (20, 20), (20, 10), (10, 10), (10, 20), (0, 20)]
    )
    found = leftmost(barriers([(slotted, 0.0, 0.0)], SQUARE), (0.0, 0.0, 30.0, 10.0))
    assert found == (10.0, 10.0)


@given(some.outlines())
def test_the_box_of_a_barrier_bounds_its_edges(outline: Outline) -> None:
    barrier = barrier_of(nofit(points_of(outline), SQUARE))
    assert barrier.box[:2].tolist() == barrier.edges[:, :2].min(axis=0).tolist()
    assert barrier.box[2:].tolist() == barrier.edges[:, 2:].max(axis=0).tolist()


STEPPED = Axis(265.2, math.inf, 40.0, 25.2)


@pytest.mark.parametrize("across", [Axis(42.4, 42.3), Axis(50.0, -50.0)])
@pytest.mark.parametrize("count", [0, 1, 3])
def test_steps_along_endless_cloth_come_to_an_end_where_no_row_has_room(
    across: Axis, count: int
) -> None:
    fixed = [(SQUARE, 300.0 + 200.0 * n, 40.0) for n in range(count)]
    assert leftmost_in(Room(STEPPED, across), barriers(fixed, SQUARE)) is None


def test_the_first_step_beyond_all_barriers_is_found() -> None:
    wall = points_of([(0, -500), (200, -500), (200, 500), (0, 500)])
    found = leftmost_in(Room(STEPPED, Axis(0.0, 30.0)), barriers([(wall, 240.0, 0.0)], SQUARE))
    # 240 + 200 is where the wall ends; the next step of 25.2 + 40 n behind it is 465.2.
    assert found == pytest.approx((465.2, 0.0))
