# SPDX-License-Identifier: GPL-2.0-or-later
"""Lines and the ways over gaps become longer lines, with what they are made of."""

from __future__ import annotations

import numpy as np
import pytest

from extension.joining.bridges import Way, straight_over
from extension.joining.lines import Line, ends_of
from extension.joining.weaving import weave
from tests.helpers.broken import BLACK, RED


def line(points: object, number: int, look: object = BLACK) -> Line:
    whole = np.array(points, dtype=float)
    length = float(np.hypot(*np.diff(whole, axis=0).T).sum())
    return Line(whole, look, (number,), (length,))  # type: ignore[arg-type]


def test_lines_are_woven_in_the_order_of_the_ways() -> None:
    lines = [line([[0, 0], [6, 0]], 0), line([[15, 0], [9, 0]], 1), line([[18, 0], [20, 0]], 2)]
    ends = ends_of(lines)
    woven = weave(lines, ends, [straight_over(ends, 1, 3), straight_over(ends, 2, 4)])
    (one,) = woven.open
    assert not woven.closed
    assert one.points.tolist() == [[0, 0], [6, 0], [9, 0], [15, 0], [18, 0], [20, 0]]
    assert one.members == (0, 1, 2)
    assert (one.dashes, one.gaps) == ((6.0, 6.0, 2.0), (3.0, 3.0))


def test_a_ring_closes_and_touching_dashes_count_as_one() -> None:
    sides = [[[0, 0], [5, 0]], [[5, 0], [5, 5]], [[5, 5], [0, 5]], [[0, 5], [0, 0]]]
    lines = [line(side, number) for number, side in enumerate(sides)]
    ends = ends_of(lines)
    ways = [straight_over(ends, 2 * n + 1, (2 * n + 2) % 8) for n in range(4)]
    (ring,) = weave(lines, ends, ways).closed
    assert ring.members == (0, 1, 2, 3)
    assert ring.gaps == ()
    assert ring.dashes == (20.0,)


def test_lines_past_their_corner_are_cut_at_it() -> None:
    lines = [line([[0, 0], [10.5, 0]], 0), line([[10, -0.4], [10, 9]], 1)]
    ends = ends_of(lines)
    over = Way(1, 2, 1.0, 0.6, True, -0.5, -0.4)
    (one,) = weave(lines, ends, [over]).open
    assert one.points.tolist() == pytest.approx(np.array([[0, 0], [10, 0], [10, 9]]))


def test_a_line_of_two_looks_has_the_look_of_most_of_it() -> None:
    lines = [line([[0, 0], [5, 0]], 0), line([[5, 0], [50, 0]], 1, RED)]
    ends = ends_of(lines)
    (one,) = weave(lines, ends, [straight_over(ends, 1, 2)]).open
    assert one.look == RED


def test_lines_without_a_way_stay_as_they_are() -> None:
    lines = [line([[0, 0], [6, 0]], 0), line([[15, 0], [9, 0]], 1)]
    assert weave(lines, ends_of(lines), []).open == tuple(lines)
