# SPDX-License-Identifier: GPL-2.0-or-later
"""Asks about layers and groups that are views of one garment, of which as a rule one is cut."""

from __future__ import annotations

import re
from collections.abc import Iterable

from extension.language.words import folded, listed
from extension.svg.model import Leaf

_WORDS = (
    "view|version|variation|variant|option|ansicht|variante|vue|opción|versión|vista|"
    "versione|opzione|versão|opção|versie|optie"
)
"""What a view is called in the languages of labels, from memory, common practice, no source."""
_VIEW = re.compile(rf"(?:{'|'.join(map(folded, _WORDS.split('|')))})([a-h]|\d)")
MANY = 6


def about_views(outlines: Iterable[Leaf]) -> list[str]:
    """Ask where the outlines of pieces lie on layers or in groups of two views or more."""
    views: dict[str, str] = {}
    for leaf in outlines:
        for group in leaf.groups:
            name = " ".join(group.label.split())
            if _VIEW.fullmatch(folded(name)):
                views.setdefault(folded(name), name)
    if len(views) < 2:
        return []
    names = listed([f"“{name}”" for name in views.values()], MANY)
    return [
        f"{names} seem to be views of one garment, and the pieces of all of them are laid: hide "
        "those that you do not cut."
    ]
