# SPDX-License-Identifier: GPL-2.0-or-later
"""How deep two shapes overlap at every position: one overlap map.

Both shapes are given as convex parts, so the no-fit polygon is the union of sums of convex
polygons, and a node of a grid is inside or not, exactly. Idea: Sato, Martins, Gomes, Tsuzuki,
"Raster penetration map applied to the irregular packing problem", EJOR 279(2), 2019; the distance
transform is that of Felzenszwalb, Huttenlocher, "Distance transforms of sampled functions", Theory
of Computing 8, 2012.

With numpy a sum of convex polygons is what keeps to every edge normal of either, and distances are
those of scipy.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt

from nesting.compiled import Index, compiled, compiled_or
from nesting.geometry.arrays import Ints
from nesting.geometry.clip import following
from nesting.geometry.shapes import Points
from nesting.grid.lattice import DEPTHS, Cells, map_of, row_of

Bits = NDArray[np.uint8]
Ends = NDArray[np.int32]
Floats = NDArray[np.float64]

FINER = 2
"""The mask that depths are measured on is this many times finer than the grid."""
HAIR = 1e-6
"""Cells: what touches by less than this does not overlap."""


# --- with numpy ---------------------------------------------------------------------------------


def build_map_numpy(
    fixed: Points, fixed_starts: Ints, moving: Points, moving_starts: Ints, row: Ints, cells: Cells
) -> None:
    """Fill in what `build_map` fills in."""
    depths = map_of(row[0], row[3], row[4], cells)
    wide, tall = (FINER * (size - 1) + 1 for size in depths.shape)
    ends = np.zeros((wide, tall + 1), dtype=np.int32)
    x0, y0 = FINER * int(row[1]), FINER * int(row[2])
    for one in np.split(FINER * fixed, fixed_starts[1:-1]):
        for two in np.split(FINER * moving, moving_starts[1:-1]):
            columns, low, high = columns_in_sum(one, two, x0)
            begin = np.maximum(np.ceil(low - y0).astype(np.int64), 0)
            end = np.minimum(np.floor(high - y0).astype(np.int64), tall - 1)
            some = (begin <= end) & (columns < wide)
            ends[columns[some], begin[some]] += 1
            ends[columns[some], end[some] + 1] -= 1
    inside = ends[:, :-1].cumsum(axis=1) > 0
    distances = distance_transform_edt(inside)[::FINER, ::FINER]
    eighths = np.floor(DEPTHS * distances / FINER + 0.5)
    depths[:] = np.where(distances > 0.0, np.clip(eighths, 1, 65535), 0)


def columns_in_sum(one: Points, two: Points, x0: int) -> tuple[Ints, Floats, Floats]:
    """Return the columns in the Minkowski sum of two convex polygons, with their least and most y.

    Columns lie at x0, x0 + 1, ... and are counted from there. Each side of the sum is parallel to a
    side of one of the two, and as far out as both reach together, less a hair along y, along x at
    upright sides.
    """
    sides = np.concatenate([following(ring) - ring for ring in (one, two)])
    u, v = np.append(sides[:, 1], [1.0, -1.0]), np.append(-sides[:, 0], [0.0, 0.0])
    normals = np.stack((u, v))
    far = (one @ normals).max(axis=0) + (two @ normals).max(axis=0)
    far -= FINER * HAIR * np.where(v == 0.0, np.abs(u), np.abs(v))
    columns = np.arange(max(0, math.ceil(-far[-1] - x0)), math.floor(far[-2] - x0) + 1)
    upper, lower = v > 0.0, v < 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        limits = (far[:, None] - u[:, None] * (columns + x0)) / v[:, None]
    return columns, limits[lower].max(axis=0), limits[upper].min(axis=0)


def turn_map_numpy(row: Ints, back: Ints, cells: Cells) -> None:
    """Copy what `turn_map` copies."""
    _, _, _, nx, ny = row[:5]
    map_of(back[0], nx, ny, cells)[:] = map_of(row[0], nx, ny, cells)[::-1, ::-1]


# --- loops --------------------------------------------------------------------------------------


@compiled
def convex_sum(first: Points, second: Points, out: Points) -> int:
    """Write the Minkowski sum of two convex polygons and return its number of points.

    Both are counter-clockwise and start at their lowest, then leftmost, vertex.
    """
    n, m = len(first), len(second)
    i = j = count = 0
    while i < n or j < m:
        out[count, 0] = first[i % n, 0] + second[j % m, 0]
        out[count, 1] = first[i % n, 1] + second[j % m, 1]
        count += 1
        if i >= n:
            j += 1
            continue
        if j >= m:
            i += 1
            continue
        ax, ay = first[(i + 1) % n, 0] - first[i, 0], first[(i + 1) % n, 1] - first[i, 1]
        bx, by = second[(j + 1) % m, 0] - second[j, 0], second[(j + 1) % m, 1] - second[j, 1]
        turn = ax * by - ay * bx
        if turn >= 0.0:
            i += 1
        if turn <= 0.0:
            j += 1
    return count


@compiled
def cover_convex(
    ring: Points, count: int, x0: float, y0: float, ends: Ends, low: Points, high: Points
) -> None:
    """Count the nodes (x0 + i, y0 + j) strictly inside a convex polygon of `count` points.

    `ends` (nx, ny + 1) holds in each column the number of polygons that begin at a node less that
    of those that have ended just before it. `low` and `high` are scratch columns (N, 1).
    """
    nx, ny = ends.shape[0], ends.shape[1] - 1
    left = right = ring[0, 0]
    for k in range(count):
        left, right = min(left, ring[k, 0]), max(right, ring[k, 0])
    first = max(int(np.ceil(left + FINER * HAIR - x0)), 0)
    last = min(int(np.floor(right - FINER * HAIR - x0)), nx - 1)
    for column in range(first, last + 1):
        low[column, 0], high[column, 0] = -1e300, 1e300
    for k in range(count):
        ax, ay = ring[k, 0], ring[k, 1]
        following = k + 1 if k + 1 < count else 0
        bx, by = ring[following, 0], ring[following, 1]
        if ax == bx:
            continue
        slope = (by - ay) / (bx - ax)
        begin = max(int(np.ceil(min(ax, bx) - x0)), first)
        end = min(int(np.floor(max(ax, bx) - x0)), last)
        for column in range(begin, end + 1):
            y = ay + slope * (column + x0 - ax)
            if bx > ax:
                low[column, 0] = max(low[column, 0], y)
            else:
                high[column, 0] = min(high[column, 0], y)
    for column in range(first, last + 1):
        begin = max(int(np.ceil(low[column, 0] + FINER * HAIR - y0)), 0)
        end = min(int(np.floor(high[column, 0] - FINER * HAIR - y0)), ny - 1)
        if begin <= end:
            ends[column, begin] += 1
            ends[column, end + 1] -= 1


@compiled
def squared_distances(mask: Bits, every: int, out: Ints) -> None:
    """Write the squared distance, in nodes, of set nodes to the nearest one not set.

    `out` gets those of each node whose row and column are multiples of `every`.
    """
    nx, ny = mask.shape
    rows, columns = out.shape
    run, near = np.zeros(ny, np.int32), np.empty((rows, ny), np.int32)
    for i in range(nx):
        for j in range(ny):
            run[j] = (run[j] + 1) * mask[i, j]
        if i % every == 0:
            near[i // every] = run
    run[:] = 0
    for i in range(nx - 1, -1, -1):
        for j in range(ny):
            run[j] = (run[j] + 1) * mask[i, j]
        if i % every == 0:
            for j in range(ny):
                near[i // every, j] = min(near[i // every, j], run[j])
    # The least of parabolas over the nodes of a row; `height` is that of each over node 0.
    hull, height = np.empty(ny, np.int32), np.empty(ny, np.int32)
    border = np.empty(ny + 1, np.float64)
    for i in range(rows):
        k = 0
        hull[0], height[0], border[0] = 0, near[i, 0] ** 2, -1e20
        for q in range(1, ny):
            own = near[i, q] ** 2 + q * q
            meet = (own - height[k]) / (2.0 * (q - hull[k]))
            while meet <= border[k]:
                k -= 1
                meet = (own - height[k]) / (2.0 * (q - hull[k]))
            k += 1
            hull[k], height[k], border[k] = q, own, meet
        border[k + 1] = 1e20
        k = 0
        for column in range(columns):
            q = column * every
            while border[k + 1] < q:
                k += 1
            out[i, column] = height[k] - 2 * q * hull[k] + q * q


@compiled_or(build_map_numpy)
def build_map(
    fixed: Points, fixed_starts: Ints, moving: Points, moving_starts: Ints, row: Ints, cells: Cells
) -> None:
    """Fill in the map of a fixed shape and a moving one, both in cells, the moving one negated."""
    nx, ny = row[3], row[4]
    wide, tall = (nx - 1) * FINER + 1, (ny - 1) * FINER + 1
    ends, mask = np.zeros((wide, tall + 1), np.int32), np.empty((wide, tall), np.uint8)
    ring = np.empty((len(fixed) + len(moving) + 2, 2))
    low, high = np.empty((wide, 1)), np.empty((wide, 1))
    for i in range(len(fixed_starts) - 1):
        for j in range(len(moving_starts) - 1):
            count = convex_sum(
                fixed[fixed_starts[i] : fixed_starts[i + 1]],
                moving[moving_starts[j] : moving_starts[j + 1]],
                ring,
            )
            for k in range(count):
                ring[k, 0] *= FINER
                ring[k, 1] *= FINER
            cover_convex(ring, count, row[1] * FINER, row[2] * FINER, ends, low, high)
    for i in range(wide):
        covered = 0
        for j in range(tall):
            covered += ends[i, j]
            mask[i, j] = covered > 0
    distances = np.empty((nx, ny), np.int64)
    squared_distances(mask, FINER, distances)
    for i in range(nx):
        for j in range(ny):
            squared = distances[i, j]
            if squared > 0:
                depth = int(DEPTHS * np.sqrt(float(squared)) / FINER + 0.5)
                cells[Index(row[0] + i * row_of(ny) + j)] = min(max(1, depth), 65535)


@compiled_or(turn_map_numpy)
def turn_map(row: Ints, back: Ints, cells: Cells) -> None:
    """Copy a map of two shapes as that of the two the other way about: every position negated."""
    nx, ny = row[3], row[4]
    for i in range(nx):
        start, last = row[0] + i * row_of(ny), back[0] + (nx - 1 - i) * row_of(ny) + ny - 1
        for j in range(ny):
            cells[Index(last - j)] = cells[Index(start + j)]
