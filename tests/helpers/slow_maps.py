# SPDX-License-Identifier: GPL-2.0-or-later
"""The compiled loops of the grid search once more, in plain numpy and scipy, to compare with.

Slow and short: a node is inside a sum of convex polygons when it is inside by every edge normal of
either; depths come from scipy's distance transform; the cost of all positions is the whole sum of
the shifted maps. Only the constants are those of the engine.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt

from nesting.guided import FADING, GROWTH_LEAST, GROWTH_MOST, UNIT
from nesting.maps import DEPTHS, FINER, HAIR, LARGE, RIM, SMALL, Grid

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Mask = NDArray[np.bool_]


def depth_map(
    fixed: Sequence[Floats], moving: Sequence[Floats], low: tuple[int, int], size: tuple[int, int]
) -> Ints:
    """Return how deep a moving shape overlaps a fixed one at each position, in eighths of a cell.

    Shapes are convex parts, each (N, 2), in cells; positions are low, low + 1, ..., `size` of them
    along each axis.
    """
    xs, ys = (FINER * low[axis] + np.arange(FINER * (size[axis] - 1) + 1.0) for axis in (0, 1))
    inside = np.zeros((len(xs), len(ys)), dtype=np.bool_)
    for one in fixed:
        for other in moving:
            inside |= nodes_in_sum(FINER * one, -FINER * other, xs, ys)
    distances = distance_transform_edt(inside)[::FINER, ::FINER]
    eighths = np.floor(DEPTHS * distances / FINER + 0.5).astype(np.int64)
    return np.where(distances > 0.0, np.clip(eighths, 1, 65535), 0)


def nodes_in_sum(one: Floats, two: Floats, xs: Floats, ys: Floats) -> Mask:
    """Return which nodes lie inside the Minkowski sum of two convex polygons by more than a hair.

    Each side of the sum is parallel to a side of one of the two, and as far out as both reach
    together. The hair is measured along y, at upright sides along x.
    """
    sides = np.concatenate([np.roll(ring, -1, axis=0) - ring for ring in (one, two)])
    normals = np.concatenate([np.column_stack([sides[:, 1], -sides[:, 0]]), [[1, 0], [-1, 0]]])
    far = (one @ normals.T).max(axis=0) + (two @ normals.T).max(axis=0)
    inside = np.ones((len(xs), len(ys)), dtype=np.bool_)
    for (u, v), reach in zip(normals, far, strict=True):
        clear = reach - u * xs[:, None] - v * ys[None, :]
        inside &= clear >= FINER * HAIR * abs(v if v else u)
    return inside


def map_of(grid: Grid, fixed: int, moving: int) -> tuple[int, int, Ints]:
    """Return the map of two shapes of a grid, with its least x and y."""
    start, x, y, nx, ny = (int(value) for value in grid.table[fixed * grid.count + moving, :5])
    row = ny + 2 * RIM
    at = start - RIM * row - RIM
    with_rim = grid.cells[at : at + (nx + 2 * RIM) * row].reshape(-1, row).astype(np.int64)
    inner = with_rim[RIM:-RIM, RIM:-RIM]
    assert with_rim.sum() == inner.sum()
    return x, y, inner


def pool_of(depths: Ints, block: int) -> Ints:
    """Return the least of each whole block for each shift: (block, block, along x, along y).

    Where there is a block less for a shift than for others stands 0.
    """
    whole = [size // block for size in depths.shape]
    pool = np.zeros((block, block, *whole), dtype=np.int64)
    for shift in np.ndindex(block, block):
        low = [-each % block for each in shift]
        wide, tall = ((size - at) // block for size, at in zip(depths.shape, low, strict=True))
        within = depths[low[0] :, low[1] :][: max(wide, 0) * block, : max(tall, 0) * block]
        least = within.reshape(max(wide, 0), block, max(tall, 0), block).min(axis=(1, 3))
        pool[shift][: least.shape[0], : least.shape[1]] = least
    return pool


def costs_of(
    maps: Sequence[tuple[int, int, Ints]], weights: Sequence[int], room: tuple[int, int]
) -> Ints:
    """Return the cost of every position of a box: the sum of weight x depth over shifted maps.

    A map is given with the place of its low corner in the box.
    """
    total = np.zeros(room, dtype=np.int64)
    for (x, y, depths), weight in zip(maps, weights, strict=True):
        wide, tall = depths.shape
        low_x, high_x = max(x, 0), min(x + wide, room[0])
        low_y, high_y = max(y, 0), min(y + tall, room[1])
        if low_x < high_x and low_y < high_y:
            within = depths[low_x - x : high_x - x, low_y - y : high_y - y]
            total[low_x:high_x, low_y:high_y] += weight * within
    return total


def first_cheapest(costs: Ints, below: int, first: int) -> tuple[int, int, int]:
    """Return the least cost and its position; (below, -1, -1) when none is less than `below`.

    Ties go to the large block `first`, then to the lowest large block, small block and position,
    all counted along y first.
    """
    wide, tall = costs.shape
    x, y = np.divmod(np.arange(wide * tall), tall)
    large = x // LARGE * -(-tall // LARGE) + y // LARGE
    order = np.lexsort((y, x, y // SMALL, x // SMALL, large, large != first))
    chosen = int(order[np.argmin(costs.ravel()[order])])
    least = int(costs.flat[chosen])
    return (least, int(x[chosen]), int(y[chosen])) if least < below else (below, -1, -1)


def reweighed(weights: NDArray[np.int32], depths: NDArray[np.int32], most: int) -> Ints:
    """Return the weights after a sweep: pairs that overlap grow, others fade, all are bounded."""
    before, deepest = weights.astype(np.int64), int(depths.max(initial=0))
    if deepest == 0:
        return before
    share = GROWTH_LEAST + (GROWTH_MOST - GROWTH_LEAST) * (depths / deepest)
    grown = np.floor(before * (1.0 + share)).astype(np.int64) + 1
    faded = np.maximum(UNIT, np.floor(before * FADING).astype(np.int64))
    after = np.where(depths > 0, grown, faded)
    np.fill_diagonal(after, before.diagonal())
    apart = ~np.eye(len(after), dtype=np.bool_)
    return (after + 1) // 2 if after[apart].max(initial=0) > most else after
