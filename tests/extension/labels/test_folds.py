# SPDX-License-Identifier: GPL-2.0-or-later
"""A piece on the fold, a fold of something else, and a fold that is denied."""

from __future__ import annotations

import pytest

from extension.labels.folds import bar_negations, read_fold
from extension.labels.phrases import Text
from extension.labels.reading import read_label


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("PLACE ON FOLD", True),
        ("FOLD EDGE", True),
        ("fold, grainline", True),
        ("CF fold", True),
        ("hem: fold line", False),
        ("sew pleat on fold", False),
        ("do not place on fold", False),
        ("fold to wrong side", False),
    ],
)
def test_fold(text: str, expected: bool) -> None:
    label = Text(text)
    bar_negations(label)
    assert bool(read_fold(label)) is expected


def test_what_is_denied_can_be_no_count_either() -> None:
    label = Text("do not cut 2")
    bar_negations(label)
    assert not any(label.is_free(index) for index in range(1, len(label.tokens)))


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("Devant à couper 2 fois dans le tissu et 1 fois au pli dans la doublure", True),
        ("Front cut 2 in main, 1 on fold in lining", True),
        ("Rückenteil 1x im Bruch Stoff, 2x Futter", True),
        ("Back cut 1 on fold main, 2 lining", True),
        ("Back cut 1 on fold main, 1 lining", False),
        ("Collar cut 2 main, 1 interfacing on fold", False),
        ("Collar on fold: cut 2 main, 1 interfacing", False),
        ("Cuff cut 2 on fold", False),
    ],
)
def test_a_fold_beside_one_count_of_several_in_a_line_is_asked_about(text: str, asks: bool) -> None:
    reading = read_label(text)
    assert reading.fold
    assert any("is on the fold and another is not" in one for one in reading.questions) is asks


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("Facing\ncut 1 on crossgrain fold", True),
        ("Facing\ncut 1 on crosswise fold", True),
        ("Facing\ncut 1 to fold", True),
        ("Facing\ncut 1 with fold", True),
        ("Facing\ncut 1 not on fold", False),
        ("Facing\ncut 1, hem fold 3 cm", False),
        ("Facing\ncut 1\ndo not cut on fold line", False),
        ("Facing\ncut 1 on fold", False),
    ],
)
def test_a_fold_that_nothing_was_made_of_beside_a_count_is_asked_about(
    text: str, asks: bool
) -> None:
    questions = read_label(text).questions
    assert (
        any(one.startswith("Is “") and "the fold of the cloth" in one for one in questions) is asks
    )
