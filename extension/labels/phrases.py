# SPDX-License-Identifier: GPL-2.0-or-later
"""Finds the phrases of the vocabulary in a label, and keeps book of what has been read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import accumulate

from extension.labels import cloth_words, doubts, nouns, vocabulary
from extension.labels.tokens import Token, tokens_of
from extension.language.vocabulary import MATERIAL_WORDS
from extension.language.words import folded

MATERIAL = "material "
"""Start of the idea of a material, as in `material lining`."""
UNIT = "unit "
"""Start of the idea of a unit, as in `unit cm`."""
NUMBER, TIMES = "number ", "number of times "
"""Start of the idea of a number word, as in `number 2`, and of one like *twice*."""

CLEAR = 3
"""Letters of a word from which on it may be written apart or together: `grain line`. A shorter one
ends where a word of the phrase does, or *manche T. 38* would be read as *manchet 38*."""

_JOINING = frozenset("-‐‑'’´`./°")
"""Signs that may stand between the words of one phrase."""
_CLAUSE_ENDS = frozenset(";|•·●▪")
_ITEM_ENDS = _CLAUSE_ENDS | frozenset(",+&()[]/–—-=")
_NOT_IN_LABELS = frozenset({"Besatz", "empiècement"})
"""Materials by some tables, but on a label the name of a piece: a facing, a yoke."""
_PLAIN_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "Ä": "Ae", "Ö": "Oe", "Ü": "Ue"})

Meanings = Mapping[str, frozenset[str]]
"""What a phrase means: its ideas, each with the languages in which it does."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase found in a label: tokens `start` up to but not including `end`."""

    start: int
    end: int
    meanings: Meanings

    def means(self, *ideas: str) -> bool:
        """Return whether the phrase has one of these meanings."""
        return any(idea in self.meanings for idea in ideas)

    def values(self, start: str) -> dict[str, frozenset[str]]:
        """Return what follows `start` in the ideas that begin with it, with the languages."""
        return {
            idea.removeprefix(start): languages
            for idea, languages in self.meanings.items()
            if idea.startswith(start)
        }

    def languages(self, *ideas: str) -> frozenset[str]:
        """Return the languages in which the phrase has one of these meanings."""
        return frozenset().union(*(self.meanings.get(idea, frozenset()) for idea in ideas))


class Text:
    """A label, its tokens and phrases, and what has been read of it.

    A token is free at first. It becomes *read* when it went into the reading, or *barred* when it
    is known to say something else (a page number, the fold of a hem): nobody may take it then,
    and it is shown as unread.
    """

    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens: tuple[Token, ...] = tokens_of(text)
        self.phrases: tuple[Phrase, ...] = tuple(_phrases_in(self.tokens))
        self._by_token = {
            index: phrase for phrase in self.phrases for index in range(phrase.start, phrase.end)
        }
        self._read: set[int] = set()
        self._barred: set[int] = set()

    def at(self, index: int | None) -> Phrase | None:
        """Return the phrase that a token belongs to."""
        return None if index is None else self._by_token.get(index)

    def means(self, index: int | None, *ideas: str) -> bool:
        """Return whether a token belongs to a phrase with one of these meanings."""
        phrase = self.at(index)
        return phrase is not None and phrase.means(*ideas)

    def speaks(self, languages: frozenset[str]) -> int:
        """Return how many phrases of the label are of one of these languages and no other."""
        spoken = (frozenset().union(*phrase.meanings.values()) for phrase in self.phrases)
        return sum(len(each) == 1 and each <= languages for each in spoken)

    def find(self, *ideas: str) -> Iterator[Phrase]:
        """Yield the free phrases with one of these meanings, in order."""
        for phrase in self.phrases:
            if phrase.means(*ideas) and self.is_free(phrase.start):
                yield phrase

    def read(self, *parts: Phrase | int | range) -> None:
        """Mark phrases or tokens as read."""
        self._read.update(_indices(parts))

    def bar(self, *parts: Phrase | int | range) -> None:
        """Bar the free ones of these phrases or tokens."""
        self._barred.update(index for index in _indices(parts) if index not in self._read)

    def is_read(self, index: int) -> bool:
        """Return whether a token has been read."""
        return index in self._read

    def is_free(self, index: int | None) -> bool:
        """Return whether there is a token here that is neither read nor barred."""
        return index is not None and index not in self._read and index not in self._barred

    def after(self, index: int) -> int | None:
        """Return the next word or number."""
        return self._next(index, 1)

    def before(self, index: int) -> int | None:
        """Return the word or number before."""
        return self._next(index, -1)

    def key(self, index: int | None) -> str:
        """Return what is compared of a token, "" for none."""
        return "" if index is None else self.tokens[index].key

    def slice(self, start: int, end: int) -> str:
        """Return the label's own words from one token up to another, on one line."""
        return " ".join(self.text[self.tokens[start].start : self.tokens[end - 1].end].split())

    def words(self, stretch: range) -> list[int]:
        """Return the words and numbers in a stretch."""
        return [index for index in stretch if self.tokens[index].says_something]

    def line(self, index: int) -> range:
        """Return the tokens of the line a token stands in; some signs end a line too."""
        return self._stretch(index, _CLAUSE_ENDS)

    def item(self, index: int) -> range:
        """Return the tokens of the item of a list a token stands in."""
        return self._stretch(index, _ITEM_ENDS)

    def ends_line(self, index: int) -> bool:
        """Return whether a token is a line break, or a sign that ends a line."""
        return self._parts(index, _CLAUSE_ENDS)

    def _stretch(self, index: int, signs: frozenset[str]) -> range:
        low, high = index, index + 1
        while low > 0 and not self._parts(low - 1, signs):
            low -= 1
        while high < len(self.tokens) and not self._parts(high, signs):
            high += 1
        return range(low, high)

    def _parts(self, index: int, signs: frozenset[str]) -> bool:
        # A sign or line break inside a phrase (cross-grain) parts nothing.
        token = self.tokens[index]
        is_end = token.kind == "line" or (token.kind == "sign" and token.text in signs)
        return is_end and index not in self._by_token

    def _next(self, index: int, step: int) -> int | None:
        index += step
        while 0 <= index < len(self.tokens):
            if self.tokens[index].kind in ("word", "number"):
                return index
            index += step
        return None


def _indices(parts: tuple[Phrase | int | range, ...]) -> Iterator[int]:
    for part in parts:
        if isinstance(part, int):
            yield part
        else:
            yield from part if isinstance(part, range) else range(part.start, part.end)


@dataclass(frozen=True, slots=True)
class _Entry:
    """A phrase of the vocabulary: its meanings, and after how many letters its words may end."""

    meanings: Meanings
    word_ends: frozenset[int]


def _phrases_in(tokens: tuple[Token, ...]) -> Iterator[Phrase]:
    """Yield the phrases of a label from left to right, the longest at each place."""
    known, longest = _vocabulary()
    index = 0
    while index < len(tokens):
        phrase = _longest_at(tokens, index, known, longest) or _compound(tokens[index], index)
        if phrase is None:
            index += 1
        else:
            yield phrase
            index = phrase.end


def _longest_at(
    tokens: tuple[Token, ...], start: int, known: Mapping[str, _Entry], longest: int
) -> Phrase | None:
    if tokens[start].kind not in ("word", "number"):
        return None
    found: Phrase | None = None
    key = previous = ""
    seams: list[tuple[int, bool]] = []
    across_lines = False
    for index in range(start, len(tokens)):
        token = tokens[index]
        if token.kind == "line":
            across_lines = True
        elif token.kind == "sign" and token.text not in _JOINING:
            break
        elif token.kind != "sign":
            if key:
                loose = len(tokens[index].key) >= CLEAR and len(previous) >= CLEAR
                seams.append((len(key), loose and not across_lines))
            key, previous, across_lines = key + token.key, token.key, False
            if len(key) > longest:
                break
            entry = known.get(key)
            if entry and all(loose or place in entry.word_ends for place, loose in seams):
                found = Phrase(start, index + 1, entry.meanings)
    return found


def _compound(token: Token, index: int) -> Phrase | None:
    """Return a word that ends in a part of a garment: *Hosenvorderteil*, *achterhalsbeleg*.

    One that begins with a material is cut from it: *Futterärmel*.
    """
    if token.kind != "word":
        return None
    for language, end in _endings():
        first = token.key.removesuffix(end)
        if first != token.key and len(first) >= 2:
            meanings = {"part": frozenset({language})}
            for name in ("lining", "interfacing", "contrast"):
                words = MATERIAL_WORDS[name].get(language, "").split(", ")
                if any(first.startswith(folded(word)) for word in words):
                    meanings[MATERIAL + name] = frozenset({language})
            return Phrase(index, index + 1, meanings)
    return None


@cache
def _endings() -> tuple[tuple[str, str], ...]:
    return tuple(
        (language, spelling)
        for language, row in nouns.ENDINGS.items()
        for end in row.split(", ")
        for spelling in sorted({folded(end), folded(end.translate(_PLAIN_UMLAUTS))})
    )


@cache
def _vocabulary() -> tuple[dict[str, _Entry], int]:
    """Return every phrase as it is compared, and the length of the longest."""
    meanings: dict[str, dict[str, frozenset[str]]] = {}
    word_ends: dict[str, frozenset[int]] = {}
    for phrase, idea, language in _rows():
        spellings = {phrase, phrase.translate(_PLAIN_UMLAUTS)} if language == "de" else {phrase}
        for spelling in sorted(spellings):
            words = [token.key for token in tokens_of(spelling) if token.says_something]
            key = "".join(words)
            own = meanings.setdefault(key, {})
            own[idea] = own.get(idea, frozenset()) | {language}
            ends = frozenset(accumulate(map(len, words)))
            word_ends[key] = word_ends.get(key, frozenset()) | ends
    known = {key: _Entry(own, word_ends[key]) for key, own in meanings.items()}
    return known, max(map(len, known))


def _rows() -> Iterator[tuple[str, str, str]]:
    """Yield every phrase of all tables with its idea and language."""
    modules = (vocabulary, cloth_words, nouns, doubts)
    for table in (table for module in modules for table in module.TABLES):
        for idea, rows in table.items():
            for language, row in rows.items():
                for phrase in row.split(","):
                    yield phrase.strip().removesuffix("*"), idea, language
    for material, by_language in MATERIAL_WORDS.items():
        for language, row in by_language.items():
            for phrase in row.split(", "):
                if phrase not in _NOT_IN_LABELS:
                    yield phrase, MATERIAL + material, language
    for idea, words in ((NUMBER, nouns.NUMBERS), (TIMES, nouns.TIMES)):
        for language, row_of_words in words.items():
            for value, forms in enumerate(row_of_words, start=1):
                for form in forms.split("|"):
                    yield form, f"{idea}{value}", language
