# SPDX-License-Identifier: GPL-2.0-or-later
"""Lengths on labels, and numbers that count something else."""

from __future__ import annotations

import pytest

from extension.labels.measures import bar_numbered, bar_other_numbers, measure_at
from extension.labels.phrases import Text


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1.5 cm", 15.0),
        ("1,5cm", 15.0),
        ("15 mm", 15.0),
        ("5/8 in", 15.875),  # 1 in = 25.4 mm exactly
        ('5/8"', 15.875),
        ("5/8", 15.875),
        ("1½ inches", 38.1),
        ("1 1/2 in", 38.1),
        ("2 Zoll", 50.8),
        ("1 yd", 914.4),
        ("2 pulgadas", 50.8),
        ("2 in from edge", 50.8),
    ],
)
def test_lengths(text: str, mm: float) -> None:
    measure = measure_at(Text(text), 0)
    assert measure is not None
    assert measure.mm == pytest.approx(mm)


@pytest.mark.parametrize("text", ["2", "2 main", "2 in lining", "2 in the lining", "2 x", "cm"])
def test_what_is_no_length(text: str) -> None:
    assert measure_at(Text(text), 0) is None


def test_a_closing_quotation_mark_is_no_inch() -> None:
    assert measure_at(Text('"CUT 2"'), 2) is None


@pytest.mark.parametrize(
    ("text", "free"),
    [
        ("page 2 of 12", []),
        ("View B cut 2", ["cut", "2"]),
        ("5 x 5 cm", []),
        ("5 cm x 5 cm", []),
        ("1x + 1x", ["1", "x", "1", "x"]),
        ("2 buttons", []),
        ("button placket x2", ["button", "placket", "x", "2"]),
        ("front, 2 snaps", ["front"]),
    ],
)
def test_numbers_of_other_things_are_barred(text: str, free: list[str]) -> None:
    label = Text(text)
    bar_numbered(label)
    bar_other_numbers(label)
    found = [token.key for index, token in enumerate(label.tokens) if label.is_free(index)]
    assert [key for key in found if key.isalnum()] == free
