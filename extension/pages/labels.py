# SPDX-License-Identifier: GPL-2.0-or-later
"""What pages are called on themselves: "3/24", "page 3 of 24", "A1", "row 2, column 3"."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from extension.pages.model import Page, Words

SAME_SPOT = 3.0
"""mm by which the words of one spot may lie apart from page to page: their widths are guessed."""
MOST = 0.6
"""Share of the pages from which on what they have in common is no part of the pattern."""

_OF = r"(?:/|of|von|sur|van|di|de|aus)"
_PAGES = r"(?:page|seite|blatt|blad|pagina|página|hoja|foglio|feuille|sheet|p\.?|s\.?)"
_ROW = r"(?:row|reihe|zeile|rang|rangée|rij|riga|fila)"
_COLUMN = r"(?:column|col\.?|spalte|colonne|kolom|colonna|columna)"
_NUMBERED = re.compile(
    rf"(?:^|[\s(\[|–—-])(?:{_PAGES}\s*)?(\d{{1,3}})\s*{_OF}\s*(\d{{1,3}})(?=$|[\s)\]|,.–—-])"
    r"(?!\s*(?:in|inch|inches|yd|yards?|cm|mm)\b)"
)
_NAMED = re.compile(rf"(?:^|\s){_PAGES}\s*(?:nr\.?|no\.?|n°)?\s*(\d{{1,3}})$")
_ALONE = re.compile(r"\(?\[?(\d{1,3})\]?\)?")
_CELL = re.compile(r"([a-z])\s?[-–/]?\s?(\d{1,2})")
_CELL_TURNED = re.compile(r"(\d{1,2})\s?[-–/]?\s?([a-z])")
_PAIR = re.compile(r"\(?(\d{1,2})\s*[,|;:x–-]\s*(\d{1,2})\)?")
_COUNT = r"\s*(\d{1,2})"
_ROW_COLUMN = re.compile(rf"{_ROW}{_COUNT}\W*{_COLUMN}{_COUNT}|r(\d{{1,2}})\s?c(\d{{1,2}})")
_COLUMN_ROW = re.compile(rf"{_COLUMN}{_COUNT}\W*{_ROW}{_COUNT}|c(\d{{1,2}})\s?r(\d{{1,2}})")


@dataclass(frozen=True, slots=True)
class Label:
    """What a page says of its place: its number in order, or two counts from 1.

    `cell` has the first and the second as written; which of them is the row is `rows`: 0 or 1, or
    None when the words do not say.
    """

    number: int | None = None
    cell: tuple[int, int] | None = None
    rows: int | None = None


@dataclass(frozen=True, eq=False, slots=True)
class Labelling:
    """The labels of some pages, by page, and the words they were read from."""

    labels: Mapping[int, Label]
    words: frozenset[Words]


def parsed(text: str) -> Label | None:
    """Return what a text says of the place of its page, None when it says nothing of that."""
    plain = " ".join(text.lower().split())
    for pattern, rows in ((_ROW_COLUMN, 0), (_COLUMN_ROW, 1)):
        if found := pattern.search(plain):
            one, two = (int(value) for value in found.groups() if value is not None)
            return Label(cell=(one, two), rows=rows)
    if found := _NUMBERED.search(plain):
        number, total = int(found[1]), int(found[2])
        return Label(number=number) if 0 < number <= total else None
    if found := _NAMED.search(plain):
        return Label(number=int(found[1]))
    if found := _CELL.fullmatch(plain):
        return Label(cell=(ord(found[1]) - ord("a") + 1, int(found[2])))
    if found := _CELL_TURNED.fullmatch(plain):
        return Label(cell=(int(found[1]), ord(found[2]) - ord("a") + 1))
    if found := _PAIR.fullmatch(plain):
        return Label(cell=(int(found[1]), int(found[2])))
    if found := _ALONE.fullmatch(plain):
        return Label(number=int(found[1]))
    return None


def labelling(pages: Sequence[Page]) -> list[Labelling]:
    """Return the ways in which pages are called: at one spot of most of them, no two alike."""
    spoken = [
        (number, words, label)
        for number, page in enumerate(pages)
        for words in page.words
        if (label := parsed(words.text)) is not None
    ]
    found: list[Labelling] = []
    used: set[Words] = set()
    for _, words, label in spoken:
        if words in used:
            continue
        same = {
            number: (other, told)
            for number, other, told in spoken
            if other not in used and same_spot(words, other) and _alike(label, told)
        }
        told = [one for _, one in same.values()]
        if len(same) >= max(2, MOST * len(pages)) and len(set(told)) == len(told):
            own = frozenset(one for one, _ in same.values())
            used |= own
            found.append(Labelling({number: one for number, (_, one) in same.items()}, own))
    return found


def _alike(one: Label, other: Label) -> bool:
    return (one.number is None) == (other.number is None) and one.rows == other.rows


def same_spot(one: Words, other: Words) -> bool:
    """Return whether two texts stand at the same place of their pages.

    By their left edges, their middles or their right edges, as they may be aligned.
    """
    if abs(one.box[1] - other.box[1]) > SAME_SPOT or abs(one.box[3] - other.box[3]) > SAME_SPOT:
        return False
    shifts = (
        one.box[0] - other.box[0],
        one.box[2] - other.box[2],
        one.middle[0] - other.middle[0],
    )
    return min(map(abs, shifts)) <= SAME_SPOT
