# SPDX-License-Identifier: GPL-2.0-or-later
"""Where a part may lie: its room on the cloth, and that every search keeps to it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nesting.cloth.bounds import lower_bound
from nesting.cloth.problem import Problem, Spot, build_problem, needed_length, room_of
from nesting.cloth.rooms import ON_STEP, Axis, Room, on_cloth
from nesting.construct import bottomleft
from nesting.construct.first import first_layout
from nesting.construct.puzzle import put_together
from nesting.geometry.shapes import signed_area
from nesting.model import Fabric, Job, Outline, Piece
from nesting.press.settle import Settler
from nesting.pressing import Presser
from nesting.search.team import Search
from tests.helpers import strategies as some
from tests.helpers.spots import faults

ENDS = st.floats(-1e4, 1e4)
STEPS = st.builds(
    lambda low, span, period, phase: Axis(low, low + span, period, phase),
    ENDS,
    st.floats(0.0, 1e3),
    st.one_of(st.just(0.0), st.floats(1.0, 500.0)),
    ENDS,
)


def is_on(axis: Axis, at: float) -> bool:
    """Return whether a position is one of an axis, by another sum than its own."""
    if not axis.low - 1e-6 <= at <= axis.high + 1e-6:
        return False
    return not axis.period or abs(math.remainder(at - axis.phase, axis.period)) < 1e-6


@given(STEPS, ENDS)
def test_what_an_axis_answers_lies_on_it_and_no_step_nearer_is_passed_over(
    axis: Axis, at: float
) -> None:
    up, down, near = axis.at_least(at), axis.at_most(at), axis.nearest(at)
    steps = np.array([axis.low, axis.high, at])
    if axis.period:
        first = math.floor((axis.low - axis.phase) / axis.period)
        steps = axis.phase + axis.period * (first + np.arange(1100))
    every = [float(step) for step in steps if is_on(axis, float(step))]
    above, below = [s for s in every if s >= at - 1e-6], [s for s in every if s <= at + 1e-6]
    assert up == pytest.approx(min(above, default=math.inf), abs=1e-5)
    assert down == pytest.approx(max(below, default=-math.inf), abs=1e-5)
    if every:
        assert is_on(axis, near)
        assert abs(near - at) == pytest.approx(min(abs(s - at) for s in every), abs=1e-5)


@given(STEPS, ENDS, st.floats(0.0, 1e3))
def test_a_part_slides_down_by_whole_steps_and_no_farther_than_it_can(
    axis: Axis, at: float, way: float
) -> None:
    at = axis.nearest(at)
    if not is_on(axis, at):
        return
    gone = axis.way_down(at, min(way, at - axis.low))
    assert 0.0 <= gone <= way + 1e-6
    assert is_on(axis, at - gone)


@pytest.mark.parametrize(
    ("gap", "high"),
    [(1e-14, 40.0), (0.9 * ON_STEP, 40.0), (1.1 * ON_STEP, 40.0 - 1.1 * ON_STEP)],
)
def test_two_axes_that_meet_in_one_position_have_it_in_spite_of_rounding(
    gap: float, high: float
) -> None:
    met = Axis(0.0, 40.0 - gap).meet(Axis(40.0, 90.0))
    assert (met.low, met.high) == (40.0, pytest.approx(high, abs=1e-12))


def test_no_period_that_is_no_length_and_no_two_periods_on_one_axis() -> None:
    for period in (-1.0, math.inf, math.nan):
        with pytest.raises(ValueError, match="period"):
            Axis(period=period)
    with pytest.raises(ValueError, match="two periods"):
        Axis(period=50.0).meet(Axis(period=30.0))


@given(some.jobs(), st.floats(500.0, 5000.0), st.sampled_from([0, 1]), st.sampled_from([0, 1]))
def test_the_room_on_the_cloth_keeps_a_shape_on_it_up_to_its_edges(
    job: Job, length: float, right: int, upper: int
) -> None:
    """At each corner of the room the shape touches two edges of the usable cloth."""
    fabric = job.fabric
    for shape in build_problem(job).shapes:
        along, across = on_cloth(fabric, shape.low, shape.high, length).axes
        x, y = (along.high if right else along.low), (across.high if upper else across.low)
        left, bottom = shape.low[0] + x, shape.low[1] + y
        end, top = shape.high[0] + x, shape.high[1] + y
        margin = fabric.edge_margin
        touched = end if right else left
        assert touched == pytest.approx(length - margin if right else margin, abs=1e-6)
        touched = top if upper else bottom
        assert touched == pytest.approx(fabric.width - margin if upper else margin, abs=1e-6)
        if along.low <= along.high:
            assert left >= margin - 1e-6
            assert end <= length - margin + 1e-6


def test_a_part_as_wide_as_the_cloth_has_one_row_to_lie_in_despite_rounding() -> None:
    square: Outline = ((0, 0), (80, 0), (80, 80), (0, 80))
    problem = build_problem(Job(Fabric(80.0 - 5e-7), (Piece("a", square),)))
    across = room_of(problem, problem.parts[0], 0).across
    assert across.low == across.high


# --- every search keeps to rooms ------------------------------------------------------------------

ANGLE: Outline = ((0, 0), (160, 0), (160, 40), (60, 40), (60, 120), (0, 120))
BLOB: Outline = tuple(
    (80 + 70 * math.cos(math.tau * k / 9), 60 + (45 + 8 * (k % 3)) * math.sin(math.tau * k / 9))
    for k in range(9)
)
FABRIC = Fabric(420.0, gap=2.0, edge_margin=10.0, nap=False)


def narrowed(rooms: dict[int, Room]) -> Problem:
    """Return nine odd parts, some of which have a narrower room in each of their turns."""
    pieces = (Piece("angle", ANGLE, cut=5, hand="same"), Piece("blob", BLOB, cut=4, hand="same"))
    problem = build_problem(Job(FABRIC, pieces))
    parts = tuple(
        replace(part, rooms=(rooms[k],) * len(part.shapes)) if k in rooms else part
        for k, part in enumerate(problem.parts)
    )
    return replace(problem, parts=parts)


ACROSS = Room(across=Axis(200.0, 240.0))
ALONG = Room(along=Axis(300.0, 330.0))
STEPPED = Room(along=Axis(period=50.0, phase=7.0))
ROWS = Room(across=Axis(period=50.0, phase=12.0))
ONE_PLACE = Room(Axis(211.0, 211.0), Axis(155.0, 155.0))
KINDS = {
    "across": {0: ACROSS},
    "along": {1: ALONG},
    "steps along": {2: STEPPED},
    "steps across": {5: ROWS},
    "one place": {3: ONE_PLACE},
    "near the start": {k: Room(along=Axis(-math.inf, 200.0)) for k in (4, 8)},
    "some of each": {0: ACROSS, 1: ALONG, 2: STEPPED, 5: ROWS},
    "steps for all": dict.fromkeys(range(9), STEPPED.meet(ROWS)),
}


def complete(spots: Sequence[Spot | None]) -> tuple[Spot, ...]:
    """Return spots of which none is missing."""
    found = tuple(spot for spot in spots if spot is not None)
    assert len(found) == len(spots)
    return found


def constructed(problem: Problem) -> tuple[Spot, ...]:
    """Return what the constructive search comes to, settled, after twenty rounds."""
    return improved(problem, bottomleft.improve, 20)


def improved(problem: Problem, search: Callable[..., int], rounds: int) -> tuple[Spot, ...]:
    """Return the best that a search comes to; every layout on the way keeps to the rooms."""
    best = complete(first_layout(problem))

    def take(spots: tuple[Spot, ...], number: int) -> None:
        nonlocal best
        assert faults(problem, spots) == []
        assert needed_length(problem, spots) <= needed_length(problem, best)
        best = spots

    search(
        problem, best, seed=0, workers=1, should_stop=lambda done: done >= rounds, on_better=take
    )
    return best


def chained(problem: Problem) -> tuple[Spot, ...]:
    """Return what the chains come to after a few rounds."""
    return improved(problem, Search(), 6)


def settled(problem: Problem) -> tuple[Spot, ...]:
    """Return the first layout, settled."""
    found = Settler(problem).settle(first_layout(problem))
    assert found is not None
    return complete(found)


def pressed(problem: Problem) -> tuple[Spot, ...]:
    """Return the first layout, pressed together by programs."""
    return Presser(problem).pressed(first_layout(problem), lambda: False)


@pytest.mark.parametrize("search", [first_layout, settled, pressed, constructed, chained])
@pytest.mark.parametrize("kind", KINDS)
def test_every_search_keeps_to_the_rooms_of_parts(
    kind: str, search: Callable[[Problem], Sequence[Spot | None]]
) -> None:
    problem = narrowed(KINDS[kind])
    spots = complete(search(problem))
    assert faults(problem, spots) == []
    assert needed_length(problem, spots) >= lower_bound(problem) - 1e-6


LONGEST = {
    "across": 344.0,
    "along": 343.0,
    "steps along": 356.0,
    "steps across": 343.0,
    "one place": 382.0,
    "near the start": 343.0,
    "some of each": 357.0,
    "steps for all": 518.0,
}
"""mm that each may take, where 342 is what the chains come to without any narrower room."""


@pytest.mark.parametrize("kind", KINDS)
def test_narrower_rooms_cost_little_cloth(kind: str) -> None:
    problem = narrowed(KINDS[kind])
    assert needed_length(problem, chained(problem)) <= LONGEST[kind]


BAR: Outline = ((0, 0), (300, 0), (300, 90), (0, 90))


@pytest.mark.parametrize(
    ("rooms", "length"),
    [
        ({}, 600.0),
        ({0: Room(across=Axis(0.0, 0.0)), 1: Room(across=Axis(95.0, 110.0))}, 600.0),
        ({2: Room(along=Axis(300.0, 300.0))}, 600.0),
        ({3: Room(along=Axis(period=50.0))}, 600.0),
        # A bar takes ceil(300 / repeat) repeats along the cloth: what every matched layout obeys.
        (dict.fromkeys(range(4), Room(along=Axis(period=70.0))), 5 * 70.0 + 300.0),
        (dict.fromkeys(range(4), Room(along=Axis(period=320.0))), 320.0 + 300.0),
        # Where rows are more than half the width apart only one bar lies across the cloth.
        (dict.fromkeys(range(4), Room(across=Axis(period=115.0))), 1200.0),
        ({0: Room(along=Axis(450.0, 500.0))}, 750.0),
    ],
)
def test_bars_take_the_least_that_their_rooms_allow(rooms: dict[int, Room], length: float) -> None:
    """Four bars, 300 mm long, two of which lie side by side: each length is provably the least."""
    plain = build_problem(Job(Fabric(200.0), (Piece("s", BAR, cut=4, hand="same"),)))
    parts = tuple(
        replace(part, rooms=(rooms[k],) * len(part.shapes)) if k in rooms else part
        for k, part in enumerate(plain.parts)
    )
    problem = replace(plain, parts=parts)
    spots = chained(problem)
    assert faults(problem, spots) == []
    assert needed_length(problem, spots) == pytest.approx(length, abs=1e-6)


def test_two_squares_that_must_lie_on_steps_lie_on_the_first_that_are_free() -> None:
    """80 mm squares on steps of 50: at 0 and 100, so 180 mm; without steps 160."""
    square: Outline = ((0, 0), (80, 0), (80, 80), (0, 80))
    plain = build_problem(Job(Fabric(80.0), (Piece("s", square, cut=2, hand="same"),)))
    steps = Room(along=Axis(period=50.0))
    parts = tuple(replace(part, rooms=(steps,) * len(part.shapes)) for part in plain.parts)
    problem = replace(plain, parts=parts)
    assert needed_length(plain, first_layout(plain)) == pytest.approx(160.0)
    for search in (first_layout, settled, constructed, chained):
        assert needed_length(problem, search(problem)) == pytest.approx(180.0, abs=1e-6)
    # A jigsaw fills the cloth without waste, and nothing here may be moved to do so.
    assert put_together(plain) is not None
    assert put_together(problem) is None


def test_a_part_that_may_lie_in_two_zones_takes_the_one_with_room() -> None:
    """One shape, two rooms: each is a way of its own, and the search chooses between them."""
    plain = build_problem(Job(Fabric(200.0), (Piece("s", BAR, cut=2, hand="same"),)))
    shape = plain.parts[0].shapes[0]
    zones = (Room(across=Axis(0.0, 0.0)), Room(across=Axis(110.0, 110.0)))
    parts = tuple(replace(part, shapes=(shape, shape), rooms=zones) for part in plain.parts)
    problem = replace(plain, shapes=(*plain.shapes, plain.shapes[shape]), parts=parts)
    other = len(problem.shapes) - 1
    parts = tuple(replace(part, shapes=(shape, other)) for part in parts)
    problem = replace(problem, parts=parts)
    spots = chained(problem)
    assert faults(problem, spots) == []
    assert needed_length(problem, spots) == pytest.approx(300.0, abs=1e-6)
    assert sorted(spot.y for spot in spots) == pytest.approx([0.0, 110.0])


# --- what is fixed --------------------------------------------------------------------------------


def test_an_obstacle_is_kept_clear_of_but_counts_neither_for_length_nor_for_area() -> None:
    from nesting.cloth.problem import Fixed
    from nesting.geometry.lying import Orientation, Shape

    square: Outline = ((0, 0), (80, 0), (80, 80), (0, 80))
    plain = build_problem(Job(Fabric(100.0), (Piece("s", square, cut=2, hand="same"),)))
    hole = np.array([[0.0, 0.0], [30.0, 0.0], [30.0, 30.0], [0.0, 30.0]])
    shape = Shape("flaw", Orientation(0.0, False), hole, (0.0, 0.0), (30.0, 30.0))
    number = len(plain.shapes)
    near, far = Fixed(number, 60.0, 40.0, counts=False), Fixed(number, 900.0, 40.0, counts=False)
    problem = replace(plain, shapes=(*plain.shapes, shape), fixed=(near, far))
    assert problem.area == plain.area == 2 * 80.0**2
    assert problem.areas[-2:] == (900.0, 900.0)
    assert lower_bound(problem) == pytest.approx(lower_bound(plain))
    for search in (first_layout, settled, constructed, chained):
        spots = complete(search(problem))
        assert faults(problem, spots) == []
        # Both squares are too wide to pass the flaw: behind it the first one begins at 90.
        assert needed_length(problem, spots) == pytest.approx(90.0 + 160.0, abs=1e-6)
    held = replace(problem, fixed=(replace(near, counts=True), replace(far, counts=True)))
    assert needed_length(held, ()) == 930.0
    assert held.area == pytest.approx(plain.area + 2 * abs(signed_area(hole)))
