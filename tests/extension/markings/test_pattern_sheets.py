# SPDX-License-Identifier: GPL-2.0-or-later
"""Whole sheets with known truth: every piece is read right, or something is asked about it."""

from __future__ import annotations

import pytest

from extension.markings.proposing import propose
from tests.benchmarks.sheets import compared
from tests.helpers.pattern_extras import LIES
from tests.helpers.pattern_sheets import drawn

NUMBERS = (11, 19, 32, 37, 41, 48, 195)
"""Sheets of all garments, papers and ways to tell sizes; the benchmark draws many more."""


@pytest.mark.parametrize("number", NUMBERS)
def test_no_piece_is_silently_wrong(number: int) -> None:
    sheet = drawn(number)
    kinds = [(kind, story) for kind, story in compared(sheet, propose(sheet.drawing.document()))]
    assert not [story for kind, story in kinds if kind == "silently wrong"]
    assert sum(kind == "right" for kind, _ in kinds) >= 0.5 * len(kinds)


@pytest.mark.parametrize("lies", [each for each in LIES if each != "mirrored"])
@pytest.mark.parametrize("number", [3, 21])
def test_a_sheet_reads_the_same_however_it_lies_and_in_every_unit(number: int, lies: str) -> None:
    sheet = drawn(number, lies)
    kinds = [(kind, story) for kind, story in compared(sheet, propose(sheet.drawing.document()))]
    assert [story for kind, story in kinds if kind != "right"] == []


def test_a_mirrored_sheet_is_asked_about_where_its_pieces_have_a_hand() -> None:
    sheet = drawn(0, "mirrored")
    read = propose(sheet.drawing.document())
    assert {kind for kind, _ in compared(sheet, read)} <= {"right", "asked"}
    handed = [each for each in read.pieces if any(one.cut % 2 for one in each.demands)]
    assert handed
    assert all("mirrored" in " ".join(each.wants) for each in handed if not each.fold)


def test_the_same_number_draws_the_same_sheet() -> None:
    assert drawn(3).drawing.data() == drawn(3).drawing.data()
    assert drawn(3).drawing.data() != drawn(4).drawing.data()


def test_a_wrong_piece_is_seen() -> None:
    """The comparison itself: with a truth that is not drawn, pieces are wrong."""
    sheet, other = drawn(7), drawn(11)
    read = propose(other.drawing.document())
    assert any(kind == "silently wrong" for kind, _ in compared(sheet, read))
