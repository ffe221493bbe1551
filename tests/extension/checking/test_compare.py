# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts side by side."""

from __future__ import annotations

from extension.checking.compare import HEAD, Row, aligned, table
from extension.checking.layers import layout_layers
from tests.helpers.edited import Edited


def row(length: float, faults: int = 0) -> Row:
    (layer,) = layout_layers(Edited().document)
    return Row(layer, length, 0.8123, 5, 5, faults)


def test_each_layout_is_a_row_under_the_head() -> None:
    cells = table([row(1836.2)])
    assert cells[0] == HEAD
    assert cells[1][1:7] == ("90 cm", "1.84 m", "1.90 m / 2 1/8 yd", "81.2%", "5 of 5", "with")
    assert cells[1][-1] == "clean"


def test_faults_are_counted() -> None:
    assert [one[-1] for one in table([row(9.0, 1), row(9.0, 3)])[1:]] == ["1 fault", "3 faults"]


def test_columns_of_figures_end_together_and_words_begin_together() -> None:
    lines = aligned(table([row(1836.2), row(12345.6)]))
    place = HEAD.index("needs")
    ends = {
        line.index(text) + len(text)
        for line, text in zip(lines[1:], ("1.84 m", "12.35 m"), strict=True)
    }
    assert len(ends) == 1, place
    assert (
        len(
            {
                line.index(text)
                for line, text in zip(lines, ("check", "clean", "clean"), strict=True)
            }
        )
        == 1
    )
