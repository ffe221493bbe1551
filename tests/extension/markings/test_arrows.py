# SPDX-License-Identifier: GPL-2.0-or-later
"""Grainlines in every style, size and direction are read within 0.2 degrees."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extension.job.reading import ReadRequest, read_pieces
from extension.markings.arrows import arrows_of, filled_arrow
from extension.markings.proposals import Proposal
from extension.markings.proposing import propose
from extension.operations.read_markings import read_markings
from extension.svg.leaves import read_leaves
from tests.helpers.arrows import STYLES, Pen
from tests.helpers.svg_builder import SvgBuilder

DIRECTIONS = (0.0, 7.3, 45.0, 90.0, 118.9, 180.0, 224.5, 270.0, 331.0)
PIECE = (60.0, 40.0, 300.0, 420.0)
MIDDLE = (210.0, 250.0)

every_style = pytest.mark.parametrize("style", list(STYLES))
heads = pytest.mark.parametrize("both", [False, True], ids=["one head", "two heads"])


def sheet(style: str, both: bool, length: float, degrees: float) -> SvgBuilder:
    drawing = SvgBuilder("500mm", "600mm", (0, 0, 500, 600))
    drawing.add_rect(*PIECE, id="front", style="fill:none;stroke:#000000")
    drawing.add_text("Front\ncut 2", 70, 60, font_size=10)
    STYLES[style](Pen(drawing, None, MIDDLE, length, degrees), both)
    return drawing


def only(drawing: SvgBuilder) -> Proposal:
    (piece,) = propose(drawing.document()).pieces
    return piece


def apart(one: float, other: float) -> float:
    """Return the angle between two directions taken as lines."""
    return abs((one - other + 90.0) % 180.0 - 90.0)


@every_style
@heads
def test_the_direction_is_right_at_every_angle(style: str, both: bool) -> None:
    for degrees in DIRECTIONS:
        piece = only(sheet(style, both, 120.0, degrees))
        assert piece.grain is not None, (degrees, piece.wants)
        assert apart(piece.grain, degrees) <= 0.2, degrees
        assert piece.is_complete or not piece.top_certain


@every_style
@pytest.mark.parametrize("length", [45.0, 90.0, 250.0])
def test_the_direction_is_right_at_every_size(style: str, length: float) -> None:
    piece = only(sheet(style, True, length, 78.0))
    assert piece.grain is not None
    assert apart(piece.grain, 78.0) <= 0.2


@every_style
@heads
def test_the_layout_reads_the_same_direction_afterwards(style: str, both: bool) -> None:
    document = sheet(style, both, 120.0, 64.0).document()
    read_markings(document)
    (piece,) = read_pieces(read_leaves(document), ReadRequest()).pieces
    assert piece.grain_from == "grainline"
    assert apart(piece.grain, 64.0) <= 0.2


@given(
    style=st.sampled_from(list(STYLES)),
    both=st.booleans(),
    length=st.floats(50.0, 270.0),
    degrees=st.floats(0.0, 359.9),
)
@settings(max_examples=60)
def test_the_direction_is_right_anyhow(
    style: str, both: bool, length: float, degrees: float
) -> None:
    piece = only(sheet(style, both, length, degrees))
    assert piece.grain is not None
    assert apart(piece.grain, degrees) <= 0.2


@every_style
@heads
def test_heads_are_seen_at_the_ends_that_have_them(style: str, both: bool) -> None:
    drawing = SvgBuilder("500mm", "600mm", (0, 0, 500, 600))
    STYLES[style](Pen(drawing, None, MIDDLE, 120.0, 30.0), both)
    (arrow,) = arrows_of(read_leaves(drawing.document()))
    towards = (math.cos(math.radians(30.0)), -math.sin(math.radians(30.0)))
    along = (arrow.end[0] - arrow.start[0]) * towards[0] + (
        arrow.end[1] - arrow.start[1]
    ) * towards[1]
    tip, tail = (1, 0) if along > 0 else (0, 1)
    assert arrow.heads[tip]
    assert arrow.heads[tail] == both


@pytest.mark.parametrize(
    "outline",
    [
        "M 0 0 H 60 V 600 H 0 Z",  # a strap
        "M 0 0 L 80 0 L 90 300 L -10 300 Z",  # a leg
        "M 0 0 H 100 V 100 H 0 Z",
        "M 0 0 L 50 20 L 0 40 Z",
    ],
)
def test_plain_pieces_are_no_arrows(outline: str) -> None:
    drawing = SvgBuilder("500mm", "700mm", (0, 0, 500, 700))
    drawing.add_path(outline)
    (leaf,) = read_leaves(drawing.document())
    assert filled_arrow(leaf) is None


def test_two_equal_arrows_are_asked_about_and_neither_is_taken() -> None:
    drawing = sheet("markers", True, 120.0, 90.0)
    STYLES["markers"](Pen(drawing, None, (300.0, 250.0), 120.0, 80.0), True)
    piece = only(drawing)
    assert piece.grain is None
    assert any("Which of these is the grainline" in want for want in piece.wants)


def test_words_beside_one_of_two_arrows_decide() -> None:
    drawing = sheet("markers", True, 120.0, 90.0)
    STYLES["markers"](Pen(drawing, None, (300.0, 250.0), 40.0, 0.0), True)
    drawing.add_text("Fadenlauf", 214.0, 250.0, font_size=8)
    piece = only(drawing)
    assert piece.grain is not None
    assert apart(piece.grain, 90.0) <= 0.2


def test_the_stretch_of_a_knit_is_no_grainline() -> None:
    drawing = sheet("markers", True, 120.0, 0.0)
    drawing.add_text("DOGS", 190.0, 246.0, font_size=8)
    piece = only(drawing)
    assert piece.grain is None
    assert any("stretch" in want for want in piece.wants)


def test_a_line_without_heads_is_a_grainline_only_by_its_words() -> None:
    drawing = SvgBuilder("500mm", "600mm", (0, 0, 500, 600))
    drawing.add_rect(*PIECE, id="front", style="fill:none;stroke:#000000")
    drawing.add_text("Front\ncut 2", 70, 60, font_size=10)
    drawing.add_line((210, 150), (210, 350), style="stroke:#000000")
    assert only(drawing).grain is None
    drawing.add_text("GRAIN", 214, 250, font_size=8)
    assert only(drawing).grain == pytest.approx(90.0)


@every_style
def test_a_short_arrow_on_a_piece_at_a_quarter_of_its_size_is_its_grainline(style: str) -> None:
    drawing = SvgBuilder("300mm", "200mm", (0, 0, 300, 200))
    drawing.add_rect(20, 20, 32, 26, id="pocket", style="fill:none;stroke:#000000")
    drawing.add_text("Pocket\ncut 2", 22, 25, font_size=3)
    STYLES[style](Pen(drawing, None, (38.0, 35.0), 9.6, 90.0), True)
    piece = only(drawing)
    assert piece.grain is not None
    assert abs((piece.grain - 90.0 + 90.0) % 180.0 - 90.0) <= 0.2


@pytest.mark.parametrize(
    ("middle", "length"),
    [pytest.param((38.0, 35.0), 7.0, id="too short"), pytest.param((38.0, 40.5), 10.0, id="pleat")],
)
def test_a_short_arrow_that_may_be_a_mark_is_no_grainline(
    middle: tuple[float, float], length: float
) -> None:
    drawing = SvgBuilder("300mm", "200mm", (0, 0, 300, 200))
    drawing.add_rect(20, 20, 32, 26, id="pocket", style="fill:none;stroke:#000000")
    drawing.add_text("Pocket\ncut 2", 22, 25, font_size=3)
    STYLES["drawn in one go"](Pen(drawing, None, middle, length, 90.0), True)
    assert only(drawing).grain is None
