# SPDX-License-Identifier: GPL-2.0-or-later
"""What reading markings says of bad drawings: each a plain report."""

from __future__ import annotations

import pytest

from extension.markings.building import NO_GRAIN
from extension.markings.proposing import propose
from extension.svg.document import parse
from tests.helpers.marked import ARROW, LOOK, read, sheet
from tests.helpers.svg_builder import SvgBuilder


def questions(drawing: SvgBuilder) -> str:
    return "\n".join(read(drawing).report["questions"])


def empty() -> SvgBuilder:
    return SvgBuilder("500mm", "500mm", (0, 0, 500, 500))


def test_an_empty_drawing() -> None:
    assert "nothing to read" in questions(empty())


def test_text_without_a_piece() -> None:
    drawing = empty()
    drawing.add_text("Front\ncut 2", 100, 100, font_size=10)
    report = read(drawing).report
    assert report["pieces"] == []
    assert report["unread"] == ["Front / cut 2"]
    assert "no closed outline" in report["questions"][0]


def test_text_that_contradicts_itself_without_a_piece() -> None:
    drawing = sheet()
    drawing.add_text("Back\ncut 4\ncut 2", 350, 150, font_size=10)
    assert "“Back / cut 4 / cut 2” says what to cut, but stands on no piece" in questions(drawing)


def test_a_piece_without_text_is_cut_once_and_said() -> None:
    outcome = read(sheet(""))
    assert outcome.report["pieces"][0]["demands"][0]["cut"] == 1
    assert "No count was read, so it is cut once." in outcome.report["questions"][0]


@pytest.mark.parametrize("words", ["cut 2 / 4x zuschneiden", "Main 2, lining 0"])
def test_a_count_that_could_not_be_read_is_not_said_to_be_missing(words: str) -> None:
    outcome = read(sheet(f"Front\n{words}"))
    assert outcome.report["pieces"][0]["demands"][0]["cut"] == 1
    (question,) = outcome.report["questions"]
    assert f"No count was read, so it is cut once: does “{words}” say how many?" in question


def test_what_is_to_look_at_stands_at_the_piece_and_nowhere_else_on_the_sheet() -> None:
    drawing = empty()
    for number in range(2):
        drawing.add_rect(10 + 200 * number, 10, 150, 150, id=f"piece-{number}")
        drawing.add_text("Tab\ncut 2", 60 + 200 * number, 80, font_size=8)
    outcome = read(drawing)
    (question,) = outcome.report["questions"]
    assert question.endswith(f", each of them: {NO_GRAIN[0].lower()}{NO_GRAIN[1:]}")
    root = parse(outcome.drawing).root
    shown = " ".join("".join(text.itertext()) for text in root.iter("{*}text"))
    assert shown.count("It has no grainline") == 2
    assert "Only you can say" not in shown


def test_two_thousand_stray_segments() -> None:
    drawing = sheet()
    for number in range(2000):
        x, y = 280.0 + (number % 50) * 4, 10.0 + (number // 50) * 12
        drawing.add_line((x, y), (x + 2.5, y + 0.5), style=LOOK)
    assert "2,000 open lines" in questions(drawing)


def test_outlines_that_touch_are_two_pieces() -> None:
    drawing = sheet()
    drawing.add_rect(260, 40, 150, 320, id="back", style=LOOK)
    drawing.add_text("Back\ncut 1", 310, 150, font_size=10)
    drawing.add_line((290, 100), (290, 300), style=ARROW)
    report = read(drawing).report
    assert [(piece["name"], piece["demands"][0]["cut"]) for piece in report["pieces"]] == [
        ("Front", 2),
        ("Back", 1),
    ]
    assert not report["questions"]


def test_dashes_of_no_length_do_no_harm() -> None:
    drawing = sheet()
    drawing.add_path("M 150 200 L 150 200 M 160 200 h 0", style=LOOK)
    drawing.add_line((150, 260), (150, 260), style=f"{LOOK};stroke-dasharray:0,0")
    assert not questions(drawing)


def test_letters_drawn_as_outlines_are_named_and_not_guessed() -> None:
    drawing = sheet("")
    for number in range(6):
        x = 130 + 9 * number
        data = f"M {x} 150 h 6 v 2 h -4 v 3 h 3 v 2 h -3 v 3 h -2 Z"
        drawing.add_path(data, style="fill:#000000")
    assert "drawn as outlines and cannot be read" in questions(drawing)


def test_a_label_between_two_pieces_is_asked_about() -> None:
    drawing = empty()
    drawing.add_rect(20, 40, 150, 300, id="one", style=LOOK)
    drawing.add_rect(220, 40, 150, 300, id="two", style=LOOK)
    drawing.add_line((60, 100), (60, 300), style=ARROW)
    drawing.add_line((260, 100), (260, 300), style=ARROW)
    drawing.add_text("cut 2", 182, 150, font_size=9)
    report = read(drawing).report
    assert any("stands between two pieces" in each for each in report["questions"])
    assert "cut 2" in report["unread"]


def test_a_piece_without_a_grainline_is_flagged() -> None:
    drawing = empty()
    drawing.add_rect(60, 40, 200, 320, id="front", style=LOOK)
    drawing.add_text("Front\ncut 2", 130, 150, font_size=10)
    outcome = read(drawing)
    assert outcome.report["pieces"][0]["grain"] is None
    assert "no grainline" in outcome.report["questions"][0]


@pytest.mark.parametrize(("letters", "complete"), [(6, False), (0, True)])
def test_what_lies_on_the_fold_has_no_tick_while_its_letters_cannot_be_read(
    letters: int, complete: bool
) -> None:
    drawing = sheet("")
    drawing.add_line((60, 60), (60, 340), style=LOOK, lay={"role": "fold"})
    for number in range(letters):
        x = 130 + 9 * number
        data = f"M {x} 150 h 6 v 2 h -4 v 3 h 3 v 2 h -3 v 3 h -2 Z"
        drawing.add_path(data, style="fill:#000000")
    (piece,) = propose(drawing.document()).pieces
    assert piece.fold
    assert piece.is_complete is complete
    assert ("is it cut once?" in " ".join(piece.wants)) is not complete


def test_letters_drawn_as_outlines_are_one_line_not_one_each() -> None:
    drawing = sheet()
    for number in range(14):
        drawing.add_path(f"M {300 + 8 * number} 20 h 5 v 7 h -2 v -4 h -3 z", style="fill:#000000")
    told = [each for each in read(drawing).summary if "shapes" in each or "Not read" in each]
    assert len(told) == 1
    assert told[0].startswith("The letters, 14 shapes beginning with ")


def test_other_small_filled_shapes_are_one_line() -> None:
    drawing = sheet()
    for number in range(14):
        place = f"M {300 + 8 * number} {20 + 30 * number}"
        drawing.add_path(f"{place} h 5 v 7 h -2 v -4 h -3 z", style="fill:#000000")
    told = [each for each in read(drawing).summary if "shapes" in each or "Not read" in each]
    assert len(told) == 1
    assert told[0].startswith(
        "14 small filled shapes, such as letters and signs are, were not read"
    )
