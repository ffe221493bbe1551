# SPDX-License-Identifier: GPL-2.0-or-later
"""Guided local search: the pruned scan finds what a plain one finds, and parts come untangled."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from nesting.convex import convex_parts
from nesting.guided import UNIT, all_depths, depth_of, reweigh, untangle
from nesting.maps import LARGE, SIDE, SMALL, Grid, Ints, build_grid
from nesting.scan import COLUMNS, HEAVIEST, MOST, apron_of, cheapest, gather, heaviest, most_blocks
from nesting.shapes import Points
from tests.helpers import slow_maps


def shape(*points: tuple[float, float]) -> tuple[Points, ...]:
    return convex_parts(np.array(points, dtype=np.float64))


GRID: Grid = build_grid(
    [
        shape((0, 0), (9, 0), (9, 6), (0, 6)),
        shape((0, 0), (8, 0), (0, 7)),
        shape((0, 0), (12, 0), (12, 3), (3, 3), (3, 10), (0, 10)),
    ],
    1.0,
)
SIZES = np.array([[9, 6], [8, 7], [12, 10]])


@st.composite
def tangles(draw: st.DrawFn) -> tuple[Ints, np.ndarray]:
    """Return kinds and places (3, parts), and symmetric weights."""
    count = draw(st.integers(2, 7))
    rows = [
        draw(st.lists(st.integers(0, most), min_size=count, max_size=count)) for most in (2, 40, 30)
    ]
    weights = np.array(
        [[draw(st.integers(UNIT, 5 * UNIT)) for _ in range(count)] for _ in range(count)],
        dtype=np.int32,
    )
    return np.array(rows, dtype=np.int64), np.minimum(weights, weights.T)


@settings(max_examples=200)
@given(
    tangles(),
    st.integers(0, 2),
    st.tuples(st.integers(1, 50), st.integers(1, 40)),
    st.one_of(st.just(MOST), st.integers(0, 20_000)),
)
def test_the_scan_finds_the_first_of_the_cheapest_positions(
    tangle: tuple[Ints, np.ndarray], kind: int, size: tuple[int, int], below: int
) -> None:
    """The same cost at the same position as the whole sum of shifted maps, ties included."""
    (kinds, xs, ys), weights = tangle
    room, others = np.array(size), range(1, len(kinds))
    apron = apron_of(GRID.table)
    bounds = np.empty(most_blocks(room[None], 0), np.int32)
    sums = np.empty(most_blocks(room[None], apron), np.int32)
    near = np.empty((len(kinds), COLUMNS), np.int64)
    scratch, place = np.empty(SIDE**2 + SMALL**2, np.int32), np.empty(2, np.int64)
    close = np.empty(len(kinds), np.int64)
    found = gather(
        kind, 0, kinds, xs, ys, weights, room, GRID.count, GRID.table, GRID.pools, apron, sums,
        bounds, near,
    )  # fmt: skip
    best = cheapest(room, bounds, near, found, GRID.cells, GRID.pools, below, scratch, close, place)

    maps = [slow_maps.map_of(GRID, int(kinds[k]), kind) for k in others]
    shifted = [
        (x + int(xs[k]), y + int(ys[k]), cells)
        for (x, y, cells), k in zip(maps, others, strict=True)
    ]
    every = slow_maps.costs_of(shifted, [int(weights[0, k]) for k in others], size)
    blocks = [(side + LARGE - 1) // LARGE for side in size]
    wanted = slow_maps.first_cheapest(every, below, int(bounds.argmin()))
    assert (best, *place.tolist()) == wanted
    padded = np.full([LARGE * count for count in blocks], MOST, dtype=np.int64)
    padded[: size[0], : size[1]] = every
    least = padded.reshape(blocks[0], LARGE, blocks[1], LARGE).min(axis=(1, 3))
    assert (bounds <= least.ravel()).all()
    for x, y in ((0, 0), (size[0] - 1, size[1] - 1), (size[0] // 2, size[1] // 2)):
        depths = [
            depth_of(kinds[k], kind, x - xs[k], y - ys[k], GRID.count, GRID.table, GRID.cells)
            for k in others
        ]
        assert every[x, y] == sum(weights[0, k] * d for k, d in zip(others, depths, strict=True))


@given(tangles())
def test_depths_are_the_same_from_either_side(tangle: tuple[Ints, np.ndarray]) -> None:
    kinds, xs, ys = tangle[0]
    for k in range(1, len(kinds)):
        one = depth_of(kinds[0], kinds[k], xs[k] - xs[0], ys[k] - ys[0], 3, GRID.table, GRID.cells)
        two = depth_of(kinds[k], kinds[0], xs[0] - xs[k], ys[0] - ys[k], 3, GRID.table, GRID.cells)
        assert one == two


def run(state: Ints, seed: int, movable: int, budget: int = 2000) -> tuple[int, Ints, int]:
    """Untangle on 34 x 20 cells; return the depths left, the best state and the evaluations."""
    count = state.shape[1]
    best, depths = state.copy(), np.zeros((count, count), np.int32)
    weights = np.full((count, count), UNIT, np.int32)
    left, _, _, used = untangle(
        *state.copy(),
        movable,
        np.array([int(kind) for kind in state[0]]),
        np.arange(count + 1),
        np.array([34, 20]) - SIZES + 1,
        weights,
        HEAVIEST,
        depths,
        GRID.count,
        GRID.table,
        GRID.cells,
        GRID.pools,
        np.array([seed], dtype=np.uint64),
        budget,
        200,
        best,
    )
    return left, best, used


HEAP = np.array([[0, 0, 1, 1, 2, 2], [0, 1, 2, 3, 4, 5], [0, 0, 0, 0, 0, 0]], dtype=np.int64)


def test_a_heap_of_parts_comes_untangled() -> None:
    left, best, _ = run(HEAP, seed=3, movable=6)
    assert left == 0
    depths = np.zeros((6, 6), np.int32)
    assert all_depths(*best, 6, depths, GRID.count, GRID.table, GRID.cells) == 0
    assert (best[1] >= 0).all()
    assert (best[1] + SIZES[best[0], 0] <= 34).all()


def test_what_may_not_move_stays() -> None:
    left, best, _ = run(HEAP, seed=3, movable=4)
    assert (best[:, 4:] == HEAP[:, 4:]).all()
    assert left == 0  # the two that stay overlap each other, which is not the search's business
    depths = np.zeros((6, 6), np.int32)
    assert all_depths(*best, 6, depths, GRID.count, GRID.table, GRID.cells) == depths[4, 5] > 0


def test_the_same_seed_goes_the_same_way() -> None:
    assert run(HEAP, seed=8, movable=6)[1].tolist() == run(HEAP, seed=8, movable=6)[1].tolist()


def test_the_budget_is_kept_to_a_sweep() -> None:
    crowded = np.repeat(HEAP, 3, axis=1)
    assert run(crowded, seed=1, movable=18, budget=40)[2] < 40 + 18


@st.composite
def weights_and_depths(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray]:
    """Return symmetric weights and depths of the same pairs; few or many overlap."""
    count = draw(st.integers(1, 8))
    square = (count, count)
    heavy = draw(st.sampled_from((2 * UNIT, HEAVIEST)))
    weights = draw(arrays(np.int32, square, elements=st.integers(UNIT, heavy)))
    deep = draw(arrays(np.int32, square, elements=st.integers(0, 4000)))
    kept = draw(arrays(np.bool_, square))
    depths = np.where(kept | kept.T, np.minimum(deep, deep.T), 0).astype(np.int32)
    np.fill_diagonal(depths, 0)
    return np.minimum(weights, weights.T), depths


@settings(max_examples=200)
@given(weights_and_depths(), st.sampled_from((2 * UNIT, HEAVIEST)))
def test_weights_change_as_plain_numpy_has_it(
    state: tuple[np.ndarray, np.ndarray], most: int
) -> None:
    weights, depths = state
    wanted = slow_maps.reweighed(weights, depths, most)
    reweigh(weights, depths, most)
    assert np.array_equal(weights, wanted)


def test_weights_of_overlaps_grow_and_others_fade() -> None:
    weights = np.full((3, 3), 1000, np.int32)
    depths = np.array([[0, 8, 4], [8, 0, 0], [4, 0, 0]], np.int32)
    reweigh(weights, depths, HEAVIEST)
    assert weights[0, 1] > weights[0, 2] > 1000 > weights[1, 2]
    assert (weights == weights.T).all()


def test_weights_stay_within_their_numbers() -> None:
    weights = np.full((2, 2), HEAVIEST, np.int32)
    reweigh(weights, np.array([[0, 5], [5, 0]], np.int32), HEAVIEST)
    assert weights.max() <= HEAVIEST


def test_no_cost_passes_its_bits() -> None:
    """Fifty parts in one place, each as heavy as may be and as deep as can be."""
    parts, alike = 50, build_grid([shape((0, 0), (600, 0), (600, 600), (0, 600))], 1.0)
    most = heaviest(alike.cells, parts, 2 * UNIT)
    assert 2 * UNIT < most < HEAVIEST
    room, kinds, places = np.array([1, 1]), np.zeros(parts, np.int64), np.zeros(parts, np.int64)
    weights = np.full((parts, parts), most, np.int32)
    table, pools, apron = alike.table, alike.pools, apron_of(alike.table)
    bounds, sums = np.empty(1, np.int32), np.empty(1 + 2 * apron, np.int32)
    near = np.empty((parts, COLUMNS), np.int64)
    found = gather(
        0, 0, kinds, places, places, weights, room, 1, table, pools, apron, sums, bounds, near
    )
    scratch, out = np.empty(SIDE**2 + SMALL**2, np.int32), np.empty(2, np.int64)
    close = np.empty(parts, np.int64)
    cost = cheapest(room, bounds, near, found, alike.cells, pools, MOST, scratch, close, out)
    deepest = depth_of(0, 0, 0, 0, 1, table, alike.cells)
    assert cost == (parts - 1) * most * deepest
    assert deepest == alike.cells.max()
