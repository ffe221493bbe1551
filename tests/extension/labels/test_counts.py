# SPDX-License-Identifier: GPL-2.0-or-later
"""Which numbers and words are counts, and what they count to."""

from __future__ import annotations

import pytest

from extension.labels.counts import Count, count_at
from extension.labels.phrases import Text


def counts(words: str) -> list[Count]:
    text = Text(words)
    found, index = [], 0
    while index < len(text.tokens):
        count = count_at(text, index)
        if count is not None:
            found.append(count)
        index = index + 1 if count is None else count.end
    return found


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("CUT 2", [2]),
        ("CUT 2 MAIN 1 LINING", [2, 1]),
        ("CUT MAIN 2", [2]),
        ("2 x 3 x", [3]),
        ("two", []),
        ("CUT TWO", [2]),
        ("couper dos", []),
        ("cortar dos", [2]),
        ("zweimal", [2]),
        ("twice", [2]),
        ("3 pairs", [6]),
        ("1 CUT 2", [2]),
        ("2 ON FOLD", [2]),
        ("2\nMAIN", []),
        ("CUT\n2", [2]),
        ("CUT 1000", []),
        ("999 x", [999]),
        ("2 sizes", []),
    ],
)
def test_values(text: str, values: list[int]) -> None:
    assert [count.value for count in counts(text)] == values


def test_pairs_are_mirrored_and_sides_are_told() -> None:
    assert counts("1 pair")[0].hand == "mirrored"
    assert [count.side for count in counts("1 L + 1 R")] == ["left", "right"]
    assert [count.side for count in counts("1x links, 1x rechts")] == ["left", "right"]
