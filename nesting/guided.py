# SPDX-License-Identifier: GPL-2.0-or-later
"""Guided local search on overlap maps: at a fixed length, move parts until none overlap.

Every part that overlaps is moved, in random order, to the position and turn where the sum of
weight times depth over all other parts is least on the whole cloth. After each sweep the weights
of pairs that still overlap grow, the others fade (`nesting.weights`). All numbers are whole or
exactly repeatable, and of equal positions the first one met is taken. Sources:
Umetani, Yagiura et al., "Solving the irregular strip packing problem via guided local search for
overlap minimization", ITOR 16(6), 2009; Egeblad, Nielsen, Odgaard, "Fast neighborhood search for
two- and three-dimensional nesting problems", EJOR 183(3), 2007.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import compiled, compiled_or
from nesting.lattice import SIDE, SMALL, Cells, Ints, row_of
from nesting.scan import COLUMNS, apron_of, cheapest, gather, most_blocks
from nesting.weights import Weights, reweigh

Seeds = NDArray[np.uint64]


# --- with numpy ---------------------------------------------------------------------------------


def all_depths_numpy(
    shapes: Ints,
    xs: Ints,
    ys: Ints,
    movable: int,
    depths: Weights,
    count: int,
    table: Ints,
    cells: Cells,
) -> int:
    """Return and write what `all_depths` does."""
    i, j = np.tril_indices(len(shapes), -1)
    i, j = i[j < movable], j[j < movable]
    found = _depths_of(shapes[j], shapes[i], xs[i] - xs[j], ys[i] - ys[j], count, table, cells)
    depths[:] = 0
    depths[i, j] = found
    depths[j, i] = found
    return int(found.sum())


def moved_numpy(
    part: int,
    shapes: Ints,
    xs: Ints,
    ys: Ints,
    depths: Weights,
    count: int,
    table: Ints,
    cells: Cells,
) -> int:
    """Return and write what `moved` does."""
    fixed = np.full(len(shapes), shapes[part])
    found = _depths_of(fixed, shapes, xs - xs[part], ys - ys[part], count, table, cells)
    found[part] = depths[part, part]
    more = int(found.sum()) - int(depths[part].sum())
    depths[part] = found
    depths[:, part] = found
    return more


def _depths_of(
    fixed: Ints, moving: Ints, dx: Ints, dy: Ints, count: int, table: Ints, cells: Cells
) -> Ints:
    """Return how deep each of some moving shapes overlaps the fixed one beside it."""
    rows = table[fixed * count + moving]
    x, y = dx - rows[:, 1], dy - rows[:, 2]
    meet = (x >= 0) & (y >= 0) & (x < rows[:, 3]) & (y < rows[:, 4])
    found = np.zeros(len(rows), dtype=np.int64)
    found[meet] = cells[(rows[:, 0] + x * row_of(rows[:, 4]) + y)[meet]]
    return found


def cost_numpy(weights: Weights, depths: Weights) -> int:
    """Return what `cost_of` returns."""
    return int(weights.astype(np.int64) @ depths.astype(np.int64))


# --- loops --------------------------------------------------------------------------------------


@compiled
def depth_of(
    fixed: int, moving: int, dx: int, dy: int, count: int, table: Ints, cells: Cells
) -> int:
    """Return how deep a moving shape at (dx, dy) cells from a fixed one overlaps it."""
    row = table[fixed * count + moving]
    x, y = dx - row[1], dy - row[2]
    if x < 0 or y < 0 or x >= row[3] or y >= row[4]:
        return 0
    return int(cells[row[0] + x * row_of(row[4]) + y])


@compiled_or(all_depths_numpy)
def all_depths(
    shapes: Ints,
    xs: Ints,
    ys: Ints,
    movable: int,
    depths: Weights,
    count: int,
    table: Ints,
    cells: Cells,
) -> int:
    """Write the depth of every pair of parts and return their sum.

    Pairs of which neither is among the first `movable` count as free: held parts that touch may
    overlap by a hair on the grid, and nothing can be done about it.
    """
    total = 0
    for i in range(len(shapes)):
        depths[i, i] = 0
        for j in range(i):
            depth = 0
            if j < movable:
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


@compiled_or(cost_numpy)
def cost_of(weights: Weights, depths: Weights) -> int:
    """Return the cost of a part where it is: the sum of weight times depth over all others."""
    cost = 0
    for other in range(len(weights)):
        cost += weights[other] * np.int64(depths[other])
    return cost


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
    first: Weights,
    most: int,
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
    them may move. Weights fade to the `first` ones; none stays above `most`. `choices` are the
    shapes a part may take, `rooms` the box of positions of each shape. `best` (3, parts) gets
    shapes, xs and ys where the sum of depths was least. Returns that sum, the sweeps since it was
    reached, all sweeps, and the evaluations used.
    """
    parts = len(shapes)
    apron = apron_of(table)
    bounds = np.empty(most_blocks(rooms, 0), np.int32)
    sums = np.empty(most_blocks(rooms, apron), np.int32)
    place = np.empty(2, np.int64)
    scratch = np.empty(SIDE * SIDE + SMALL * SMALL, np.int32)
    close = np.empty(parts, np.int64)
    near, order = np.empty((parts, COLUMNS), np.int64), np.empty(parts, np.int64)
    total = all_depths(shapes, xs, ys, movable, depths, count, table, cells)
    least, stale, used, sweeps = total, 0, 0, 0
    best[0], best[1], best[2] = shapes, xs, ys
    while total > 0 and used < budget and stale < patience:
        waiting = _overlapping(depths, movable, order)
        for k in range(waiting - 1, 0, -1):
            other = next_random(state) % (k + 1)
            order[k], order[other] = order[other], order[k]
        for k in range(waiting):
            part = order[k]
            cost = cost_of(weights[part], depths[part])
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
                    apron,
                    sums,
                    bounds,
                    near,
                )
                lower = cheapest(
                    rooms[shape],
                    bounds,
                    near,
                    found,
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
                total += moved(part, shapes, xs, ys, depths, count, table, cells)
        sweeps += 1
        if total < least:
            least, stale = total, 0
            best[0], best[1], best[2] = shapes, xs, ys
        else:
            stale += 1
        reweigh(weights, depths, first, most)
    return least, stale, sweeps, used


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


@compiled_or(moved_numpy)
def moved(
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
