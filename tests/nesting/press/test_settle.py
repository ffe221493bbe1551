# SPDX-License-Identifier: GPL-2.0-or-later
"""Settling: parts slide left and down until they touch, and never into each other."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate
from shapely.geometry import Polygon

from nesting.cloth.problem import Fixed, Problem, Spot, build_problem, needed_length, room_of
from nesting.construct.first import first_layout
from nesting.model import Fabric, Job, Outline, Piece
from nesting.press.settle import STILL, Settler
from tests.helpers import strategies as some
from tests.helpers.spots import faults


def settled(problem: Problem, spots: tuple[Spot | None, ...]) -> tuple[Spot | None, ...]:
    found = Settler(problem).settle(spots)
    assert found is not None
    return found


def pair(first: Outline, second: Outline, width: float, gap: float = 0.0) -> Problem:
    """Return a problem of two pieces, one copy each."""
    pieces = (Piece("one", first), Piece("two", second))
    return build_problem(Job(Fabric(width, gap=gap), pieces))


SQUARE: Outline = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
WEDGE: Outline = ((0.0, 0.0), (20.0, 0.0), (0.0, 20.0))


@given(some.jobs())
def test_settled_layouts_are_valid_and_no_longer(job: Job) -> None:
    problem = build_problem(job)
    start = first_layout(problem)
    spots = settled(problem, start)
    assert faults(problem, spots) == []
    assert needed_length(problem, spots) <= needed_length(problem, start)
    for before, after in zip(start, spots, strict=True):
        assert before is not None
        assert after is not None
        assert after.shape == before.shape
        assert after.x <= before.x
        assert after.y <= before.y


def test_parts_that_lie_the_gap_apart_slide_no_nearer() -> None:
    """A point over a point: grown round its corners by half the gap, each is a hair larger."""
    pieces = [
        Piece(name, ((0, 0), (5, 1), (0, tall)), turns=(0.0,), fold=((0, 0), (0, tall)))
        for name, tall in (("low", 2.0), ("high", 2.125))
    ]
    problem = build_problem(Job(Fabric(12.0, gap=1.5, nap=False), tuple(pieces)))
    assert faults(problem, (start := first_layout(problem))) == []
    assert faults(problem, settled(problem, start)) == []


@settings(max_examples=30)
@given(some.jobs(most_pieces=3))
def test_afterwards_no_part_can_slide_farther(job: Job) -> None:
    problem = build_problem(replace(job, fabric=replace(job.fabric, gap=0.0)))
    spots = first_layout(problem)
    # Parts that slide along each other go on for longer than settling takes the time for.
    for _ in range(20):
        spots = settled(problem, spots)
    laid = [
        translate(Polygon(problem.shapes[s.shape].points), s.x, s.y) for s in spots if s is not None
    ]
    for k, spot in enumerate(spots):
        assert spot is not None
        room = room_of(problem, problem.parts[k], spot.shape)
        low_x, low_y = room.along.low, room.across.low
        others = [part for j, part in enumerate(laid) if j != k]
        for dx, dy, free in ((-1.0, 0.0, spot.x - low_x), (0.0, -1.0, spot.y - low_y)):
            # All it could still go is what the last sweep left, or nothing.
            step = 2.0 * STILL
            moved = translate(laid[k], step * dx, step * dy)
            blocked = any(moved.intersection(other).area > 0.0 for other in others)
            assert free < step or blocked


def test_a_part_slides_to_the_edge_and_then_down() -> None:
    problem = pair(SQUARE, SQUARE, 100.0)
    spots = settled(problem, (Spot(0, 30.0, 40.0), Spot(1, 70.0, 0.0)))
    assert spots == (Spot(0, 0.0, 0.0), Spot(1, 10.0, 0.0))


def test_a_part_slides_along_one_it_touches() -> None:
    problem = pair(SQUARE, SQUARE, 20.0)
    spots = settled(problem, (Spot(0, 0.0, 0.0), Spot(1, 50.0, 10.0)))
    assert spots[1] == Spot(1, 0.0, 10.0)


def test_slanted_edges_meet_exactly() -> None:
    corner = tuple((20.0 - x, 20.0 - y) for x, y in WEDGE)
    problem = pair(WEDGE, corner, 20.0)
    spots = settled(problem, (Spot(0, 0.0, 0.0), Spot(1, 33.3, 0.0)))
    assert spots[1] == Spot(1, 0.0, 0.0)


@given(some.outlines(), some.outlines(), some.lengths(0, 300))
def test_two_parts_end_up_touching_or_at_the_edge(
    first: Outline, second: Outline, lift: float
) -> None:
    problem = pair(first, second, 5000.0)
    one, two = problem.shapes
    start = (
        Spot(0, -one.low[0], -one.low[1]),
        Spot(1, one.size[0] + 100.0 - two.low[0], lift - two.low[1]),
    )
    spots = settled(problem, start)
    assert spots[0] == start[0]
    moved = spots[1]
    assert moved is not None
    fixed = translate(Polygon(one.points), start[0].x, start[0].y)
    moving = translate(Polygon(two.points), moved.x, moved.y)
    at_edge = moved.x + two.low[0] < 1e-9
    assert at_edge or moving.distance(fixed) <= 1e-7
    assert faults(problem, spots) == []


@pytest.mark.parametrize("gap", [3.0, 0.5])
def test_the_gap_is_kept_between_straight_edges(gap: float) -> None:
    problem = pair(SQUARE, SQUARE, 10.0, gap=gap)
    spots = settled(problem, (Spot(0, 0.0, 0.0), Spot(1, 99.0, 0.0)))
    moved = spots[1]
    assert moved is not None
    assert moved.x == pytest.approx(10.0 + gap, abs=1e-9)


def test_needles_that_touch_do_not_slide_into_each_other() -> None:
    # Found by a random job: along a needle's edge a hair across is 360 times as long.
    needle: Outline = ((0.0, 0.0), (-89.75, 0.0), (0.0, -0.25))
    pieces = (
        Piece("up", needle, turns=(0.0,), grain=270.0),
        Piece("down", needle, turns=(180.0,), turns_on_nap=True, grain=270.0),
    )
    problem = build_problem(Job(Fabric(190.0, gap=3.0), pieces))
    start = Spot(0, 0.0, 97.7556824892), Spot(1, 3.2499958098921864, 8.0)
    assert faults(problem, start) == []
    assert faults(problem, settled(problem, start)) == []


def test_held_parts_stay_and_hold_others_back() -> None:
    problem = replace(pair(SQUARE, SQUARE, 10.0), fixed=(Fixed(0, 5.0, 0.0),))
    problem = replace(problem, parts=problem.parts[1:])
    assert settled(problem, (Spot(1, 40.0, 0.0),)) == (Spot(1, 15.0, 0.0),)


def test_left_over_parts_stay_left_over() -> None:
    problem = pair(SQUARE, SQUARE, 20.0)
    assert settled(problem, (None, Spot(1, 30.0, 0.0))) == (None, Spot(1, 0.0, 0.0))


def test_a_stop_is_obeyed() -> None:
    problem = pair(SQUARE, SQUARE, 20.0)
    assert Settler(problem).settle((Spot(0, 0.0, 0.0), None), lambda: True) is None


@given(st.integers(0, 3))
def test_a_part_in_a_slot_of_its_own_width_slides_in(turns: int) -> None:
    slotted = np.array([(0, 0), (30, 0), (30, 40), (20, 40), (20, 10), (10, 10), (10, 40), (0, 40)])
    block = np.array([(0, 0), (10, 0), (10, 20), (0, 20)])
    angle = 90.0 * turns
    first, second = (
        some.turned(tuple((float(x), float(y)) for x, y in points), angle)
        for points in (slotted, block)
    )
    problem = pair(first, second, 1000.0)
    (inside,) = some.turned(((10.0, 20.0),), angle)
    origin = -problem.shapes[0].low[0], -problem.shapes[0].low[1]
    start = Spot(0, *origin), Spot(1, inside[0] + origin[0], inside[1] + origin[1])
    assert faults(problem, start) == []
    assert faults(problem, settled(problem, start)) == []
