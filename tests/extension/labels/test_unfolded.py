# SPDX-License-Identifier: GPL-2.0-or-later
"""What is left of a label without the words that put the piece on the fold."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.labels.reading import read_label
from extension.labels.unfolded import fold_letters, says_on_fold


def without(label: str) -> str:
    gone = fold_letters(label)
    return "".join(letter for index, letter in enumerate(label) if index not in gone)


@pytest.mark.parametrize(
    ("label", "left"),
    [
        ("cut 1 on the fold", "cut 1"),
        ("cut on fold", ""),
        ("PLACE ON FOLD CUT 1", "CUT 1"),
        ("CF fold", "CF"),
        ("Back, on fold, cut 1", "Back, cut 1"),
        ("Back – cut 1 on fold – size 38", "Back – cut 1 – size 38"),
        ("Back [on fold] cut 1", "Back cut 1"),
        ("cut 1 on the fold; nap up", "cut 1; nap up"),
        ("cut 1 (main) on\nfold", "cut 1 (main)"),
        ("1x im Bruch zuschneiden", "1x zuschneiden"),
        ("1 fois au pli", "1 fois"),
        ("Corte 1 al doblez de la tela", "Corte 1"),
        ("tagliare 1 volta sulla piega", "tagliare 1 volta"),
        ("1x na dobra do tecido", "1x"),
        ("1x aan de stofvouw", "1x"),
        ("do not cut on the fold line", "do not cut on the fold line"),
        ("Hem: fold 2 cm", "Hem: fold 2 cm"),
        ("cut 2", "cut 2"),
        ("", ""),
    ],
)
def test_a_label_without_its_fold(label: str, left: str) -> None:
    assert without(label) == left


WORDS = ["Back", "cut", "1", "2 main", "on the fold", "place on fold", "fold", "(", ")", ",", "–"]


@given(st.lists(st.sampled_from([*WORDS, "im Bruch", "au pli", "No. 3", "\n"]), max_size=9))
def test_what_is_left_puts_nothing_on_the_fold_and_nothing_is_lost_without_one(
    words: list[str],
) -> None:
    label = " ".join(words)
    if read_label(label).fold:
        assert len(without(label)) < len(label)
        assert {letter for letter in without(label) if letter.isdigit()} == {
            letter for letter in label if letter.isdigit()
        }
    else:
        assert without(label) == label


def test_a_bare_fold_may_be_any() -> None:
    assert not says_on_fold("fold")
    assert not says_on_fold("Bruchlinie")
    assert says_on_fold("place on fold")
    assert says_on_fold("fold, cut 1")
