# SPDX-License-Identifier: GPL-2.0-or-later
"""The scan: where on the whole cloth a part costs least, by the sums of pools.

The cost of a position is the sum of weight times depth over all other parts. Large blocks of
positions are bounded from below first, small ones within the promising blocks next, and positions
one by one only where a block may be cheaper than the best one known. Costs are whole numbers of 32
bits, which processors add up in wide rows; `heaviest` tells how great weights may become for that.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import Index, compiled
from nesting.maps import LARGE, LARGE_BITS, SMALL, SMALL_BITS, Cells, Ints

Costs = NDArray[np.int32]
Weights = NDArray[np.int32]

SIDE = LARGE // SMALL
"""Small blocks along a side of a large one."""
HEAVIEST = 60_000
"""Weights need not become greater than that."""
MOST = (1 << 31) - 1
"""The greatest cost."""


def heaviest(cells: Cells, parts: int, least: int) -> int:
    """Return how great a weight may become, at least `least`.

    Below that no cost passes 32 bits, though a part lay in the deepest places of all others. (With
    thousands of parts `least` stands above it; so many never lie in one place.)
    """
    deepest = int(cells.max(initial=1))
    return max(least, min(HEAVIEST, MOST // (deepest * parts)))


@compiled
def gather(
    shape: int,
    part: int,
    shapes: Ints,
    xs: Ints,
    ys: Ints,
    weights: Weights,
    room: Ints,
    count: int,
    table: Ints,
    pools: Cells,
    bounds: Costs,
    near: Ints,
) -> int:
    """Sum the pools of all parts that can reach a shape's box of positions; return their number.

    `room` is the box in positions; `bounds` gets the sum of each large block of it, and `near` a
    row per part: its map's low corner in the box, its size, the weight and the pair.
    """
    tall = (room[1] + LARGE - 1) // LARGE
    wide = (room[0] + LARGE - 1) // LARGE
    for block in range(wide * tall):
        bounds[block] = 0
    found = 0
    for other in range(len(shapes)):
        if other == part:
            continue
        pair = shapes[other] * count + shape
        row = table[pair]
        x, y = xs[other] + row[1], ys[other] + row[2]
        if x >= room[0] or y >= room[1] or x + row[3] <= 0 or y + row[4] <= 0:
            continue
        weight = np.int32(weights[part, other])
        near[found, 0], near[found, 1], near[found, 2] = x, y, row[3]
        near[found, 3], near[found, 4], near[found, 5] = row[4], weight, pair
        found += 1
        block_x, block_y = x >> LARGE_BITS, y >> LARGE_BITS
        shift = (x & (LARGE - 1)) * LARGE + (y & (LARGE - 1))
        pool = row[8] + shift * row[9] * row[10]
        for i in range(max(0, -block_x), min(row[9], wide - block_x)):
            to = (block_x + i) * tall + block_y
            start = pool + i * row[10]
            for j in range(max(0, -block_y), min(row[10], tall - block_y)):
                bounds[Index(to + j)] += weight * np.int32(pools[Index(start + j)])
    return found


@compiled
def small_bounds(
    x0: int,
    y0: int,
    near: Ints,
    close: Ints,
    few: int,
    table: Ints,
    pools: Cells,
    sums: Costs,
) -> None:
    """Write the bound of each small block of the large one that begins at (x0, y0).

    `close` are the first `few` rows of `near` that reach into it.
    """
    for k in range(SIDE * SIDE):
        sums[k] = 0
    bx, by = x0 >> SMALL_BITS, y0 >> SMALL_BITS
    for k in range(few):
        one = near[close[k]]
        row, weight = table[one[5]], np.int32(one[4])
        u0, v0 = bx - (one[0] >> SMALL_BITS), by - (one[1] >> SMALL_BITS)
        shift = (one[0] & (SMALL - 1)) * SMALL + (one[1] & (SMALL - 1))
        pool = row[5] + shift * row[6] * row[7]
        for i in range(max(0, -u0), min(SIDE, row[6] - u0)):
            start = pool + (u0 + i) * row[7] + v0
            for j in range(max(0, -v0), min(SIDE, row[7] - v0)):
                sums[Index(i * SIDE + j)] += weight * np.int32(pools[Index(start + j)])


@compiled
def block_costs(
    x0: int,
    y0: int,
    wide: int,
    tall: int,
    near: Ints,
    close: Ints,
    few: int,
    table: Ints,
    cells: Cells,
    costs: Costs,
) -> None:
    """Write the cost of each position of a small block that begins at (x0, y0)."""
    for k in range(SMALL * SMALL):
        costs[k] = 0
    for k in range(few):
        one = near[close[k]]
        ux, uy, nx, ny = x0 - one[0], y0 - one[1], one[2], one[3]
        if ux >= nx or uy >= ny or ux + wide <= 0 or uy + tall <= 0:
            continue
        low, weight = table[one[5], 0], np.int32(one[4])
        for i in range(max(0, -ux), min(wide, nx - ux)):
            start = low + (ux + i) * ny + uy
            for j in range(max(0, -uy), min(tall, ny - uy)):
                costs[Index(i * SMALL + j)] += weight * np.int32(cells[Index(start + j)])


@compiled
def cheapest(
    room: Ints,
    bounds: Costs,
    near: Ints,
    found: int,
    table: Ints,
    cells: Cells,
    pools: Cells,
    best: int,
    scratch: Costs,
    close: Ints,
    out: Ints,
) -> int:
    """Find the cheapest position of a box that costs less than `best`; write it and its cost.

    Returns the cost, and leaves `out` at (-1, -1) when no position is cheaper. The block with the
    lowest bound is looked into first, so that most others need not be; then they come in order,
    and of equal positions the first one met is kept.
    """
    wide = (room[0] + LARGE - 1) // LARGE
    tall = (room[1] + LARGE - 1) // LARGE
    out[0], out[1] = -1, -1
    least = bounds[0]
    for block in range(wide * tall):
        least = min(least, bounds[block])
    if least >= best:
        return best
    lowest = 0
    while bounds[lowest] > least:
        lowest += 1
    sums, costs = scratch[: SIDE * SIDE], scratch[SIDE * SIDE :]
    for turn in range(-1, wide * tall):
        block = lowest if turn < 0 else turn
        if turn == lowest or bounds[block] >= best:
            continue
        x0, y0 = block // tall * LARGE, block % tall * LARGE
        few = 0
        for k in range(found):
            x, y = near[k, 0], near[k, 1]
            is_beside = x < x0 + LARGE and x + near[k, 2] > x0
            if is_beside and y < y0 + LARGE and y + near[k, 3] > y0:
                close[few] = k
                few += 1
        small_bounds(x0, y0, near, close, few, table, pools, sums)
        for k in range(SIDE * SIDE):
            if sums[k] >= best:
                continue
            x1, y1 = x0 + k // SIDE * SMALL, y0 + k % SIDE * SMALL
            across, along = min(SMALL, room[0] - x1), min(SMALL, room[1] - y1)
            if across <= 0 or along <= 0:
                continue
            block_costs(x1, y1, across, along, near, close, few, table, cells, costs)
            for i in range(across):
                for j in range(along):
                    cost = costs[i * SMALL + j]
                    if cost < best:
                        best = cost
                        out[0], out[1] = x1 + i, y1 + j
    return best


@compiled
def most_blocks(rooms: Ints) -> int:
    """Return the most blocks that a box of positions has."""
    most = 1
    for k in range(len(rooms)):
        wide = (rooms[k, 0] + LARGE - 1) // LARGE
        tall = (rooms[k, 1] + LARGE - 1) // LARGE
        most = max(most, wide * tall)
    return most
