# SPDX-License-Identifier: GPL-2.0-or-later
"""Numbers on a label that count no pieces: lengths, pages, views, buttons."""

from __future__ import annotations

from dataclasses import dataclass

from extension.labels.phrases import MATERIAL, UNIT, Phrase, Text
from extension.language.errors import OptionError
from extension.language.units import parse_length

_INCH_SIGNS = frozenset({'"', "″", "”", "''", "’’", "′′"})


@dataclass(frozen=True, slots=True)
class Measure:
    """A length: tokens `start` up to but not including `end`."""

    mm: float
    start: int
    end: int


def measure_at(text: Text, index: int) -> Measure | None:
    """Return the length whose number begins at a token; a bare fraction means inches."""
    if not text.is_free(index) or not _is_number(text, index) or _is_rest(text, index):
        return None
    last = index + 1 if index + 1 < len(text.tokens) and _is_rest(text, index + 1) else index
    number = " ".join(token.text for token in text.tokens[index : last + 1]).replace("⁄", "/")
    unit, end = _unit_behind(text, last)
    if not unit and "/" not in number:
        return None
    try:
        return Measure(parse_length(f"{number} {unit or 'in'}"), index, end)
    except OptionError:
        return None


def _is_rest(text: Text, index: int) -> bool:
    """Return whether a fraction goes with the whole number before it: `1 1/2`.

    Not in `CUT 2 5/8 SA`, where that number is a count.
    """
    if index < 1 or "/" not in text.tokens[index].text.replace("⁄", "/"):
        return False
    is_whole = text.tokens[index - 1].count is not None and text.is_free(index - 1)
    if not text.means(text.before(index - 1), "cut", "quantity", "times"):
        return is_whole
    behind = text.after(_unit_behind(text, index)[1] - 1)
    return is_whole and not text.means(behind, "allowance")


def _unit_behind(text: Text, index: int) -> tuple[str, int]:
    """Return the unit behind a number and the token after it; "" and the next token for none."""
    following = index + 1
    if following < len(text.tokens):
        sign = text.tokens[following]
        if sign.text in _INCH_SIGNS and not _closes_a_quotation(text, following):
            return "in", following + 1
    phrase = text.at(following)
    if phrase is None or phrase.start != following:
        return "", following
    units = phrase.values(UNIT)
    if not units or (phrase.means("filler") and not _is_inch(text, phrase)):
        return "", following
    return next(iter(units)), phrase.end


def _closes_a_quotation(text: Text, index: int) -> bool:
    """Return whether a sign closes what one opened that stands behind no number: `"CUT 2"`."""
    opened = False
    for place, token in enumerate(text.tokens[:index]):
        if token.text in _INCH_SIGNS | {"“", "„"}:
            before = text.tokens[place - 1] if place else None
            is_inch = before is not None and before.kind == "number" and before.end == token.start
            opened = not opened and not is_inch
    return opened


def _is_inch(text: Text, phrase: Phrase) -> bool:
    """Return whether *in* is the unit: not in `CUT 2 IN LINING`."""
    following = text.after(phrase.end - 1)
    while following is not None and not _is_cloth(text, following):
        if not text.means(following, "filler"):
            return True
        following = text.after(following)
    return following is None


def _is_cloth(text: Text, index: int | None) -> bool:
    phrase = text.at(index)
    return phrase is not None and bool(
        phrase.values(MATERIAL) or phrase.means("on fold", "fold", "mirrored", "same", "pair")
    )


def bar_numbered(text: Text) -> None:
    """Bar pages, views, steps and the like with their number: `page 2 of 12`, `View B`."""
    for phrase in list(text.find("another number")):
        _bar_value(text, phrase)


def bar_other_numbers(text: Text) -> None:
    """Bar what would read as a count and is none: lengths, `5 x 5`, buttons."""
    for index in range(len(text.tokens)):
        measure = measure_at(text, index)
        if measure is not None:
            text.bar(range(measure.start, measure.end))
    _bar_dimensions(text)
    for phrase in list(text.find("notion")):
        beside = (text.before(phrase.start), text.after(phrase.end - 1))
        if not any(text.means(index, "part") for index in beside):  # but a button placket is cloth
            text.bar(_said_of_notion(text, phrase))


def _said_of_notion(text: Text, notion: Phrase) -> range:
    """Return the item of a notion, behind the part it is sewn to: *sleeve*, cut two notches."""
    item = text.item(notion.start)
    parts = [i for i in item if i < notion.start and text.means(i, "part")]
    return range(parts[-1] + 1 if parts else item.start, item.stop)


def _bar_value(text: Text, phrase: Phrase) -> None:
    """Bar a noun with the number or single letter behind it (`page 2 of 12`, `View B`)."""
    value = text.after(phrase.end - 1)
    if value is None or value not in text.line(phrase.start) or not _is_value(text, value):
        return
    text.bar(phrase, value)
    of = text.after(value)
    last = None if of is None else text.after(of)
    if last is not None and _is_number(text, last) and text.means(of, "of"):
        text.bar(range(value, last + 1))


def _bar_dimensions(text: Text) -> None:
    """Bar `5 x 5`, also with a unit behind each number."""
    for index, token in enumerate(text.tokens):
        first, last = index - 1, index + 1
        if token.key != "x" or last >= len(text.tokens):
            continue
        while first >= 0 and (text.means(first, *_UNITS) or text.tokens[first].text in _INCH_SIGNS):
            first -= 1
        if first >= 0 and _is_number(text, first) and _is_number(text, last):
            text.bar(range(first, last + 1))


_UNITS = tuple(f"{UNIT}{name}" for name in ("mm", "cm", "m", "in", "yd"))


def _is_number(text: Text, index: int) -> bool:
    return text.tokens[index].kind == "number"


def _is_value(text: Text, index: int) -> bool:
    return _is_number(text, index) or len(text.tokens[index].text) == 1
