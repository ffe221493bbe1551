# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether an outline mirrors itself: the same answer by few points as by all."""

from __future__ import annotations

from unittest import mock

import numpy as np
import pytest
import shapely

from nesting.geometry.symmetry import FEW, SAME_SIDE, is_own_mirror


def test_a_bump_that_no_few_points_meet_is_seen_by_all() -> None:
    """A step of a few mm in a side of two metres, away from every first look."""
    sides = [(0, 0), (2000, 0), (2000, 300), (1003, 300), (1003, 301), (1001, 301), (1001, 300)]
    assert not is_own_mirror(np.array([*sides, (0, 300)], dtype=np.float64))
    assert is_own_mirror(np.array([*sides[:3], (0, 300)], dtype=np.float64))


@pytest.mark.parametrize("off", [0.9 * SAME_SIDE, 1.1 * SAME_SIDE])
def test_what_differs_by_less_than_a_line_is_the_same(off: float) -> None:
    outline = np.array([(0, 0), (400, 0), (400, 200 + off), (0, 200)], dtype=np.float64)
    assert is_own_mirror(outline) == (off < SAME_SIDE)


def test_of_a_lopsided_outline_of_many_metres_few_points_are_compared() -> None:
    """All of them took half a minute before its size was refused."""
    angles = np.linspace(0.0, np.pi / 2, 5000)
    outline = 90_000.0 * np.column_stack([np.cos(angles), np.sin(angles)])
    asked = []

    def counted(lines: shapely.Geometry, points: np.ndarray) -> np.ndarray:
        asked.append(len(points))
        return shapely.measurement.distance(lines, points)

    with mock.patch("shapely.distance", counted):
        assert not is_own_mirror(np.vstack([outline, [(0.0, 0.0)]]))
    assert sum(asked) <= 2 * FEW
