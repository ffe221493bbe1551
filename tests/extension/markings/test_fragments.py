# SPDX-License-Identifier: GPL-2.0-or-later
"""Letters that stand by themselves, as readers of PDF files place them, and where words end."""

from __future__ import annotations

import pytest

from extension.markings.fragments import fragments_of
from extension.svg.leaves import read_leaves
from tests.helpers.svg_builder import SvgBuilder

FONTS = {
    "sans": "C1479 i455 n1139 t569 u1139 r682 l455 a1139 J1024 p1139 e1139 Y1366 o1139 k1024 F1251"
    " A1366 c1024 21139 M1706 –1139 569",
    "serif": "C1366 i569 n1024 t569 u1024 r682 l569 a909 J797 p1024 e909 Y1479 o1024 k1024 F1139"
    " A1479 c909 21024 M1821 –1024 512",
}
"""Advances in 1/2048 of the font size, the space last: Liberation Sans and Serif 2.1.5, by the
font files' own tables; their widths are those of the two fonts that every printer has."""


def read(words: str, font: str, *, spaces: bool) -> str:
    """Return words as they are read when each letter has a place, with spaces or gaps alone."""
    *letters, space = FONTS[font].split()
    advances = {each[0]: float(each[1:]) for each in letters} | {" ": float(space)}
    xs, x = [], 10.0
    for letter in words:
        xs += [f"{x:.4f}"] if spaces or letter != " " else []
        x += advances[letter] / 2048.0 * 10.0
    drawing = SvgBuilder()
    text = drawing.add_text(words if spaces else words.replace(" ", ""), 10, 50, font_size=10)
    text[0].set("x", " ".join(xs))
    document = drawing.document()
    (found,) = fragments_of(read_leaves(document), document.root, document.viewport)
    return found.text


@pytest.mark.parametrize("font", FONTS)
@pytest.mark.parametrize(
    "words", ["Cinturilla", "Jupe", "Yoke", "Front A cut 2", "Main cut 2", "Front 2 – 22"]
)
@pytest.mark.parametrize("spaces", [True, False])
def test_words_end_where_there_is_a_space_and_nowhere_else(
    words: str, font: str, spaces: bool
) -> None:
    """The C of “Cinturilla” was taken for a word, so that the piece had another name."""
    assert read(words, font, spaces=spaces) == words
