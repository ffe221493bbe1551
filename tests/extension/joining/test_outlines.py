# SPDX-License-Identifier: GPL-2.0-or-later
"""Closed lines as outlines: sound or with a fault, always in one form."""

from __future__ import annotations

import math

import numpy as np
import pytest

from extension.joining.lines import Line
from extension.joining.outlines import COMPACT, LEAST_AREA, compactness, outline_of
from tests.helpers.broken import BLACK, Points, bodice, rectangle
from tests.helpers.chopping import apart


def closed(points: Points) -> Line:
    return Line(np.asarray(points, dtype=float), BLACK, (0,), (1.0,))


def test_an_outline_begins_at_its_left_and_runs_clockwise_as_seen() -> None:
    square = rectangle(10, 20, 30, 40)
    for turned in (square, square[::-1], np.roll(square, 2, axis=0)):
        outline = outline_of(closed(turned))
        assert outline.fault is None
        assert outline.points.tolist() == square.tolist()
        assert outline.area == pytest.approx(1200.0)


def test_points_on_straight_lines_are_spared_and_curves_stay_true() -> None:
    straight = np.vstack([rectangle(0, 0, 100, 50), [[0.0, 25.0], [0.0, 10.0]]])
    assert len(outline_of(closed(straight)).points) == 4
    outline = outline_of(closed(bodice()))
    assert len(outline.points) < len(bodice())
    assert apart(outline.points, bodice()) < 0.02


def test_a_line_that_crosses_itself_is_no_outline() -> None:
    bow = np.array([[0, 0], [60, 60], [60, 0], [0, 50]], dtype=float)
    assert outline_of(closed(bow)).fault == "crosses itself"
    touching = np.array(
        [[0, 0], [50, 0], [50, 50], [100, 50], [100, 100], [50, 100], [50, 50], [0, 50]],
        dtype=float,
    )
    assert outline_of(closed(touching)).fault == "crosses itself"


def test_a_line_that_crosses_itself_by_a_hair_is_mended() -> None:
    points = np.vstack([rectangle(0, 0, 100, 100), [[-0.02, 0.0], [0.0, 0.0]]])
    outline = outline_of(closed(points))
    assert outline.fault is None
    assert outline.area == pytest.approx(10000.0, abs=2.0)


@pytest.mark.parametrize(
    "points", [rectangle(0, 0, 9, 9), np.array([[0.0, 0.0], [50.0, 0.0]])], ids=["small", "flat"]
)
def test_what_encloses_next_to_nothing_is_no_outline(points: Points) -> None:
    outline = outline_of(closed(points))
    assert outline.fault == "too small"
    assert outline.area < LEAST_AREA


def test_compactness_of_a_square_is_a_quarter_of_pi_and_of_a_strip_little() -> None:
    # 4 pi a^2 / (4 a)^2 = pi / 4, whatever the side.
    assert compactness(closed(rectangle(0, 0, 7, 7))) == pytest.approx(math.pi / 4.0)
    assert compactness(closed(rectangle(0, 0, 1000, 6))) < COMPACT
    # A strap 30 mm wide and 800 long is a piece.
    assert compactness(closed(rectangle(0, 0, 800, 30))) > COMPACT
