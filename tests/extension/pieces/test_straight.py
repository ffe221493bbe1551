# SPDX-License-Identifier: GPL-2.0-or-later
"""Straight runs of flattened lines."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.pieces.straight import STRAIGHT_TOLERANCE, longest_run, straight_runs
from extension.svg.model import Ring
from tests.helpers.drawn import box


def test_a_rectangle_has_four_runs() -> None:
    runs = straight_runs(box(0, 0, 30, 50), closed=True)
    assert [run.length for run in runs] == [30, 50, 30, 50]


def test_an_edge_drawn_with_nodes_on_it_is_one_run() -> None:
    """The first point lies in the middle of the left edge."""
    points = [(0, 20), (0, 10), (0, 0), (30, 0), (30, 50), (0, 50), (0, 40), (0, 35)]
    runs = straight_runs(points, closed=True)
    left = max(runs, key=lambda run: run.steps)
    assert (left.start, left.end, left.steps) == ((0, 50), (0, 0), 5)
    assert len(runs) == 4


def test_an_open_line_does_not_close() -> None:
    runs = straight_runs([(0, 0), (30, 0), (30, 50)], closed=False)
    assert [(run.start, run.end) for run in runs] == [((0, 0), (30, 0)), ((30, 0), (30, 50))]


def test_a_line_that_turns_back_on_itself_is_two_runs() -> None:
    runs = straight_runs([(0, 0), (30, 0), (10, 0)], closed=False)
    assert [run.length for run in runs] == [30, 20]


def test_a_bend_within_the_tolerance_is_straight_and_a_larger_one_is_not() -> None:
    def count(bend: float) -> int:
        return len(straight_runs([(0, 0), (50, bend), (100, 0)], closed=False))

    assert count(0.9 * STRAIGHT_TOLERANCE) == 1
    assert count(1.1 * STRAIGHT_TOLERANCE) == 2


def test_a_curve_gives_only_short_runs() -> None:
    """A circle of radius r leaves a chord c by c2 / 8r (sagitta, Euclid III.35)."""
    radius = 100.0
    points = [
        (radius * math.cos(math.tau * step / 400), radius * math.sin(math.tau * step / 400))
        for step in range(400)
    ]
    longest = max(run.length for run in straight_runs(points, closed=True))
    assert longest <= math.sqrt(8 * radius * STRAIGHT_TOLERANCE) + 1e-9
    assert longest > 6


@pytest.mark.parametrize("points", [[], [(1, 2)], [(1, 2), (1, 2)]])
def test_points_without_a_line_have_no_length(points: list[tuple[float, float]]) -> None:
    runs = straight_runs(points, closed=True)
    assert sum(run.length for run in runs) == 0


def test_the_longest_of_several_subpaths_counts() -> None:
    head = Ring(((0, 0), (3, 5), (-3, 5)), closed=True)
    shaft = Ring(((0, 0), (0, 90)), closed=False)
    run = longest_run([head, shaft])
    assert run is not None
    assert (run.start, run.end) == ((0, 0), (0, 90))


@given(st.integers(0, 30), st.booleans())
def test_where_a_ring_starts_and_which_way_it_runs_does_not_matter(
    shift: int, backwards: bool
) -> None:
    points = [(0, 0), (10, 0), (20, 0), (40, 0), (40, 30), (39, 45), (35, 52), (20, 55), (0, 55)]
    moved = points[shift % 9 :] + points[: shift % 9]
    if backwards:
        moved.reverse()
    lengths = sorted(run.length for run in straight_runs(points, closed=True))
    assert sorted(run.length for run in straight_runs(moved, closed=True)) == pytest.approx(lengths)
