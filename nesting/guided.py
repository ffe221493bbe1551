# SPDX-License-Identifier: GPL-2.0-or-later
"""Guided local search on overlap maps: at a fixed length, move parts until none overlap.

Every part that overlaps is moved, in random order, to the position and turn where the sum of
weight times depth over all other parts is least on the whole cloth. After each sweep the weights
of pairs that still overlap grow by their share of the deepest overlap, the others fade. All numbers
are whole or exactly repeatable, and of equal positions the first one met is taken. Sources:
Umetani, Yagiura et al., "Solving the irregular strip packing problem via guided local search for
overlap minimization", ITOR 16(6), 2009; Egeblad, Nielsen, Odgaard, "Fast neighborhood search for
two- and three-dimensional nesting problems", EJOR 183(3), 2007.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import compiled
from nesting.maps import LARGE, LARGE_BITS, SMALL, SMALL_BITS, Cells, Ints

Weights = NDArray[np.int32]
Seeds = NDArray[np.uint64]

UNIT = 256
"""The weight a pair begins with."""
HEAVIEST = 60_000
"""Weights are halved when one has grown to this."""
GROWTH_LEAST, GROWTH_MOST, FADING = 0.1, 0.5, 0.97
"""How much a weight grows for the least and the deepest overlap, and fades without one."""
NOTHING = 1 << 30
"""More than any cost."""
SIDE = LARGE // SMALL
"""Small blocks along a side of a large one."""


@compiled
def depth_of(
    fixed: int, moving: int, dx: int, dy: int, count: int, table: Ints, cells: Cells
) -> int:
    """Return how deep a moving shape at (dx, dy) cells from a fixed one overlaps it."""
    row = table[fixed * count + moving]
    x, y = dx - row[1], dy - row[2]
    if x < 0 or y < 0 or x >= row[3] or y >= row[4]:
        return 0
    return int(cells[row[0] + x * row[4] + y])


@compiled
def all_depths(
    shapes: Ints, xs: Ints, ys: Ints, depths: Weights, count: int, table: Ints, cells: Cells
) -> int:
    """Write the depth of every pair of parts and return their sum."""
    total = 0
    for i in range(len(shapes)):
        depths[i, i] = 0
        for j in range(i):
            depth = depth_of(
                shapes[j], shapes[i], xs[i] - xs[j], ys[i] - ys[j], count, table, cells
            )
            depths[i, j] = depth
            depths[j, i] = depth
            total += depth
    return total


@compiled
def next_random(state: Seeds) -> int:
    """Return the next of Marsaglia's xorshift numbers, at least 0."""
    x = state[0]
    x ^= x << np.uint64(13)
    x ^= x >> np.uint64(7)
    x ^= x << np.uint64(17)
    state[0] = x
    return int(x >> np.uint64(2))


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
    bounds: Ints,
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
        weight = weights[part, other]
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
                bounds[to + j] += weight * np.int64(pools[start + j])
    return found


@compiled
def small_bounds(
    x0: int,
    y0: int,
    room: Ints,
    near: Ints,
    close: Ints,
    few: int,
    table: Ints,
    pools: Cells,
    sums: Ints,
) -> None:
    """Write the bound of each small block of the large one that begins at (x0, y0).

    `close` are the first `few` rows of `near` that reach into it.
    """
    for k in range(SIDE * SIDE):
        sums[k] = 0
    bx, by = x0 >> SMALL_BITS, y0 >> SMALL_BITS
    for k in range(few):
        one = near[close[k]]
        row = table[one[5]]
        u0, v0 = bx - (one[0] >> SMALL_BITS), by - (one[1] >> SMALL_BITS)
        shift = (one[0] & (SMALL - 1)) * SMALL + (one[1] & (SMALL - 1))
        pool = row[5] + shift * row[6] * row[7]
        for i in range(max(0, -u0), min(SIDE, row[6] - u0)):
            start = pool + (u0 + i) * row[7] + v0
            for j in range(max(0, -v0), min(SIDE, row[7] - v0)):
                sums[i * SIDE + j] += one[4] * np.int64(pools[start + j])


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
    costs: Ints,
) -> None:
    """Write the cost of each position of a small block that begins at (x0, y0)."""
    for k in range(SMALL * SMALL):
        costs[k] = 0
    for k in range(few):
        one = near[close[k]]
        ux, uy, nx, ny = x0 - one[0], y0 - one[1], one[2], one[3]
        if ux >= nx or uy >= ny or ux + wide <= 0 or uy + tall <= 0:
            continue
        low = table[one[5], 0]
        for i in range(max(0, -ux), min(wide, nx - ux)):
            start = low + (ux + i) * ny + uy
            for j in range(max(0, -uy), min(tall, ny - uy)):
                costs[i * SMALL + j] += one[4] * np.int64(cells[start + j])


@compiled
def cheapest(
    room: Ints,
    bounds: Ints,
    near: Ints,
    found: int,
    table: Ints,
    cells: Cells,
    pools: Cells,
    best: int,
    scratch: Ints,
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
    lowest = 0
    for block in range(wide * tall):
        if bounds[block] < bounds[lowest]:
            lowest = block
    out[0], out[1] = -1, -1
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
        small_bounds(x0, y0, room, near, close, few, table, pools, sums)
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
def reweigh(weights: Weights, depths: Weights) -> None:
    """Let the weights of pairs that overlap grow and the others fade."""
    count = len(weights)
    deepest, heaviest = 0, 0
    for i in range(count):
        for j in range(i):
            deepest = max(deepest, depths[i, j])
    if deepest == 0:
        return
    for i in range(count):
        for j in range(i):
            weight = weights[i, j]
            if depths[i, j] > 0:
                share = GROWTH_LEAST + (GROWTH_MOST - GROWTH_LEAST) * (depths[i, j] / deepest)
                weight = int(weight * (1.0 + share)) + 1
            else:
                weight = max(UNIT, int(weight * FADING))
            weights[i, j] = weight
            weights[j, i] = weight
            heaviest = max(heaviest, weight)
    if heaviest > HEAVIEST:
        for i in range(count):
            for j in range(count):
                weights[i, j] = (weights[i, j] + 1) // 2


@compiled
def untangle(
    shapes: Ints,
    xs: Ints,
    ys: Ints,
    movable: int,
    choices: Ints,
    choice_starts: Ints,
    rooms: Ints,
    weights: Weights,
    depths: Weights,
    count: int,
    table: Ints,
    cells: Cells,
    pools: Cells,
    state: Seeds,
    budget: int,
    patience: int,
    best: Ints,
) -> tuple[int, int, int, int]:
    """Move parts until none overlap, the budget of evaluations is used, or patience runs out.

    Parts are given by shape and position in cells and are moved in place; the first `movable` of
    them may move. `choices` are the shapes a part may take, `rooms` the box of positions of each
    shape. `best` (3, parts) gets shapes, xs and ys where the sum of depths was least. Returns that
    sum, the sweeps since it was reached, all sweeps, and the evaluations used.
    """
    parts = len(shapes)
    bounds = np.empty(_most_blocks(rooms), np.int64)
    place = np.empty(2, np.int64)
    scratch = np.empty(SIDE * SIDE + SMALL * SMALL, np.int64)
    close = np.empty(parts, np.int64)
    near, order = np.empty((parts, 6), np.int64), np.empty(parts, np.int64)
    total = all_depths(shapes, xs, ys, depths, count, table, cells)
    least, stale, used, sweeps = total, 0, 0, 0
    best[0], best[1], best[2] = shapes, xs, ys
    while total > 0 and used < budget and stale < patience:
        waiting = _overlapping(depths, movable, order)
        for k in range(waiting - 1, 0, -1):
            other = next_random(state) % (k + 1)
            order[k], order[other] = order[other], order[k]
        for k in range(waiting):
            part = order[k]
            cost = 0
            for other in range(parts):
                cost += weights[part, other] * np.int64(depths[part, other])
            if cost == 0:
                continue
            chosen, x, y = -1, 0, 0
            for number in range(choice_starts[part], choice_starts[part + 1]):
                shape = choices[number]
                found = gather(
                    shape,
                    part,
                    shapes,
                    xs,
                    ys,
                    weights,
                    rooms[shape],
                    count,
                    table,
                    pools,
                    bounds,
                    near,
                )
                lower = cheapest(
                    rooms[shape],
                    bounds,
                    near,
                    found,
                    table,
                    cells,
                    pools,
                    cost,
                    scratch,
                    close,
                    place,
                )
                used += 1
                if place[0] >= 0 and lower < cost:
                    cost, chosen, x, y = lower, shape, place[0], place[1]
            if chosen >= 0:
                shapes[part], xs[part], ys[part] = chosen, x, y
                total += _moved(part, shapes, xs, ys, depths, count, table, cells)
        sweeps += 1
        if total < least:
            least, stale = total, 0
            best[0], best[1], best[2] = shapes, xs, ys
        else:
            stale += 1
        reweigh(weights, depths)
    return least, stale, sweeps, used


@compiled
def _most_blocks(rooms: Ints) -> int:
    """Return the most blocks that a box of positions has."""
    most = 1
    for k in range(len(rooms)):
        wide = (rooms[k, 0] + LARGE - 1) // LARGE
        tall = (rooms[k, 1] + LARGE - 1) // LARGE
        most = max(most, wide * tall)
    return most


@compiled
def _overlapping(depths: Weights, movable: int, order: Ints) -> int:
    """Write the movable parts that overlap another, and return their number."""
    waiting = 0
    for i in range(movable):
        for j in range(len(depths)):
            if depths[i, j] > 0:
                order[waiting] = i
                waiting += 1
                break
    return waiting


@compiled
def _moved(
    part: int,
    shapes: Ints,
    xs: Ints,
    ys: Ints,
    depths: Weights,
    count: int,
    table: Ints,
    cells: Cells,
) -> int:
    """Bring the depths of a part that moved up to date, and return by how much their sum grew."""
    more = 0
    for other in range(len(shapes)):
        if other == part:
            continue
        depth = depth_of(
            shapes[part],
            shapes[other],
            xs[other] - xs[part],
            ys[other] - ys[part],
            count,
            table,
            cells,
        )
        more += depth - depths[part, other]
        depths[part, other] = depth
        depths[other, part] = depth
    return more
