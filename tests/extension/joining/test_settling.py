# SPDX-License-Identifier: GPL-2.0-or-later
"""Which of several ways is taken where lines meet: the one that closes outlines, or none."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from extension.joining.bridges import Way
from extension.joining.junctions import junctions
from extension.joining.lines import Ends, Line, ends_of
from extension.joining.settling import Settled, settle
from tests.helpers.broken import BLACK

FREE = 5.0


def line(*points: tuple[float, float]) -> Line:
    whole = np.array(points, dtype=float)
    return Line(whole, BLACK, (0,), (float(np.hypot(*np.diff(whole, axis=0).T).sum()),))


def over(one: int, two: int, cost: float) -> Way:
    return Way(one, two, cost, 0.5, False, 0.0, 0.0)


def settled(lines: list[Line], ways: list[Way]) -> tuple[Settled, Ends]:
    ends = ends_of(lines)
    found = junctions(ways, dict.fromkeys(range(2 * len(lines)), FREE))
    return settle(lines, ends, found), ends


def taken(result: Settled) -> set[tuple[int, int]]:
    return {(way.one, way.two) for way in result.ways}


HALF = [(0.0, 0.0), (0.0, 100.0), (200.0, 100.0), (200.0, 0.0)]
"""A half of a rectangle that is open above; a lid closes it."""


def test_the_dearer_way_is_taken_when_it_closes() -> None:
    lines = [line(*HALF), line((0, -0.5), (200, -0.5)), line((0, -0.5), (-150, -0.5))]
    ways = [over(0, 2, 3.0), over(1, 3, 1.0), over(0, 4, 1.0)]
    result, _ = settled(lines, ways)
    assert taken(result) == {(0, 2), (1, 3)}
    assert [doubt.decided for doubt in result.doubts] == [True]


def test_the_cheapest_way_is_taken_without_a_word_when_it_closes() -> None:
    lines = [line(*HALF), line((0, -0.5), (200, -0.5)), line((0, -0.5), (-150, -0.5))]
    result, _ = settled(lines, [over(0, 2, 1.0), over(1, 3, 1.0), over(0, 4, 3.0)])
    assert taken(result) == {(0, 2), (1, 3)}
    assert result.doubts == ()


def test_what_crosses_itself_is_not_taken() -> None:
    # Two squares corner to corner: straight on is cheaper, and makes a figure of eight.
    lower = [(50.0, 50.0), (0.0, 50.0), (0.0, 0.0), (50.0, 0.0), (50.0, 49.9)]
    upper = [(50.1, 50.0), (100.0, 50.0), (100.0, 100.0), (50.0, 100.0), (50.0, 50.1)]
    lines = [line(*lower), line(*upper)]
    ways = [over(0, 2, 0.2), over(1, 3, 0.2), over(0, 1, 0.7), over(2, 3, 0.7)]
    result, _ = settled(lines, ways)
    assert taken(result) == {(0, 1), (2, 3)}
    assert [doubt.decided for doubt in result.doubts] == [True]


def test_what_closes_as_well_either_way_is_not_decided() -> None:
    lines = [line(*HALF), line((0, -0.5), (200, -0.5)), line((0, -0.5), (100, -90), (200, -0.5))]
    ways = [over(0, 2, 1.0), over(1, 3, 1.0), over(0, 4, 1.1), over(1, 5, 1.1)]
    result, _ = settled(lines, ways)
    assert result.ways == ()
    assert [doubt.decided for doubt in result.doubts] == [False, False]
    assert {end for doubt in result.doubts for end in doubt.ends} == {0, 1, 2, 3, 4, 5}


def test_nothing_to_decide_gives_nothing() -> None:
    result, _ = settled([line(*HALF)], [])
    assert (result.ways, result.doubts) == ((), ())


def test_a_thicket_of_ways_that_cost_the_same_is_settled() -> None:
    # A chain used to enter a ring there that did not come back to its start, and never ended.
    lines = [line((10.0 * k, 0), (10.0 * k + 5, 0)) for k in range(12)]
    ways = [over(one, two, 1.0) for one, two in combinations(range(24), 2)]
    result, _ = settled(lines, ways)
    assert taken(result) == set()
