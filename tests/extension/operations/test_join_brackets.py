# SPDX-License-Identifier: GPL-2.0-or-later
"""A fold bracket is no part of an outline, however it stands on the edge that it means."""

from __future__ import annotations

import pytest

from extension.markings.proposing import propose
from extension.operations.join_lines import JoinOptions, JoinOutcome, join_lines
from extension.svg.document import parse
from tests.helpers.svg_builder import SvgBuilder

LOOK = "fill:none;stroke:#000000;stroke-width:0.5"
OUTLINES = {
    "four lines": ["M 60 40 H 260", "M 260 40 L 280 360", "M 280 360 H 60", "M 60 360 V 40"],
    "an edge in parts": [
        "M 60 300 V 360 H 280 L 260 40 H 60 V 80",
        "M 60 80 V 190",
        "M 60 190.5 V 300",
    ],
    "closed, with a fold line": ["M 60 40 H 260 L 280 360 H 60 Z", "M 60 40 V 360"],
    "closed, with a short one": ["M 60 40 H 260 L 280 360 H 60 Z", "M 60 60 V 340"],
    "three sides and a fold line": ["M 60 40 H 260 L 280 360 H 60", "M 60 40 V 360"],
}
BRACKETS = {
    "one line": ["M 60 80 H 74 V 300 H 60"],
    "three lines": ["M 60 80 H 74", "M 74 80 V 300", "M 74 300 H 60"],
    "just short": ["M 60.9 80 H 74", "M 74 80 V 300", "M 74 300 H 60.9"],
    "just beyond": ["M 59.5 80 H 74", "M 74 80 V 300", "M 74 300 H 59.5"],
    "outside": ["M 60 80 H 46 V 300 H 60"],
    "from corner to corner": ["M 60 40 H 46 V 360 H 60"],
    "the same in three lines": ["M 60 40 H 46", "M 46 40 V 360", "M 46 360 H 60"],
}
WHOLE = 67200.0
"""mm² of the outline without any bracket."""


def joined(
    outline: list[str], bracket: list[str], look: str, *ids: str
) -> tuple[bytes, JoinOutcome]:
    drawing = SvgBuilder("500mm", "500mm", (0, 0, 500, 500))
    for data in outline:
        drawing.add_path(data, style=LOOK)
    for number, data in enumerate(bracket):
        drawing.add_path(data, id=f"bracket-{number}", style=look)
    drawing.add_text("Back\ncut 1 on fold", 130, 150, font_size=10)
    outcome = join_lines(drawing.document(), JoinOptions(selected=ids))
    return drawing.data(), outcome


@pytest.mark.parametrize("outline", list(OUTLINES))
@pytest.mark.parametrize("bracket", list(BRACKETS))
def test_the_outline_is_joined_and_the_bracket_left(outline: str, bracket: str) -> None:
    for look in (LOOK, f"{LOOK};stroke-dasharray:4,2"):
        drawing, outcome = joined(OUTLINES[outline], BRACKETS[bracket], look)
        proposals = propose(parse(outcome.drawing or drawing))
        assert [round(piece.shape.area) for piece in proposals.pieces] == [WHOLE]
        assert proposals.pieces[0].fold
        assert not proposals.questions
        assert any("fold brackets" in line for line in outcome.summary)


def test_the_four_sides_of_a_strip_are_no_bracket() -> None:
    sides = ["M 60 80 H 74", "M 74 80 V 300", "M 74 300 H 60", "M 60 300 V 80"]
    _, outcome = joined(sides, [], LOOK)
    assert outcome.drawing is not None
    assert len(outcome.report["outlines"]) == 1


def test_a_deep_piece_drawn_on_the_edge_of_another_is_no_bracket() -> None:
    _, outcome = joined(OUTLINES["four lines"], ["M 60 80 H 20 V 300 H 60"], LOOK)
    assert not any("fold brackets" in line for line in outcome.summary)


def test_lines_that_are_selected_alone_are_joined_all_the_same() -> None:
    edge = ["M 60 40 H 260", "M 260 40 L 280 360", "M 280 360 H 60", "M 60 80 V 300"]
    lines = BRACKETS["three lines"]
    ids = ("path4", *(f"bracket-{number}" for number in range(len(lines))))
    _, outcome = joined(edge, lines, LOOK, *ids)
    assert len(outcome.report["outlines"]) == 1
