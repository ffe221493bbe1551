# SPDX-License-Identifier: GPL-2.0-or-later
"""Lines that are drawn twice: what is taken away, what is cut back, what is left alone."""

from __future__ import annotations

import numpy as np
import pytest

from extension.joining.duplicates import Cleaned, cleaned
from extension.joining.segments import length_of
from tests.helpers.broken import RED, Points, bodice, segments
from tests.helpers.chopping import cut_at

LINE = np.array([[0.0, 0.0], [100.0, 0.0]])


def drawn(found: Cleaned) -> float:
    return sum(length_of(found.segments[number].points) for number in found.order)


def on(low: float, high: float, y: float = 0.0) -> Points:
    return np.array([[low, y], [high, y]])


def test_a_copy_is_taken_away_whichever_way_round_it_is_drawn() -> None:
    found = cleaned(segments([LINE, LINE[::-1], LINE + np.array([0.0, 0.03])]))
    assert (len(found.order), found.count) == (1, 2)
    assert found.twice == set(found.order)
    assert len(found.copies) == 2


def test_a_part_of_a_line_is_taken_away() -> None:
    found = cleaned(segments([LINE, on(20, 30)]))
    assert (found.order, found.copies, found.twice, found.count) == ((0,), (1,), frozenset(), 1)


def test_lines_that_overlap_are_cut_back_to_a_touch() -> None:
    found = cleaned(segments([on(0, 60), on(40, 100)]))
    assert (len(found.order), found.count) == (2, 1)
    assert drawn(found) == pytest.approx(100.0)


def test_a_line_that_two_others_cover_is_gone() -> None:
    found = cleaned(segments([on(0, 60), on(60, 130), on(40, 90)]))
    assert drawn(found) == pytest.approx(130.0)


@pytest.mark.parametrize(
    "other",
    [on(100, 200), on(0, 100, y=0.2), np.array([[50.0, -5.0], [50.0, 5.0]])],
    ids=["goes on", "runs beside", "crosses"],
)
def test_what_only_touches_runs_beside_or_crosses_is_left_alone(other: Points) -> None:
    found = cleaned(segments([LINE, other]))
    assert (len(found.order), found.count) == (2, 0)


def test_lines_of_two_looks_may_lie_on_each_other() -> None:
    found = cleaned(segments([LINE]) + segments([LINE], RED))
    assert (len(found.order), found.count) == (2, 0)


def test_pieces_of_one_outline_are_no_copies_of_each_other() -> None:
    parts = cut_at(bodice(), np.linspace(0.0, 0.99, 100).tolist())
    found = cleaned(segments(parts))
    assert (len(found.order), found.count) == (100, 0)


def test_a_dot_on_a_line_and_a_dot_on_a_dot_are_taken_away() -> None:
    dot = np.array([[50.0, 0.0]])
    assert len(cleaned(segments([LINE, dot])).order) == 1
    assert len(cleaned(segments([dot, dot])).order) == 1
