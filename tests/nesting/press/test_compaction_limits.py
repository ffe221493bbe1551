# SPDX-License-Identifier: GPL-2.0-or-later
"""Limits of pressing and separating: both selvedges, never longer, and when they are given up."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from nesting.geometry.convex import convex_parts
from nesting.geometry.shapes import Points
from nesting.press import compaction
from nesting.press.compaction import SCALE, Arrangement, Press
from nesting.press.programs import Floats, Rows

WIDTH = 1000.0
"""A press on such a width works in mm."""


def box(width: float, height: float) -> Points:
    return np.array([[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]])


def press_of(outlines: Sequence[Points], movable: int) -> Press:
    sizes = [(float(o[:, 0].max()), float(o[:, 1].max())) for o in outlines]
    return Press([convex_parts(outline) for outline in outlines], sizes, WIDTH, movable)


def at(
    press: Press,
    *corners: tuple[float, float],
    low: tuple[float, float] = (0.0, 0.0),
    high: tuple[float, float] | None = None,
) -> Arrangement:
    """Return a part of each shape; those that may move have the whole cloth, or the given room."""
    movable, shapes = press._movable, np.arange(len(corners))
    sizes = press._sizes / press.scale
    highs = [high or (math.inf, SCALE / press.scale - sizes[k, 1]) for k in range(movable)]
    return press.arranged(shapes, np.array(corners), np.array([low] * movable), np.array(highs))


# --- selvedges ----------------------------------------------------------------------------------

LEANING_UP = np.array([[0.0, 0.0], [200.0, 0.0], [0.0, 1000.0]])
LEANING_DOWN = np.array([[0.0, 0.0], [200.0, 1000.0], [0.0, 1000.0]])


@pytest.mark.parametrize(
    ("wedge", "start", "y"),
    [(LEANING_UP, 450.0, 700.0), (LEANING_DOWN, 250.0, 0.0)],
    ids=["upper", "lower"],
)
def test_a_part_that_slides_along_a_wedge_stops_at_the_selvedge(
    wedge: Points, start: float, y: float
) -> None:
    """A square of 300 beside a wedge 200 wide at one selvedge and a point at the other: where the
    square lies at the other the wedge is 60 wide; beyond the selvedge it would be narrower still.
    """
    press = press_of([box(300.0, 300.0), wedge], 1)
    pressed = press.compacted(at(press, (200.0, start), (0.0, 0.0)))
    assert (pressed.xs[0], pressed.ys[0]) == pytest.approx((60.0, y), abs=1e-6)
    assert press.length(pressed) == pytest.approx(360.0, abs=1e-6)


@pytest.mark.parametrize("first", [20.0, -20.0])
def test_parts_that_fill_the_width_are_separated_to_both_selvedges(first: float) -> None:
    press = press_of([box(500.0, 500.0)] * 2, 2)
    apart = press.separated(at(press, (0.0, first), (0.0, 480.0)), 500.0)
    assert apart is not None
    assert apart.ys == pytest.approx([0.0, 500.0], abs=1e-5)
    assert apart.xs == pytest.approx([0.0, 0.0], abs=1e-5)


def test_separating_begins_on_the_cloth() -> None:
    """What lies off it, on any side, is put onto it first."""
    press = press_of([box(100.0, 100.0)] * 3, 3)
    apart = press.separated(at(press, (-50.0, -70.0), (950.0, 400.0), (300.0, 980.0)), 600.0)
    assert apart is not None
    assert apart.xs[0] == pytest.approx(0.0, abs=30.1)
    assert ((apart.xs >= -1e-6) & (apart.xs <= 500.0 + 1e-6)).all()
    assert ((apart.ys >= -1e-6) & (apart.ys <= 900.0 + 1e-6)).all()
    assert press.length(apart) <= 600.0 + 1e-6


def test_held_parts_stay_where_they_lie_when_others_are_separated() -> None:
    press = press_of([box(100.0, 100.0)] * 2, 1)
    apart = press.separated(at(press, (95.0, 0.0), (0.0, 0.0)), 400.0)
    assert apart is not None
    assert (apart.xs[1], apart.ys[1]) == (0.0, 0.0)
    assert apart.xs[0] == pytest.approx(100.0, abs=1e-5) or apart.ys[0] == pytest.approx(100.0)


@pytest.mark.parametrize("y", [703.0, 700.0, 699.0])
def test_pressing_leaves_no_part_across_the_upper_selvedge(y: float) -> None:
    press = press_of([box(300.0, 300.0)], 1)
    pressed = press.compacted(at(press, (200.0, y)))
    assert pressed.ys[0] <= 700.0 + 1e-9
    assert pressed.xs[0] == pytest.approx(0.0, abs=1e-6)


def test_a_width_other_than_the_programs_own_is_scaled() -> None:
    press = Press([convex_parts(box(100.0, 50.0))], [(100.0, 50.0)], 250.0, 1)
    assert press.scale == 4.0
    assert press.length(at(press, (20.0, 2.5))) == 80.0 + 400.0
    # On cloth 250 wide a part 50 high may lie up to 200, which is 800 in the programs' units.
    apart = press.separated(at(press, (0.0, 225.0)), 400.0)
    assert apart is not None
    assert apart.ys[0] <= 800.0 + 1e-6
    assert apart.ys[0] >= 800.0 - 30.0 - 1e-6


# --- rooms --------------------------------------------------------------------------------------


def test_a_part_is_pressed_to_the_start_of_its_room_and_no_farther() -> None:
    press = press_of([box(100.0, 100.0)], 1)
    pressed = press.compacted(at(press, (180.0, 300.0), low=(70.0, 290.0), high=(400.0, 310.0)))
    assert pressed.xs == pytest.approx([70.0], abs=1e-6)
    assert 290.0 - 1e-6 <= pressed.ys[0] <= 310.0 + 1e-6


@pytest.mark.parametrize("start", [(20.0, 300.0), (500.0, 300.0), (100.0, 20.0), (100.0, 800.0)])
def test_separating_brings_a_part_into_its_room(start: tuple[float, float]) -> None:
    press = press_of([box(100.0, 100.0)], 1)
    apart = press.separated(at(press, start, low=(70.0, 290.0), high=(400.0, 310.0)), 900.0)
    assert apart is not None
    assert 70.0 - 1e-6 <= apart.xs[0] <= 400.0 + 1e-6
    assert 290.0 - 1e-6 <= apart.ys[0] <= 310.0 + 1e-6


def test_a_room_and_a_length_that_contradict_each_other_leave_the_part_in_its_room() -> None:
    press = press_of([box(100.0, 100.0)], 1)
    assert press.separated(at(press, (300.0, 0.0), low=(250.0, 0.0)), 320.0) is None
    apart = press.separated(at(press, (300.0, 0.0), low=(250.0, 0.0)), 355.0)
    assert apart is not None
    assert apart.xs[0] == pytest.approx(250.0, abs=1e-6)


def test_pressing_brings_back_what_lies_outside_its_room() -> None:
    """Before its room along the cloth, or too high across; a held part beyond sets the length."""
    press = press_of([box(100.0, 100.0)] * 2, 1)
    for x in (200.0, 100.0):
        early = at(press, (x, 0.0), (900.0, 0.0), low=(240.0, 0.0))
        assert press.compacted(early, rounds=1).xs[0] == pytest.approx(240.0, abs=1e-6)
    for y in (200.0, 300.0):
        high = at(press, (0.0, y), (900.0, 0.0), high=(math.inf, 160.0))
        assert press.compacted(high, rounds=1).ys[0] <= 160.0 + 1e-9


def test_a_part_is_not_pushed_beyond_the_end_of_its_room() -> None:
    """Twenty into a held part that is as tall as the cloth: it must go along by as much."""
    press = press_of([box(100.0, 100.0), box(100.0, 1000.0)], 1)
    for end, succeeds in ((99.0, False), (101.0, True)):
        tangled = at(press, (80.0, 50.0), (0.0, 0.0), high=(end, 300.0))
        assert (press.separated(tangled, 900.0) is not None) == succeeds


@pytest.mark.parametrize(
    ("wedge", "start", "room"),
    [(LEANING_UP, 450.0, (0.0, 650.0)), (LEANING_DOWN, 250.0, (50.0, 700.0))],
    ids=["upper", "lower"],
)
def test_a_part_that_slides_along_a_wedge_stops_at_the_end_of_its_room(
    wedge: Points, start: float, room: tuple[float, float]
) -> None:
    press = press_of([box(300.0, 300.0), wedge], 1)
    low, high = (0.0, room[0]), (math.inf, room[1])
    pressed = press.compacted(at(press, (200.0, start), (0.0, 0.0), low=low, high=high))
    assert pressed.ys[0] == pytest.approx(650.0 if room[0] == 0.0 else 50.0, abs=1e-6)
    assert pressed.xs[0] == pytest.approx(70.0, abs=1e-6)


@pytest.mark.parametrize(("off", "is_edge"), [(0.97e-9, True), (1.03e-9, False)])
@pytest.mark.parametrize("sign", [-1.0, 1.0])
def test_a_room_that_ends_at_the_selvedge_ends_there_exactly(
    off: float, is_edge: bool, sign: float
) -> None:
    press = press_of([box(100.0, 300.0), box(100.0, 55.5)], 2)
    highs = np.array([[math.inf, 700.0 + sign * off], [80.0, 944.5 + sign * off]])
    laid = press.arranged(np.arange(2), np.zeros((2, 2)), np.zeros((2, 2)), highs)
    assert (laid.highs[:, 1].tolist() == [700.0, 944.5]) == is_edge
    assert laid.highs[:, 0].tolist() == [math.inf, 80.0]


def test_rooms_are_told_in_millimetres() -> None:
    press = Press([convex_parts(box(100.0, 50.0))], [(100.0, 50.0)], 250.0, 1)
    low, high = np.array([[10.0, 20.0]]), np.array([[300.0, 120.0]])
    laid = press.arranged(np.zeros(1, dtype=np.int64), np.array([[50.0, 30.0]]), low, high)
    assert (laid.xs[0], laid.ys[0]) == (200.0, 120.0)
    assert (laid.lows.tolist(), laid.highs.tolist()) == ([[40.0, 80.0]], [[1200.0, 480.0]])


def test_parts_are_separated_along_sixteen_ways_all_round() -> None:
    ways = press_of([box(10.0, 10.0)], 1)._ways
    turns = np.degrees(np.arctan2(ways[:, 1], ways[:, 0])) % 360.0
    assert np.sort(np.round(turns, 9) % 360.0) == pytest.approx(np.arange(16) * 22.5)
    assert np.hypot(*ways.T) == pytest.approx(np.ones(16))


# --- how far and how often ----------------------------------------------------------------------


def test_a_part_is_pressed_by_at_most_sixty_in_each_of_ten_programs() -> None:
    press = press_of([box(100.0, 100.0)], 1)
    assert press.compacted(at(press, (900.0, 0.0)), rounds=1).xs == pytest.approx([840.0])
    assert press.compacted(at(press, (900.0, 0.0))).xs == pytest.approx([300.0])


@pytest.mark.parametrize(("hopeless", "succeeds"), [(40.5, True), (39.5, False)])
def test_a_part_is_moved_by_at_most_thirty_when_separating(hopeless: float, succeeds: bool) -> None:
    press = press_of([box(400.0, 400.0)] * 2, 2)
    tangled = at(press, (100.0, 0.0), (400.0, 10.0))
    assert (press.separated(tangled, 2000.0, hopeless=hopeless) is not None) == succeeds


@pytest.mark.parametrize(("deep", "succeeds"), [(176.0, True), (184.0, False)])
def test_separating_goes_on_while_half_of_the_slack_goes(deep: float, succeeds: bool) -> None:
    """Each program undoes 60 of an overlap: of 180 there are 120 left, and half of them then."""
    press = press_of([box(600.0, 600.0)] * 2, 2)
    tangled = at(press, (300.0, 0.0), (900.0 - deep, 0.0))
    assert (press.separated(tangled, 4000.0) is not None) == succeeds


def test_separated_parts_take_no_more_length_than_they_must() -> None:
    press = press_of([box(400.0, 400.0)] * 2, 2)
    apart = press.separated(at(press, (5.0, 0.0), (395.0, 0.0)), 2000.0)
    assert apart is not None
    assert press.length(apart) == pytest.approx(800.0, abs=1e-5)
    assert sorted(apart.xs) == pytest.approx([0.0, 400.0], abs=1e-5)


def test_several_overlaps_are_undone_at_once_each_with_its_own_slack() -> None:
    """Four squares in a row, each 25 or 15 into the one before: 700 of 1000 across, so all move."""
    press = press_of([box(200.0, 700.0)] * 4, 4)
    apart = press.separated(at(press, (0.0, 0.0), (175.0, 9.0), (360.0, 5.0), (535.0, 0.0)), 800.0)
    assert apart is not None
    assert apart.xs == pytest.approx([0.0, 200.0, 400.0, 600.0], abs=1e-5)
    # The slack of all pairs counts together: of twice 75 there are twice 15 left at first.
    deep = at(press, (100.0, 0.0), (225.0, 9.0), (550.0, 5.0), (675.0, 0.0))
    assert press.separated(deep, 2000.0, hopeless=30.5) is not None
    assert press.separated(deep, 2000.0, hopeless=29.5) is None


def test_a_length_is_kept_exactly_or_nothing_comes_of_it() -> None:
    press = press_of([box(400.0, 700.0)] * 2, 2)
    tangled = at(press, (0.0, 0.0), (390.0, 0.0))
    exact = press.separated(tangled, 800.0)
    assert exact is not None
    assert press.length(exact) <= 800.0 + 1e-6
    assert press.separated(tangled, 799.9) is None


# --- scripted programs --------------------------------------------------------------------------


class Scripted(Press):
    """A press whose programs answer as they are told; it takes down with what each was asked."""

    def __init__(self, *answers: tuple[float, float] | None) -> None:
        super().__init__([convex_parts(box(100.0, 100.0))], [(100.0, 100.0)], WIDTH, 1)
        self.answers = list(answers)
        self.asked: list[tuple[float, float, float | None]] = []

    def _step(
        self, laid: Arrangement, trust: float, most: float, most_slack: float | None
    ) -> tuple[Arrangement, float] | None:
        self.asked.append((trust, most, most_slack))
        answer = self.answers[len(self.asked) - 1]
        if answer is None:
            return None
        return laid.moved(np.array([answer[0]]), np.array([0.0])), answer[1]

    @property
    def start(self) -> Arrangement:
        """A part in the middle."""
        return at(self, (500.0, 0.0))


@pytest.mark.parametrize(
    ("answers", "expected", "programs"),
    [
        # Shorter each time; the last gains too little to go on, but is kept.
        ([400.0, 300.0, 300.0 - 0.97e-5], 300.0 - 0.97e-5, 3),
        ([400.0, 300.0, 300.0 - 1.03e-5, 299.0, 299.0], 299.0, 5),
        # As long as before is no shorter, and kept; longer is not.
        ([500.0], 500.0, 1),
        ([500.0 + 1e-9], 500.0, 1),
        ([400.0, 450.0], 400.0, 2),
        ([400.0, 450.0, 300.0], 400.0, 2),
        # A program without an answer ends it.
        ([None], 500.0, 1),
        ([400.0, None, 300.0], 400.0, 2),
        # Ten at most.
        ([490.0 - k for k in range(12)], 481.0, 10),
    ],
)
def test_pressing_is_never_longer(
    answers: list[float | None], expected: float, programs: int
) -> None:
    press = Scripted(*(None if x is None else (x, 0.0) for x in answers))
    pressed = press.compacted(press.start)
    assert pressed.xs[0] == expected
    assert press.length(pressed) <= press.length(press.start)
    assert press.asked == [(60.0, math.inf, None)] * programs


@pytest.mark.parametrize(
    ("slacks", "succeeds", "programs"),
    [
        ([0.97e-6], True, 1),
        ([1.03e-6, 0.0], True, 2),
        ([1e-6, 0.0], True, 2),
        ([64.0, 32.0, 16.0, 8.0, 4.0, 2.0, 1.0, 0.0], True, 8),
        ([64.0, 32.0, 16.0, 8.0, 4.0, 2.0, 1.0, 0.5, 0.0], False, 8),
        ([64.0, None], False, 2),
        ([None], False, 1),
    ],
)
def test_separating_is_given_up_after_eight_programs(
    slacks: list[float | None], succeeds: bool, programs: int
) -> None:
    press = Scripted(*(None if slack is None else (200.0, slack) for slack in slacks))
    apart = press.separated(press.start, 700.0, hopeless=99.0)
    assert (apart is not None) == succeeds
    assert len(press.asked) == programs
    # Each is asked for half of what the one before has left, the first for what is hopeless.
    bounds = [99.0, *(max(1e-6, 0.5 * slack) for slack in slacks if slack is not None)]
    assert press.asked == [(30.0, 700.0, bound) for bound in bounds[:programs]]


def test_a_search_that_is_stopped_asks_for_no_program() -> None:
    press = Scripted()
    assert press.separated(press.start, 700.0, lambda: True) is None
    start = press.start
    assert press.compacted(start, lambda: True) is start
    assert press.asked == []


def test_pressing_costs_length_alone_and_separating_slack_before_length(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of a part's moves none costs anything; without a cost the solver would leave the length."""
    asked: list[list[float]] = []
    plain = compaction.least_cost

    def least_cost(cost: Floats, limits: Floats, rows: Sequence[Rows]) -> Floats | None:
        asked.append(cost.tolist())
        return plain(cost, limits, rows)

    monkeypatch.setattr(compaction, "least_cost", least_cost)
    press = press_of([box(400.0, 400.0)] * 2, 2)
    laid = at(press, (5.0, 0.0), (395.0, 0.0))
    press.compacted(at(press, (5.0, 0.0), (440.0, 0.0)), rounds=1)
    press.separated(laid, 2000.0)
    (pressing, separating, *_) = asked
    assert pressing[:4] == separating[:4] == [0.0] * 4
    assert pressing[4:] == [1.0]
    length, *slacks = separating[4:]
    assert slacks
    assert slacks == [1.0] * len(slacks)
    assert 0.0 < length <= 0.01


@pytest.mark.parametrize("rows", [1, 8])
def test_with_more_contacts_than_there_is_room_for_nothing_moves(
    monkeypatch: pytest.MonkeyPatch, rows: int
) -> None:
    """Half of the contacts would be no program: parts could pass through the others."""
    monkeypatch.setattr(compaction, "MOST_ROWS", rows)
    press = press_of([box(100.0, 100.0)] * 9, 9)
    heap = at(press, *((20.0 * k, 10.0 * k) for k in range(9)))
    assert press.separated(heap, 900.0) is None
    assert press.compacted(heap) is heap
