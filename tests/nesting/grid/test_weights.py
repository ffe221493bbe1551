# SPDX-License-Identifier: GPL-2.0-or-later
"""Weights of overlaps: at first by the size of parts, then growing and fading as numpy has it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from nesting.grid.scan import HEAVIEST
from nesting.grid.weights import MOST_FIRST, UNIT, Weights, alike, by_size, reweigh, reweigh_numpy
from tests.helpers.loops import stands_twice


def test_a_pair_begins_with_the_geometric_mean_of_its_sides() -> None:
    """Sides 1, 2 and 3 times 30 mm: areas 900, 3600, 8100 mm2, in the mean 4200."""
    first = by_size([900.0, 3600.0, 8100.0])
    side = 30.0 / 4200.0**0.5
    wanted = UNIT * side * np.sqrt([[1, 2, 3], [2, 4, 6], [3, 6, 9]])
    assert np.abs(first - wanted).max() <= 0.5


def test_parts_of_one_size_begin_alike() -> None:
    assert np.array_equal(by_size([52.5] * 3), alike(3))


@given(st.lists(st.floats(1e-3, 1e9), min_size=1, max_size=8), st.floats(1e-3, 1e3))
def test_first_weights_depend_on_how_unlike_parts_are_only(areas: list[float], unit: float) -> None:
    """Not on the unit of areas; larger parts never weigh less, and none gets out of bounds."""
    first = by_size(areas)
    assert np.abs(first - by_size([unit * area for area in areas])).max() <= 1
    assert (first == first.T).all()
    ordered = first[np.ix_(np.argsort(areas), np.argsort(areas))]
    assert (np.diff(ordered, axis=0) >= 0).all()
    assert UNIT**2 // MOST_FIRST <= first.min() <= first.max() <= MOST_FIRST


@st.composite
def weights_and_depths(draw: st.DrawFn) -> tuple[Weights, Weights, Weights]:
    """Return symmetric weights, first weights and depths of the same pairs; few or many overlap."""
    count = draw(st.integers(1, 8))
    square = (count, count)
    heavy = draw(st.sampled_from((2 * UNIT, 2 * MOST_FIRST, HEAVIEST)))
    weights = draw(arrays(np.int32, square, elements=st.integers(UNIT // 4, heavy)))
    first = draw(arrays(np.int32, square, elements=st.integers(UNIT // 4, MOST_FIRST)))
    deep = draw(arrays(np.int32, square, elements=st.integers(0, 4000)))
    kept = draw(arrays(np.bool_, square))
    depths = np.where(kept | kept.T, np.minimum(deep, deep.T), 0).astype(np.int32)
    np.fill_diagonal(depths, 0)
    return np.minimum(weights, weights.T), np.minimum(first, first.T), depths


@stands_twice
@settings(max_examples=200)
@given(weights_and_depths(), st.sampled_from((2 * UNIT, 2 * MOST_FIRST, HEAVIEST)))
def test_weights_change_as_plain_numpy_has_it(
    state: tuple[Weights, Weights, Weights], most: int
) -> None:
    weights, first, depths = state
    wanted = weights.copy()
    reweigh_numpy(wanted, depths, first, most)
    reweigh(weights, depths, first, most)
    assert np.array_equal(weights, wanted)


def test_weights_of_overlaps_grow_and_others_fade() -> None:
    weights = np.full((3, 3), 1000, np.int32)
    depths = np.array([[0, 8, 4], [8, 0, 0], [4, 0, 0]], np.int32)
    reweigh(weights, depths, alike(3), HEAVIEST)
    assert weights[0, 1] > weights[0, 2] > 1000 > weights[1, 2]
    assert (weights == weights.T).all()


@pytest.mark.parametrize("areas", [[1.0, 1.0, 1.0], [100.0, 100.0, 1.0]])
def test_weights_fade_to_what_they_began_with(areas: list[float]) -> None:
    first = by_size(areas)
    weights = first + 20
    depths = np.array([[0, 0, 0], [0, 0, 8], [0, 8, 0]], np.int32)
    for _ in range(10):
        reweigh(weights, depths, first, HEAVIEST)
    assert weights[0, 1:].tolist() == first[0, 1:].tolist()
    assert weights[1, 2] > 10 * first[1, 2]


def test_weights_stay_within_their_numbers() -> None:
    weights = np.full((2, 2), HEAVIEST, np.int32)
    reweigh(weights, np.array([[0, 5], [5, 0]], np.int32), alike(2), HEAVIEST)
    assert weights.max() <= HEAVIEST
