# SPDX-License-Identifier: GPL-2.0-or-later
"""Lines that cannot be joined are told plainly; tolerances are read or refused."""

from __future__ import annotations

import math

import numpy as np
import pytest

from extension.language.errors import DrawingError, OptionError
from extension.operations.join_lines import JoinOptions, join_options, nothing_joined
from tests.helpers.broken import rectangle
from tests.helpers.chopping import edges
from tests.helpers.joined import STROKE, d, run, sheet


def test_without_open_lines_there_is_nothing_to_join() -> None:
    drawing = sheet()
    drawing.add_rect(0, 0, 100, 100)
    drawing.add_text("Front", 10, 10)
    outcome = run(drawing)
    assert outcome.drawing is None
    assert str(nothing_joined(outcome)).startswith("There is no open line to join")
    found = {key: outcome.report[key] for key in ("outlines", "ambiguous", "left", "duplicates")}
    assert found == {"outlines": [], "ambiguous": [], "left": [], "duplicates": 0}


def test_two_thousand_stray_strokes_are_told_in_one_sentence() -> None:
    drawing = sheet()
    rng = np.random.default_rng(3)
    starts, angles = rng.random((2000, 2)) * 650, rng.random(2000) * math.tau
    ends = starts + 15.0 * np.column_stack([np.cos(angles), np.sin(angles)])
    for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
        drawing.add_line(tuple(start), tuple(end), style=STROKE)
    outcome = run(drawing)
    assert outcome.drawing is None
    assert "No outline could be closed from 2,000 open strokes" in str(nothing_joined(outcome))
    assert len(outcome.report["left"]) + outcome.report["duplicates"] >= 2000


def test_strokes_of_no_length_are_told() -> None:
    drawing = sheet()
    drawing.add_path(d(edges(rectangle(0, 0, 100, 100))), id="edge", style=STROKE)
    drawing.add_path("M 200 200 h 0 M 210 200 h 0", id="none", style=STROKE)
    drawing.add_path("M 300 300 h 0", id="dot", style=STROKE + ";stroke-linecap:round")
    left = {one["id"]: one["reason"] for one in run(drawing).report["left"]}
    assert "no length" in left["none"]
    assert set(left) == {"none", "dot"}


@pytest.mark.parametrize("typed", ["0", "-1mm", "25mm", "nan", "wide", "1,000 mm"])
def test_a_tolerance_that_makes_no_sense_is_refused(typed: str) -> None:
    with pytest.raises(OptionError):
        join_options(typed, [])


def test_a_tolerance_is_a_length_and_a_millimetre_unless_told() -> None:
    assert join_options("", []).tolerance == 1.0
    assert join_options("1/8 in", ["a"]) == JoinOptions(25.4 / 8, ("a",))
    assert join_options("2", []).tolerance == 2.0


def test_an_unknown_id_is_refused_by_name() -> None:
    drawing = sheet()
    drawing.add_path(d(edges(rectangle(0, 0, 100, 100))), style=STROKE)
    with pytest.raises(DrawingError, match="“nobody”"):
        run(drawing, "nobody")
