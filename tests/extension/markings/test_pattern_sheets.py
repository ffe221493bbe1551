# SPDX-License-Identifier: GPL-2.0-or-later
"""Whole sheets with known truth: every piece is read right, or something is asked about it."""

from __future__ import annotations

import pytest

from extension.markings.proposing import propose
from tests.benchmarks.sheets import compared
from tests.helpers.pattern_sheets import drawn

NUMBERS = (11, 19, 32, 37, 41, 48)
"""Sheets of all garments, papers and ways to tell sizes; the benchmark draws many more."""


@pytest.mark.parametrize("number", NUMBERS)
def test_no_piece_is_silently_wrong(number: int) -> None:
    sheet = drawn(number)
    kinds = [(kind, story) for kind, story in compared(sheet, propose(sheet.drawing.document()))]
    assert not [story for kind, story in kinds if kind == "silently wrong"]
    assert sum(kind == "right" for kind, _ in kinds) >= 0.5 * len(kinds)


def test_the_same_number_draws_the_same_sheet() -> None:
    assert drawn(3).drawing.data() == drawn(3).drawing.data()
    assert drawn(3).drawing.data() != drawn(4).drawing.data()


def test_a_wrong_piece_is_seen() -> None:
    """The comparison itself: with a truth that is not drawn, pieces are wrong."""
    sheet, other = drawn(7), drawn(11)
    read = propose(other.drawing.document())
    assert any(kind == "silently wrong" for kind, _ in compared(sheet, read))
