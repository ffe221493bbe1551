# SPDX-License-Identifier: GPL-2.0-or-later
"""Closing along a line that several outlines share; and what may not be closed that way."""

from __future__ import annotations

import numpy as np
import pytest

from extension.joining.common import closed_along
from extension.joining.lines import Line
from extension.joining.outlines import outline_of
from extension.joining.segments import length_of
from tests.helpers.broken import BLACK, RED, Points, rectangle, segments
from tests.helpers.chopping import apart

FOLD = np.array([[0.0, -20.0], [0.0, 420.0]])


def line(points: Points, number: int, look: object = BLACK) -> Line:
    return Line(points, look, (number,), (length_of(points),))  # type: ignore[arg-type]


def open_size(by: float) -> Points:
    """Return a rectangle that is open at the fold and `by` mm larger on its other sides."""
    right, top, foot = 150.0 + by, -by, 400.0 + by
    return np.array([[0.0, top], [right, top], [right, foot], [0.0, foot]])


def test_every_size_closes_along_the_common_fold() -> None:
    parts = [open_size(0.0), open_size(6.0), open_size(12.0)]
    lines = [*(line(one, n) for n, one in enumerate(parts)), line(FOLD, 3, RED)]
    found = closed_along([], lines, segments([*parts, FOLD]), [5.0] * 4)
    assert not found.open
    assert sorted(round(one.area) for one in found.outlines) == [60000, 64272, 68688]
    assert all(3 in one.line.members for one in found.outlines)


def test_ends_short_of_the_common_line_go_on_to_it_within_reach() -> None:
    short = open_size(0.0) + np.array([[4.0, 0.0], [0.0, 0.0], [0.0, 0.0], [4.0, 0.0]])
    lines = [line(short, 0), line(FOLD, 1)]
    drawn = segments([short, FOLD])
    (one,) = closed_along([], lines, drawn, [5.0, 5.0]).outlines
    assert apart(one.points, rectangle(0, 0, 150, 400)) < 1e-6
    assert one.line.gaps == pytest.approx((4.0, 4.0))
    assert not closed_along([], lines, drawn, [3.0, 3.0]).outlines


def test_a_size_closes_along_the_edge_of_another() -> None:
    whole, size = rectangle(0, 0, 200, 500), open_size(0.0)
    outline = outline_of(Line(whole, BLACK, (0,), (1400.0,)))
    found = closed_along([outline], [line(size, 1)], segments([whole, size]), [5.0])
    assert [round(one.area) for one in found.outlines] == [60000]


@pytest.mark.parametrize(
    "inner",
    [
        np.array([[0.0, 200.0], [120.0, 220.0], [0.0, 240.0]]),  # a dart
        np.array([[0.0, 300.0], [100.0, 300.0], [200.0, 300.0]]),  # from edge to edge
        np.array([[16.0, 100.0], [16.0, 101.0]]),  # too short for anything
    ],
    ids=["dart", "across", "short"],
)
def test_lines_in_a_piece_do_not_close_along_its_edge(inner: Points) -> None:
    whole = rectangle(0, 0, 200, 500)
    outline = outline_of(Line(whole, BLACK, (0,), (1400.0,)))
    found = closed_along([outline], [line(inner, 1)], segments([whole, inner]), [5.0])
    assert not found.outlines
    assert len(found.open) == 1


def test_the_bracket_at_a_fold_is_no_piece() -> None:
    bracket = np.array([[1.0, 60.0], [16.0, 60.0], [16.0, 340.0], [1.0, 340.0]])
    parts = [open_size(0.0), FOLD, bracket]
    lines = [line(one, number) for number, one in enumerate(parts)]
    found = closed_along([], lines, segments(parts), [5.0] * 3)
    assert [round(one.area) for one in found.outlines] == [60000]
    assert [one.members for one in found.open] == [(2,)]
