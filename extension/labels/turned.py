# SPDX-License-Identifier: GPL-2.0-or-later
"""The words that turn what a size says: *except size 98*, *up to size 98*, *sizes below 104*.

Read without them the piece would be cut for the very sizes that it is not for, or for one of many;
so they are asked about, and no size is read. They count only beside a size: *under* is a word of
many names.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from extension.labels.phrases import Phrase, Text
from extension.labels.sizes import (
    LARGEST_SIZE,
    MOST_CUT,
    RANGE_SIGNS,
    is_letter_size,
    may_be_size,
)
from extension.labels.tokens import tokens_of
from extension.labels.vocabulary import Table

TURNING: Table = {
    "but not": {
        "en": "except, except for, excepting, but, but not, not, not for, omit, omit for, skip, "
        "skip for, other than, excluding, excl, exc, without, all but",
        "de": "außer, ausser, nicht, nicht für, nicht bei, ohne, ausgenommen, entfällt bei, "
        "entfällt für",
        "fr": "sauf, sauf pour, excepté, hormis, pas, pas pour, sans, à l'exception de",
        "es": "excepto, salvo, menos, no para, sin, a excepción de",
        "it": "tranne, eccetto, salvo, non, non per, senza, esclusa, escluse, ad eccezione di",
        "pt": "exceto, excepto, salvo, menos, não, não para, sem, com exceção de",
        "nl": "behalve, uitgezonderd, niet, niet voor, zonder, met uitzondering van",
    },
    "open range": {
        "en": "above, below, over, under, beyond, until, from, up to, larger than, smaller than, "
        "bigger than, starting at, as of",
        "de": "über, unter, bis, ab, von, größer als, kleiner als, oberhalb, unterhalb",
        "fr": "au dessus de, au dessous de, en dessous de, jusqu à, jusqu au, à partir de, dès",
        "es": "hasta, desde, a partir de, por encima de, por debajo de, mayor de, menor de",
        "it": "fino a, fino alla, da, dalla, a partire da, a partire dalla, oltre, sopra, sotto",
        "pt": "até, desde, a partir de, a partir do, acima de, abaixo de",
        "nl": "tot, tot en met, t/m, vanaf, boven, onder",
    },
    "and more": {
        "en": "up, upwards, upward, down, downwards, onwards, plus, larger, smaller, and over, "
        "and up, and down, and above, and below, and larger, and smaller, or over, or larger",
        "de": "aufwärts, abwärts, und größer, und kleiner, und mehr",
        "fr": "et plus, et moins, et au dessus, et au delà, et suivantes",
        "es": "y más, y menos, en adelante, y mayores, y superiores",
        "it": "e oltre, e più, in su, in poi, in giù, e superiori",
        "pt": "e mais, e menos, em diante, e superiores, e maiores",
        "nl": "en groter, en kleiner, en hoger, en lager, en meer",
    },
}
"""From memory, common practice, no source. The last stand behind a size, the others before."""
_ARTICLES = frozenset(
    token.key
    for token in tokens_of(
        "the la le les el las los il lo gli l o a os as der die das den de du het"
    )
)
_OPENING = frozenset("<>≤≥")


def about_turned_sizes(text: Text) -> list[str]:
    """Ask about each size that has such a word before or behind it."""
    found = [*_before_sizes(text), *_behind_sizes(text), *_signed(text)]
    return [
        f"“{text.slice(start, end)}”: which sizes is the piece for?"
        for start, end in dict.fromkeys(found)
    ]


def _before_sizes(text: Text) -> Iterator[tuple[int, int]]:
    """Yield the tokens from a turning word up to the size behind it."""
    stop = 0
    for start in text.words(range(len(text.tokens))):
        if start < stop:
            continue
        exempts = _end_of(text, start, "but not")
        opens = _end_of(text, start, "open range")
        end = max(exempts, opens)
        if end == start or (opens > exempts and _ends_range(text, start)):
            continue
        behind = _size_at(text, start, end, bare=exempts >= opens)
        if behind is None:
            continue
        stop = behind
        if exempts >= opens or not _begins_range(text, behind):
            yield start, behind


def _behind_sizes(text: Text) -> Iterator[tuple[int, int]]:
    """Yield the tokens from a size to the word right behind it that opens it."""
    for phrase, value in _named_sizes(text):
        follows = text.after(value)
        if follows is not None and follows in text.line(value):
            end = _end_of(text, follows, "and more")
            if end > follows:
                yield phrase.start, end


def _signed(text: Text) -> Iterator[tuple[int, int]]:
    """Yield the tokens of a size with a sign that opens it: `98+`, `> 98`."""
    for phrase, value in _named_sizes(text):
        signs = {token.text for token in text.tokens[phrase.end : value]}
        if signs & _OPENING:
            yield phrase.start, value + 1
        more = [token.text for token in text.tokens[value + 1 : value + 2]]
        follows = text.after(value)
        if more == ["+"] and (follows is None or not may_be_size(text, follows)):
            yield phrase.start, value + 2


def _named_sizes(text: Text) -> Iterator[tuple[Phrase, int]]:
    """Yield each word for size with the token behind it that may be one."""
    for phrase in text.phrases:
        value = text.after(phrase.end - 1) if phrase.means("size") else None
        if value is not None and may_be_size(text, value):
            yield phrase, value


def _size_at(text: Text, start: int, end: int, *, bare: bool) -> int | None:
    """Return the token behind the size that follows turning words; None where none does.

    One without the word for it is a size only where it is `bare`, behind that word, or of letters.
    """
    index = text.after(end - 1)
    while index is not None and (
        text.key(index) in _ARTICLES or text.means(index, "filler", "from", "and")
    ):
        index = text.after(index)
    if index is None or index not in text.line(start):
        return None
    phrase = text.at(index)
    if phrase is not None and phrase.means("size", "all sizes"):
        value = text.after(phrase.end - 1)
        is_value = value is not None and value in text.line(start) and may_be_size(text, value)
        if value is not None and is_value:
            return value + 1
        return None if len(text.key(index)) == 1 else phrase.end
    bare |= text.means(text.before(start), "size", "all sizes")
    is_number = bare and text.is_free(index) and may_be_size(text, index)
    return index + 1 if is_number or is_letter_size(text, index) else None


def _begins_range(text: Text, end: int) -> bool:
    """Return whether a range goes on behind its first size: `from size 98 to size 104`."""
    is_joined = end < len(text.tokens) and text.tokens[end].text in RANGE_SIGNS
    following = text.after(end - 1)
    return is_joined or (following in text.line(end - 1) and text.means(following, "to"))


def _ends_range(text: Text, start: int) -> bool:
    """Return whether a size stands before *to*, which then ends a range: `98 to size 104`."""
    before = text.before(start)
    if before is None or before not in text.line(start):
        return False
    is_named = text.means(text.before(before), "size") and may_be_size(text, before)
    count = text.tokens[before].count or 0
    return is_named or is_letter_size(text, before) or MOST_CUT < count <= LARGEST_SIZE


def _end_of(text: Text, start: int, idea: str) -> int:
    """Return the token behind the longest turning words that begin at one; that itself for none."""
    known, longest = _turning(idea)
    keys: tuple[str, ...] = ()
    end = start
    index: int | None = start
    while index is not None and index in text.line(start) and len(keys) < longest:
        keys += (text.key(index),)
        if keys in known:
            end = index + 1
        index = text.after(index)
    return end


@cache
def _turning(idea: str) -> tuple[frozenset[tuple[str, ...]], int]:
    """Return the turning words of an idea as they are compared, and how many the longest has."""
    known = frozenset(
        tuple(token.key for token in tokens_of(words) if token.says_something)
        for row in TURNING[idea].values()
        for words in row.split(", ")
    )
    return known, max(map(len, known))
