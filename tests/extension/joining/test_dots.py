# SPDX-License-Identifier: GPL-2.0-or-later
"""Dots take the direction of the line that they lie in."""

from __future__ import annotations

import numpy as np
import pytest

from extension.joining.dots import point_dots
from extension.joining.lines import Line, ends_of
from tests.helpers.broken import BLACK, Points


def dots(places: Points) -> list[Line]:
    return [Line(np.array([place]), BLACK, (n,), (0.0,)) for n, place in enumerate(places)]


def test_dots_in_a_row_point_along_it_and_back() -> None:
    row = np.column_stack([np.arange(6) * 2.0, np.arange(6) * 1.5])
    ends = point_dots(ends_of(dots(row)))
    along = ends.outward @ np.array([0.8, 0.6])
    assert np.abs(along) == pytest.approx(1.0)
    assert ends.outward[::2].tolist() == (-ends.outward[1::2]).tolist()


def test_a_line_beside_is_no_neighbour() -> None:
    rows = np.array([[2.0 * n, 4.0 * row] for row in (0, 1) for n in range(8)])
    ends = point_dots(ends_of(dots(rows)))
    assert np.abs(ends.outward[:, 0]) == pytest.approx(1.0)


def test_a_dot_in_a_corner_points_from_one_neighbour_to_the_other() -> None:
    corner = np.array([[0.0, 4.0], [0.0, 2.0], [0.0, 0.0], [2.0, 0.0], [4.0, 0.0]])
    ends = point_dots(ends_of(dots(corner)))
    assert np.abs(ends.outward[4]) == pytest.approx([0.5**0.5, 0.5**0.5])


def test_lines_keep_their_own_direction() -> None:
    line = Line(np.array([[0.0, 0.0], [5.0, 0.0]]), BLACK, (9,), (5.0,))
    ends = point_dots(ends_of([line, *dots(np.array([[7.0, 0.0], [9.0, 0.0]]))]))
    assert ends.outward[:2].tolist() == [[-1.0, 0.0], [1.0, 0.0]]
