# SPDX-License-Identifier: GPL-2.0-or-later
"""Labels of the trade: each is read right, or something is asked; none silently wrong."""

from __future__ import annotations

from collections import Counter

import pytest

from extension.labels.reading import read_label
from tests.extension.labels.trade import LAST, LATER, Row, rows, verdict

ROWS = rows()
LANGUAGES = list(dict.fromkeys(row.language for row in ROWS))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_label_is_read_right_or_something_is_asked(language: str) -> None:
    own = [row for row in (*ROWS, *rows(LATER), *rows(LAST)) if row.language == language]
    failed = {row.text: found for row in own if (found := _verdict(row)) not in ("right", "asked")}
    assert failed == {}


def test_hardly_a_label_is_asked_about_that_the_trade_reads_without_a_question() -> None:
    asked = [row.text for row in ROWS if "asks" not in row.facts and _verdict(row) == "asked"]
    assert len(asked) <= 3, asked


def test_a_third_of_the_last_labels_are_traps() -> None:
    last = rows(LAST)
    assert len(last) == len({(row.language, row.text) for row in last}) == 93
    assert sum(row.trap for row in last) >= 93 / 3


def test_there_are_400_labels_in_seven_languages_and_a_third_are_traps() -> None:
    counted = Counter(row.language for row in ROWS)
    assert len(ROWS) == len({(row.language, row.text) for row in ROWS}) == 400
    assert len(counted) == 7
    assert min(counted.values()) >= 50
    assert sum(row.trap for row in ROWS) >= 400 / 3
    assert sum(row.held_back for row in ROWS) == 100


def _verdict(row: Row) -> str:
    return verdict(row, read_label(row.text))
