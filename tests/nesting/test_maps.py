# SPDX-License-Identifier: GPL-2.0-or-later
"""Overlap maps agree with shapely and with plain numpy at every grid node, and pools with them."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.ndimage import distance_transform_edt
from shapely.affinity import translate

from nesting.convex import convex_parts
from nesting.maps import (
    DEPTHS,
    LANES,
    LARGE,
    POOL_RIM,
    RIM,
    SMALL,
    Grid,
    build_grid,
    build_pools,
    pool_sizes,
    squared_distances,
)
from nesting.model import Outline
from nesting.shapes import Points, counter_clockwise
from tests.helpers import slow_maps
from tests.helpers import strategies as some


def at_corner(outline: Outline) -> Points:
    points = counter_clockwise(np.array(outline))
    return points - points.min(axis=0)


def grid_of(*outlines: Outline, step: float) -> Grid:
    return build_grid([convex_parts(at_corner(outline)) for outline in outlines], step)


@settings(max_examples=25)
@given(some.outlines(), some.outlines())
def test_a_node_is_free_exactly_when_the_shapes_are_apart(one: Outline, two: Outline) -> None:
    first, second = shapely.Polygon(at_corner(one)), shapely.Polygon(at_corner(two))
    step = max(*first.bounds[2:], *second.bounds[2:]) / 12.0
    grid = grid_of(one, two, step=step)
    x, y, depths = slow_maps.map_of(grid, 0, 1)
    for i, j in np.ndindex(depths.shape):
        moved = translate(second, (x + i) * step, (y + j) * step)
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


@settings(max_examples=60)
@given(some.outlines(), some.outlines(), st.integers(3, 40))
def test_every_map_is_that_of_half_planes_and_a_distance_transform(
    first: Outline, second: Outline, cells: int
) -> None:
    shapes, step = two_shapes(first, second, cells)
    grid = build_grid(shapes, step)
    assume(grid.step == step)
    in_cells = [[part / step for part in parts] for parts in shapes]
    for fixed, moving in np.ndindex(2, 2):
        x, y, depths = slow_maps.map_of(grid, fixed, moving)
        wanted = slow_maps.depth_map(in_cells[fixed], in_cells[moving], (x, y), depths.shape)
        assert np.array_equal(depths, wanted)


@settings(max_examples=60)
@given(some.rectangles(), some.outlines(), st.integers(3, 40))
def test_maps_on_a_grid_that_edges_lie_on_are_the_same(
    first: Outline, second: Outline, cells: int
) -> None:
    """Edges on grid lines: what touches without overlap is decided by a hair in both."""
    step = first[2][0] / cells
    shapes = [list(convex_parts(at_corner(outline))) for outline in (first, second)]
    assume(max(float(np.concatenate(parts).max()) for parts in shapes) < 60 * step)
    grid = build_grid(shapes, step)
    in_cells = [[part / step for part in parts] for parts in shapes]
    for fixed, moving in ((0, 0), (0, 1), (1, 0)):
        x, y, depths = slow_maps.map_of(grid, fixed, moving)
        wanted = slow_maps.depth_map(in_cells[fixed], in_cells[moving], (x, y), depths.shape)
        assert np.array_equal(depths, wanted)


@given(some.outlines(), some.outlines(), st.integers(2, 5))
def test_maps_do_not_depend_on_how_many_build_them(
    first: Outline, second: Outline, workers: int
) -> None:
    shapes, step = two_shapes(first, second, 30)
    alone, together = build_grid(shapes, step), build_grid(shapes, step, workers=workers)
    assert np.array_equal(alone.cells, together.cells)
    assert np.array_equal(alone.pools, together.pools)


@given(
    arrays(np.uint8, st.tuples(st.integers(1, 30), st.integers(1, 30)), elements=st.integers(0, 1)),
    st.integers(1, 3),
)
def test_distances_are_those_of_scipy(inner: np.ndarray, every: int) -> None:
    mask = np.pad(inner, 1)
    wanted = np.rint(distance_transform_edt(mask) ** 2).astype(np.int64)[::every, ::every]
    out = np.empty(wanted.shape, np.int64)
    squared_distances(mask, every, out)
    assert np.array_equal(out, wanted)


@given(arrays(np.uint16, st.tuples(st.integers(1, 70), st.integers(1, 70))))
def test_a_pool_holds_the_least_of_each_whole_block(depths: np.ndarray) -> None:
    nx, ny = depths.shape
    row, pooled = np.array([RIM * (ny + 2 * RIM) + RIM, 0, 0, nx, ny, *6 * [0]], dtype=np.int64), 0
    for column, block, (wide, tall) in pool_sizes(nx, ny):
        row[column : column + 3] = pooled, wide, tall
        pooled += block * block * wide * tall
    pools = np.zeros(pooled, dtype=np.uint16)
    build_pools(row, np.pad(depths, RIM).ravel(), pools)
    assert_pools(row, pools, depths)


def assert_pools(row: np.ndarray, pools: np.ndarray, depths: np.ndarray) -> None:
    """The least of whole blocks, noughts round small pools and at the ends of large ones' rows."""
    for block, rim, (start, wide, tall) in ((SMALL, POOL_RIM, row[5:8]), (LARGE, 0, row[8:11])):
        pool = pools[start : start + block * block * wide * tall].reshape(block, block, wide, tall)
        least = slow_maps.pool_of(depths.astype(np.int64), block)
        across, along = least.shape[2:]
        inner = pool[:, :, rim : rim + across, rim : rim + along]
        assert np.array_equal(inner, least)
        assert pool.sum() == inner.sum()
        assert tall - along == 2 * rim or (tall % LANES == 0 <= tall - along < LANES)


def test_the_pools_of_a_grid_are_those_of_its_maps() -> None:
    grid = grid_of(((0, 0), (9, 0), (9, 6), (0, 6)), ((0, 0), (8, 0), (0, 7)), step=0.5)
    for pair in range(4):
        assert_pools(grid.table[pair], grid.pools, slow_maps.map_of(grid, pair // 2, pair % 2)[2])


def test_forgiving_takes_depth_away_and_not_below_nothing() -> None:
    grid = grid_of(((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)), step=1.0)
    forgiving = grid.forgiving(12)
    assert np.array_equal(forgiving.cells, np.maximum(grid.cells.astype(int) - 12, 0))
    assert forgiving.cells.max() == grid.cells.max() - 12


def test_many_large_maps_get_a_coarser_grid(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("nesting.maps.MOST_CELLS", 10_000)
    square: Outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    grid = grid_of(square, square, step=1.0)
    assert grid.step > 1.0
    inner = int((grid.table[:, 3] * grid.table[:, 4]).sum())
    assert inner < 12_000
