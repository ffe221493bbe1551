# SPDX-License-Identifier: GPL-2.0-or-later
"""Garments with their pieces as truth, and how labels in seven languages word it.

The shapes are invented; the wording is common practice, no source, written from knowledge of the
trade and not from the tables of the reader.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

Curve = tuple[tuple[float, float], ...]
"""A stretch of an outline after its start: one point makes a line, three a cubic curve; shares of
the width and height of the piece."""


@dataclass(frozen=True)
class Pattern:
    """A piece of a garment, mm; half of it where it is `fold`, its fold at the left.

    `cut` says how often by material; `arrow` and `label` where they stand, as shares.
    """

    key: str
    shape: tuple[Curve, ...]
    wide: float
    high: float
    cut: Mapping[str, int]
    fold: bool = False
    graded: bool = True


TRUNK: tuple[Curve, ...] = (
    ((0.0, 0.12),),
    ((0.2, 0.12), (0.32, 0.08), (0.35, 0.0)),
    ((0.8, 0.05),),
    ((0.7, 0.12), (0.75, 0.3), (0.95, 0.34)),
    ((1.0, 1.0),),
    ((0.0, 1.0),),
)
SLEEVE: tuple[Curve, ...] = (
    ((0.0, 0.3),),
    ((0.2, 0.25), (0.25, 0.0), (0.5, 0.0)),
    ((0.75, 0.0), (0.8, 0.25), (1.0, 0.3)),
    ((0.85, 1.0),),
    ((0.15, 1.0),),
)
LEG: tuple[Curve, ...] = (
    ((0.2, 0.0),),
    ((0.8, 0.02),),
    ((0.95, 0.4),),
    ((0.8, 1.0),),
    ((0.25, 1.0),),
    ((0.0, 0.28),),
    ((0.12, 0.26), (0.18, 0.2), (0.2, 0.14)),
)
BLOCK: tuple[Curve, ...] = (((0.0, 0.0),), ((1.0, 0.0),), ((1.0, 1.0),), ((0.0, 1.0),))
POCKET: tuple[Curve, ...] = (
    ((0.0, 0.0),),
    ((1.0, 0.0),),
    ((1.0, 0.75),),
    ((1.0, 0.9), (0.9, 1.0), (0.75, 1.0)),
    ((0.25, 1.0),),
    ((0.1, 1.0), (0.0, 0.9), (0.0, 0.75)),
)
FACING: tuple[Curve, ...] = (
    ((0.0, 0.1),),
    ((0.4, 0.0),),
    ((0.75, 0.06), (1.0, 0.3), (0.9, 0.5)),
    ((0.8, 1.0),),
    ((0.0, 1.0),),
)

GARMENTS: Mapping[str, tuple[Pattern, ...]] = {
    "blouse": (
        Pattern("front", TRUNK, 260, 560, {"main": 2}),
        Pattern("back", TRUNK, 250, 580, {"main": 1}, fold=True),
        Pattern("sleeve", SLEEVE, 320, 520, {"main": 2}),
        Pattern("cuff", BLOCK, 120, 240, {"main": 2, "interfacing": 2}),
        Pattern("pocket", POCKET, 130, 150, {"main": 1}, graded=False),
    ),
    "trousers": (
        Pattern("front", LEG, 300, 900, {"main": 2}),
        Pattern("back", LEG, 340, 920, {"main": 2}),
        Pattern("waistband", BLOCK, 110, 420, {"main": 1, "interfacing": 1}, fold=True),
        Pattern("pocket", POCKET, 170, 280, {"lining": 4}, graded=False),
    ),
    "coat": (
        Pattern("front", TRUNK, 320, 900, {"main": 2, "lining": 2}),
        Pattern("back", TRUNK, 300, 920, {"main": 1, "lining": 1}, fold=True),
        Pattern("sleeve", SLEEVE, 340, 580, {"main": 2, "lining": 2}),
        Pattern("facing", FACING, 140, 700, {"main": 2, "interfacing": 2}),
        Pattern("collar", FACING, 150, 320, {"main": 1, "interfacing": 1}, fold=True),
        Pattern("pocket", POCKET, 180, 210, {"main": 2, "lining": 2}, graded=False),
    ),
    "child's": (
        Pattern("front", TRUNK, 180, 380, {"main": 1}, fold=True),
        Pattern("back", TRUNK, 170, 390, {"main": 2}),
        Pattern("sleeve", SLEEVE, 230, 260, {"main": 2}),
        Pattern("facing", FACING, 110, 240, {"main": 2, "interfacing": 2}),
        Pattern("pocket", POCKET, 100, 110, {"main": 2}, graded=False),
    ),
}


@dataclass(frozen=True)
class Language:
    """How labels word things: `names` of pieces, `counts` with {n}, `listed` with {n} and {m}."""

    names: Mapping[str, str]
    materials: Mapping[str, str]
    counts: tuple[str, ...]
    listed: tuple[str, ...]
    folds: tuple[str, ...]
    grain: str
    size: str
    every: str


_KEYS = ("front", "back", "sleeve", "cuff", "pocket", "waistband", "facing", "collar")
_CLOTHS = ("main", "lining", "interfacing")


def _language(
    names: str,
    materials: str,
    counts: tuple[str, ...],
    listed: tuple[str, ...],
    folds: tuple[str, ...],
    grain: str,
    size: str,
    every: str,
) -> Language:
    return Language(
        dict(zip(_KEYS, names.split(", "), strict=True)),
        dict(zip(_CLOTHS, materials.split(", "), strict=True)),
        counts,
        listed,
        folds,
        grain,
        size,
        every,
    )


LANGUAGES: Mapping[str, Language] = {
    "en": _language(
        "Front, Back, Sleeve, Cuff, Pocket, Waistband, Facing, Collar",
        "fabric, lining, interfacing",
        ("cut {n}", "Cut {n}x", "{n} x"),
        ("cut {n} {m}", "{n} x {m}", "cut {n} from {m}"),
        ("on fold", "on the fold", "place on fold"),
        "Grainline", "Size", "All sizes",
    ),
    "de": _language(
        "Vorderteil, Rückenteil, Ärmel, Manschette, Tasche, Bund, Beleg, Kragen",
        "Stoff, Futter, Einlage",
        ("{n}x zuschneiden", "{n} x", "{n}-mal zuschneiden"),
        ("{n}x {m}", "{n} x aus {m}", "{n}x {m} zuschneiden"),
        ("im Stoffbruch", "im Bruch", "Stoffbruch"),
        "Fadenlauf", "Größe", "alle Größen",
    ),
    "fr": _language(
        "Devant, Dos, Manche, Poignet, Poche, Ceinture, Parementure, Col",
        "tissu, doublure, entoilage",
        ("couper {n} fois", "couper {n} x", "à couper {n} fois"),
        ("{n} x {m}", "couper {n} fois dans {m}", "{n} fois en {m}"),
        ("au pli", "sur le pli", "au pli du tissu"),
        "Droit fil", "Taille", "toutes les tailles",
    ),
    "es": _language(
        "Delantero, Espalda, Manga, Puño, Bolsillo, Cinturilla, Vista, Cuello",
        "tela, forro, entretela",
        ("cortar {n}", "cortar {n} veces", "{n} x"),
        ("cortar {n} en {m}", "{n} x {m}", "cortar {n} de {m}"),
        ("al doblez", "en el doblez", "sobre el doblez"),
        "Hilo", "Talla", "todas las tallas",
    ),
    "it": _language(
        "Davanti, Dietro, Manica, Polsino, Tasca, Cintura, Ripiego, Collo",
        "tessuto, fodera, teletta",
        ("tagliare {n}", "tagliare {n} volte", "{n} x"),
        ("tagliare {n} in {m}", "{n} x {m}", "{n} volte {m}"),
        ("sulla piega", "piega del tessuto", "sul ripiegato della stoffa"),
        "Drittofilo", "Taglia", "tutte le taglie",
    ),
    "pt": _language(
        "Frente, Costas, Manga, Punho, Bolso, Cós, Revel, Gola",
        "tecido, forro, entretela",
        ("cortar {n}", "cortar {n} vezes", "{n} x"),
        ("cortar {n} em {m}", "{n} x {m}", "cortar {n} no {m}"),
        ("na dobra", "na dobra do tecido", "dobra do tecido"),
        "Fio", "Tamanho", "todos os tamanhos",
    ),
    "nl": _language(
        "Voorpand, Achterpand, Mouw, Manchet, Zak, Tailleband, Beleg, Kraag",
        "stof, voering, tussenvoering",
        ("{n}x knippen", "knip {n}x", "{n} x"),
        ("{n}x {m}", "{n}x knippen uit {m}", "knip {n} x {m}"),
        ("aan de stofvouw", "tegen de stofvouw", "op de vouw"),
        "Draadrichting", "Maat", "alle maten",
    ),
}  # fmt: skip
