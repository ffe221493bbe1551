# SPDX-License-Identifier: GPL-2.0-or-later
"""The scan finds what the whole sum of shifted maps has, and no cost passes its bits."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.geometry.arrays import Ints
from nesting.grid.choices import Laid
from nesting.grid.guided import depth_of
from nesting.grid.lattice import LARGE
from nesting.grid.scan import (
    HEAVIEST,
    MOST,
    cheapest,
    cheapest_numpy,
    gather,
    gather_numpy,
    heaviest,
)
from nesting.grid.weights import UNIT, Weights
from tests.helpers import slow_maps
from tests.helpers.loops import stands_twice
from tests.helpers.tangles import GRID, NO_MARKS, box_of, laid_on, scratch, shape, tangles

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
    low=st.tuples(st.integers(-5, 40), st.integers(-5, 40)),
    steps=st.booleans(),
)
def test_the_scan_finds_the_first_of_the_cheapest_positions(
    gather: Callable[..., int],
    cheapest: Callable[..., int],
    tangle: tuple[Ints, Weights],
    kind: int,
    size: tuple[int, int],
    below: int,
    low: tuple[int, int],
    steps: bool,
) -> None:
    """The same cost at the same position as the whole sum of shifted maps, ties included."""
    (kinds, xs, ys), weights = tangle
    room, others = np.array([*size, *low, *(0 if steps else -1, -1)]), range(1, len(kinds))
    # Every third position along the cloth is open where there are steps.
    marks = (np.arange(size[0]) % 3 == 1).astype(np.uint8) if steps else NO_MARKS
    work = scratch(room, len(kinds))
    found = gather(kind, 0, Laid(kinds, xs, ys), weights, room, GRID.maps, work)
    best = cheapest(room, marks, found, GRID.maps, below, work)
    bounds, place = work.bounds, work.place
    kinds, xs, ys = kinds, xs - low[0], ys - low[1]

    maps = [slow_maps.map_of(GRID, int(kinds[k]), kind) for k in others]
    shifted = [
        (x + int(xs[k]), y + int(ys[k]), cells)
        for (x, y, cells), k in zip(maps, others, strict=True)
    ]
    every = slow_maps.costs_of(shifted, [int(weights[0, k]) for k in others], size)
    blocks = [(side + LARGE - 1) // LARGE for side in size]
    open_ones = every.copy()
    if steps:
        open_ones[marks == 0] = MOST
    wanted, *where = slow_maps.first_cheapest(open_ones, below, int(bounds.argmin()))
    moved = [at + by if at >= 0 else at for at, by in zip(where, low, strict=True)]
    assert (best, *place.tolist()) == (wanted, *moved)
    padded = np.full([LARGE * count for count in blocks], MOST, dtype=np.int64)
    padded[: size[0], : size[1]] = every
    least = padded.reshape(blocks[0], LARGE, blocks[1], LARGE).min(axis=(1, 3))
    assert (bounds <= least.ravel()).all()
    for x, y in ((0, 0), (size[0] - 1, size[1] - 1), (size[0] // 2, size[1] // 2)):
        depths = [depth_of(kinds[k], kind, x - xs[k], y - ys[k], GRID.maps) for k in others]
        assert every[x, y] == sum(weights[0, k] * d for k, d in zip(others, depths, strict=True))


@stands_twice
@given(tangles(), st.integers(0, 3), st.tuples(st.integers(1, 90), st.integers(1, 90)))
def test_what_is_near_and_its_bounds_are_those_of_numpy(
    tangle: tuple[Ints, Weights], kind: int, size: tuple[int, int]
) -> None:
    (kinds, xs, ys), weights = tangle
    room = box_of(size, (2, -3))
    written = []
    for way in (gather, gather_numpy):
        work = scratch(room, len(kinds))
        found = way(kind, 0, Laid(kinds, xs, ys), weights, room, GRID.maps, work)
        written.append((work.bounds, work.near[:found]))
    assert all(map(np.array_equal, *written))


@both_ways
def test_no_cost_passes_its_bits(gather: Callable[..., int], cheapest: Callable[..., int]) -> None:
    """Fifty parts in one place, each as heavy as may be and as deep as can be."""
    parts, alike = 50, laid_on([shape((0, 0), (600, 0), (600, 600), (0, 600))], 1.0)
    most = heaviest(alike.cells, parts, 2 * UNIT)
    assert 2 * UNIT < most < HEAVIEST
    room, kinds, places = box_of((1, 1)), np.zeros(parts, np.int64), np.zeros(parts, np.int64)
    weights = np.full((parts, parts), most, np.int32)
    work = scratch(room, parts, alike)
    found = gather(0, 0, Laid(kinds, places, places), weights, room, alike.maps, work)
    cost = cheapest(room, NO_MARKS, found, alike.maps, MOST, work)
    deepest = depth_of(0, 0, 0, 0, alike.maps)
    assert cost == (parts - 1) * most * deepest
    assert deepest == alike.cells.max()
