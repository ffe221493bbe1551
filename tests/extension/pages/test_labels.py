# SPDX-License-Identifier: GPL-2.0-or-later
"""What pages say of their place. The words are common practice of printed patterns, no source."""

from __future__ import annotations

import pytest

from extension.pages.labels import Label, parsed


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("3/24", 3),
        ("3 / 24", 3),
        ("(12/24)", 12),
        ("page 7 of 20", 7),
        ("Seite 7 von 20", 7),
        ("page 7 sur 20", 7),
        ("pagina 7 van 20", 7),
        ("pagina 7 di 20", 7),
        ("página 7 de 20", 7),
        ("Blouse 38 – 4/16", 4),
        ("Blatt 5", 5),
        ("5", 5),
    ],
)
def test_numbers_of_pages(text: str, number: int) -> None:
    assert parsed(text) == Label(number=number)


@pytest.mark.parametrize(
    ("text", "cell", "rows"),
    [
        ("A1", (1, 1), None),
        ("c 4", (3, 4), None),
        ("4C", (4, 3), None),
        ("2-3", (2, 3), None),
        ("row 2, column 3", (2, 3), 0),
        ("Spalte 3 / Reihe 2", (3, 2), 1),
        ("rang 1 colonne 2", (1, 2), 0),
        ("R2C3", (2, 3), 0),
    ],
)
def test_rows_and_columns(text: str, cell: tuple[int, int], rows: int | None) -> None:
    assert parsed(text) == Label(cell=cell, rows=rows)


@pytest.mark.parametrize(
    "text",
    [
        "Front",
        "cut 2",
        "Gr. 38",
        "5 cm",
        "25/24",
        "1/2 in",
        "seam 5/8 in",
        '1/2"',
        "centre front",
        "",
        "1234",
        "A4 paper",
    ],
)
def test_words_of_the_pattern_are_no_labels_of_pages(text: str) -> None:
    assert parsed(text) is None
