# SPDX-License-Identifier: GPL-2.0-or-later
"""Texts that are taken apart: each part stands where it stood."""

from __future__ import annotations

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
