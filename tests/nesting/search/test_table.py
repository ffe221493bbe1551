# SPDX-License-Identifier: GPL-2.0-or-later
"""What chains share: one kind for equal shapes, and a grid that follows the parts."""

from __future__ import annotations

import math

import numpy as np
import pytest

from nesting.cloth.problem import build_problem
from nesting.grid.lattice import RIM
from nesting.grid.maps import Grid
from nesting.model import Fabric, Job, Outline, Piece
from nesting.search import table
from nesting.search.table import build_table
from tests.helpers import slow_maps


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
    every = sum((nx + 2 * RIM) * (ny + 2 * RIM) for nx, ny in grid.table[:, 3:5])
    assert len(set(places.tolist())) <= share * kinds**2
    assert (grid.cells.size == every) if share == 1.0 else (grid.cells.size <= share * every)
    assert_turned_round(grid)


def assert_turned_round(grid: Grid) -> None:
    """Every map is that of the same two shapes with the other one fixed, turned round."""
    for one, two in np.ndindex(grid.count, grid.count):
        x, y, depths = slow_maps.map_of(grid, one, two)
        back_x, back_y, back = slow_maps.map_of(grid, two, one)
        assert np.array_equal(depths, back[::-1, ::-1])
        assert (back_x, back_y) == (1 - x - len(depths), 1 - y - depths.shape[1])


@pytest.mark.parametrize(
    ("corners", "radius", "wide", "tall"),
    [(94, 105.06, 113.02, 120.66), (100, 114.33, 45.29, 144.13), (80, 64.71, 61.59, 146.31)],
)
def test_maps_hold_together_though_outlines_are_not_simplified_alike(
    corners: int, radius: float, wide: float, tall: float
) -> None:
    """A circle is its own half turn, but what is left of it after simplifying is not."""
    around = [math.tau * step / corners for step in range(corners)]
    circle = tuple((radius * math.cos(u) + 300.7, radius * math.sin(u) + 120.1) for u in around)
    half = [math.pi * step / 60.0 for step in range(61)]
    half_moon = tuple((wide * math.cos(u), tall * math.sin(u)) for u in half)
    pieces = (Piece("circle", circle, cut=2), Piece("half moon", half_moon, cut=2, hand="same"))
    made = build_table(build_problem(Job(Fabric(500.0, nap=False), pieces)))
    assert len(made.rough) == 3
    assert_turned_round(made.grid)


@pytest.mark.parametrize(
    ("turns", "off_grain"), [((0.0, 180.0), 3.3), ((0.0, 180.0), 1.7), ((33.3, 213.3), 0.0)]
)
def test_half_turns_are_found_of_whatever_turns(turns: tuple[float, ...], off_grain: float) -> None:
    slanted: Outline = ((0, 0), (50, 0), (80, 40), (0, 40))
    piece = Piece("slanted", slanted, turns=turns, off_grain=off_grain)
    grid = build_table(build_problem(Job(Fabric(300.0, nap=False), (piece,)))).grid
    assert len(set(grid.table[:, 0].tolist())) == grid.count * (grid.count + 1) // 2
    assert_turned_round(grid)


def test_boxes_are_off_the_grid_by_a_quarter_of_a_cell_at_most_and_alike_when_turned() -> None:
    piece = Piece("slanted", ((0, 0), (53, 0), (81, 43), (0, 43)), cut=2, hand="same")
    grid = build_table(build_problem(Job(Fabric(200.0, nap=False), (piece,)))).grid
    assert (np.abs(grid.offsets) <= 0.25 * grid.step + 1e-9).all()
    assert np.allclose(grid.offsets[0], grid.offsets[1])
