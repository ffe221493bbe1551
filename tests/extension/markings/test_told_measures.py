# SPDX-License-Identifier: GPL-2.0-or-later
"""A label with measures that the piece is not drawn in is asked about."""

from __future__ import annotations

import pytest

from extension.markings.proposing import propose
from tests.helpers.marked import ARROW, LOOK
from tests.helpers.svg_builder import SvgBuilder


def wants(label: str, size: tuple[float, float] = (200.0, 80.0), fold: bool = False) -> list[str]:
    """Return what is asked about the measures of a rectangle, mm, with a label."""
    drawing = SvgBuilder("600mm", "600mm", (0, 0, 600, 600))
    wide, high = size
    drawing.add_rect(20, 20, wide, high, id="piece", style=LOOK, transform="rotate(20)")
    drawing.add_text(label, 60, 45, font_size=7, transform="rotate(20)")
    drawing.add_line((35, 30), (35, 80), style=ARROW, transform="rotate(20)")
    if fold:
        bracket = f"M {wide + 18} 35 h -10 v 50 h 10"
        drawing.add_path(bracket, style=ARROW, transform="rotate(20)")
    (piece,) = propose(drawing.document()).pieces
    assert piece.fold is fold
    return [want for want in piece.wants if "which is right" in want]


@pytest.mark.parametrize(
    "label",
    [
        "Belt\ncut 1 - 150 x 8 cm",
        "Belt\ncut 1, 150 cm × 8 cm",
        "Gürtel\n1x zuschneiden (60 x 8 cm)",
        'Belt\ncut 1 (24" x 3 1/4")',
        "Belt\n20 x 80 cm\ncut 1",
    ],
)
def test_other_measures_than_drawn_are_asked_about(label: str) -> None:
    (want,) = wants(label)
    assert "it is drawn 8 × 20 cm" in want


@pytest.mark.parametrize(
    "label",
    [
        "Belt\ncut 1 - 20 x 8 cm",
        "Belt\ncut 1 - 8 x 20 cm",
        "Belt\ncut 1, 200 mm x 80 mm",
        "Belt\ncut 1 (7 7/8 in x 3 1/8 in)",
        "Belt\ncut 1, finished 17 x 5 cm",
        "Belt\ncut 2 x main",
        "Belt\ncut 1",
    ],
)
def test_those_that_are_drawn_are_not(label: str) -> None:
    assert not wants(label)


def test_of_a_half_on_the_fold_the_whole_may_be_told() -> None:
    assert not wants("Belt\ncut 1 on fold 40 x 8 cm", fold=True)
    assert wants("Belt\ncut 1 on fold 60 x 8 cm", fold=True)
