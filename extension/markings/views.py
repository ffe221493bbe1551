# SPDX-License-Identifier: GPL-2.0-or-later
"""Asks about layers, groups and pieces of several views of a garment, of which one is cut."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from extension.labels.phrases import Text
from extension.language.words import folded, listed
from extension.svg.model import Leaf

_OPTIONS = "option|opción|opzione|opção|optie|vista"
"""What a layer of a view is called besides what labels call one; from memory, common practice, no
source.
"""
_OPTION = re.compile(rf"(?:{'|'.join(map(folded, _OPTIONS.split('|')))})([a-h]|\d)")
_LETTER = re.compile(r"[a-h]|\d")
MANY = 6


def about_views(outlines: Iterable[Leaf], texts: Iterable[str]) -> list[str]:
    """Ask where the outlines of pieces lie on layers or in groups of two views or more.

    Or where their `texts` name two: `Sleeve, view A` and `Sleeve, view B`.
    """
    views: dict[str, str] = {}
    for leaf in outlines:
        for group in leaf.groups:
            name = " ".join(group.label.split())
            if _OPTION.fullmatch(folded(name)) or name in _named(name):
                views.setdefault(folded(name), name)
    for text in texts:
        views.update((folded(name), name) for name in _named(text) if folded(name) not in views)
    if len(views) < 2:
        return []
    names = listed([f"“{name}”" for name in views.values()], MANY)
    return [
        f"{names} seem to be views of one garment, and the pieces of all of them are laid: hide "
        "those that you do not cut."
    ]


def _named(words: str) -> Iterator[str]:
    """Yield the views that a text names, each with its letter or number."""
    text = Text(words)
    for phrase in text.phrases:
        value = text.after(phrase.end - 1) if phrase.means("view") else None
        if value is None or value not in text.line(phrase.start):
            continue
        if _LETTER.fullmatch(text.key(value)):
            yield text.slice(phrase.start, value + 1)
