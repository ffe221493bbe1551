# SPDX-License-Identifier: GPL-2.0-or-later
"""A piece on the fold, a fold of something else, and a fold that is denied."""

from __future__ import annotations

import pytest

from extension.labels.folds import bar_negations, read_fold
from extension.labels.phrases import Text


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
