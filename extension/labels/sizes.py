# SPDX-License-Identifier: GPL-2.0-or-later
"""The sizes a label names: one, a range, a list that may go on in the next line."""

from __future__ import annotations

import re
from collections.abc import Sequence

from extension.labels.measures import measure_at
from extension.labels.phrases import MATERIAL, Phrase, Text

MOST_CUT = 12
"""The most that *taglia 2* may mean to cut; sizes for grown people are larger."""
LARGEST_SIZE = 200
"""The largest number that is a size: heights of children in cm go up to 188."""

_LETTER_SIZES = frozenset({"xxxs", "xxs", "xs", "s", "m", "l", "xl", "xxl", "xxxl"})
_PLAIN_LETTERS = frozenset({"s", "m", "l"})
RANGE_SIGNS = frozenset("-–—/‐‑")
_AND_SIGNS = frozenset("+&")
_BARE_LETTERS = _LETTER_SIZES - _PLAIN_LETTERS


def read_size(text: Text) -> tuple[str | None, tuple[int, ...]]:
    """Return the size a label names, None for none and for all sizes, and the tokens behind it.

    Lists and ranges are in the words of no language: `38 and 40` is `38, 40`, `36 to 46` `36-46`.
    """
    for phrase in text.find("one size"):
        text.read(phrase)
        return text.slice(phrase.start, phrase.end), ()
    for phrase in text.find("all sizes"):
        text.bar(phrase)
        return None, ()
    named: dict[int, str] = {}
    several = sum(phrase.means("size") for phrase in text.phrases) > 1
    for phrase in list(text.find("size")):
        start = _behind_from(text, text.after(phrase.end - 1))
        if start is None or not _may_name_size(text, phrase, start):
            continue
        if phrase.means("size or cut") and _is_verb(text, start, several):
            continue
        end, written = _sizes_at(text, start)
        if written:
            text.read(range(phrase.start, end))
            named[end] = written
    named = named or _bare_size(text)
    return ", ".join(dict.fromkeys(named.values())) or None, tuple(named)


def about_size(text: Text, size: str | None, ends: Sequence[int]) -> list[str]:
    """Ask about what is left unread right behind a size where it may be more sizes.

    Such are the words of `98 / petite`, a number in brackets, and a larger number below it.
    """
    questions: list[str] = []
    for end in ends:
        left = _left_behind(text, end)
        if left:
            words = text.slice(left[0], left[-1] + 1)
            questions.append(f"“{words}” behind size “{size}”: does it name more sizes?")
    return list(dict.fromkeys(questions))


def _left_behind(text: Text, end: int) -> list[int]:
    """Return the unread words behind a size where they may be more of it."""
    first = text.after(end - 1)
    if first is None or not text.is_free(first):
        return []
    between = text.tokens[end:first]
    line = text.line(first)
    left = [index for index in text.words(line) if index >= first and text.is_free(index)]
    phrase = text.at(first)
    is_joint = phrase is not None and _is_joint(phrase)
    value = text.after(phrase.end - 1) if is_joint and phrase is not None else first
    if value in line and value is not None and _end_of_one(text, value) > value:
        is_size = _goes_on(text, end, value) and (_number(text, value) or 0.0) <= LARGEST_SIZE
        is_size &= not begins_count(text, value, _end_of_one(text, value))
        return left if is_size else []
    is_apart = any(token.kind == "line" for token in between)
    is_joint |= any(token.text in "&+/" for token in between)
    return left if is_joint and not is_apart else []


def begins_count(text: Text, index: int, end: int) -> bool:
    """Return whether a number in a list begins a count instead: `Size 38, 2 lining`."""
    following = text.after(end - 1)
    phrase = text.at(following)
    if phrase is None or text.tokens[index].kind != "number":
        return False
    return bool(phrase.values(MATERIAL)) or phrase.means(
        "times", "copies", "pair", "on fold", "of", "allowance"
    )


def _behind_from(text: Text, index: int | None) -> int | None:
    """Return the word that follows, without *from* before the first of a range."""
    phrase = text.at(index)
    if phrase is None or not phrase.means("from"):
        return index
    first = text.after(phrase.end - 1)
    joined = None if first is None else _joined(text, _end_of_one(text, first))
    return first if joined is not None and joined[0] == "-" else index


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


def _sizes_at(text: Text, start: int) -> tuple[int, str]:
    """Return the token behind a size, a range of sizes, or a list of them, and what it says."""
    end = _end_of_one(text, start)
    written = text.slice(start, end) if end > start else ""
    while written:
        joined = _joined(text, end)
        if joined is None:
            break
        sign, follows, is_sure = joined
        more = _end_of_one(text, follows)
        if more == follows or begins_count(text, follows, more):
            break
        if not (is_sure or _goes_on(text, end, follows)):
            break
        written += sign + text.slice(follows, more)
        end = more
    return end, _as_list(written)


def _as_list(written: str) -> str:
    """Return sizes with a comma where a dash stands between each two of three or more."""
    parts = re.split(r"\s*[-\u2010-\u2015]\s*", written)
    return ", ".join(parts) if len(parts) > 2 and "," not in written else written


def _goes_on(text: Text, end: int, index: int) -> bool:
    """Return whether *and 40* goes on behind *38* as a list does: letters, or a larger number."""
    last = end - 1 if text.tokens[end - 1].kind == "number" else end - 2
    is_number = last >= 0 and text.tokens[last].kind == "number"
    before = _number(text, last) if is_number else None
    behind = _number(text, index)
    return before == behind if before is None or behind is None else before < behind


def _number(text: Text, index: int) -> float | None:
    """Return the number of a token, the first of `36/38`."""
    found = re.match(r"\d+(?:[.,]\d+)?", text.tokens[index].text)
    return float(found[0].replace(",", ".")) if found else None


def _joined(text: Text, index: int) -> tuple[str, int, bool] | None:
    """Return what joins the next size of a range or list to the last, and where that begins.

    The third is whether it is a size surely: else it is one only where it goes on as a list does.
    """
    signs, place, crossed, spoken = "", index, False, False
    while place < len(text.tokens):
        token, phrase = text.tokens[place], text.at(place)
        behind = place + 1
        if phrase is not None and _is_joint(phrase):
            signs += "-" if phrase.means("to") else "&"
            behind, spoken = phrase.end, True
        elif spoken and phrase is not None and phrase.means("size"):  # size 98 to size 104
            behind = phrase.end
        elif token.text in _AND_SIGNS or token.text == ",":
            signs += token.text
        elif token.text in RANGE_SIGNS and not (crossed and not signs):
            signs += "-"
        elif token.kind == "line" and not crossed:
            crossed = True
        elif not (token.text == "." and spoken):  # Gr. 38 u. 40
            break
        place = behind
    if place >= len(text.tokens) or (crossed and not signs):
        return None
    written = text.text[text.tokens[index - 1].end : text.tokens[place].start]
    if text.tokens[place].text[0] in "-\u2212":  # 38 -40
        return written, place, not signs and not crossed
    if not set(signs) <= {"-"} or not signs:
        return ", ", place, set(signs) == {","} and not crossed
    return ("-" if spoken or crossed else written), place, not crossed


def _is_joint(phrase: Phrase) -> bool:
    """Return whether a word joins sizes; Dutch *of*, or, is *of* in English."""
    return phrase.means("to", "and") or (phrase.means("or") and not phrase.means("of"))


def is_letter_size(text: Text, index: int) -> bool:
    """Return whether a word is a size of letters; a single letter could be anything."""
    return text.key(index) in _BARE_LETTERS


def may_be_size(text: Text, index: int) -> bool:
    """Return whether a word or number may be a size: `98`, `XL`, `M`, not `1.5 cm`."""
    token = text.tokens[index]
    if token.kind != "number":
        return token.key in _LETTER_SIZES
    return not _is_length(text, index)


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
    """Return whether a number has a unit or is a share; 36/38 without one is a size."""
    if text.tokens[index + 1 : index + 2] and text.tokens[index + 1].text == "%":
        return True
    measure = measure_at(text, index)
    if measure is None or measure.end <= index + 1:
        return False
    return text.tokens[index + 1].text != "M"  # 0-3M: of a child, in months


def _bare_size(text: Text) -> dict[int, str]:
    """Return a size without the word for it, by the token behind it: XS, XXL, 2T.

    A single letter could be anything.
    """
    for index, token in enumerate(text.tokens):
        if not text.is_free(index):
            continue
        end = _end_of_one(text, index)
        is_number = end == index + 2 and text.key(index + 1) not in _PLAIN_LETTERS
        is_letters = token.key in _BARE_LETTERS
        if is_number or is_letters:
            end, written = _sizes_at(text, index)
            text.read(range(index, end))
            return {end: written}
    return {}
