# SPDX-License-Identifier: GPL-2.0-or-later
"""Whole labels: seven languages, and traps that must not be read as counts, folds or names."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.labels import nouns, vocabulary
from extension.labels.reading import LabelReading, read_label
from extension.labels.tokens import tokens_of
from extension.vocabulary import MATERIALS
from extension.words import folded
from tests.extension.labels.cases import LANGUAGES, TRAPS


def told(reading: LabelReading) -> str:
    """Return a reading as short text: only what is said, questions as `asks`."""
    demands = [
        f"{one.cut} {one.material}" + (" same" if one.hand == "same" else "")
        for one in reading.demands
    ]
    allowance = reading.allowance
    nap = {True: "nap", False: "no nap", None: ""}[reading.nap]
    said = [
        ", ".join(demands),
        "fold" if reading.fold else "",
        reading.grain or "",
        f"name {reading.name}" if reading.name else "",
        f"size {reading.size}" if reading.size else "",
        nap,
        "stretch" if reading.stretch else "",
        f"allowance {allowance:g}" if isinstance(allowance, float) else "",
        f"allowance {allowance}" if isinstance(allowance, str) else "",
        f"number {reading.number}" if reading.number else "",
        f"unread {' / '.join(reading.unread)}" if reading.unread else "",
        "asks" if reading.questions else "",
    ]
    return "; ".join(one for one in said if one)


ROWS = [
    pytest.param(text.replace("|", "\n"), expected, id=f"{language}-{text}")
    for language, rows in {**LANGUAGES, "trap": TRAPS}.items()
    for text, expected in rows
]


@pytest.mark.parametrize(("text", "expected"), ROWS)
def test_labels(text: str, expected: str) -> None:
    assert told(read_label(text)) == expected


def test_there_are_enough_labels_and_traps() -> None:
    labels = sum(map(len, LANGUAGES.values())) + len(TRAPS)
    assert labels >= 150
    assert len(TRAPS) >= labels / 3
    assert len({text for rows in (*LANGUAGES.values(), TRAPS) for text, _ in rows}) > labels - 5
