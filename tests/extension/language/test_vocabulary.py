# SPDX-License-Identifier: GPL-2.0-or-later
"""Words for materials in seven languages.

Seen in print: Oberstoff (OST), Futter, fodera, teletta (teaching pages of fabric shops, German and
Italian); all other words are common practice, no source.
"""

from __future__ import annotations

import pytest

from extension.language.vocabulary import MATERIALS, material
from extension.language.words import folded


@pytest.mark.parametrize(
    ("expected", "words"),
    [
        ("main", "MAIN|main fabric|Self|shell|Oberstoff|OST|tissu principal|tela|Tejido|tessuto"),
        ("main", "stoffa|tecido|stof|buitenstof|Fashion-Fabric"),
        ("contrast", "contrast|Kontraststoff|Besatz|tissu contrastant|empiecement|contrasto"),
        ("contrast", "contraste|contraststof|Contrast 1"),
        ("lining", "Lining|FUTTER|doublure|forro|fodera|voering"),
        ("interfacing", "interfacing|Fusible|Bügeleinlage|Buegeleinlage|entoilage|entretela"),
        ("interfacing", "thermocollant|teletta|tussenvoering|Plakvlieseline"),
    ],
)
def test_words_of_seven_languages_meet(expected: str, words: str) -> None:
    for word in words.split("|"):
        assert material(word) == expected


def test_a_second_contrast_fabric_is_another_material() -> None:
    assert material("Contrast 2") == material("contraste2") == "contrast 2"
    assert material("Futter 02") == "lining 2"


def test_another_word_is_a_material_of_its_own() -> None:
    assert material("Rib-knit") == material("rib knit") == "ribknit"
    assert material("organza 2") == "organza2"


def test_no_word_stands_for_two_materials() -> None:
    words = [folded(word) for words in MATERIALS.values() for word in words]
    assert len(words) == len(set(words))


def test_cloths_that_a_pattern_letters_are_several() -> None:
    assert material("Fabric B") == material("stof b") == material("main B") == "main B"
    assert material("Tela A") == "main A"
    assert (material("tela"), material("fodera")) == ("main", "lining")  # no cloth “tel” a
