# SPDX-License-Identifier: GPL-2.0-or-later
"""Cloth that is drawn and that nobody chose: told where a width is missing, or taken instead."""

from __future__ import annotations

from collections.abc import Sequence

from extension.job.wishes import BY_MATERIAL
from extension.language.errors import OptionError
from extension.language.words import listed
from extension.pieces.remnants import chosen_cloths, names_of_cloths
from extension.svg.document import Document
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf

UNTOLD = "100 cm"
"""A width that nobody typed: cloth that is drawn has its own, and the unit is metric."""
MOST = 8
"""Pieces of cloth that a sentence names."""
HOW = "select it with the pieces, or in a terminal name it with --cloth"
NOT_LAID_ON = "Not laid on cloth that is drawn"
"""Begins what is told of cloth that nobody chose."""


def width_typed(document: Document, width: str, selected: Sequence[str]) -> str:
    """Return a width as it is typed, or any where cloth that is drawn is selected.

    Raises OptionError where there is neither, which names the cloth that could be.
    """
    if width.strip():
        return width
    leaves = read_leaves(document)
    if chosen_cloths(leaves, (), selected)[0]:
        return UNTOLD
    drawn = _drawn(leaves)
    if not drawn:
        return width
    raise OptionError(
        f"No fabric width is given: {BY_MATERIAL['fabric_width']}, or lay the pieces on cloth that "
        f"is drawn, {drawn}: {HOW}."
    )


def not_laid_on(leaves: Sequence[Leaf]) -> tuple[str, ...]:
    """Return that cloth is drawn and that nothing was laid on it, nothing where none is."""
    drawn = _drawn(leaves)
    return (f"{NOT_LAID_ON}, {drawn}: for that {HOW}.",) if drawn else ()


def _drawn(leaves: Sequence[Leaf]) -> str:
    """Return what the cloth of a drawing is called, "" without any."""
    return listed(list(names_of_cloths(leaves)), MOST)
