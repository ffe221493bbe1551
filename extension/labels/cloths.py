# SPDX-License-Identifier: GPL-2.0-or-later
"""Materials on a label: where one begins and ends, what joins two, and what is to be asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from extension.labels.counts import count_at
from extension.labels.doubts import WITHOUT
from extension.labels.phrases import MATERIAL, Phrase, Text
from extension.pieces.cutlist import Demand

_LETTERS = frozenset("abcdef")
"""Letters by which a pattern calls its cloths."""


@dataclass(frozen=True, slots=True)
class Cloth:
    """A material named in a label: its tokens from `start` up to `end`."""

    start: int
    end: int
    name: str


def is_and(text: Text, index: int) -> bool:
    """Return whether a word joins two things: Dutch *en* does, Spanish and French *en* is *in*.

    The language of the material behind it decides, else that of the label.
    """
    phrase = text.at(index)
    if phrase is None or not phrase.means("and"):
        return False
    joins, others = phrase.languages("and"), phrase.languages("filler") - phrase.languages("and")
    if not others:
        return True
    following = text.after(phrase.end - 1)
    while text.means(following, "filler") and not _material_at(text, following):
        following = text.after(following) if following is not None else None
    cloth = _material_at(text, following)
    spoken = frozenset[str]() if cloth is None else frozenset().union(*cloth.meanings.values())
    if bool(spoken & joins) != bool(spoken & others):
        return bool(spoken & joins)
    return text.speaks(joins) >= text.speaks(others)


def _material_at(text: Text, index: int | None) -> Phrase | None:
    phrase = text.at(index)
    return phrase if phrase is not None and phrase.values(MATERIAL) else None


def qualified(text: Text, main: Phrase) -> int | None:
    """Return where the material begins that a word like *cloth* is of: *tejido de canalé*."""
    of = text.after(main.end - 1)
    if of is None or of not in text.line(main.start) or not text.means(of, "of"):
        return None
    cloth = _material_at(text, text.after(of))
    is_other = cloth is not None and not cloth.means(MATERIAL + "main")
    return cloth.start if cloth is not None and is_other and text.is_free(cloth.start) else None


def denied_mirror(text: Text, phrase: Phrase) -> range | None:
    """Return the tokens of a *not* that is said of mirroring: *non a specchio*."""
    if not phrase.means("not"):
        return None
    languages = phrase.languages("not")
    following = text.after(phrase.end - 1)
    while following is not None and following in text.item(phrase.start):
        mirror = text.at(following)
        if mirror is not None and mirror.means("mirrored"):
            same = languages & mirror.languages("mirrored")
            return range(phrase.start, mirror.end) if same else None
        if not text.means(following, "filler", "elsewhere", "cut", "place"):
            return None
        following = text.after(following)
    return None


def about_each(text: Text, demands: Sequence[Demand]) -> Iterator[str]:
    """Ask what *each* is said of where neither several materials nor both sides are named."""
    if len({demand.material for demand in demands}) != 1:
        return
    sides = [one for one in text.phrases if one.means("left", "right", "pair", "mirrored")]
    for phrase in text.phrases:
        line = text.line(phrase.start)
        known = any(one.start in line for one in sides)
        if phrase.means("each") and text.is_read(phrase.start) and not known:
            words = text.slice(line.start, line.stop)
            yield f"“{words}”: each of what, which materials or sides?"


def number_of(text: Text, phrase: Phrase) -> tuple[int, str]:
    """Return the token behind a material and its number or letter: `CONTRAST 2`, `FABRIC B`."""
    if not phrase.means(MATERIAL + "contrast", MATERIAL + "main") or phrase.end >= len(text.tokens):
        return phrase.end, ""
    if _is_letter_of_cloth(text, phrase.end):
        return phrase.end + 1, text.tokens[phrase.end].key.upper()
    number = text.tokens[phrase.end].count
    is_own = number is not None and 1 <= number <= 9 and text.is_free(phrase.end)
    if number is None or not is_own or count_at(text, phrase.end) is not None:
        return phrase.end, ""
    return phrase.end + 1, "" if number == 1 else str(number)


def _is_letter_of_cloth(text: Text, index: int) -> bool:
    """Return whether a single letter names the cloth before it: `2 FABRIC A`, no *tela a doblez*.

    In many languages a letter is a small word as well: it must end its item, or a count follow.
    """
    phrase = text.at(index)
    is_alone = phrase is None or (phrase.start == index and phrase.end == index + 1)
    is_letter = text.tokens[index].key in _LETTERS and not text.means(index, "and")
    if not is_letter or not is_alone or not text.is_free(index):
        return False
    following = index + 1
    if following >= len(text.tokens) or text.tokens[following].text in "'’´":
        return following >= len(text.tokens)
    return (
        following not in text.item(index)
        or text.tokens[following].kind == "sign"
        or count_at(text, following) is not None
        or text.means(following, "and", "cut", "mirrored", "same", "on fold", "fold", "pair")
    )


def about_without(text: Text, demands: Sequence[Demand]) -> Iterator[str]:
    """Read `no lining`; ask where the label cuts some from it all the same."""
    ideas = {f"{WITHOUT}{name}": name for name in ("lining", "interfacing")}
    for idea, name in ideas.items():
        for phrase in list(text.find(idea)):
            if demands:
                text.read(phrase)
            if any(demand.material == name for demand in demands):
                yield f"The label counts {name} and says that there is none: which is right?"


def about_with(text: Text, items: Sequence[Sequence[Cloth]]) -> Iterator[str]:
    """Ask where a count is *with* lining or interfacing: of it, or of it as well."""
    cloths = {cloth.start: cloth.name for item in items for cloth in item}
    for phrase in text.phrases:
        following = text.after(phrase.end - 1)
        while following is not None and following not in cloths and text.means(following, "filler"):
            following = text.after(following)
        if following is None or following not in text.line(phrase.start):
            continue
        name = cloths.get(following)
        if phrase.means("with") and name is not None and not name.startswith("main"):
            words = text.slice(phrase.start, following + 1)
            yield f"Does “{words}” count pieces of {name} as well as of the main fabric?"


def about_letters(text: Text, demands: Sequence[Demand]) -> Iterator[str]:
    """Ask about a cloth by a small letter, which may be what is left of a word: `stof a`.

    Of *stoffa*, where a writer of PDF files lost two letters that were printed as one sign.
    """
    cut = {demand.material for demand in demands}
    for phrase in text.phrases:
        last = text.tokens[phrase.end].text if phrase.end < len(text.tokens) else ""
        values = phrase.values(MATERIAL) if last in _LETTERS else ()
        if any(f"{value} {last.upper()}" in cut for value in values):
            words = text.slice(phrase.start, phrase.end + 1)
            yield (
                f"Is “{words}” a cloth that the pattern calls {last.upper()}, or one word that "
                "lost some of its letters?"
            )


def about_parts_with(
    text: Text, demands: Sequence[Demand], cloths: Iterable[Cloth]
) -> Iterator[str]:
    """Ask about a part *and* a material of which that alone is counted: `FRONT + LINING, CUT 2`."""
    if not demands or any(demand.material.startswith("main") for demand in demands):
        return
    for cloth in cloths:
        joint = text.before(cloth.start)
        signs = [text.tokens[one].text for one in range(max(cloth.start - 2, 0), cloth.start)]
        if joint is None or not ("+" in signs or "&" in signs or is_and(text, joint)):
            continue
        part = text.before(joint) if is_and(text, joint) else joint
        if part in text.line(cloth.start) and text.means(part, "part"):
            first = text.line(cloth.start).start
            words = text.slice(first, cloth.end)
            yield f"“{words}”: is it cut of the main fabric as well?"


def about_other_piece(text: Text, cloths: Iterable[Cloth]) -> Iterator[str]:
    """Ask about a material with the number of a piece behind a count: `CUT 2, LINING PIECE 12`."""
    for cloth in cloths:
        line = text.line(cloth.start)
        counted = any(text.is_read(one) for one in line if one < cloth.start)
        piece = text.after(cloth.end - 1)
        number = text.after(piece) if piece is not None else None
        if not counted or number not in line or number is None or not text.means(piece, "piece"):
            continue
        if text.tokens[number].kind == "number":
            words = text.slice(cloth.start, number + 1)
            yield f"“{words}”: is that cut of this piece, or of that one?"


def about_neighbours(text: Text, items: Sequence[Sequence[Cloth]]) -> Iterator[str]:
    """Ask about two materials without anything between: `2 SELF LINING` may be one."""
    for item in items:
        if len(item) == 2 and item[0].name == "main":
            first, second = item
            if first.end == second.start and text.means(first.start, MATERIAL + "main"):
                words = text.slice(first.start, second.end)
                yield f"Is “{words}” one material, or is each counted?"
