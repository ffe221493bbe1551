# SPDX-License-Identifier: GPL-2.0-or-later
"""Overlap maps agree with shapely and with numpy at every grid node, and pools with them."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.affinity import translate

import nesting.grid.maps as module
from nesting.geometry.convex import convex_parts
from nesting.geometry.shapes import Points, counter_clockwise, from_lowest
from nesting.grid.depths import build_map_numpy, turn_map_numpy
from nesting.grid.lattice import DEPTHS
from nesting.grid.maps import Grid
from nesting.grid.pools import build_pools_numpy
from nesting.model import Outline
from tests.helpers import slow_maps
from tests.helpers import strategies as some
from tests.helpers.loops import stands_twice
from tests.helpers.tangles import laid_on


def at_corner(outline: Outline) -> Points:
    points = counter_clockwise(np.array(outline))
    return points - points.min(axis=0)


def grid_of(*outlines: Outline, step: float) -> Grid:
    return laid_on([convex_parts(at_corner(outline)) for outline in outlines], step)


@settings(max_examples=25)
@given(some.outlines(), some.outlines())
def test_a_node_is_free_exactly_when_the_shapes_are_apart(one: Outline, two: Outline) -> None:
    first, second = shapely.Polygon(at_corner(one)), shapely.Polygon(at_corner(two))
    step = max(*first.bounds[2:], *second.bounds[2:]) / 12.0
    grid = grid_of(one, two, step=step)
    x, y, depths = slow_maps.map_of(grid, 0, 1)
    for i, j in np.ndindex(depths.shape):
        off = grid.offsets[1] - grid.offsets[0]
        moved = translate(second, (x + i) * step + off[0], (y + j) * step + off[1])
        common = first.intersection(moved)
        if common.area > 1e-4 * step * step:
            assert depths[i, j] > 0
        elif first.distance(moved) > 1e-5 * step:
            assert depths[i, j] == 0


def test_depth_is_the_way_out_in_eighths_of_a_cell() -> None:
    square: Outline = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    x, y, depths = slow_maps.map_of(grid_of(square, step=1.0), 0, 0)
    # Two squares of 10 cells: the no-fit polygon is the square of 20, 10 deep in its middle.
    assert depths[-x, -y] == 10 * DEPTHS
    assert depths[7 - x, 2 - y] == 3 * DEPTHS
    assert depths[10 - x, 0 - y] == 0


def two_shapes(first: Outline, second: Outline, cells: int) -> tuple[list[list[Points]], float]:
    """Return the convex parts of two outlines and a step that gives the larger so many cells."""
    corners = at_corner(first), at_corner(second)
    step = max(float(points.max()) for points in corners) / cells
    return [list(convex_parts(points)) for points in corners], step


def with_numpy(shapes: list[list[Points]], step: float) -> Grid:
    """Return the grid that is built where loops cannot be compiled."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "build_map", build_map_numpy)
        patch.setattr(module, "turn_map", turn_map_numpy)
        patch.setattr(module, "build_pools", build_pools_numpy)
        return laid_on(shapes, step)


def assert_same(one: Grid, two: Grid) -> None:
    assert one.cells.max() > 0
    for name in ("step", "table", "cells", "pools"):
        assert np.array_equal(getattr(one, name), getattr(two, name))


@stands_twice
@settings(max_examples=60)
@given(some.outlines(), some.outlines(), st.integers(3, 40))
def test_compiled_loops_and_numpy_build_the_same_maps(
    first: Outline, second: Outline, cells: int
) -> None:
    shapes, step = two_shapes(first, second, cells)
    assert_same(laid_on(shapes, step), with_numpy(shapes, step))


@stands_twice
@settings(max_examples=60)
@given(some.rectangles(), some.outlines(), st.integers(3, 40))
def test_maps_on_a_grid_that_edges_lie_on_are_the_same(
    first: Outline, second: Outline, cells: int
) -> None:
    """Edges on grid lines: what touches without overlap is decided by a hair in both."""
    step = first[2][0] / cells
    shapes = [list(convex_parts(at_corner(outline))) for outline in (first, second)]
    assume(max(float(np.concatenate(parts).max()) for parts in shapes) < 60 * step)
    assert_same(laid_on(shapes, step), with_numpy(shapes, step))


@settings(max_examples=60)
@given(some.outlines(), some.outlines(), st.integers(3, 40))
def test_shapes_turned_together_share_their_map(
    first: Outline, second: Outline, cells: int
) -> None:
    """Two shapes and both of them turned by 180 degrees: the same maps as each built by itself."""
    shapes, step = two_shapes(first, second, cells)
    sizes = [np.concatenate(parts).max(axis=0) for parts in shapes]
    for parts, size in zip(shapes[:2], sizes, strict=True):
        shapes.append([from_lowest(size - part) for part in parts])
    alone, shared = laid_on(shapes, step), laid_on(shapes, step, half_turns=[2, 3, 0, 1])
    for pair in np.ndindex(4, 4):
        (x, y, depths), wanted = (slow_maps.map_of(grid, *pair) for grid in (shared, alone))
        assert (x, y) == wanted[:2]
        assert np.array_equal(depths, wanted[2])
        slow_maps.assert_pools(shared.table[4 * pair[0] + pair[1]], shared.pools, depths)
    assert shared.cells.size < 0.8 * alone.cells.size


@given(some.outlines(), some.outlines(), st.integers(2, 5))
def test_maps_do_not_depend_on_how_many_build_them(
    first: Outline, second: Outline, workers: int
) -> None:
    shapes, step = two_shapes(first, second, 30)
    alone, together = laid_on(shapes, step), laid_on(shapes, step, workers=workers)
    assert np.array_equal(alone.cells, together.cells)
    assert np.array_equal(alone.pools, together.pools)


def test_the_pools_of_a_grid_are_those_of_its_maps() -> None:
    grid = grid_of(((0, 0), (9, 0), (9, 6), (0, 6)), ((0, 0), (8, 0), (0, 7)), step=0.5)
    for pair in range(4):
        slow_maps.assert_pools(
            grid.table[pair], grid.pools, slow_maps.map_of(grid, pair // 2, pair % 2)[2]
        )


def test_forgiving_takes_depth_away_and_not_below_nothing() -> None:
    grid = grid_of(((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)), step=1.0)
    forgiving = grid.forgiving(12)
    assert np.array_equal(forgiving.cells, np.maximum(grid.cells.astype(int) - 12, 0))
    assert forgiving.cells.max() == grid.cells.max() - 12


def test_many_large_maps_get_a_coarser_grid(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("nesting.grid.maps.MOST_CELLS", 10_000)
    square: Outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    grid = grid_of(square, square, step=1.0)
    assert grid.step > 1.0
    inner = int((grid.table[:, 3] * grid.table[:, 4]).sum())
    assert inner < 12_000
