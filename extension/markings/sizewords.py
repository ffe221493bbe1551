# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether a text, or the name of a layer, is a garment size."""

from __future__ import annotations

import re

from extension.labels.reading import read_label
from extension.labels.sizes import LARGEST_SIZE, MOST_CUT
from extension.language.words import folded

_BARE = re.compile(
    r"\d{1,3}(?:\s*/\s*\d{1,3})?|(?:\dX|X{0,4})[SL]|M|(?:\d{1,2}\s?-\s?)?\d{1,2}\s?[TtYyM]",
    re.ASCII,
)
_BETWEEN = re.compile(r"\s*[-\u2010-\u2015,;+&/]\s*")
EVERY_SIZE = frozenset(
    map(
        folded,
        (
            "all sizes", "all", "alle Größen", "alle", "toutes tailles", "toutes les tailles",
            "todas las tallas", "tutte le taglie", "alle maten", "todos os tamanhos",
        ),
    )
)  # fmt: skip
"""What a line for every size is called, in the languages of labels."""


def is_bare_size(text: str) -> bool:
    """Return whether a text is nothing but a size: `38`, `XL`, `86/92`, `2T`.

    Any other small number looks like it too, so a single one proves nothing.
    """
    plain = " ".join(text.split())
    if _BARE.fullmatch(plain) is None:
        return False
    return all(int(number) <= LARGEST_SIZE for number in re.findall(r"\d+", plain))


def bare_sizes(text: str) -> list[str]:
    """Return the sizes of a text that is nothing but sizes: `38 / 40`, `XS-L`, none otherwise.

    Small numbers, which a page or a count has, are none.
    """
    told = size_in(f"size {text}")  # in the words of no language
    parts = [part for part in _BETWEEN.split((told or text).strip()) if part]
    large = [
        part
        for part in parts
        if is_bare_size(part) and not (part.isdigit() and int(part) <= MOST_CUT)
    ]
    return large if len(large) == len(parts) else []


def listed_sizes(text: str) -> str | None:
    """Return the sizes of a text that is nothing but several, as `Sizes 38-42` names them."""
    return size_in(f"size {text}") if len(bare_sizes(text)) > 1 else None


def told_size(text: str) -> str | None:
    """Return the size that a text names with the word for it: `Size 38`, `Gr. 38`."""
    return read_label(text).size


def size_in(text: str) -> str | None:
    """Return the size that a text is or names, None when it says anything else besides."""
    plain = " ".join(text.split())
    if is_bare_size(plain):
        return plain
    reading = read_label(plain)
    return None if reading.unread or reading.demands or reading.name else reading.size


def is_every_size(text: str) -> bool:
    """Return whether a text says that something belongs to every size."""
    return folded(text) in EVERY_SIZE
