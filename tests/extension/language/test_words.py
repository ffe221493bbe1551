# SPDX-License-Identifier: GPL-2.0-or-later
"""Names and keywords are compared without case, accents, spaces and punctuation."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.language.words import begun, folded, listed, listed_pieces, rising


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Two way", "two-way"),
        ("  Größe 38 ", "GROSSE38"),
        ("Bügel-Einlage", "bugeleinlage"),
        ("droit\u00a0fil", "Droit-Fil"),
        ("Pièce", "PIECE"),
        ("３８", "38"),
    ],
)
def test_spelling_variants_are_one_word(one: str, other: str) -> None:
    assert folded(one) == folded(other)


def test_different_words_stay_different() -> None:
    assert len({folded(word) for word in ("38", "38a", "40", "S", "M", "前", "後", "*")}) == 8


@given(st.text())
def test_folding_twice_changes_nothing_more(text: str) -> None:
    assert folded(folded(text)) == folded(text)


def test_sizes_that_are_numbers_are_told_the_smallest_first() -> None:
    assert rising(["122", "98", "110"]) == ["98", "110", "122"]
    assert rising(["10.5", "9", "10"]) == ["9", "10", "10.5"]
    assert rising(["M", "S", "38"]) == ["M", "S", "38"]
    assert rising(["²", "1"]) == ["²", "1"]
    assert rising([]) == []


def test_a_long_list_is_cut_short_and_counted() -> None:
    assert listed([]) == ""
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert listed(["a", "b", "c", "d"], most=2) == "a, b and 2 more"


def test_a_sentence_begins_with_a_capital_and_keeps_the_others() -> None:
    assert begun("main B and lining") == "Main B and lining"
    assert begun("") == ""


def test_many_pieces_without_a_name_are_counted() -> None:
    seen = [f"the outline at the left (p{n})" for n in range(40)]
    assert listed_pieces([], seen[:3], 8) == listed(seen[:3])
    told = f"40 pieces without a name, the first of them {seen[0]}"
    assert listed_pieces([], seen, 8) == told
    assert listed_pieces(["Front", "Back"], seen, 8) == f"Front, Back and {told}"
    names = [f"P{n}" for n in range(9)]
    assert listed_pieces(names, [], 8) == listed(names, 8)
    assert told in listed_pieces(names, seen, 8)
