# SPDX-License-Identifier: GPL-2.0-or-later
"""How names are compared, without case, accents and spaces, and how short lists are told."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from string import ascii_uppercase

NAMELESS = 3
"""Pieces without a name that are told one by one, by how large they are and where."""
_NUMBER = re.compile(r"[0-9]{1,6}(?:[.,][0-9]{1,6})?")


def folded(text: str) -> str:
    """Return a word as it is compared: `Größe ` and `GROSSE`, `two-way` and `Two way` are equal.

    Letters and digits of every script stay; a text without any (`*`) is kept as it is, trimmed.
    """
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    kept = "".join(sign for sign in decomposed if sign.isalnum())
    return kept or text.strip()


def begun(text: str) -> str:
    """Return words as a sentence begins: the first letter a capital, others as they are."""
    return text[:1].upper() + text[1:]


def rising(sizes: Iterable[str]) -> list[str]:
    """Return sizes the smallest first where all are numbers, else as they come.

    Which of two letters is the larger differs from label to label.
    """
    given = list(sizes)
    if not all(_NUMBER.fullmatch(size) for size in given):
        return given
    return sorted(given, key=lambda size: float(size.replace(",", ".")))


def counted(count: int, noun: str) -> str:
    """Return a count with its noun: `1 part`, `28 parts`."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def listed(words: list[str], most: int = 5) -> str:
    """Return a short list for a sentence: `a, b and c`, with the rest counted beyond `most`."""
    if len(words) > most:
        return f"{', '.join(words[:most])} and {len(words) - most} more"
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def listed_pieces(named: list[str], nameless: list[str], most: int) -> str:
    """Return a list of pieces; many without a name are counted, and the first of them is told."""
    if len(nameless) > NAMELESS:
        told = f"{len(nameless)} pieces without a name, the first of them {nameless[0]}"
        return listed([*named[: most - 1], told], most)
    return listed([*named, *nameless], most)


def letter_of(place: int) -> str:
    """Return the letter at a place of a list, from 0: A to Z, then AA, AB ..."""
    more, last = divmod(place, len(ascii_uppercase))
    return (letter_of(more - 1) if more else "") + ascii_uppercase[last]
