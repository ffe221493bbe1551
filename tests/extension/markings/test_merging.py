# SPDX-License-Identifier: GPL-2.0-or-later
"""Several texts on one piece as one label, and what in them nobody understood."""

from __future__ import annotations

import pytest

from extension.markings.proposals import Proposal
from extension.markings.proposing import propose
from tests.helpers.svg_builder import SvgBuilder

LOOK = "fill:none;stroke:#000000;stroke-width:0.5"


def read(*texts: str, arrow: str = "M 100 330 L 100 250") -> Proposal:
    """Return what is read of a piece with texts far apart, and an arrow."""
    drawing = SvgBuilder("500mm", "500mm", (0, 0, 500, 500))
    drawing.add_path("M 60 40 H 260 L 280 360 H 60 Z", id="piece", style=LOOK)
    drawing.add_path(arrow, style=f"{LOOK};marker-start:url(#h);marker-end:url(#h)")
    for place, text in enumerate(texts):
        drawing.add_text(text, 130, 80 + 70 * place, font_size=10)
    (piece,) = propose(drawing.document()).pieces
    return piece


@pytest.mark.parametrize(
    ("texts", "cut"),
    [
        (("Sleeve", "Cut 2", "Lining"), "2 lining"),
        (("Pocket", "Cut 2", "do not mirror"), "2 main same"),
        (("Sleeve", "Cut 2 main", "Cut 1 interfacing"), "2 main; 1 interfacing"),
        (("Front", "Cut 2 fabric A, 1 fabric B"), "2 main A; 1 main B"),
    ],
)
def test_texts_that_stand_apart_are_one_label(texts: tuple[str, ...], cut: str) -> None:
    piece = read(*texts)
    assert piece.is_complete, piece.wants
    assert piece.name == texts[0]
    assert piece.attributes["cut"] == cut


def test_texts_that_count_otherwise_together_are_asked_about() -> None:
    assert any("may be one label" in want for want in read("Sleeve", "1x left", "1x right").wants)


def test_words_that_nobody_understood_take_the_tick_away() -> None:
    assert read("Front\nCut 2").is_complete
    (want,) = read("Front\nCut 2\nzzyzx the frabble").wants
    assert want == "“zzyzx the frabble” was not understood: does it change what is cut?"
    assert read("Front\nCut 2\nPage 3 of 12").is_complete


@pytest.mark.parametrize(
    "other",
    [
        "repeat for interfacing",
        "lining: shorten by 3 cm",
        "lining cutting line",
        "8 for long version",
        "mirror one",
        "Futter hier abschneiden",
        "extend by 60 cm here",
        "hier um 60 cm verlängern",
        "rallonger de 60 cm",
        "add 4 cm for the hem",
    ],
)
def test_a_text_that_stands_apart_is_asked_about_where_it_may_change_what_is_cut(
    other: str,
) -> None:
    piece = read("Front\nCut 2", other)
    assert [(one.cut, one.material) for one in piece.demands] == [(2, "main")]
    (want,) = piece.wants
    assert want.endswith("was not understood: does it change what is cut?")
    assert want[1:-1].split("”")[0] in other


@pytest.mark.parametrize(
    "other",
    [
        "2",
        "1 2 3",
        "Pleat 1",
        "Notch 2",
        "3 cm",
        "place pocket here",
        "5 buttons",
        "CF",
        "lengthen here",
    ],
)
def test_other_texts_on_a_piece_are_not(other: str) -> None:
    assert read("Front\nCut 2", other).is_complete


@pytest.mark.parametrize(
    ("label", "arrow", "asks"),
    [
        ("Band\nCut 2 on bias", "M 100 330 L 100 250", True),
        ("Band\nCut 2 on bias", "M 100 330 L 180 330", True),
        ("Band\nCut 2 on bias", "M 100 330 L 160 270", False),
        ("Band\nCut 2", "M 100 330 L 100 250", False),
        ("Streifen\n2x schräger Fadenlauf", "M 100 330 L 100 250", True),
    ],
)
def test_bias_in_words_against_a_straight_arrow_is_asked(
    label: str, arrow: str, asks: bool
) -> None:
    piece = read(label, arrow=arrow)
    assert any("says bias" in want for want in piece.wants) is asks


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Belly strap, cut 2", "Belly strap"),
        ("Belly strap cut 2", "Belly strap"),
        ("Moon pocket: cut 2 main, 2 lining", "Moon pocket"),
        ("Sanglière dos, couper 2", "Sanglière dos"),
        ("Wrap front\ncut 2", "Wrap front"),
        ("Front cut 2", "Front"),
    ],
)
def test_a_name_is_whole_with_a_word_before_it_that_no_list_knows(text: str, name: str) -> None:
    piece = read(text)
    assert piece.name == name
    assert piece.is_complete, piece.wants


@pytest.mark.parametrize(
    ("label", "asks"),
    [
        ("Band\nCut 2 on cross grain", True),
        ("Band\nCut 1 crosswise", True),
        ("Bund\n2x quer zum Fadenlauf", True),
        ("Band\nCut 2 on straight grain", False),
    ],
)
def test_cross_grain_in_words_beside_an_arrow_is_asked_about(label: str, asks: bool) -> None:
    wants = read(label).wants
    assert any("says cross grain" in want for want in wants) is asks
    assert asks or not wants
