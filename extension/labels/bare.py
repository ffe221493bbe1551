# SPDX-License-Identifier: GPL-2.0-or-later
"""Counts with a word behind them that is in no list: `CUT 1 DENIM`, `CUT 1 COTTON`.

One such word may be the main fabric by its own name. Two, behind counts in the same words, are not
the same cloth said in two languages: what they count is counted together, and asked about.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from extension.labels.cloths import Cloth
from extension.labels.counts import Count
from extension.labels.phrases import Text
from extension.language.words import folded, listed
from nesting.model import Hand


@dataclass(slots=True)
class Item:
    """A count with the materials it is cut from, in the making."""

    count: Count
    cloths: list[Cloth] = field(default_factory=list)
    hand: Hand | None = None
    sides: tuple[int, int] | None = None
    """How many were counted of two sides."""


def strange_word(text: Text, end: int) -> int | None:
    """Return the first word behind a count, in its item of a list, that is in no list of ours."""
    for index in text.words(range(end, text.item(end - 1).stop)):
        if text.is_free(index) and text.at(index) is None:
            return index
    return None


def strange_cloths(text: Text, items: Sequence[Item]) -> tuple[list[Item], list[str]]:
    """Return items with those of several strange cloths made one, and what to ask about these."""
    found: dict[str, dict[str, int]] = {}
    places: dict[int, str] = {}
    for place, item in enumerate(items):
        word = strange_word(text, item.count.end) if not item.cloths else None
        if word is not None:
            frame = _frame(text, item.count, word)
            found.setdefault(frame, {}).setdefault(text.tokens[word].text, place)
            places[place] = frame
    several = {frame: words for frame, words in found.items() if len(words) > 1}
    summed: list[Item] = []
    for place, item in enumerate(items):
        firsts = list(several.get(places.get(place, ""), {}).values())
        if firsts and place == firsts[0]:
            total = sum(items[one].count.value for one in firsts)
            item = replace(item, count=replace(item.count, value=total))
        if not firsts or place == firsts[0]:
            summed.append(item)
    return summed, [
        f"Are {listed([f'“{word}”' for word in words], len(words))} different materials? They are "
        "counted together."
        for words in several.values()
    ]


def _frame(text: Text, count: Count, word: int) -> str:
    """Return the words round a count and a strange word, in its item of a list."""
    own = {*range(count.start, count.end), word}
    rest = [index for index in text.words(text.item(count.start)) if index not in own]
    return " ".join(folded(text.tokens[index].text) for index in rest)
