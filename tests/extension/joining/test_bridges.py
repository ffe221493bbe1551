# SPDX-License-Identifier: GPL-2.0-or-later
"""The way over one gap: round a bend, through a corner, back from an overshoot, or none."""

from __future__ import annotations

import math

import numpy as np
import pytest

from extension.joining.bridges import Way, drawn_over, way, ways_over
from extension.joining.lines import Ends, Line, ends_of
from extension.joining.runs import pairs_within
from tests.helpers.broken import BLACK, Points


def ends(*parts: Points) -> Ends:
    lines = [
        Line(np.asarray(part, dtype=float), BLACK, (number,), (10.0,))
        for number, part in enumerate(parts)
    ]
    return ends_of(lines)


def best(
    those: Ends, one: int, two: int, *, usual: float = 0.0, reach: float = 10.0, unlike: float = 0.0
) -> Way | None:
    """Return the way between two ends, None when there is none."""
    pairs = pairs_within(those, 50.0)
    same = np.ones(len(pairs.one))
    found = ways_over(
        pairs, those, reach * same, usual * same, max(1.0, 1.6 * usual) * same, unlike * same, 1.0
    )
    for index in range(len(pairs.one)):
        if (pairs.one[index], pairs.two[index]) == (one, two):
            return way(found, index) if math.isfinite(found.cost[index]) else None
    return None


def test_a_gap_in_a_circle_is_drawn_as_the_circle() -> None:
    angles = np.radians(np.linspace(0.0, 25.0, 40))
    first = 50.0 * np.column_stack([np.cos(angles), np.sin(angles)])
    turn = np.radians(30.0)
    cos, sin = math.cos(turn), math.sin(turn)
    second = first @ np.array([[cos, sin], [-sin, cos]])
    those = ends(first, second)
    over = best(those, 1, 2, usual=4.4)
    assert over is not None
    drawn = drawn_over(those, over)
    assert len(drawn) >= 1
    assert np.hypot(*drawn.T) == pytest.approx(50.0, abs=0.01)


def test_two_lines_meet_at_the_corner_that_is_lost() -> None:
    those = ends([[-20, 0], [-3, 0]], [[0, 2], [0, 20]])
    over = best(those, 1, 2, usual=3.0)
    assert over is not None
    assert over.corner
    assert drawn_over(those, over).tolist() == [[0.0, 0.0]]
    assert (over.ahead_one, over.ahead_two) == pytest.approx((3.0, 2.0))


def test_a_corner_out_of_reach_is_not_put_back() -> None:
    those = ends([[-20, 0], [-3, 0]], [[0, 2], [0, 20]])
    assert best(those, 1, 2, usual=3.0, reach=4.9) is None


def test_lines_that_ran_past_their_corner_meet_behind_their_ends() -> None:
    those = ends([[-20, 0], [0.5, 0]], [[0, -0.4], [0, 20]])
    over = best(those, 1, 2)
    assert over is not None
    assert over.corner
    assert (over.ahead_one, over.ahead_two) == pytest.approx((-0.5, -0.4))


def test_parallel_lines_side_by_side_have_no_way_over() -> None:
    assert best(ends([[-20, 0], [0, 0]], [[3, 4], [20, 4]]), 1, 2, usual=3.0) is None


def test_straight_on_costs_less_than_round_a_corner_and_like_less_than_unlike() -> None:
    straight = best(ends([[-20, 0], [0, 0]], [[3, 0], [20, 0]]), 1, 2, usual=3.0)
    corner = best(ends([[-20, 0], [-1.5, 0]], [[0, 1.5], [0, 20]]), 1, 2, usual=3.0)
    unlike = best(ends([[-20, 0], [0, 0]], [[3, 0], [20, 0]]), 1, 2, usual=3.0, unlike=1.0)
    assert straight is not None
    assert corner is not None
    assert unlike is not None
    assert straight.cost < corner.cost
    assert straight.cost < unlike.cost


def test_the_two_ends_of_a_short_dash_are_not_linked() -> None:
    assert best(ends([[0, 0], [0.9, 0]]), 0, 1) is None
