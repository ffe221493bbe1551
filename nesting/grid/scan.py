# SPDX-License-Identifier: GPL-2.0-or-later
"""The scan: where on the whole cloth a part costs least, by the sums of pools.

The cost of a position is the sum of weight times depth over all other parts. Large blocks of
positions are bounded from below first, small ones within the promising blocks next, and positions
one by one only where a block may be cheaper than the best one known. Costs are whole numbers of 32
bits, which processors add up in rows of four; `heaviest` tells how great weights may become for
that. Inner loops have fixed lengths and lists are made without asking, because a processor that
guesses wrong loses more time than a few noughts cost.

With numpy the large blocks are bounded in the same way; of the rectangle round those that are left
whole maps are summed, as far as they reach.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import Index, compiled, compiled_or
from nesting.geometry.arrays import Ints
from nesting.grid.ahead import LINE, fetch_rows
from nesting.grid.choices import (
    LOW_X,
    LOW_Y,
    MARKS_X,
    MARKS_Y,
    NX,
    NY,
    Choices,
    Costs,
    Laid,
    Scratch,
)
from nesting.grid.lattice import (
    LANES,
    LARGE,
    LARGE_BITS,
    POOL_RIM,
    SIDE,
    SMALL,
    SMALL_BITS,
    Cells,
    Maps,
    map_of,
    row_of,
)
from nesting.grid.weights import Weights

HEAVIEST = 60_000
"""Weights need not become greater than that."""
MOST = (1 << 31) - 1
"""The greatest cost."""
COLUMNS = 12
"""Figures of a part that is near: the low corner, in the box, and the size of its map, the weight,
where the map lies, and where its small and its large pool for this shift, with the pools' sizes.
Corners are counted from the low corner of the room."""


def heaviest(cells: Cells, parts: int, least: int) -> int:
    """Return how great a weight may become, at least `least`.

    Below that no cost passes 32 bits, though a part lay in the deepest places of all others. (With
    thousands of parts `least` stands above it; so many never lie in one place.)
    """
    deepest = int(cells.max(initial=1))
    return max(least, min(HEAVIEST, MOST // (deepest * parts)))


# --- with numpy ---------------------------------------------------------------------------------


def gather_numpy(
    shape: int, part: int, laid: Laid, weights: Weights, room: Ints, maps: Maps, work: Scratch
) -> int:
    """Return and write what `gather` does, but for the sums, which it does not need."""
    rows = maps.table[laid.shapes * maps.kinds + shape]
    x, y = laid.xs - room[LOW_X] + rows[:, 1], laid.ys - room[LOW_Y] + rows[:, 2]
    nx, ny = rows[:, 3], rows[:, 4]
    reaching = (x < room[NX]) & (y < room[NY]) & (x + nx > 0) & (y + ny > 0)
    reaching[part] = False
    rows, x, y = rows[reaching], x[reaching], y[reaching]
    shift = (x & (SMALL - 1)) * SMALL + (y & (SMALL - 1))
    small = rows[:, 5] + shift * rows[:, 6] * rows[:, 7]
    shift = (x & (LARGE - 1)) * LARGE + (y & (LARGE - 1))
    large = rows[:, 8] + shift * rows[:, 9] * rows[:, 10]
    places = (x, y, *rows[:, 3:5].T, weights[part, reaching], rows[:, 0])
    near = work.near[: len(rows)]
    near[:] = np.column_stack((*places, small, *rows[:, 6:8].T, large, *rows[:, 9:].T))
    wide, tall = (int(side) for side in -(-room[: NY + 1] // LARGE))
    total = work.bounds[: wide * tall].reshape(wide, tall)
    total[:] = 0
    blocks = -(-near[:, :2] // LARGE)
    for u, v, weight, start, across, along in np.column_stack(
        (blocks, near[:, [4, 9, 10, 11]])
    ).tolist():
        pool = maps.pools[start : start + across * along].reshape(across, along)
        _add(total, pool, u, v, weight)
    return len(rows)


def cheapest_numpy(
    room: Ints,
    marks: NDArray[np.uint8],
    found: int,
    maps: Maps,
    best: int,
    work: Scratch,
) -> int:
    """Return and write what `cheapest` does."""
    size = room[: NY + 1]
    wide, tall = (int(side) for side in -(-size // LARGE))
    bounds, near = work.bounds[: wide * tall], work.near[:found]
    work.place[:] = -1
    lowest = int(bounds.argmin())
    if bounds[lowest] >= best:
        return best
    low = np.array([lowest // tall, lowest % tall]) * LARGE
    best = _cheapest_within(
        low, np.minimum(low + LARGE, size), room, marks, near, maps.cells, best, work.place
    )
    left = np.argwhere(bounds.reshape(wide, tall) < best)
    if len(left):
        low, high = left.min(axis=0) * LARGE, np.minimum((left.max(axis=0) + 1) * LARGE, size)
        best = _cheapest_within(low, high, room, marks, near, maps.cells, best, work.place)
    return best


def _cheapest_within(
    low: Ints,
    high: Ints,
    room: Ints,
    marks: NDArray[np.uint8],
    near: Ints,
    cells: Cells,
    best: int,
    out: Ints,
) -> int:
    """Find the first of the cheapest positions of a part of a room; return and write as above."""
    total = np.zeros(high - low, dtype=np.int32)
    x, y = near[:, 0] - low[0], near[:, 1] - low[1]
    reaching = (x < total.shape[0]) & (y < total.shape[1])
    reaching &= (x + near[:, 2] > 0) & (y + near[:, 3] > 0)
    for u, v, nx, ny, weight, start in np.column_stack((x, y, near[:, 2:6]))[reaching].tolist():
        _add(total, map_of(start, nx, ny, cells), u, v, weight)
    for axis, first in enumerate(room[MARKS_X : MARKS_Y + 1].tolist()):
        if first >= 0:
            shut = marks[first + int(low[axis]) : first + int(high[axis])] == 0
            total[(shut, slice(None)) if axis == 0 else (slice(None), shut)] = MOST
    least = int(total.min())
    if least >= best:
        return best
    x, y = np.nonzero(total == least)
    x, y = x + low[0], y + low[1]
    order = np.lexsort((y, x, y // SMALL, x // SMALL, y // LARGE, x // LARGE))
    out[:] = x[order[0]] + room[LOW_X], y[order[0]] + room[LOW_Y]
    return least


def _add(total: Costs, values: Cells, x: int, y: int, weight: int) -> None:
    """Add weight times values that begin at (x, y), as far as they lie within the total."""
    wide, tall = values.shape
    right, top = min(x + wide, total.shape[0]), min(y + tall, total.shape[1])
    left, low = max(x, 0), max(y, 0)
    if left < right and low < top:
        within = values[left - x : right - x, low - y : top - y]
        total[left:right, low:top] += np.multiply(within, weight, dtype=np.int32)


# --- loops --------------------------------------------------------------------------------------


@compiled
def add_four(weight: np.int32, source: Cells, start: int, target: Costs, to: int) -> None:
    """Add weight times four values that lie side by side."""
    one, two = np.int32(source[Index(start)]), np.int32(source[Index(start + 1)])
    three, four = np.int32(source[Index(start + 2)]), np.int32(source[Index(start + 3)])
    target[Index(to)] += weight * one
    target[Index(to + 1)] += weight * two
    target[Index(to + 2)] += weight * three
    target[Index(to + 3)] += weight * four


@compiled_or(gather_numpy)
def gather(
    shape: int, part: int, laid: Laid, weights: Weights, room: Ints, maps: Maps, work: Scratch
) -> int:
    """Sum the pools of all parts that can reach a shape's room of positions; return their number.

    `work.bounds` gets the sum of each large block of the room, and `work.near` a row per part.
    """
    table, pools, near, sums, apron = maps.table, maps.pools, work.near, work.sums, work.apron
    tall = (room[NY] + LARGE - 1) // LARGE
    wide = (room[NX] + LARGE - 1) // LARGE
    long = tall + 2 * apron
    for block in range(wide * long):
        sums[block] = 0
    found = 0
    for other in range(len(laid.shapes)):
        if other == part:
            continue
        pair = laid.shapes[other] * maps.kinds + shape
        x = laid.xs[other] - room[LOW_X] + table[pair, 1]
        y = laid.ys[other] - room[LOW_Y] + table[pair, 2]
        nx, ny = table[pair, 3], table[pair, 4]
        if x >= room[NX] or y >= room[NY] or x + nx <= 0 or y + ny <= 0:
            continue
        near[found, 0], near[found, 1], near[found, 2], near[found, 3] = x, y, nx, ny
        near[found, 4], near[found, 5] = weights[part, other], table[pair, 0]
        across, along = table[pair, 6], table[pair, 7]
        shift = (x & (SMALL - 1)) * SMALL + (y & (SMALL - 1))
        near[found, 6] = table[pair, 5] + shift * across * along
        near[found, 7], near[found, 8] = across, along
        across, along = table[pair, 9], table[pair, 10]
        shift = (x & (LARGE - 1)) * LARGE + (y & (LARGE - 1))
        pool = table[pair, 8] + shift * across * along
        near[found, 9], near[found, 10], near[found, 11] = pool, across, along
        found += 1
        fetch_rows(pools, pool, LINE, (across * along + LINE - 1) // LINE)
    for k in range(found):
        x, y, weight = near[k, 0], near[k, 1], np.int32(near[k, 4])
        pool, across, along = near[k, 9], near[k, 10], near[k, 11]
        block_x, block_y = (x + LARGE - 1) >> LARGE_BITS, (y + LARGE - 1) >> LARGE_BITS
        for i in range(max(0, -block_x), min(across, wide - block_x)):
            to = (block_x + i) * long + apron + block_y
            for j in range(0, along, LANES):
                add_four(weight, pools, pool + i * along + j, sums, to + j)
    for i in range(wide):
        for j in range(tall):
            work.bounds[Index(i * tall + j)] = sums[Index(i * long + apron + j)]
    return found


@compiled
def small_bounds(
    x0: int,
    y0: int,
    near: Ints,
    close: Ints,
    few: int,
    pools: Cells,
    sums: Costs,
) -> None:
    """Write the bound of each small block of the large one that begins at (x0, y0).

    `close` are the first `few` rows of `near` that reach into it.
    """
    for k in range(SIDE * SIDE):
        sums[k] = 0
    for k in range(few):
        one = close[k]
        u = ((x0 - near[one, 0]) >> SMALL_BITS) + POOL_RIM
        v = ((y0 - near[one, 1]) >> SMALL_BITS) + POOL_RIM
        fetch_rows(pools, near[one, 6] + u * near[one, 8] + v, near[one, 8], SIDE)
    for k in range(few):
        one = close[k]
        across, along = near[one, 7], near[one, 8]
        u = ((x0 - near[one, 0]) >> SMALL_BITS) + POOL_RIM
        v = ((y0 - near[one, 1]) >> SMALL_BITS) + POOL_RIM
        # Beyond the rim there are no whole blocks of the map.
        if u < 0 or v < 0 or u > across - SIDE or v > along - SIDE:
            continue
        start, weight = near[one, 6] + u * along + v, np.int32(near[one, 4])
        for i in range(SIDE):
            add_four(weight, pools, start + i * along, sums, i * SIDE)


@compiled
def block_costs(
    x0: int,
    y0: int,
    near: Ints,
    close: Ints,
    few: int,
    cells: Cells,
    costs: Costs,
) -> None:
    """Write the cost of each position of a small block that begins at (x0, y0)."""
    for k in range(SMALL * SMALL):
        costs[k] = 0
    for k in range(few):
        one = close[k]
        row = row_of(near[one, 3])
        start = near[one, 5] + (x0 - near[one, 0]) * row + y0 - near[one, 1]
        fetch_rows(cells, start, row, SMALL)
    for k in range(few):
        one = close[k]
        x, y, nx, ny = x0 - near[one, 0], y0 - near[one, 1], near[one, 2], near[one, 3]
        if x <= -SMALL or y <= -SMALL or x >= nx or y >= ny:
            continue
        row, weight = row_of(ny), np.int32(near[one, 4])
        start = near[one, 5] + x * row + y
        for i in range(SMALL):
            add_four(weight, cells, start + i * row, costs, i * SMALL)


@compiled_or(cheapest_numpy)
def cheapest(
    room: Ints,
    marks: NDArray[np.uint8],
    found: int,
    maps: Maps,
    best: int,
    work: Scratch,
) -> int:
    """Find the cheapest open position of a room that costs less than `best`.

    Returns its cost and writes it to `work.place`, which is left at (-1, -1) when none is cheaper.
    The block with the lowest bound is looked into first, so that most others need not be; then they
    come in order, and of equal positions the first one met is kept.
    """
    near, close, bounds, out = work.near, work.close, work.bounds, work.place
    wide = (room[NX] + LARGE - 1) // LARGE
    tall = (room[NY] + LARGE - 1) // LARGE
    out[0], out[1] = -1, -1
    least = bounds[0]
    for block in range(wide * tall):
        least = min(least, bounds[block])
    if least >= best:
        return best
    lowest = 0
    while bounds[lowest] > least:
        lowest += 1
    sums, costs = work.costs[: SIDE * SIDE], work.costs[SIDE * SIDE :]
    for turn in range(-1, wide * tall):
        block = lowest if turn < 0 else turn
        if turn == lowest or bounds[block] >= best:
            continue
        x0, y0 = block // tall * LARGE, block % tall * LARGE
        few = 0
        for k in range(found):
            x, y = near[k, 0] - x0, near[k, 1] - y0
            close[few] = k
            few += (x < LARGE) & (y < LARGE) & (x + near[k, 2] > 0) & (y + near[k, 3] > 0)
        small_bounds(x0, y0, near, close, few, maps.pools, sums)
        for k in range(SIDE * SIDE):
            if sums[k] >= best:
                continue
            x1, y1 = x0 + k // SIDE * SMALL, y0 + k % SIDE * SMALL
            across, along = min(SMALL, room[NX] - x1), min(SMALL, room[NY] - y1)
            if across <= 0 or along <= 0:
                continue
            block_costs(x1, y1, near, close, few, maps.cells, costs)
            for i in range(across):
                if room[MARKS_X] >= 0 and marks[room[MARKS_X] + x1 + i] == 0:
                    continue
                for j in range(along):
                    cost = costs[i * SMALL + j]
                    # Whether a position is open is asked last: hardly any is cheaper.
                    if cost < best and (room[MARKS_Y] < 0 or marks[room[MARKS_Y] + y1 + j] > 0):
                        best = cost
                        out[0], out[1] = x1 + i + room[LOW_X], y1 + j + room[LOW_Y]
    return best


@compiled
def apron_of(table: Ints) -> int:
    """Return how long the longest row of a large pool is, in blocks."""
    return int(table[:, 10].max())


@compiled
def most_blocks(rooms: Ints, apron: int) -> int:
    """Return the most blocks that a room has, its rows longer by twice the apron."""
    most = 1
    for k in range(len(rooms)):
        wide = (rooms[k, NX] + LARGE - 1) // LARGE
        tall = (rooms[k, NY] + LARGE - 1) // LARGE
        most = max(most, wide * (tall + 2 * apron))
    return most


@compiled
def scratch_for(parts: int, choices: Choices, maps: Maps) -> Scratch:
    """Return where the loops write for so many parts."""
    apron = apron_of(maps.table)
    return Scratch(
        apron,
        np.empty(most_blocks(choices.rooms, 0), np.int32),
        np.empty(most_blocks(choices.rooms, apron), np.int32),
        np.empty((parts, COLUMNS), np.int64),
        np.empty(parts, np.int64),
        np.empty(SIDE * SIDE + SMALL * SMALL, np.int32),
        np.empty(2, np.int64),
    )
