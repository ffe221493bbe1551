# SPDX-License-Identifier: GPL-2.0-or-later
"""Guided local search on overlap maps: at a fixed length, move parts until none overlap.

Every part that overlaps is moved, in random order, to the position and turn where the sum of
weight times depth over all other parts is least on the whole cloth. After each sweep the weights
of pairs that still overlap grow, the others fade (`nesting.grid.weights`). All numbers are whole or
exactly repeatable, and of equal positions the first one met is taken. Sources:
Umetani, Yagiura et al., "Solving the irregular strip packing problem via guided local search for
overlap minimization", ITOR 16(6), 2009; Egeblad, Nielsen, Odgaard, "Fast neighborhood search for
two- and three-dimensional nesting problems", EJOR 183(3), 2007.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import compiled, compiled_or
from nesting.geometry.arrays import Ints
from nesting.grid.choices import NX, Choices, Laid
from nesting.grid.lattice import Maps, row_of
from nesting.grid.scan import cheapest, gather, scratch_for
from nesting.grid.weights import Weighing, Weights, reweigh

Seeds = NDArray[np.uint64]


# --- with numpy ---------------------------------------------------------------------------------


def all_depths_numpy(laid: Laid, movable: int, depths: Weights, maps: Maps) -> int:
    """Return and write what `all_depths` does."""
    shapes, xs, ys = laid
    i, j = np.tril_indices(len(shapes), -1)
    i, j = i[j < movable], j[j < movable]
    found = _depths_of(shapes[j], shapes[i], xs[i] - xs[j], ys[i] - ys[j], maps)
    depths[:] = 0
    depths[i, j] = found
    depths[j, i] = found
    return int(found.sum())


def moved_numpy(part: int, laid: Laid, depths: Weights, maps: Maps) -> int:
    """Return and write what `moved` does."""
    shapes, xs, ys = laid
    fixed = np.full(len(shapes), shapes[part])
    found = _depths_of(fixed, shapes, xs - xs[part], ys - ys[part], maps)
    found[part] = depths[part, part]
    more = int(found.sum()) - int(depths[part].sum())
    depths[part] = found
    depths[:, part] = found
    return more


def _depths_of(fixed: Ints, moving: Ints, dx: Ints, dy: Ints, maps: Maps) -> Ints:
    """Return how deep each of some moving shapes overlaps the fixed one beside it."""
    rows = maps.table[fixed * maps.kinds + moving]
    x, y = dx - rows[:, 1], dy - rows[:, 2]
    meet = (x >= 0) & (y >= 0) & (x < rows[:, 3]) & (y < rows[:, 4])
    found = np.zeros(len(rows), dtype=np.int64)
    found[meet] = maps.cells[(rows[:, 0] + x * row_of(rows[:, 4]) + y)[meet]]
    return found


def cost_numpy(weights: Weights, depths: Weights) -> int:
    """Return what `cost_of` returns."""
    return int(weights.astype(np.int64) @ depths.astype(np.int64))


# --- loops --------------------------------------------------------------------------------------


@compiled
def depth_of(fixed: int, moving: int, dx: int, dy: int, maps: Maps) -> int:
    """Return how deep a moving shape at (dx, dy) cells from a fixed one overlaps it."""
    row = maps.table[fixed * maps.kinds + moving]
    x, y = dx - row[1], dy - row[2]
    if x < 0 or y < 0 or x >= row[3] or y >= row[4]:
        return 0
    return int(maps.cells[row[0] + x * row_of(row[4]) + y])


@compiled_or(all_depths_numpy)
def all_depths(laid: Laid, movable: int, depths: Weights, maps: Maps) -> int:
    """Write the depth of every pair of parts and return their sum.

    Pairs of which neither is among the first `movable` count as free: fixed ones that touch may
    overlap by a hair on the grid, and nothing can be done about it.
    """
    shapes, xs, ys = laid
    total = 0
    for i in range(len(shapes)):
        depths[i, i] = 0
        for j in range(i):
            depth = 0
            if j < movable:
                depth = depth_of(shapes[j], shapes[i], xs[i] - xs[j], ys[i] - ys[j], maps)
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
    laid: Laid,
    movable: int,
    choices: Choices,
    weighing: Weighing,
    maps: Maps,
    seeds: Seeds,
    budget: int,
    patience: int,
    best: Ints,
) -> tuple[int, int, int, int]:
    """Move parts until none overlap, the budget of evaluations is used, or patience runs out.

    The first `movable` of the parts are moved in place, each to one of its choices. Weights fade to
    the first ones. `best` (3, parts) gets shapes, xs and ys where the sum of depths was least.
    Returns that sum, the sweeps since it was reached, all sweeps, and the evaluations used.
    """
    shapes, xs, ys = laid
    weights, first, most, depths = weighing
    work = scratch_for(len(shapes), choices, maps)
    order = np.empty(len(shapes), np.int64)
    total = all_depths(laid, movable, depths, maps)
    least, stale, used, sweeps = total, 0, 0, 0
    best[0], best[1], best[2] = shapes, xs, ys
    while total > 0 and used < budget and stale < patience:
        waiting = _overlapping(depths, movable, order)
        for k in range(waiting - 1, 0, -1):
            other = next_random(seeds) % (k + 1)
            order[k], order[other] = order[other], order[k]
        for k in range(waiting):
            part = order[k]
            cost = cost_of(weights[part], depths[part])
            if cost == 0:
                continue
            chosen, x, y = -1, 0, 0
            for number in range(choices.starts[part], choices.starts[part + 1]):
                shape, room = choices.kinds[number], choices.rooms[number]
                if room[NX] == 0:
                    continue
                found = gather(shape, part, laid, weights, room, maps, work)
                lower = cheapest(room, choices.marks, found, maps, cost, work)
                used += 1
                if work.place[0] >= 0 and lower < cost:
                    cost, chosen, x, y = lower, shape, work.place[0], work.place[1]
            if chosen >= 0:
                shapes[part], xs[part], ys[part] = chosen, x, y
                total += moved(part, laid, depths, maps)
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
def moved(part: int, laid: Laid, depths: Weights, maps: Maps) -> int:
    """Bring the depths of a part that moved up to date, and return by how much their sum grew."""
    shapes, xs, ys = laid
    more = 0
    for other in range(len(shapes)):
        if other == part:
            continue
        dx, dy = xs[other] - xs[part], ys[other] - ys[part]
        depth = depth_of(shapes[part], shapes[other], dx, dy, maps)
        more += depth - depths[part, other]
        depths[part, other] = depth
        depths[other, part] = depth
    return more
