# SPDX-License-Identifier: GPL-2.0-or-later
"""Words of the trade in seven languages, as a table that a native speaker can edit.

Only the rows marked "seen" below were met in print; the others are common practice, no source.
English, German, French, Spanish, Italian, Portuguese, Dutch, in this order.
"""

from __future__ import annotations

import re

from extension.language.words import folded

MATERIALS: dict[str, tuple[str, ...]] = {
    "main": (
        *("main", "main fabric", "main cloth", "self", "self fabric", "fabric", "shell", "outer"),
        *("outer fabric", "fashion fabric"),
        *("Stoff", "Oberstoff", "OST", "Hauptstoff", "Außenstoff"),  # seen: Oberstoff (OST)
        *("tissu", "tissu principal"),
        *("tela", "tela principal", "tejido", "tejido principal"),
        *("tessuto", "tessuto principale", "stoffa"),
        *("tecido", "tecido principal"),
        *("stof", "buitenstof", "hoofdstof"),
    ),
    "contrast": (
        *("contrast", "contrast fabric", "contrasting fabric", "combo"),
        *("Kontraststoff", "Kontrast", "Besatz"),
        *("tissu contrastant", "contrastant", "empiècement"),
        *("contraste", "tela contraste", "tela de contraste"),  # Spanish, Portuguese, French
        *("contrasto", "tessuto a contrasto"),
        *("tecido contraste",),
        *("contraststof",),
    ),
    "lining": (
        *("lining", "lining fabric"),
        *("Futter", "Futterstoff"),
        *("doublure",),
        *("forro",),  # Spanish, Portuguese
        *("fodera",),  # seen
        *("voering", "voeringstof"),
    ),
    "interfacing": (
        *("interfacing", "interf", "fusible", "fusible interfacing", "interlining"),
        *("Einlage", "Bügeleinlage", "Buegeleinlage"),
        *("entoilage", "thermocollant"),
        *("entretela",),  # Spanish, Portuguese
        *("teletta", "interfodera", "adesivo"),  # seen: teletta
        *("tussenvoering", "plakvlieseline"),
    ),
    "wadding": (
        *("wadding", "batting"),
        *("Volumenvlies", "Watte"),
        *("ouate", "molleton"),
        *("guata",),
        *("ovatta", "imbottitura"),
        *("manta acrílica",),
        *("volumevlies",),
    ),
    "ribbing": (
        *("ribbing", "rib"),
        *("Bündchenstoff", "Buendchenstoff"),
        *("bord-côte",),
        *("canalé",),
        *("costina",),
        *("ribana",),
        *("boordstof",),
    ),
}
"""What a piece is cut from: our word, and the words met on patterns for it."""

_MATERIAL_OF = {folded(word): material for material, words in MATERIALS.items() for word in words}
_NUMBERED = re.compile(r"\A(.*?)(\d+)\Z", re.DOTALL)


def material(word: str) -> str:
    """Return the material a word means: `main`, `lining`, or another key of `MATERIALS`.

    A number at its end is kept apart (`Contrast 2` is `contrast 2`, a second contrast fabric; a
    first one is the same as without a number). Any other word is a material of the drawing's own
    and returned as it is compared, so that `Rib-knit` and `rib knit` are one.
    """
    word = folded(word)
    if word in _MATERIAL_OF:
        return _MATERIAL_OF[word]
    numbered = _NUMBERED.match(word)
    if numbered and numbered[1] in _MATERIAL_OF:
        known = _MATERIAL_OF[numbered[1]]
        return known if int(numbered[2]) == 1 else f"{known} {int(numbered[2])}"
    return word
