# SPDX-License-Identifier: GPL-2.0-or-later
"""What chains share: one kind for equal shapes, and a grid that follows the parts."""

from __future__ import annotations

import pytest

from nesting import table
from nesting.model import Fabric, Job, Outline, Piece
from nesting.problem import build_problem
from nesting.table import build_table


def test_shapes_that_are_the_same_are_one_kind() -> None:
    square: Outline = ((0, 0), (50, 0), (50, 50), (0, 50))
    turns = (0.0, 90.0, 180.0)
    job = Job(Fabric(200.0, nap=False), (Piece("a", square, cut=2, turns=turns),))
    assert len(build_table(build_problem(job)).rough) == 1


def test_the_grid_follows_the_size_of_the_parts_and_not_the_cloth() -> None:
    square: Outline = ((0, 0), (50, 0), (50, 50), (0, 50))
    large: Outline = ((0, 0), (100, 0), (100, 100), (0, 100))

    def step(width: float, outline: Outline) -> float:
        job = Job(Fabric(width), (Piece("a", outline, cut=2),))
        return build_table(build_problem(job)).grid.step

    assert step(200.0, square) == pytest.approx(50.0 / table.CELLS)
    assert step(2000.0, square) == step(200.0, square)
    assert step(200.0, large) == pytest.approx(2.0 * step(200.0, square))
