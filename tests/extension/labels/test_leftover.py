# SPDX-License-Identifier: GPL-2.0-or-later
"""What is left unread is asked about where it may change what is cut.

The labels are our own, common practice, no source.
"""

from __future__ import annotations

import pytest

from extension.labels.reading import read_label


@pytest.mark.parametrize(
    ("label", "other"),
    [
        ("Upper collar cut 1, under collar cut 1 on bias", "under collar"),
        ("Upper collar: cut 1\nUnder collar: cut 1 on bias", "Under collar"),
        ("Front cut 2 main\nFront facing cut 2 lining", "Front facing"),
        ("Pocket bag A cut 2 main, pocket bag B cut 2 lining", "pocket bag B"),
        ("Oberkragen 1x\nUnterkragen 1x", "Unterkragen"),
    ],
)
def test_a_second_part_with_a_count_of_its_own_is_asked_about(label: str, other: str) -> None:
    questions = read_label(label).questions
    assert questions == (f"“{other}” has a count of its own: is it another piece?",)


@pytest.mark.parametrize(
    "label",
    [
        "Front cut 2 / Vorderteil 2x zuschneiden / Devant couper 2x",
        "FRONT - VORDERTEIL - DEVANT\nCUT 2 - 2X ZUSCHNEIDEN - COUPER 2",
        "Front bodice cut 2 main fabric\nFront bodice cut 2 lining",
        "Front\nCut 2 main\nCut 2 interfacing (collar stand)",
        "Cuff: cut 4 main, cut 2 interfacing",
        "Sleeve cut 2 main; cut 2 lining\nmatch to front",
    ],
)
def test_the_same_part_again_and_parts_without_a_count_are_not(label: str) -> None:
    assert read_label(label).demands
    assert not read_label(label).questions
