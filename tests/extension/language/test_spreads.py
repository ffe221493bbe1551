# SPDX-License-Identifier: GPL-2.0-or-later
"""How cloth lies, in words."""

from __future__ import annotations

import pytest

from extension.language.spreads import (
    across_text,
    depth_text,
    section_text,
    sides_text,
    spread_name,
)
from extension.language.units import System
from nesting.model import OPEN, LaidSection, Section


@pytest.mark.parametrize(
    ("section", "words"),
    [
        (OPEN, "open"),
        (Section(700.0), "folded lengthwise"),
        (Section(0.0, 700.0), "folded lengthwise"),
        (Section(350.0), "folded to a depth of 35 cm"),
        (Section(0.0, 350.0), "folded to a depth of 35 cm"),
        (Section(None), "folded to the best depth"),
        (Section(350.0, 350.0), "folded twice"),
        (Section(200.0, 300.0), "folded twice, 20 cm and 30 cm deep"),
        (Section(300.0, 300.0), "folded twice, 30 cm and 30 cm deep"),
        (Section(crosswise=True), "folded crosswise"),
        (Section(crosswise=True, turned=True), "folded crosswise, the upper layer turned round"),
    ],
)
def test_each_way_to_lie_has_its_words(section: Section, words: str) -> None:
    assert spread_name(section, 1400.0, "metric") == words


def test_an_open_section_lies_right_side_up_whatever_the_sides_of_the_folded_ones() -> None:
    assert sides_text(OPEN, "apart") == "right side up"
    assert sides_text(Section(700.0), "apart") == "right sides apart"
    assert sides_text(Section(crosswise=True), "together") == "right sides together"


@pytest.mark.parametrize(
    ("section", "words"),
    [
        (LaidSection(700.0, length=950.0), "folded lengthwise, right sides together, for 95.0 cm"),
        (LaidSection(length=400.0), "open, right side up, for 40.0 cm"),
        (
            LaidSection(crosswise=True, length=1900.0),
            "folded crosswise, right sides together, 95.0 cm to each layer",
        ),
    ],
)
def test_a_section_tells_how_long_it_is(section: LaidSection, words: str) -> None:
    assert section_text(section, 1400.0, "together", "metric") == words


def test_lengths_are_told_in_the_unit_of_the_width() -> None:
    section = LaidSection(10.0 * 25.4, length=36.0 * 25.4)
    words = "folded to a depth of 10 in, right sides together, for 36 in"
    assert section_text(section, 60.0 * 25.4, "together", "imperial") == words


@pytest.mark.parametrize(
    ("depth", "system", "words"),
    [
        (350.0, "metric", "35 cm"),
        (632.126, "metric", "63.3 cm"),
        (10.0 * 25.4, "imperial", "10 in"),
        (632.126, "imperial", "24 15/16 in"),
        (350.0, "imperial", "35 cm"),
    ],
)
def test_a_depth_is_told_as_it_was_typed_or_as_a_tape_tells_it(
    depth: float, system: System, words: str
) -> None:
    assert depth_text(depth, system) == words


def test_what_is_seen_across_is_told_to_the_nearest() -> None:
    assert across_text(866.474, "metric") == "86.6 cm"
    assert across_text(450.0, "metric") == "45 cm"
    assert across_text(866.474, "imperial") == "34 1/8 in"
