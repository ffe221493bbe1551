# SPDX-License-Identifier: GPL-2.0-or-later
"""Guided local search: parts come untangled, and each step is as numpy has it."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from nesting.geometry.arrays import Ints
from nesting.grid.choices import Choices, Laid
from nesting.grid.guided import (
    all_depths,
    all_depths_numpy,
    cost_numpy,
    cost_of,
    depth_of,
    moved,
    moved_numpy,
    untangle,
)
from nesting.grid.scan import HEAVIEST
from nesting.grid.weights import Weighing, alike
from tests.helpers.loops import stands_twice
from tests.helpers.tangles import GRID, NO_MARKS, SIZES, box_of, tangles


@given(tangles())
def test_depths_are_the_same_from_either_side(tangle: tuple[Ints, np.ndarray]) -> None:
    kinds, xs, ys = tangle[0]
    for k in range(1, len(kinds)):
        one = depth_of(kinds[0], kinds[k], xs[k] - xs[0], ys[k] - ys[0], GRID.maps)
        two = depth_of(kinds[k], kinds[0], xs[0] - xs[k], ys[0] - ys[k], GRID.maps)
        assert one == two


@stands_twice
@given(tangles(), st.integers(0, 7), st.data())
def test_depths_and_costs_are_those_of_numpy(
    tangle: tuple[Ints, np.ndarray], movable: int, data: st.DataObject
) -> None:
    """Of all pairs, and after one part has been put elsewhere."""
    (kinds, xs, ys), weights = tangle
    loops, plain = np.ones_like(weights), np.ones_like(weights)
    laid = Laid(kinds, xs, ys)
    total = all_depths(laid, movable, loops, GRID.maps)
    assert total == all_depths_numpy(laid, movable, plain, GRID.maps)
    assert np.array_equal(loops, plain)
    part = data.draw(st.integers(0, len(kinds) - 1))
    xs[part], ys[part] = data.draw(st.integers(0, 40)), data.draw(st.integers(0, 30))
    more = moved(part, laid, loops, GRID.maps)
    assert more == moved_numpy(part, laid, plain, GRID.maps)
    assert np.array_equal(loops, plain)
    for one, two in zip(weights, loops, strict=True):
        assert cost_of(one, two) == cost_numpy(one, two)


def run(state: Ints, seed: int, movable: int, budget: int = 2000) -> tuple[int, Ints, int]:
    """Untangle on 34 x 20 cells; return the depths left, the best state and the evaluations."""
    count = state.shape[1]
    best, depths = state.copy(), np.zeros((count, count), np.int32)
    rooms = np.array([box_of(tuple(np.array([34, 20]) - SIZES[kind] + 1)) for kind in state[0]])
    left, _, _, used = untangle(
        Laid(*state.copy()),
        movable,
        Choices(state[0].copy(), np.arange(count + 1), rooms, NO_MARKS),
        Weighing(alike(count), alike(count), HEAVIEST, depths),
        GRID.maps,
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
    assert all_depths(Laid(*best), 6, depths, GRID.maps) == 0
    assert (best[1] >= 0).all()
    assert (best[1] + SIZES[best[0], 0] <= 34).all()


def test_what_may_not_move_stays() -> None:
    left, best, _ = run(HEAP, seed=3, movable=4)
    assert (best[:, 4:] == HEAP[:, 4:]).all()
    assert left == 0  # the two that stay overlap each other, which is not the search's business
    depths = np.zeros((6, 6), np.int32)
    assert all_depths(Laid(*best), 6, depths, GRID.maps) == depths[4, 5] > 0


def test_the_same_seed_goes_the_same_way() -> None:
    assert run(HEAP, seed=8, movable=6)[1].tolist() == run(HEAP, seed=8, movable=6)[1].tolist()


def test_the_budget_is_kept_to_a_sweep() -> None:
    crowded = np.repeat(HEAP, 3, axis=1)
    assert run(crowded, seed=1, movable=18, budget=40)[2] < 40 + 18
