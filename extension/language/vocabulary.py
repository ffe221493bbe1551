# SPDX-License-Identifier: GPL-2.0-or-later
"""Words of the trade in seven languages, as a table that a native speaker can edit.

Only the rows marked "seen" below were met in print; the others are common practice, no source.
English, German, French, Spanish, Italian, Portuguese, Dutch, in this order.
"""

from __future__ import annotations

import re

from extension.language.words import folded

MATERIAL_WORDS: dict[str, dict[str, str]] = {
    "main": {
        "en": "main, main fabric, main cloth, cloth, self, self fabric, fabric, shell, outer, "
        "outer fabric, fashion fabric",
        "de": "Stoff, Oberstoff, OST, Hauptstoff, Außenstoff",  # seen: Oberstoff (OST)
        "fr": "tissu, tissu principal",
        "es": "tela, tela principal, tejido, tejido principal",
        "it": "tessuto, tessuto principale, stoffa",
        "pt": "tecido, tecido principal",
        "nl": "stof, buitenstof, hoofdstof",
    },
    "contrast": {
        "en": "contrast, contrast fabric, contrasting fabric, combo",
        "de": "Kontraststoff, Kontrast, Besatz",
        "fr": "tissu contrastant, contrastant, contraste, empiècement",
        "es": "contraste, tela contraste, tela de contraste",
        "it": "contrasto, tessuto a contrasto",
        "pt": "contraste, tecido contraste",
        "nl": "contraststof",
    },
    "lining": {
        "en": "lining, lining fabric",
        "de": "Futter, Futterstoff",
        "fr": "doublure",
        "es": "forro",
        "it": "fodera",  # seen
        "pt": "forro",
        "nl": "voering, voeringstof",
    },
    "interfacing": {
        "en": "interfacing, interf, fusible, fusible interfacing, fusing, interlining",
        "de": "Einlage, Bügeleinlage, Buegeleinlage, Vlieseline, Vlieseinlage",
        "fr": "entoilage, thermocollant, entoilage thermocollant",
        "es": "entretela, entretela adhesiva",
        "it": "teletta, interfodera, adesivo, teletta adesiva",  # seen: teletta
        "pt": "entretela, entretela colante",
        "nl": "tussenvoering, plakvlieseline, vlieseline",
    },
    "wadding": {
        "en": "wadding, batting",
        "de": "Volumenvlies, Watte",
        "fr": "ouate, molleton",
        "es": "guata",
        "it": "ovatta, imbottitura",
        "pt": "manta acrílica",
        "nl": "volumevlies",
    },
    "ribbing": {
        "en": "ribbing, rib",
        "de": "Bündchenstoff, Buendchenstoff",
        "fr": "bord-côte",
        "es": "canalé",
        "it": "costina",
        "pt": "ribana",
        "nl": "boordstof",
    },
}
"""What a piece is cut from: our word, and by language the words met on patterns for it."""

MATERIALS: dict[str, tuple[str, ...]] = {
    name: tuple({folded(w): w for row in rows.values() for w in row.split(", ")}.values())
    for name, rows in MATERIAL_WORDS.items()
}
"""The same words by material, each once."""

INSIDE = ("lining", "interfacing")
"""Materials that are not seen: unless told they have neither nap nor design (common practice, no
source)."""

_MATERIAL_OF = {folded(word): material for material, words in MATERIALS.items() for word in words}
_NUMBER = re.compile(r"\s*\d+\Z")
_NUMBERED = re.compile(r"\A(.*?)(\d+)\Z", re.DOTALL)
_LETTERED = re.compile(r"\A(.*)([a-f])\Z", re.DOTALL)


def is_inside(name: str) -> bool:
    """Return whether a material is not seen in the garment; numbered ones as well."""
    return _NUMBER.sub("", name) in INSIDE


def material(word: str) -> str:
    """Return the material a word means: `main`, `lining`, or another key of `MATERIALS`.

    A number at its end is kept apart (`Contrast 2` is `contrast 2`, a second contrast fabric; a
    first one is the same as without a number), and so is a letter (`Fabric B` is `main B`: who
    letters cloths has several). Any other word is a material of the drawing's own
    and returned as it is compared, so that `Rib-knit` and `rib knit` are one.
    """
    word = folded(word)
    if word in _MATERIAL_OF:
        return _MATERIAL_OF[word]
    numbered = _NUMBERED.match(word)
    if numbered and numbered[1] in _MATERIAL_OF:
        known = _MATERIAL_OF[numbered[1]]
        return known if int(numbered[2]) == 1 else f"{known} {int(numbered[2])}"
    lettered = _LETTERED.match(word)
    if lettered and lettered[1] in _MATERIAL_OF:
        return f"{_MATERIAL_OF[lettered[1]]} {lettered[2].upper()}"
    return word
