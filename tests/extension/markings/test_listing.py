# SPDX-License-Identifier: GPL-2.0-or-later
"""The list of what was read names what a person sees, not what the file calls it."""

from __future__ import annotations

from pathlib import Path

import pytest

from extension.markings.listing import entries
from extension.markings.proposing import propose
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers.places import PROJECT
from tests.helpers.svg_builder import SvgBuilder

SAMPLES = PROJECT / "sample_svgs"


def sources(drawing: SvgBuilder | Path) -> tuple[list[str], set[str]]:
    """Return what the pieces of a drawing are said to be read from, and the ids of its lines."""
    document = drawing.document() if isinstance(drawing, SvgBuilder) else parse(drawing)
    leaves = read_leaves(document)
    told = [entry.words for entry in entries(propose(document))]
    ids = {leaf.id for leaf in leaves if not leaf.text}
    return [words for words in told if words.startswith("read from")], ids


@pytest.mark.parametrize(
    "name", ["untidy-smock.svg", "to_read/apron-by-hand.svg", "to_read/smock-sizes-on-layers.svg"]
)
def test_no_id_of_a_line_stands_in_the_list(name: str) -> None:
    told, ids = sources(SAMPLES / name)
    assert told
    assert not [words for words in told for id_ in ids if f"“{id_}”" in words]


def test_a_thing_of_several_lines_is_named_once() -> None:
    drawing = SvgBuilder("800mm", "600mm", (0, 0, 800, 600))
    drawing.add_path("M 100 100 h 200 v 300 h -200 z", id="path12")
    drawing.add_text("Front\ncut 1", 180, 200, font_size=10)
    drawing.add_line((150, 150), (150, 350), id="path14")
    drawing.add_path("M 150 150 l -3 8 h 6 z", id="path16")
    drawing.add_path("M 150 350 l -3 -8 h 6 z", id="path18")
    told, _ = sources(drawing)
    assert told == ["read from “Front / cut 1” and the grainline"]


def test_an_outline_that_is_no_piece_is_told_with_its_measures() -> None:
    questions = propose(parse(SAMPLES / "untidy-smock.svg")).questions
    (question,) = (one for one in questions if one.startswith("Not read as pieces"))
    assert "the ellipse of 8.2 × 8 cm on the outline with the words" in question
    assert "test-square" not in question


def test_an_outline_that_crosses_itself_is_no_piece_and_says_where() -> None:
    """Its arrow lies in none of its halves, so for want of a grainline would be no help."""
    drawing = SvgBuilder("800mm", "600mm", (0, 0, 800, 600))
    drawing.add_rect(10, 10, 125, 50, lay={"name": "Swatch"})
    for number in range(9):
        drawing.add_path(
            f"M {200 * (number % 3)} {100 + 150 * (number // 3)} l 150 140 v -140 l -150 140 z"
        )
    read = propose(drawing.document())
    questions = read.questions
    told = [one for one in questions if "cross" in one]
    assert len(told) == 9
    # All of them get a ring in the review, those that are counted as well.
    assert read.crossings == tuple(
        pytest.approx((75.0 + 200.0 * (n % 3), 170.0 + 150.0 * (n // 3))) for n in range(9)
    )
    assert told[0].startswith("The outline of 15 × 14 cm")
    assert "crosses itself near x 75 mm, y 170 mm: move its nodes" in told[0]
    assert told[-1] == "1 more outline crosses itself."
    assert not [one for one in questions if one.startswith("Not read as pieces")]


def test_an_outline_without_area_has_measures_too() -> None:
    drawing = SvgBuilder("800mm", "600mm", (0, 0, 800, 600))
    drawing.add_rect(10, 10, 125, 50, lay={"name": "Swatch"})
    drawing.add_rect(10, 300, 5, 5e-324, id="stray")
    questions = propose(drawing.document()).questions
    assert any(
        "the rectangle of 0.5 × 0 cm on “Swatch”" in question
        or "rectangle of 0.5 × 0 cm" in question
        for question in questions
    )


@pytest.mark.parametrize("count", [3, 4, 40])
def test_many_pieces_without_a_name_are_one_row(count: int) -> None:
    drawing = SvgBuilder("800mm", "600mm", (0, 0, 800, 600))
    for number in range(count):
        drawing.add_path(f"M {60 * number} 0 h 50 v {150 + number} h -40 z")
    rows = [entry.words for entry in entries(propose(drawing.document())) if entry.bold][1:]
    titles = [row for row in rows if row.endswith(": to look at")]
    if count == 3:
        assert len(titles) == 3
        assert all("outline of 5 ×" in one for one in titles)
    else:
        (title,) = titles
        assert title.startswith(f"{count} pieces without a name, the first of them the outline of")
