# SPDX-License-Identifier: GPL-2.0-or-later
"""Texts that are taken apart: each part stands where it stood."""

from __future__ import annotations

import pytest

from extension.pages.texts import parted
from extension.svg.document import parse
from extension.svg.leaves import read_leaves

DRAWING = b"""<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm"
 xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd" viewBox="0 0 100 100">
<text x="10" y="20" style="font-size:5px;font-family:sans-serif">
<tspan sodipodi:role="line" x="10" y="20">Front</tspan><tspan
 sodipodi:role="line" x="12" y="26.25">cut 2 from fabric</tspan></text></svg>"""


def test_each_row_of_a_text_says_of_the_whole_where_it_stands() -> None:
    """Inkscape 1.2.2 draws the first line where the text says (seen): rows lay on each other."""
    (leaf,) = read_leaves(parse(DRAWING))
    rows = parted(leaf, by_rows=True)
    assert [(row.element.get("x"), row.element.get("y"), row.text) for row in rows] == [
        ("10", "20", "Front"),
        ("12", "26.25", "cut 2 from fabric"),
    ]


LEAPING = b"""<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="100mm"
 viewBox="0 0 900 100"><text x="9" y="9"><tspan style="font-size:10px" x="20" y="30"
 dx="0 0 0 0 0 500 -0.2">cut 2Piece 3</tspan></text></svg>"""
"""One run of two labels, as Inkscape 1.4 makes it of a PDF (seen); its size is said of it alone."""


def test_a_run_that_leaps_is_two_texts() -> None:
    """Letters are 0.2 to 0.7 of the font size wide, so that the second begins within 4 mm."""
    (leaf,) = read_leaves(parse(LEAPING))
    assert leaf.text == "cut 2\nPiece 3"
    first, second = parted(leaf)
    assert (first.text, second.text) == ("cut 2", "Piece 3")
    assert (first.box[0], second.box[0]) == pytest.approx((20.0, 542.0), abs=4.0)
    assert [leaf.box[1], leaf.box[3]] == pytest.approx([22.0, 32.5])
    runs = [(run.get("dx"), run.text) for part in (first, second) for run in part.element]
    assert runs == [("0.0 0.0 0.0 0.0 0.0", "cut 2"), ("0 -0.2", "Piece 3")]


def test_letters_that_are_shifted_a_little_are_one_text() -> None:
    (leaf,) = read_leaves(parse(LEAPING.replace(b"500", b"35")))
    assert [part.text for part in parted(leaf)] == ["cut 2 Piece 3"]
    assert leaf.text == "cut 2 Piece 3"


@pytest.mark.parametrize(
    ("shifts", "words"),
    [("0 0 2.7 0 0 0 0 0 0 2.7 0 0 2.7", "2x knippen uit stof"), ("0 1.4", "2xknippenuitstof"),
     ("0 0 2.7 nowhere", "2xknippenuitstof"),
     ("0 " + "3 " * 15, "2xknippenuitstof"), ("0 0 2.7 0 0 0 0 0 0 60", "2x knippen\nuitstof")],
)  # fmt: skip
def test_spaces_that_are_given_as_shifts_are_read(shifts: str, words: str) -> None:
    """Where a font has no sign for a space; what is set wide has none between all letters."""
    run = f'<tspan style="font-size:10px" x="20" y="30" dx="{shifts}">2xknippenuitstof</tspan>'
    drawing = f'<svg xmlns="http://www.w3.org/2000/svg"><text>{run}</text></svg>'
    (leaf,) = read_leaves(parse(drawing.encode()))
    assert leaf.text == words
