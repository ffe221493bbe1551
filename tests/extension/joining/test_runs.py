# SPDX-License-Identifier: GPL-2.0-or-later
"""Dashes that follow each other at regular gaps are linked, others are not."""

from __future__ import annotations

import numpy as np
import pytest

from extension.joining.lines import Ends, Line, ends_of
from extension.joining.runs import LONGEST_GAP, links_of_runs, pairs_within, smooth
from tests.helpers.broken import BLACK, RED, Points
from tests.helpers.chopping import dashed


def dashes(*places: Points, look: object = BLACK) -> list[Line]:
    return [
        Line(np.asarray(one, dtype=float), look, (n,), (float(np.ptp(one)),))  # type: ignore[arg-type]
        for n, one in enumerate(places)
    ]


def row(count: int, dash: float = 6.0, gap: float = 3.0, y: float = 0.0) -> list[Points]:
    starts = np.arange(count) * (dash + gap)
    return [np.array([[start, y], [start + dash, y]]) for start in starts]


def links(ends: Ends) -> list[int]:
    return links_of_runs(ends)[0]


def test_a_row_of_dashes_is_one_run() -> None:
    ends = ends_of(dashes(*row(10)))
    partner, longest = links_of_runs(ends)
    assert [partner[end] for end in range(1, 18, 2)] == list(range(2, 20, 2))
    assert (partner[0], partner[19]) == (-1, -1)
    assert longest == {0: pytest.approx(3.0)}


def test_a_few_dashes_are_no_pattern() -> None:
    assert set(links(ends_of(dashes(*row(4))))) == {-1}


def test_a_gap_much_wider_than_the_others_is_no_part_of_the_run() -> None:
    first, second = row(10), [one + np.array([110.0, 0.0]) for one in row(10)]
    partner = links(ends_of(dashes(*first, *second)))
    assert partner[19] == partner[20] == -1
    assert sum(other >= 0 for other in partner) == 36


def test_lines_side_by_side_are_linked_each_in_itself() -> None:
    rows = [*row(12), *row(12, y=4.0), *row(12, y=8.0)]
    partner = links(ends_of(dashes(*rows)))
    assert all(other // 24 == end // 24 for end, other in enumerate(partner) if other >= 0)
    assert sum(other >= 0 for other in partner) == 3 * 22


def test_dashes_at_random_are_no_run() -> None:
    rng = np.random.default_rng(8)
    starts = rng.random((300, 2)) * 300.0
    strays = [np.array([start, start + rng.uniform(1, 20, 2)]) for start in starts]
    partner = links(ends_of(dashes(*strays)))
    assert sum(other >= 0 for other in partner) < 0.1 * len(partner)


def test_ends_of_two_looks_pair_only_across() -> None:
    ends = ends_of([*dashes(row(1)[0]), *dashes(row(2)[1], look=RED)])
    own, across = pairs_within(ends, LONGEST_GAP), pairs_within(ends, LONGEST_GAP, across=True)
    assert (1, 2) not in set(zip(own.one.tolist(), own.two.tolist(), strict=True))
    assert (1, 2) in set(zip(across.one.tolist(), across.two.tolist(), strict=True))


def test_straight_on_is_smooth_and_an_s_to_the_next_line_is_not() -> None:
    for other, expected in (([[9, 0], [15, 0]], True), ([[9, 4], [15, 4]], False)):
        ends = ends_of(dashes(np.array([[0.0, 0.0], [6.0, 0.0]]), np.array(other, dtype=float)))
        pairs = pairs_within(ends, 10.0)
        place = next(n for n in range(len(pairs.one)) if (pairs.one[n], pairs.two[n]) == (1, 2))
        assert bool(smooth(pairs, ends)[place]) is expected


def test_dashes_of_a_circle_are_a_closed_run() -> None:
    angles = np.linspace(0.0, 2.0 * np.pi, 200, endpoint=False)
    circle = 60.0 * np.column_stack([np.cos(angles), np.sin(angles)])
    parts = dashed(circle, (6.0, 2.98))
    partner = links(ends_of(dashes(*parts)))
    assert sum(other >= 0 for other in partner) >= 2 * len(parts) - 2
