# SPDX-License-Identifier: GPL-2.0-or-later
"""A border that two outlines share is told from a line across a piece by being drawn twice."""

from __future__ import annotations

import numpy as np
import pytest

from extension.joining.join import join_segments
from tests.helpers.broken import misses, rectangle, segments
from tests.helpers.chopping import edges

WHOLE = rectangle(0, 0, 200, 100)
ACROSS = np.array([[100.0, 0.0], [100.0, 100.0]])


def halves() -> list[np.ndarray]:
    """Return the sides of the whole, cut where the line across meets them."""
    top = [np.array([[0.0, 0.0], [100.0, 0.0]]), np.array([[100.0, 0.0], [200.0, 0.0]])]
    foot = [one + np.array([0.0, 100.0]) for one in top]
    sides = [np.array([[x, 0.0], [x, 100.0]]) for x in (0.0, 200.0)]
    return [*top, *foot, *sides]


def test_a_line_across_that_is_drawn_once_is_a_line_of_the_piece() -> None:
    joined = join_segments(segments([*halves(), ACROSS]))
    assert max(misses(joined, [WHOLE])) < 1e-6
    assert len(joined.open) == 1


def test_a_line_across_that_is_drawn_twice_is_a_border() -> None:
    joined = join_segments(segments([*halves(), ACROSS, ACROSS]))
    truths = [rectangle(0, 0, 100, 100), rectangle(100, 0, 100, 100)]
    assert max(misses(joined, truths)) < 1e-6
    (place,) = joined.unclear
    assert place.place == pytest.approx((100.0, 50.0))


def test_where_all_is_drawn_twice_a_line_across_is_a_line_again() -> None:
    joined = join_segments(segments(2 * [*halves(), ACROSS]))
    assert max(misses(joined, [WHOLE])) < 1e-6


def test_an_outline_borrows_the_edge_that_was_taken_away_as_a_copy() -> None:
    small = rectangle(200, 20, 80, 50)
    joined = join_segments(segments([*edges(WHOLE), *edges(small)]))
    assert max(misses(joined, [WHOLE, small])) < 1e-6
    (place,) = joined.unclear
    assert place.decided
    assert place.place == pytest.approx((200.0, 45.0))
