# SPDX-License-Identifier: GPL-2.0-or-later
"""All ways to link the ends of a place, the cheapest first."""

from __future__ import annotations

from itertools import combinations
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.joining.bridges import Way
from extension.joining.junctions import MOST_ENDS, junctions

FREE = 5.0


def over(one: int, two: int, cost: float) -> Way:
    return Way(one, two, cost, cost, False, 0.0, 0.0)


def cheapest(ways: list[Way], ends: set[int]) -> float:
    """Return the least cost by trying every set of ways that share no end."""
    best = FREE * len(ends)
    for count in range(1, len(ends) // 2 + 1):
        for some in combinations(ways, count):
            taken = [end for one in some for end in (one.one, one.two)]
            if len(set(taken)) == len(taken):
                cost = sum(one.cost for one in some) + FREE * (len(ends) - len(taken))
                best = min(best, cost)
    return best


@st.composite
def some_ways(draw: st.DrawFn) -> list[Way]:
    pairs = list(combinations(range(6), 2))
    chosen = draw(st.lists(st.sampled_from(pairs), min_size=1, unique=True))
    return [over(*pair, draw(st.integers(0, 40)) / 4.0) for pair in chosen]


@given(some_ways())
def test_the_first_option_is_the_cheapest_there_is(ways: list[Way]) -> None:
    found = junctions(ways, dict.fromkeys(range(6), FREE))
    ends = {end for junction in found for end in junction.ends}
    total = sum(junction.options[0].cost for junction in found)
    assert total == pytest.approx(cheapest(ways, ends))
    for junction in found:
        costs = [option.cost for option in junction.options if option.ways]
        assert costs == sorted(costs)
        assert junction.options[-1].ways == ()


def test_ends_that_no_way_connects_are_places_of_their_own() -> None:
    found = junctions([over(2, 3, 1.0), over(0, 1, 1.0)], dict.fromkeys(range(4), FREE))
    assert [junction.ends for junction in found] == [(0, 1), (2, 3)]


def test_in_a_thicket_only_what_is_best_from_both_sides_is_left() -> None:
    count = 3 * MOST_ENDS
    ways = [over(one, two, 1.0) for one, two in combinations(range(count), 2)]
    ways = [over(0, 1, 0.5), *[one for one in ways if (one.one, one.two) != (0, 1)]]
    found = junctions(ways, dict.fromkeys(range(count), FREE))
    assert (0, 1) in [junction.ends for junction in found]
    assert all(len(junction.ends) <= MOST_ENDS for junction in found)


@given(st.integers(MOST_ENDS // 2, 2 * MOST_ENDS), st.randoms(use_true_random=False))
def test_no_end_belongs_to_two_places_though_many_ways_cost_the_same(
    lines: int, chance: Random
) -> None:
    pairs = list(combinations(range(2 * lines), 2))
    ways = [over(*pair, chance.choice([1.0, 1.0, 2.0])) for pair in pairs if chance.random() < 0.3]
    found = junctions(ways, dict.fromkeys(range(2 * lines), FREE))
    ends = [end for junction in found for end in junction.ends]
    assert len(ends) == len(set(ends))
    assert all(len(junction.ends) <= MOST_ENDS for junction in found)
