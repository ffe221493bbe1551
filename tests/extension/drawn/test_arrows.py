# SPDX-License-Identifier: GPL-2.0-or-later
"""Arrows point where they should, and end where they should."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.drawn.arrows import arrow, dimension
from extension.svg.pathdata import parse_path


@given(st.floats(0.0, 360.0), st.floats(4.0, 200.0))
def test_an_arrow_is_as_long_as_asked_and_points_as_the_engine_turns(
    turn: float, length: float
) -> None:
    shaft, head = (
        parse_path(one.get("d", ""))[0] for one in arrow((30.0, 40.0), turn, length, 1.0)
    )
    tail, tip = shaft.start, head.start
    assert math.dist(tail, tip) == pytest.approx(length, rel=1e-6)
    assert ((tail[0] + tip[0]) / 2, (tail[1] + tip[1]) / 2) == pytest.approx((30.0, 40.0), abs=1e-6)
    # The engine's angles run counter-clockwise with y up; the sheet has y down.
    angle = math.degrees(math.atan2(tail[1] - tip[1], tip[0] - tail[0])) % 360.0
    assert min(abs(angle - turn), 360.0 - abs(angle - turn)) < 1e-4


def test_a_dimension_line_has_a_tip_at_either_end() -> None:
    line, *heads = (parse_path(one.get("d", ""))[0] for one in dimension((0, 0), (100, 0), 10, 1))
    assert (line.start, line.segments[-1]) == ((0.0, 0.0), (100.0, 0.0))
    assert sorted(head.start for head in heads) == [(0.0, 0.0), (100.0, 0.0)]
    for head in heads:
        inward = [abs(x - head.start[0]) for x, _ in head.segments]
        assert inward == [10.0, 10.0]
