# SPDX-License-Identifier: GPL-2.0-or-later
"""What chains share: one kind for equal shapes, and a grid that follows the parts."""

from __future__ import annotations

import math

import numpy as np
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


def test_outlines_are_simplified_alike_on_every_width() -> None:
    wavy: Outline = tuple(
        (100.0 * math.cos(turn) + 5.0 * math.cos(9.0 * turn), 60.0 * math.sin(turn))
        for turn in (math.tau * step / 200.0 for step in range(200))
    )

    def rough(width: float) -> np.ndarray:
        made = build_table(build_problem(Job(Fabric(width), (Piece("a", wavy, cut=2),))))
        assert sum(map(len, made.rough[0])) < sum(map(len, made.true[0]))
        return np.concatenate(made.rough[0])

    assert np.array_equal(rough(200.0), rough(1500.0))


@pytest.mark.parametrize(
    ("turns", "share"), [((0.0,), 1.0), ((0.0, 180.0), 0.65), ((0.0, 90.0, 180.0, 270.0), 0.65)]
)
def test_maps_of_shapes_turned_together_are_there_once(
    turns: tuple[float, ...], share: float
) -> None:
    """Two slanted pieces and a rectangle, which is the same the other way up."""
    pieces = (
        Piece("slanted", ((0, 0), (50, 0), (80, 40), (0, 40)), cut=2, hand="same", turns=turns),
        Piece("pointed", ((0, 0), (90, 0), (20, 70)), cut=2, hand="same", turns=turns),
        Piece("plain", ((0, 0), (60, 0), (60, 30), (0, 30)), turns=turns),
    )
    made = build_table(build_problem(Job(Fabric(200.0, nap=False), pieces)))
    half = len(turns) // 2
    kinds = len(made.rough)
    assert kinds == 2 * len(turns) + max(1, half)
    grid, places = made.grid, made.grid.table[:, 0]
    assert len(set(places.tolist())) <= share * kinds**2
    assert grid.cells.size <= share * sum((nx + 6) * (ny + 6) for nx, ny in grid.table[:, 3:5])


def test_boxes_are_off_the_grid_by_a_quarter_of_a_cell_at_most_and_alike_when_turned() -> None:
    piece = Piece("slanted", ((0, 0), (53, 0), (81, 43), (0, 43)), cut=2, hand="same")
    grid = build_table(build_problem(Job(Fabric(200.0, nap=False), (piece,)))).grid
    assert (np.abs(grid.offsets) <= 0.25 * grid.step + 1e-9).all()
    assert np.allclose(grid.offsets[0], grid.offsets[1])
