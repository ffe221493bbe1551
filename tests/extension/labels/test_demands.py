# SPDX-License-Identifier: GPL-2.0-or-later
"""Counts are bound to materials: lists, totals, repeats, contradictions."""

from __future__ import annotations

import pytest

from extension.labels.demands import read_demands
from extension.labels.phrases import Text
from extension.labels.reading import read_label
from extension.pieces.cutlist import cut_list


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("CUT 2", "2"),
        (
            "CUT 2 MAIN, 1 INTERFACING, 2 LINING SAME DIRECTION",
            "2 main; 1 interfacing; 2 lining same",
        ),
        ("MAIN 2X, LINING", "2 main; 2 lining"),
        ("LINING\nCUT 2", "2 lining"),
        ("CUT 2\nLINING", "2 lining"),
        ("CUT 4: 2 MAIN, 2 LINING", "2 main; 2 lining"),
        ("CUT 2 MAIN\nCUT 2 MAIN", "2 main"),
        ("CUT 2 CONTRAST 1, 1 CONTRAST 2", "2 contrast; 1 contrast 2"),
        ("CUT 2 PAIRS OF LINING", "4 lining"),
        ("1 EACH LEFT AND RIGHT", "2"),
        ("CUT 1 EACH LEFT AND RIGHT", "2"),
    ],
)
def test_demands_are_those_of_the_cut_list(text: str, expected: str) -> None:
    assert read_demands(Text(text)).demands == (cut_list(expected) if expected else ())


def test_a_contradiction_is_asked_about_not_guessed() -> None:
    found = read_demands(Text("CUT 2 MAIN\nCUT 4 MAIN\nCUT 1 LINING"))
    assert found.demands == cut_list("1 lining")
    assert found.questions == ("How many of main: 2 or 4?",)


@pytest.mark.parametrize(
    ("text", "cut"),
    [
        ("CUT 1 ON FOLD DENIM\nCUT 1 ON FOLD COTTON", "2"),
        ("CUT 2 DENIM, CUT 4 COTTON", "6"),
        ("CUT 1 DENIM\nCUT 2 COTTON\nCUT 1 FELT", "4"),
        # The same cloth in two languages, or once more.
        ("CUT 2 LINEN / 2X LEINEN", "2"),
        ("CUT 2 DENIM\n2 X JEANSSTOFF ZUSCHNEIDEN", "2"),
        ("CUT 2 DENIM\nCUT 2 DENIM", "2"),
        ("CUT 2\nCUT 2 DENIM", "2"),
    ],
)
def test_none_of_what_two_strange_cloths_are_counted_for_is_lost(text: str, cut: str) -> None:
    found = read_demands(Text(text))
    assert found.demands == cut_list(cut)
    is_asked = any("different materials? They are counted together." in q for q in found.questions)
    assert is_asked == (cut != "2" or "COTTON" in text)


def test_materials_without_a_count_are_left_over() -> None:
    found = read_demands(Text("LINING\nINTERFACING"))
    assert not found.demands
    assert [cloth.name for cloth in found.loose] == ["lining", "interfacing"]


@pytest.mark.parametrize(
    ("text", "cut"),
    [
        ("Front Cut: 2 Lining: 2 Interfacing: 1", "2 main; 2 lining; 1 interfacing"),
        ("Front\nCut: 2, Lining: 1", "2 main; 1 lining"),
        ("Front\nQty: 2 Lining: 1", "2 main; 1 lining"),
        ("Vorderteil\n2x, Futter: 1x", "2 main; 1 lining"),
        ("Vorderteil 2x, Futter 1x", "2 main; 1 lining"),
        ("Devant\nCouper : 2 Doublure : 1", "2 main; 1 lining"),
        ("Cut 2 + lining: 1", "2 main; 1 lining"),
        ("Cut 2 main, 1 lining", "2 main; 1 lining"),
    ],
)
def test_a_material_in_front_of_its_count_is_not_that_of_the_count_before(
    text: str, cut: str
) -> None:
    reading = read_label(text)
    assert reading.demands == cut_list(cut)
    assert not reading.questions


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("FRONT\n1 left main, 1 right contrast", True),
        ("FRONT\ncut 1 left in main and 1 right in lining", True),
        ("Devant 1 fois gauche tissu, 1 fois droite doublure", True),
        ("FRONT\ncut 1 left, 1 right in main", False),
        ("LEFT FRONT\ncut 1 main, 1 lining", False),
    ],
)
def test_left_and_right_of_different_materials_are_asked_about(text: str, asks: bool) -> None:
    questions = read_label(text).questions
    assert any("mirror image of what is drawn" in one for one in questions) is asks


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("Pocket\ncut 2 of each", True),
        ("Pocket\ncut 1 from each fabric", True),
        ("Tasche\nje 2x", True),
        ("Pocket\ncut 1 of each fabric: main, lining", False),
        ("Tasche\nje 2x Stoff und Futter", False),
        ("Pocket\ncut 1 each left and right", False),
        ("Pocket\ncut 1 pair each", False),
    ],
)
def test_of_each_without_what_is_asked_about(text: str, asks: bool) -> None:
    assert any("each of what" in one for one in read_label(text).questions) is asks


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("FRONT + LINING\ncut 2", True),
        ("Front & lining cut 2", True),
        ("Vorderteil und Futter 2x", True),
        ("Devant et doublure\ncouper 2 fois", True),
        ("Delantero y forro\ncortar 2", True),
        ("Davanti e fodera\ntagliare 2", True),
        ("Frente e forro\ncortar 2", True),
        ("Voorpand en voering\n2x knippen", True),
        ("FRONT LINING\ncut 2", False),
        ("Front\nmain and lining\ncut 2", False),
        ("Front\ncut 2 + lining", False),
        ("Front cut 2 main and 2 lining", False),
        ("Front\nlining and interfacing: 2", False),
    ],
)
def test_a_part_and_a_lining_cut_together_are_asked_about(text: str, asks: bool) -> None:
    questions = read_label(text).questions
    assert any("of the main fabric as well" in one for one in questions) is asks


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("Front\ncut 2 main, interfacing piece 3a", True),
        ("Vorderteil\n2x Stoff, Futter Teil 12", True),
        ("Devant\ncouper 2 tissu, doublure pièce 12", True),
        ("Lining piece 4\ncut 2", False),
        ("Front piece 4\ncut 2 main, 2 lining", False),
        ("Front\ncut 2 main, 2 lining\npiece 4", False),
    ],
)
def test_a_material_that_is_cut_by_another_piece_is_asked_about(text: str, asks: bool) -> None:
    questions = read_label(text).questions
    assert any("of this piece, or of that one" in one for one in questions) is asks
