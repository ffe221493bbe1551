# SPDX-License-Identifier: GPL-2.0-or-later
"""Asks about pieces drawn once, in the line of one size: for that size, or for all of them.

A plain line is often that of the smallest size, and of every piece that all sizes share.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from extension.language.words import folded
from extension.markings.associating import Sheet
from extension.markings.building import Found
from extension.markings.sizing import LEGEND, Sizes
from extension.svg.model import Leaf


def drawn_once(
    found: Sequence[Found], sheet: Sheet, sizes: Sizes, originals: Mapping[Leaf, Leaf]
) -> Mapping[int, list[str]]:
    """Return what is asked about such outlines, by their index.

    Nothing where the label names sizes, or another outline is of the same piece. `originals` are
    the drawing's own leaves of those of the sheet.
    """
    leaves = [originals[each.shape.leaf] for each in found]
    families = [sheet.family[each.index] for each in found]
    named: dict[str, set[str]] = {}
    for each, leaf in zip(found, leaves, strict=True):
        if each.words.name and leaf in sizes.of:
            named.setdefault(folded(each.words.name), set()).add(folded(sizes.of[leaf]))
    wants: dict[int, list[str]] = {}
    for each, leaf, family in zip(found, leaves, families, strict=True):
        source = sizes.sources.get(leaf)
        if source is None or source.seen != LEGEND or families.count(family) > 1:
            continue
        size, words = sizes.of[leaf], each.words
        told = words.every_size or words.size or folded(size) in map(folded, words.unread)
        if not told and len(named.get(folded(words.name or ""), ())) < 2:
            wants[each.index] = [
                f"Its line is that of size {size} in the legend, but it is drawn once: is it for "
                "that size alone, or for all? For all, draw it in another line, or give its label "
                "the words “all sizes”."
            ]
    several = len(set(map(folded, sizes.of.values()))) > 1
    return wants if several else {}
