# SPDX-License-Identifier: GPL-2.0-or-later
"""Overlap maps agree with shapely at every grid node, and pools with the maps."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from shapely.affinity import translate

from nesting.convex import convex_parts
from nesting.maps import BLOCK, DEPTHS, Grid, build_grid
from nesting.model import Outline
from nesting.shapes import Points, counter_clockwise
from tests.helpers import strategies as some


def at_corner(outline: Outline) -> Points:
    points = counter_clockwise(np.array(outline))
    return points - points.min(axis=0)


def grid_of(*outlines: Outline, step: float) -> Grid:
    return build_grid([convex_parts(at_corner(outline)) for outline in outlines], step)


def map_of(grid: Grid, fixed: int, moving: int) -> tuple[int, int, np.ndarray]:
    start, x, y, nx, ny = grid.table[fixed * grid.count + moving][:5]
    return int(x), int(y), grid.cells[start : start + nx * ny].reshape(nx, ny)


@settings(max_examples=25)
@given(some.outlines(), some.outlines())
def test_a_node_is_free_exactly_when_the_shapes_are_apart(one: Outline, two: Outline) -> None:
    first, second = shapely.Polygon(at_corner(one)), shapely.Polygon(at_corner(two))
    step = max(*first.bounds[2:], *second.bounds[2:]) / 12.0
    grid = grid_of(one, two, step=step)
    x, y, depths = map_of(grid, 0, 1)
    for i, j in np.ndindex(depths.shape):
        moved = translate(second, (x + i) * step, (y + j) * step)
        common = first.intersection(moved)
        if common.area > 1e-4 * step * step:
            assert depths[i, j] > 0
        elif first.distance(moved) > 1e-5 * step:
            assert depths[i, j] == 0


def test_depth_is_the_way_out_in_eighths_of_a_cell() -> None:
    square: Outline = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    x, y, depths = map_of(grid_of(square, step=1.0), 0, 0)
    # Two squares of 10 cells: the no-fit polygon is the square of 20, 10 deep in its middle.
    assert depths[-x, -y] == 10 * DEPTHS
    assert depths[7 - x, 2 - y] == 3 * DEPTHS
    assert depths[10 - x, 0 - y] == 0


@given(some.outlines(), some.outlines())
def test_a_pool_holds_the_least_of_each_block(one: Outline, two: Outline) -> None:
    extent = max(*at_corner(one).max(axis=0), *at_corner(two).max(axis=0))
    grid = grid_of(one, two, step=extent / 15.0)
    _, _, depths = map_of(grid, 0, 1)
    row = grid.table[1]
    at = int(row[5])
    for shift_x, shift_y in np.ndindex(BLOCK, BLOCK):
        for u, v in np.ndindex(int(row[6]), int(row[7])):
            i, j = u * BLOCK - shift_x, v * BLOCK - shift_y
            block = depths[max(i, 0) : i + BLOCK, max(j, 0) : j + BLOCK]
            whole = i >= 0 and j >= 0 and block.shape == (BLOCK, BLOCK)
            assert grid.pools[at] == (block.min() if whole else 0)
            at += 1


def test_forgiving_takes_depth_away_and_not_below_nothing() -> None:
    grid = grid_of(((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)), step=1.0)
    forgiving = grid.forgiving(12)
    assert np.array_equal(forgiving.cells, np.maximum(grid.cells.astype(int) - 12, 0))
    assert forgiving.cells.max() == grid.cells.max() - 12


def test_many_large_maps_get_a_coarser_grid(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("nesting.maps.MOST_CELLS", 1000)
    square: Outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    grid = grid_of(square, square, step=1.0)
    assert grid.step > 1.0
    assert len(grid.cells) < 2000
