# SPDX-License-Identifier: GPL-2.0-or-later
"""A piece drawn once, in the line of one size, may be for all sizes: it is asked about."""

from __future__ import annotations

import pytest

from extension.markings.proposals import Proposal
from extension.markings.proposing import propose
from tests.extension.markings.test_sizes import (
    DASHES,
    LOOK,
    SIZES,
    common,
    explained,
    outline,
    sheet,
)

ONCE = "is it for that size alone, or for all"


def read(*others: tuple[str, int]) -> list[Proposal]:
    """Return pieces with these words, each in the style of one size, beside a front in all."""
    drawing = sheet()
    for number, look in enumerate(DASHES):
        drawing.add_path(outline(number), style=f"fill:none;{look}")
        explained(drawing, number, look, f"Size {SIZES[number]}")
    common(drawing)
    for place, (words, style) in enumerate(others):
        x = 400 + 200 * place
        data = f"M {x} 60 h 160 v 100 h -160 Z"
        drawing.add_path(data, id=f"other-{place}", style=f"fill:none;{DASHES[style]}")
        drawing.add_text(words, x + 20, 100, font_size=10)
        drawing.add_line((x + 120, 70), (x + 120, 150), style=f"{LOOK};marker-end:url(#h)")
    found = {piece.id: piece for piece in propose(drawing.document()).pieces}
    return [found[f"other-{place}"] for place in range(len(others))]


def test_a_piece_drawn_once_in_the_style_of_a_size_is_asked_about() -> None:
    (pocket,) = read(("Pocket\ncut 2", 0))
    (want,) = pocket.wants
    assert ONCE in want
    assert pocket.size == SIZES[0]


@pytest.mark.parametrize("words", ["all sizes", "alle Größen", "toutes les tailles"])
def test_a_label_for_all_sizes_counts_for_more_than_the_line(words: str) -> None:
    (pocket,) = read((f"Pocket\ncut 2\n{words}", 0))
    assert pocket.size is None
    assert not pocket.wants


def test_a_piece_whose_label_tells_that_size_is_not() -> None:
    assert not read((f"Pocket\ncut 2\nSize {SIZES[0]}", 0))[0].wants
    assert not read((f"Pocket\ncut 2\n{SIZES[0]}", 0))[0].wants


def test_pieces_of_one_name_in_the_styles_of_two_sizes_are_not() -> None:
    assert not any(piece.wants for piece in read(("Pocket\ncut 2", 0), ("Pocket\ncut 2", 1)))
