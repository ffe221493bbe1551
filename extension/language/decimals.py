# SPDX-License-Identifier: GPL-2.0-or-later
"""Numbers as a country writes them: words stay English, decimal points become commas."""

from __future__ import annotations

import re

from extension.language.errors import OptionError
from extension.language.words import folded

MARKS = {"en": ".", "de": ",", "fr": ","}
"""Decimal marks: a comma in German and French (ISO 80000-1, section 7.2.2, knows both; which is
usual where is common knowledge, from memory)."""
_MEASURED = re.compile(r"(?<=\d)\.(?=\d+\s?(?:m|cm|mm|yd|in|%)(?:\W|$))")
"""Only in front of a unit: a size 38.5 or a version 1.1.0 is a name, and stays as it is."""
_AMOUNT = re.compile(r"(\d+)(?:[.,](\d+))?")


def locale_text(typed: str) -> str:
    """Return a country's way of writing numbers as it is known here. Raises OptionError."""
    name = folded(typed)
    if name not in MARKS:
        raise OptionError(
            f"“{typed}” is not known for the numbers: choose en (1.90 m), de or fr (1,90 m)."
        )
    return name


def priced_as_in(price: str, locale: str) -> str:
    """Return a typed price with the decimal mark of a country; in English it stays as typed."""
    mark = MARKS[locale]
    if mark == ".":
        return price
    return _AMOUNT.sub(lambda found: f"{found[1]}{mark}{found[2] or '00'}", price, count=1)


def written(text: str, locale: str) -> str:
    """Return a text with its measured numbers as a country writes them."""
    return _MEASURED.sub(MARKS[locale], text)
