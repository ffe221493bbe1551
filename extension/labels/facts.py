# SPDX-License-Identifier: GPL-2.0-or-later
"""Plain facts on a label: size, number of the piece, grain, nap, stretch."""

from __future__ import annotations

from typing import Literal

from extension.labels.measures import measure_at
from extension.labels.phrases import MATERIAL, Phrase, Text

Grain = Literal["straight", "cross", "bias"]

MOST_CUT = 12
"""The most that *taglia 2* may mean to cut; sizes for grown people are larger."""

_LETTER_SIZES = frozenset({"xxxs", "xxs", "xs", "s", "m", "l", "xl", "xxl", "xxxl"})
_PLAIN_LETTERS = frozenset({"s", "m", "l"})
_RANGE_SIGNS = frozenset("-–—/‐‑")
_AND_SIGNS = frozenset("+&")
_BARE_LETTERS = _LETTER_SIZES - _PLAIN_LETTERS


def read_size(text: Text) -> str | None:
    """Return the size a label names, as it is written; None for none and for all sizes."""
    for phrase in text.find("one size"):
        text.read(phrase)
        return text.slice(phrase.start, phrase.end)
    for phrase in text.find("all sizes"):
        text.bar(phrase)
        return None
    named: list[str] = []
    several = sum(phrase.means("size") for phrase in text.phrases) > 1
    for phrase in list(text.find("size")):
        start = text.after(phrase.end - 1)
        if start is None or not _may_name_size(text, phrase, start):
            continue
        if phrase.means("size or cut") and _is_verb(text, start, several):
            continue
        end = _end_of_sizes(text, start)
        if end > start:
            text.read(phrase, range(start, end))
            named.append(_as_written(text, start, end))
    return ", ".join(dict.fromkeys(named)) or _bare_size(text)


def _is_verb(text: Text, value: int, several: bool) -> bool:
    """Return whether Italian *taglia* is *cut*, not *size*: *taglia 2 volte*, or a second one."""
    count = text.tokens[value].count
    following = text.after(value)
    if count is None or count > MOST_CUT:
        return False
    return several or text.means(following, "times", "copies", "pair", "on fold", "mirrored")


def _may_name_size(text: Text, phrase: Phrase, value: int) -> bool:
    """Return whether a value behind a word for size is one: `T 38` is, the T of `2T` is none."""
    if len(text.tokens[phrase.start].key) > 1:
        return value - phrase.end <= 2
    before = phrase.start - 1
    follows_number = before >= 0 and text.tokens[before].kind == "number"
    return text.tokens[value].kind == "number" and not follows_number


def _end_of_sizes(text: Text, start: int) -> int:
    """Return the token behind a size, a range of sizes, or a list of them."""
    end = _end_of_one(text, start)
    if end == start:
        return start
    while end < len(text.tokens):
        follows = _joined(text, end)
        if follows is None:
            break
        more = _end_of_one(text, follows)
        if more == follows or _counts(text, follows, more):
            break
        if _is_and(text, end) and not _goes_on(text, end - 1, follows):
            break
        end = more
    return end


def _goes_on(text: Text, last: int, index: int) -> bool:
    """Return whether *and 40* goes on behind *38* as a list does: letters, or a larger number."""
    before, behind = text.tokens[last].count, text.tokens[index].count
    return before == behind if before is None or behind is None else before < behind


def _is_and(text: Text, index: int) -> bool:
    return text.tokens[index].text in _AND_SIGNS or text.means(index, "and")


def _as_written(text: Text, start: int, end: int) -> str:
    """Return sizes in the words of no language: `36 to 46` is `36-46`, `38 and 40` is `38, 40`."""
    written, done = "", start
    for index in range(start, end):
        if index < done or not (text.means(index, "to") or _is_and(text, index)):
            continue
        phrase = text.at(index)
        written += text.slice(done, index) + ("-" if text.means(index, "to") else ", ")
        done = phrase.end if phrase is not None else index + 1
    return written + text.slice(done, end)


def _joined(text: Text, index: int) -> int | None:
    """Return where the next size of a range or list begins, behind what joins it to the last."""
    token = text.tokens[index]
    joins = token.text in _RANGE_SIGNS or token.text == "," or text.means(index, "to")
    phrase = text.at(index)
    behind = phrase.end if phrase is not None and text.means(index, "to", "and") else index + 1
    joins = joins or _is_and(text, index)
    if token.kind == "number" or token.key in _LETTER_SIZES:
        return index
    return behind if joins and behind < len(text.tokens) else None


def _end_of_one(text: Text, index: int) -> int:
    """Return the token behind one size; the same token when there is none."""
    token = text.tokens[index]
    if token.kind == "number" and text.is_free(index) and not _is_length(text, index):
        following = index + 1
        if following < len(text.tokens):
            letters = text.tokens[following]
            touches = letters.start == token.end
            if touches and (letters.key in _LETTER_SIZES or letters.key == "t"):
                return following + 1
        return index + 1
    return index + 1 if token.key in _LETTER_SIZES and text.is_free(index) else index


def _is_length(text: Text, index: int) -> bool:
    """Return whether a number has a unit; 36/38 without one is a size."""
    measure = measure_at(text, index)
    return measure is not None and measure.end > index + 1


def _counts(text: Text, index: int, end: int) -> bool:
    """Return whether a number in a list of sizes begins a count instead: `Size 38, 2 lining`."""
    following = text.after(end - 1)
    phrase = text.at(following)
    if phrase is None or text.tokens[index].kind != "number":
        return False
    return bool(phrase.values(MATERIAL)) or phrase.means(
        "times", "copies", "pair", "on fold", "of", "allowance"
    )


def _bare_size(text: Text) -> str | None:
    """Return a size without the word for it: XS, XXL, 2T. A single letter could be anything."""
    for index, token in enumerate(text.tokens):
        if not text.is_free(index):
            continue
        end = _end_of_one(text, index)
        is_number = end == index + 2 and text.key(index + 1) not in _PLAIN_LETTERS
        is_letters = token.key in _BARE_LETTERS
        if is_number or is_letters:
            end = _end_of_sizes(text, index)
            text.read(range(index, end))
            return _as_written(text, index, end)
    return None


def read_number(text: Text) -> str | None:
    """Return the number of the piece: `Piece 2`, `2 of 15`, `#3`."""
    number = _number_of_many(text) or _leading_number(text)
    for phrase in list(text.find("piece")):
        value = text.after(phrase.end - 1)
        if value is None or not _names_piece(text, phrase, value):
            continue
        if number is None:
            text.read(phrase, value)
            number = text.tokens[value].text
        else:
            text.bar(phrase, value)
    for index, token in enumerate(text.tokens[:-1]):
        if token.text in "#№" and text.tokens[index + 1].kind == "number":
            if number is None:
                text.read(index, index + 1)
                number = text.tokens[index + 1].text
            text.bar(index + 1)
    return number


def _leading_number(text: Text) -> str | None:
    """Return the number that a label begins with like an entry of a list: `1. Front`."""
    starts = [token.text for token in text.tokens[:2]]
    if len(text.tokens) < 3 or text.tokens[2].kind != "word" or starts[1] not in (".", ")"):
        return None
    if text.tokens[0].count is None or not text.is_free(0):
        return None
    text.read(0)
    return starts[0]


def _names_piece(text: Text, phrase: Phrase, value: int) -> bool:
    token = text.tokens[value]
    if not text.is_free(value):
        return False
    is_last = text.words(text.item(value))[-1] == value
    # A letter only at the end: in many languages one is also a small word.
    return token.count is not None or (len(token.key) == 1 and is_last and not phrase.means("not"))


def _number_of_many(text: Text) -> str | None:
    """Return n of `n of m`, unless a word for cutting stands before it."""
    for phrase in list(text.find("of")):
        first, last = phrase.start - 1, text.after(phrase.end - 1)
        if first < 0 or last != phrase.end or not text.is_free(first):
            continue
        numbers = (text.tokens[first], text.tokens[last])
        if any(token.count is None for token in numbers) or not text.is_free(last):
            continue
        before = text.before(first)
        if text.means(before, "cut", "quantity") or _counts(text, last, last + 1):
            continue
        text.read(range(first, last + 1))
        if text.means(before, "piece") and text.is_free(before):
            text.read(*(index for index in (before,) if index is not None))
        return numbers[0].text
    return None


def read_grain(text: Text) -> tuple[Grain | None, list[str]]:
    """Return the grain a label names; the bias before the cross grain before the straight one."""
    for phrase in text.find("not a grain"):
        if not phrase.means("part"):
            text.bar(phrase)
    found: list[Grain] = []
    names_straight = False
    kinds: tuple[Grain, ...] = ("bias", "cross", "straight")
    for kind in kinds:
        for phrase in list(text.find(kind)):
            if phrase.means("not a grain"):
                continue
            before = text.before(phrase.start)
            while before is not None and text.means(before, "filler"):
                before = text.before(before)
            place = [one for one in text.find("place") if one.end - 1 == before]
            text.read(phrase, *place)
            found.append(kind)
            # A word like *grainline* only names the arrow, which on a bias piece may lean.
            names_straight |= kind == "straight" and not phrase.means("names the line")
    questions = []
    if {"bias", "cross"} <= set(found):
        questions = ["The label names the bias and the cross grain: which is meant?"]
    elif names_straight and len(set(found)) > 1:
        other = "bias" if found[0] == "bias" else "cross grain"
        questions = [f"The label names the {other} and the straight grain: which is meant?"]
    return (found[0] if found else None), questions


def read_nap(text: Text) -> tuple[bool | None, list[str]]:
    """Return True for cloth with nap, one way; False for without; None when nothing is said."""
    said = set()
    for idea, value in (("no nap", False), ("nap", True)):
        for phrase in list(text.find(idea)):
            text.read(phrase)
            said.add(value)
    if len(said) > 1:
        return None, ["The label says both with and without nap."]
    return (said.pop() if said else None), []


def read_stretch(text: Text) -> bool:
    """Return whether the label marks the direction of greatest stretch."""
    phrases = list(text.find("stretch"))
    text.read(*phrases)
    return bool(phrases)
