# SPDX-License-Identifier: GPL-2.0-or-later
"""The materials that the pieces of a drawing are cut from, and how sentences name them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from extension.language.errors import OptionError
from extension.language.words import listed
from extension.pieces.model import Reading

MAIN = "main"
MOST = 12
"""Materials that a sentence names."""


def materials_in(readings: Iterable[Reading]) -> dict[str, int]:
    """Return from how many pieces each material is cut: the main one first, the others as drawn."""
    pieces: dict[str, set[str]] = {}
    for reading in readings:
        for drawn in reading.pieces:
            for demand in drawn.demands:
                pieces.setdefault(demand.material, set()).add(drawn.id)
    return {name: len(pieces[name]) for name in sorted(pieces, key=lambda name: name != MAIN)}


def materials_text(present: Mapping[str, int]) -> str:
    """Return materials with the numbers of their pieces: `main (9 pieces) and lining (1 piece)`."""
    words = [f"{name} ({count} piece{'s' * (count > 1)})" for name, count in present.items()]
    return listed(words, MOST)


def not_cut_from(name: str, present: Mapping[str, int]) -> str:
    """Return the sentence that no piece is cut from a material, and which ones there are."""
    return f"No piece is cut from “{name}”: what is drawn is cut from {materials_text(present)}."


def check_materials(names: Iterable[str], present: Mapping[str, int]) -> None:
    """Raise OptionError for a material that nothing is cut from."""
    for name in names:
        if name not in present:
            raise OptionError(not_cut_from(name, present))
