# SPDX-License-Identifier: GPL-2.0-or-later
"""Phrases are found whole, the longest first, however they are spelt and parted."""

from __future__ import annotations

import pytest

from extension.labels.phrases import MATERIAL, Text


@pytest.mark.parametrize(
    ("text", "idea"),
    [
        ("GRAINLINE", "straight"),
        ("grain line", "straight"),
        ("Grain-Line", "straight"),
        ("GRAIN\nLINE", "straight"),
        ("schräger Fadenlauf", "bias"),
        ("schraeger Fadenlauf", "bias"),
        ("SCHRÄGER FADENLAUF", "bias"),
        ("S.G.", "straight"),
        ("sens de l’élasticité", "stretch"),
        ("N/O/W", "nap"),
        ("main fabric", f"{MATERIAL}main"),
    ],
)
def test_one_phrase(text: str, idea: str) -> None:
    (phrase,) = Text(text).phrases
    assert phrase.means(idea)


def test_the_longest_phrase_wins() -> None:
    text = Text("on the fold line")
    assert [phrase.means("fold") for phrase in text.phrases] == [True]
    assert not text.phrases[0].means("on fold")


def test_short_words_do_not_run_together() -> None:
    """French *manche T. 38* is no Dutch *manchet*, and *cm S* are no centimetres."""
    assert not Text("manche T").phrases[0].means("unit cm")
    assert [phrase.end - phrase.start for phrase in Text("manche T").phrases] == [1, 1]


def test_a_word_of_two_languages_keeps_both() -> None:
    (phrase,) = Text("dos").phrases
    assert phrase.languages("part") == {"fr"}
    assert phrase.values("number ") == {"2": frozenset({"es"})}


def test_what_is_read_or_barred_is_no_longer_free() -> None:
    text = Text("CUT 2 ON FOLD")
    text.read(text.phrases[0])
    text.bar(1)
    text.bar(0)
    assert text.is_read(0)
    assert not text.is_free(1)
    assert [phrase.start for phrase in text.find("on fold", "cut")] == [2]


def test_lines_and_items() -> None:
    text = Text("2 main, 1 lining\ngrain")
    assert list(text.item(0)) == [0, 1]
    assert list(text.line(0)) == [0, 1, 2, 3, 4]
    assert list(text.line(6)) == [6]
