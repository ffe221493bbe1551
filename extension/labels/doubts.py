# SPDX-License-Identifier: GPL-2.0-or-later
"""The words that turn what a label says, or leave it open: *or*, *with*, *without lining*.

Tables like those of `vocabulary`, from memory, common practice, no source.
"""

from __future__ import annotations

from extension.labels.vocabulary import Table

WITHOUT = "without "
"""Start of the idea that nothing is cut from a material, as in `without lining`."""

DOUBTS: Table = {
    "or": {
        "en": "or",
        "de": "oder, bzw",
        "fr": "ou",
        "es": "o, u, ó",
        "it": "o, oppure",
        "pt": "ou",
        "nl": "of",
    },
    "with": {
        "en": "with",
        "de": "mit",
        "fr": "avec",
        "es": "con",
        "it": "con",
        "pt": "com",
        "nl": "met",
    },
    "of which": {
        "en": "of which",
        "de": "davon",
        "fr": "dont",
        "es": "de los cuales, de las cuales, de ellos, de ellas",
        "it": "di cui, dei quali, delle quali",
        "pt": "dos quais, das quais, sendo",
        "nl": "waarvan",
    },
    "without lining": {
        "en": "no lining, without lining, unlined, not lined",
        "de": "kein Futter, ohne Futter, ungefüttert, nicht gefüttert",
        "fr": "sans doublure, pas de doublure, non doublé, non doublée",
        "es": "sin forro, sin forrar, no forrado",
        "it": "senza fodera, sfoderato, sfoderata, non foderato",
        "pt": "sem forro, não forrado",
        "nl": "geen voering, zonder voering, ongevoerd, niet gevoerd",
    },
    "without interfacing": {
        "en": "no interfacing, without interfacing, not interfaced, no fusible, without fusible",
        "de": "keine Einlage, ohne Einlage, ohne Bügeleinlage, keine Bügeleinlage",
        "fr": "sans entoilage, pas d'entoilage, non entoilé, sans thermocollant",
        "es": "sin entretela, sin entretelar",
        "it": "senza teletta, senza interfodera, senza adesivo",
        "pt": "sem entretela, não entretelado",
        "nl": "geen tussenvoering, zonder tussenvoering, geen vlieseline, zonder vlieseline",
    },
    "one copy": {
        "en": "piece",
        "de": "Teil",
        "fr": "pièce",
        "es": "pieza",
        "it": "pezzo",
        "pt": "peça",
        "nl": "deel, stuk",
    },
    "wrong side": {
        "en": "wrong side, wrong side up, WS, WS up, face down, right side down",
        "de": "linke Seite, linke Seite oben, rechte Seite unten",
        "fr": "envers, à l'envers, envers dessus, endroit dessous",
        "es": "revés, al revés, del revés, revés arriba",
        "it": "rovescio, al rovescio, sul rovescio, rovescio in alto",
        "pt": "avesso, no avesso, do avesso, avesso para cima",
        "nl": "verkeerde kant, verkeerde kant boven, goede kant onder",
    },
    "view": {
        "en": "view, version, variation",
        "de": "Ansicht, Variante, Version",
        "fr": "vue, version, variante, variation",
        "es": "versión, variante, variación",
        "it": "versione, variante",
        "pt": "versão, variante, variação",
        "nl": "versie, variant, aanzicht",
    },
}
"""Caution: Portuguese *no forro* is *in the lining*, so the negations of materials stand whole."""

OPEN: Table = {
    "pleat or fold": {
        "en": "fold line, foldline",
        "de": "Bruchlinie, Bruchstelle",
        "fr": "pli, ligne de pliure, ligne de pli",
        "es": "línea de pliegue, línea de doblez",
        "it": "piega, linea di piega",
        "pt": "linha de dobra, linha da dobra",
        "nl": "vouwlijn",
    },
    "size or cut": {"it": "taglia"},
    "names the line": {
        "en": "grain line, grain",
        "de": "Fadenlauf, FL",
        "fr": "sens du tissu",
        "es": "hilo, sentido del hilo",
        "pt": "fio, sentido do fio",
        "nl": "draadrichting, draadlijn",
    },
}
"""Words of two meanings: the fold of the cloth or of a pleat or waistband; a size or *cut*; a grain
that only names the arrow beside it, which on a piece cut on the bias is no contradiction."""

TABLES = (DOUBTS, OPEN)
"""All tables of this module."""
