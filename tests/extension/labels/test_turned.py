# SPDX-License-Identifier: GPL-2.0-or-later
"""Words that turn what a size says are asked about; the same words elsewhere are not.

The labels are our own, the words common practice, no source.
"""

from __future__ import annotations

import pytest

from extension.labels.reading import read_label
from extension.labels.turned import TURNING

ASKED = "which sizes is the piece for?"


def asked(text: str) -> list[str]:
    """Return what is asked about turned sizes."""
    return [one for one in read_label(text).questions if one.endswith(ASKED)]


@pytest.mark.parametrize(
    ("label", "words"),
    [
        ("FRONT\nCUT 2\nexcept size 98", "except size 98"),
        ("Pocket cut 2, omit for size 98", "omit for size 98"),
        ("Cut 2 for sizes 98, 104 (not 110)", "not 110"),
        ("Sleeve, sizes 98-116 except 104, cut 2", "except 104"),
        ("all sizes except 98 cut 2", "except 98"),
        ("Cut 2 main not XS", "not XS"),
        ("Sleeve cut 2 up to size 98", "up to size 98"),
        ("Front, for sizes below 104, cut 2", "below 104"),
        ("Front cut 2 size 98 up", "size 98 up"),
        ("cut 2 size 98 and up Sleeve", "size 98 and up"),
        ("Pocket\ncut 2\nsizes 98 & up", "sizes 98 & up"),
        ("Pocket\ncut 2\nsizes 98 and larger", "sizes 98 and larger"),
        ("Sizes 98+ cut 2", "Sizes 98+"),
        ("Size > 98 cut 2", "Size > 98"),
        ("Vorderteil 2x außer Gr. 98", "außer Gr. 98"),
        ("Vorderteil 2x bis Gr. 98", "bis Gr. 98"),
        ("Tasche 2x ab Größe 98", "ab Größe 98"),
        ("Front Gr. 98 aufwärts 2x", "Gr. 98 aufwärts"),
        ("Ceinture couper 1 sauf taille 38", "sauf taille 38"),
        ("Manche couper 2 jusqu'à la taille 38", "jusqu'à la taille 38"),
        ("Manga cortar 2 desde la talla 38", "desde la talla 38"),
        ("Manica tagliare 2 tranne la taglia 38", "tranne la taglia 38"),
        ("Manga cortar 2 exceto tamanho 38", "exceto tamanho 38"),
        ("Mouw 2x knippen behalve maat 38", "behalve maat 38"),
    ],
)
def test_a_size_that_is_turned_is_asked_about(label: str, words: str) -> None:
    assert asked(label) == [f"“{words}”: {ASKED}"]
    assert read_label(label).demands
    assert read_label(label).size is None


@pytest.mark.parametrize(
    "label",
    [
        "Pocket cut 2 all sizes",
        "Pocket cut 2 (sizes 104-116 only)",
        "Front cut 2 sizes 98 to 104",
        "Front cut 2 from size 98 to size 104",
        "Vorderteil 2x von Gr. 98 bis 104",
        "Vorderteil 2x ab Gr. 98-104",
        "Vorderteil 2x Gr. 98 bis Gr. 104",
        "Rug Maat 98 t/m 116 2x knippen",
        "Size 38 + 40 cut 2",
        "Sizes 98+104 cut 2",
        "Under collar size 98 cut 1",
        "Front cut 2 not on fold size 98",
        "Front cut 2 without 1.5 cm seam allowance",
        "Front, cut 2 over 2 layers",
        "Size 98 without seam allowance, cut 2",
        "No 38 front cut 2",
        "Pieza no 4 cortar 2 talla 38",
        "No lining\nsize 98\ncut 2 main",
    ],
)
def test_the_same_words_elsewhere_and_plain_ranges_are_not(label: str) -> None:
    assert not asked(label)


@pytest.mark.parametrize("language", ["en", "de", "fr", "es", "it", "pt", "nl"])
def test_every_word_of_the_tables_turns_a_size(language: str) -> None:
    size = {"en": "size", "de": "Größe", "fr": "taille", "es": "talla", "it": "taglia",
            "pt": "tamanho", "nl": "maat"}[language]  # fmt: skip
    for idea in ("but not", "open range"):
        for word in TURNING[idea][language].split(", "):
            assert asked(f"2x, {word} {size} 98"), word
    for word in TURNING["and more"][language].split(", "):
        assert asked(f"{size} 98 {word}"), word


@pytest.mark.parametrize(
    ("label", "sizes"),
    [
        ("Front cut 2 from size 98 to size 104", "98-104"),
        ("Vorderteil 2x Gr. 98 bis Gr. 104", "98-104"),
        ("Taille 38 à taille 42 couper 2", "38-42"),
        ("size S to size L cut 2", "S-L"),
        ("size 38 and size 40 cut 2", "38, 40"),
        ("Size 98, size 104 cut 2", "98, 104"),
    ],
)
def test_ranges_and_lists_with_the_word_before_each_size(label: str, sizes: str) -> None:
    reading = read_label(label)
    assert reading.size == sizes
    assert not reading.questions
