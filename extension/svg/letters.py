# SPDX-License-Identifier: GPL-2.0-or-later
"""How wide letters are, in units of the font size."""

from __future__ import annotations

import unicodedata

_WIDTHS = (
    (0.32, "'ijlIJ ,."),
    (0.41, "/:;\\|f-()[]t!r"),
    (0.56, '"*_`sz?cL'),
    (0.64, "FkvxyPTYaoeESbdghnpqu$0123456789{}"),
    (0.70, "KAVBRXZC"),
    (0.79, "UHNDG&OQ"),
    (0.86, "w#+<=>^~M"),
    (1.00, "%mW@"),
)

_WIDTH_OF = {letter: width for width, letters in _WIDTHS for letter in letters}
"""Advance widths in units of the font size, measured on DejaVu Sans 2.37, in rounded-up classes."""

NARROW = 0.88
"""How wide common fonts run, as a share of the wide one that these are of."""
_ACCENTED, _FULL = 0.80, 1.0


def letter_width(letter: str) -> float:
    """Return the advance width of a letter in units of the font size."""
    if letter in _WIDTH_OF:
        return _WIDTH_OF[letter]
    if unicodedata.combining(letter):
        return 0.0
    plain = unicodedata.normalize("NFD", letter)[0]
    if plain in _WIDTH_OF:
        return _WIDTH_OF[plain]
    return _FULL if unicodedata.east_asian_width(letter) in "WF" else _ACCENTED
