# SPDX-License-Identifier: GPL-2.0-or-later
"""Where the end of a line points and how it bends, against circles and straight lines."""

from __future__ import annotations

import math

import numpy as np
import pytest

from extension.joining.lines import Line, ends_of, frame, prolonged, put_together
from tests.helpers.broken import BLACK, Points


def arc(radius: float, start: float, end: float, count: int = 60) -> Points:
    angles = np.radians(np.linspace(start, end, count))
    return radius * np.column_stack([np.cos(angles), np.sin(angles)])


@pytest.mark.parametrize("radius", [20.0, 60.0, 400.0])
@pytest.mark.parametrize("way", [1.0, -1.0], ids=["one way", "the other"])
def test_on_a_circle_the_end_points_along_it_and_bends_as_it_does(
    radius: float, way: float
) -> None:
    # Curvature of a circle: 1 / radius; the tangent is at right angles to the radius.
    points = arc(radius, 0.0, way * math.degrees(12.0 / radius))
    (x, y), bend = frame(points)
    assert math.degrees(math.atan2(x, -way * y)) == pytest.approx(0.0, abs=1.0)
    assert bend == pytest.approx(-way / radius, rel=0.05)


def test_a_straight_end_points_straight_on() -> None:
    (x, y), bend = frame(np.array([[0.0, 0.0], [3.0, 4.0]]))
    assert (x, y, bend) == pytest.approx((-0.6, -0.8, 0.0))


def test_what_lies_behind_a_corner_says_nothing() -> None:
    (x, y), bend = frame(np.array([[0.0, 0.0], [0.5, 0.0], [0.5, 30.0]]))
    assert (x, y, bend) == pytest.approx((-1.0, 0.0, 0.0))


def test_a_dot_points_nowhere() -> None:
    assert frame(np.array([[1.0, 2.0]])) == ((0.0, 0.0), 0.0)


def test_the_two_ends_of_a_line_are_numbered_side_by_side() -> None:
    one = Line(np.array([[0.0, 0.0], [10.0, 0.0]]), BLACK, (0,), (10.0,))
    ends = ends_of([one, one])
    assert ends.place.tolist() == [[0.0, 0.0], [10.0, 0.0]] * 2
    assert ends.outward.tolist() == [[-1.0, 0.0], [1.0, 0.0]] * 2
    assert ends.length.tolist() == [10.0] * 4


def test_lines_are_put_together_without_repeating_a_point() -> None:
    one, two = np.array([[0.0, 0.0], [1.0, 0.0]]), np.array([[1.0, 0.0], [1.0, 1.0]])
    assert put_together([one, two]).tolist() == [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0]]


def test_a_line_is_prolonged_straight_on_at_both_ends() -> None:
    longer = prolonged(np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0]]), 5.0)
    assert longer[[0, -1]].tolist() == [[-5.0, 0.0], [1.0, 6.0]]
