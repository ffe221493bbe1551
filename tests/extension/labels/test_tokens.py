# SPDX-License-Identifier: GPL-2.0-or-later
"""A label is cut into words, numbers, line breaks and signs, and nothing of it is lost."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.labels.tokens import tokens_of


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("CUT 2", ["cut", "2"]),
        ("2x", ["2", "x"]),
        ("x2", ["x", "2"]),
        ("2 × 3", ["2", "x", "3"]),
        ("2xOberstoff", ["2", "x", "oberstoff"]),
        ("2XL", ["2", "xl"]),
        ("Größe", ["grosse"]),
        ("droit-fil", ["droit", "-", "fil"]),
        ("marge(s)", ["marges"]),
        ("1 1/2 in", ["1", "12", "in"]),
        ("1-1/2 in", ["112", "in"]),
        ("1½", ["112"]),
        ("5/8", ["58"]),
        ("1,5 cm", ["15", "cm"]),
        ("12.03.2024", ["12032024"]),
        ("36/38/40", ["363840"]),
        ("a\nb", ["a", "\n", "b"]),
    ],
)
def test_tokens(text: str, expected: list[str]) -> None:
    keys = [token.text if token.kind == "line" else token.key for token in tokens_of(text)]
    assert keys == expected


@pytest.mark.parametrize(
    ("text", "count"),
    [("2", 2), ("02", 2), ("999", 999), ("1.5", None), ("5/8", None), ("½", None), ("-1", None)],
)
def test_only_whole_numbers_count(text: str, count: int | None) -> None:
    assert [token.count for token in tokens_of(text)] == [count]


def test_digits_of_other_scripts_are_shown_but_count_nothing() -> None:
    (token,) = tokens_of("٢")
    assert token.count is None
    assert token.says_something


@given(st.text())
def test_every_letter_and_digit_is_in_a_token(text: str) -> None:
    tokens = tokens_of(text)
    covered = {place for token in tokens for place in range(token.start, token.end)}
    missed = [sign for place, sign in enumerate(text) if place not in covered]
    assert not any(sign.isalnum() for sign in missed)
    assert all(before.end <= after.start for before, after in itertools.pairwise(tokens))
