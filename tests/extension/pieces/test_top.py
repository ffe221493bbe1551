# SPDX-License-Identifier: GPL-2.0-or-later
"""Which way a piece is up."""

from __future__ import annotations

import pytest
from lxml import etree

from extension.pieces.grain import Axis
from extension.pieces.top import Top, find_top
from extension.svg.model import Leaf, Matrix
from extension.svg.transforms import multiply, rotation, scaling
from tests.helpers.drawn import box, leaf


def label(turn: float = 0.0, *, mirrored: bool = False, text: str = "Front") -> Leaf:
    """Return a text turned clockwise by some degrees."""
    matrix: Matrix = rotation(turn)
    if mirrored:
        matrix = multiply(matrix, scaling(-1, 1))
    return leaf(box(0, 0, 40, 10), text=text, matrix=matrix)


def top(degrees: float, *labels: Leaf, said: str | None = None, source: str = "grainline") -> Top:
    return find_top(Axis(degrees, source), said, labels, "“Front”")  # type: ignore[arg-type]


@pytest.mark.parametrize("degrees", [45, 60, 90, 120, 135])
def test_without_a_label_up_is_the_top_of_the_drawing(degrees: float) -> None:
    assert top(degrees) == Top(degrees, True)
    assert top(degrees + 180) == Top(degrees, True)


@pytest.mark.parametrize("degrees", [0, 30, 44.9, 135.1, 180, 200])
def test_a_grainline_across_the_drawing_leaves_the_top_uncertain(degrees: float) -> None:
    assert top(degrees) == Top(degrees, False)


def test_the_label_tells_the_top_where_the_drawing_cannot() -> None:
    assert top(0, label(90)) == Top(0, True)
    assert top(0, label(-90)) == Top(180, True)


def test_a_piece_drawn_upside_down_with_its_label_is_no_contradiction() -> None:
    assert top(90, label(180)) == Top(270, True)
    assert top(270, label(175)) == Top(270, True)


def test_a_label_across_the_grain_tells_nothing() -> None:
    """The word beside a grainline is written along it."""
    assert top(90, label(90, text="Grainline")) == Top(90, True)
    assert top(0, label(0)) == Top(0, False)


@pytest.mark.parametrize(("turn", "expected"), [(44, 0), (46, None), (-44, 0), (136, 180)])
def test_a_label_counts_within_45_degrees_of_the_grain(turn: float, expected: float | None) -> None:
    found = top(0, label(90 + turn))
    assert found == (Top(0, False) if expected is None else Top(expected, True))


def test_a_mirrored_label_is_up_where_it_is() -> None:
    assert top(0, label(90, mirrored=True)) == Top(0, True)


def test_what_is_said_comes_first() -> None:
    assert top(90, said="end") == Top(90, True)
    assert top(90, said="start") == Top(270, True)
    assert top(0, label(0), said="start") == Top(180, True)


def test_a_typed_direction_points_to_the_top() -> None:
    """Also where the piece has been turned head down since."""
    assert top(270, source="typed") == Top(270, True)
    assert top(0, source="typed") == Top(0, True)
    assert top(90, source="typed", said="start") == Top(270, True)


@pytest.mark.parametrize(
    ("found", "degrees", "words"),
    [
        (top(90, label(0), label(180)), 90, "its label and another label"),
        (top(90, label(0), said="start"), 270, "lay:top and its label"),
        (top(90, label(180), source="typed"), 270, "its label and the typed direction"),
    ],
)
def test_evidence_that_contradicts_itself_is_not_certain(
    found: Top, degrees: float, words: str
) -> None:
    assert found.degrees == degrees
    assert not found.certain
    assert found.note == f"The top of “Front” is not certain: {words} point opposite ways."


def test_a_text_along_a_path_has_no_way_up() -> None:
    text = label(180)
    etree.SubElement(text.element, "{http://www.w3.org/2000/svg}textPath")
    assert top(90, text) == Top(90, True)


def test_a_bias_grainline_has_its_top_at_the_upper_end() -> None:
    assert top(45, label(0)) == Top(45, True)
    assert top(225, label(0)) == Top(45, True)
