# SPDX-License-Identifier: GPL-2.0-or-later
"""What is cut of a piece: `2 main; 1 interfacing; 2 lining same` as demands."""

from __future__ import annotations

import re
from dataclasses import dataclass

from extension.language.vocabulary import material
from extension.language.words import folded
from nesting.model import Hand

MOST = 999
"""The greatest count of one piece in one material, per garment."""

HANDS: dict[str, Hand] = {"mirrored": "mirrored", "same": "same"}

_BETWEEN = re.compile(r"[;\n+&]|,\s")
_TIMES = re.compile(r"(?<=\d)\s*[x×*](?=\s|\Z)")


@dataclass(frozen=True, slots=True)
class Demand:
    """How often a piece is cut from one material, per garment. `hand` as the engine has it."""

    cut: int
    material: str
    hand: Hand


ONCE = (Demand(1, "main", "mirrored"),)
"""What is cut of a piece that says nothing of it."""


def cut_list(text: str, hand: Hand = "mirrored") -> tuple[Demand, ...]:
    """Return the demands of a cut list: items `count [material] [mirrored|same]` parted by `;`.

    No material is the main one; `hand` holds for the items that name none. `+`, `&` and a comma
    before a space part items too, and a count may be written `2x`. Raises ValueError
    with the reason, worded to follow the value (`"0" is not a whole number from 1 to 999`).
    """
    items = [item for item in _BETWEEN.split(text) if item.strip()]
    if not items:
        raise ValueError("holds no count")
    demands = tuple(_demand(item, hand) for item in items)
    materials = [demand.material for demand in demands]
    for name in materials:
        if materials.count(name) > 1:
            raise ValueError(f"names the material “{name}” twice")
    return demands


def _demand(item: str, hand: Hand) -> Demand:
    number, *words = _TIMES.sub("", item, count=1).split()
    if words and folded(words[-1]) in HANDS:
        hand = HANDS[folded(words.pop())]
    count = _count(number)
    if any(word.isdecimal() for word in words[:-1]):
        raise ValueError("holds several counts without “;” between them")
    return Demand(count, material(" ".join(words)) if words else "main", hand)


def _count(text: str) -> int:
    # int() takes "1_0" and digits of other scripts: a count is plain digits.
    if not re.fullmatch(r"[0-9]{1,9}", text) or not 1 <= int(text) <= MOST:
        raise ValueError(f"counts “{text}”, which is not a whole number from 1 to {MOST}")
    return int(text)
