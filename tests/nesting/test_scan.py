# SPDX-License-Identifier: GPL-2.0-or-later
"""The scan finds what the whole sum of shifted maps has, and no cost passes its bits."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.guided import depth_of
from nesting.lattice import LARGE, SIDE, SMALL, Ints
from nesting.scan import (
    COLUMNS,
    HEAVIEST,
    MOST,
    apron_of,
    cheapest,
    cheapest_numpy,
    gather,
    gather_numpy,
    heaviest,
    most_blocks,
)
from nesting.weights import UNIT, Weights
from tests.helpers import slow_maps
from tests.helpers.loops import stands_twice
from tests.helpers.tangles import GRID, laid_on, shape, tangles

both_ways = pytest.mark.parametrize(
    ("gather", "cheapest"), [(gather, cheapest), (gather_numpy, cheapest_numpy)]
)


@both_ways
@settings(max_examples=200)
@given(
    tangle=tangles(),
    kind=st.integers(0, 3),
    size=st.tuples(st.integers(1, 90), st.integers(1, 90)),
    below=st.one_of(st.just(MOST), st.integers(0, 20_000)),
)
def test_the_scan_finds_the_first_of_the_cheapest_positions(
    gather: Callable[..., int],
    cheapest: Callable[..., int],
    tangle: tuple[Ints, Weights],
    kind: int,
    size: tuple[int, int],
    below: int,
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


@stands_twice
@given(tangles(), st.integers(0, 3), st.tuples(st.integers(1, 90), st.integers(1, 90)))
def test_what_is_near_and_its_bounds_are_those_of_numpy(
    tangle: tuple[Ints, Weights], kind: int, size: tuple[int, int]
) -> None:
    (kinds, xs, ys), weights = tangle
    room, apron = np.array(size), apron_of(GRID.table)
    written = []
    for way in (gather, gather_numpy):
        bounds = np.empty(most_blocks(room[None], 0), np.int32)
        sums = np.empty(most_blocks(room[None], apron), np.int32)
        near = np.empty((len(kinds), COLUMNS), np.int64)
        found = way(
            kind, 0, kinds, xs, ys, weights, room, GRID.count, GRID.table, GRID.pools, apron, sums,
            bounds, near,
        )  # fmt: skip
        written.append((bounds, near[:found]))
    assert all(map(np.array_equal, *written))


@both_ways
def test_no_cost_passes_its_bits(gather: Callable[..., int], cheapest: Callable[..., int]) -> None:
    """Fifty parts in one place, each as heavy as may be and as deep as can be."""
    parts, alike = 50, laid_on([shape((0, 0), (600, 0), (600, 600), (0, 600))], 1.0)
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
