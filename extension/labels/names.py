# SPDX-License-Identifier: GPL-2.0-or-later
"""The name of a piece on its label: a part of a garment with the words that say which."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extension.labels.phrases import MATERIAL, Text
from extension.labels.tokens import Token

_NAMING = (f"{MATERIAL}lining", f"{MATERIAL}interfacing", f"{MATERIAL}contrast")
"""Materials that may be part of a name: the front lining."""
_WORDS = ("part", "which", "link", "notion")
"""What a name is made of; a notion only beside a part: the button placket."""
MOST_WORDS = 4
"""Words of a first line that may be a name by its place alone."""
_LETTERS = frozenset("abcdefgh")
"""Letters that tell pieces of one name from each other; S, M and L are sizes."""
_INSIDE = frozenset("-‐‑'’.")
"""Signs that may stand inside a name."""


def read_name(text: Text) -> str | None:
    """Return the name of the piece, in the label's own words; the first one when it has several."""
    for run in list(_runs(text)):
        run = _trimmed(text, run)
        if not run or not any(text.means(index, "part") for index in run):
            continue
        if _is_elsewhere(text, run.start):
            text.bar(run)
            continue
        run = _extended(text, run)
        text.read(run)
        return text.slice(_begun(text, run.start), run.stop)
    return None


def read_first_line(text: Text) -> str | None:
    """Return the first line as the name where nothing else is one: *Umschlag*, *Turn-up*.

    The trade puts the name first. Words that no list knows stay unread, so that they are shown.
    """
    words = text.words(range(len(text.tokens)))
    begins = words[0] if words else 0
    ends = (i for i in text.line(begins) if not _is_of_name(text.tokens[i]) and i >= begins)
    own = text.words(range(begins, next(ends, text.line(begins).stop))) if words else []
    saying = own[1:] if own and text.means(own[0], "bias") else own
    if not saying or len(own) > MOST_WORDS or not all(_may_name(text, i) for i in saying):
        return None
    if all(text.means(index, "filler", "elsewhere") for index in saying):
        return None
    text.read(*(index for index in own if text.at(index) is not None))
    return text.slice(own[0], own[-1] + 1)


def _is_of_name(token: Token) -> bool:
    return token.says_something or token.text in _INSIDE


def _may_name(text: Text, index: int) -> bool:
    """Return whether a word in the first line may be of a name: one that says nothing else."""
    phrase = text.at(index)
    if text.is_read(index) or text.tokens[index].kind != "word":
        return False
    if phrase is not None and phrase.means("not a grain"):  # bias tape is none
        return True
    known = phrase is None or phrase.means(*_WORDS, "filler", "another fold", "elsewhere")
    return known and text.is_free(index)


def _begun(text: Text, start: int) -> int:
    """Return where a name in the first line begins: *Repli de manche*, *Bies sisa*.

    A word before it that no list knows belongs to it where *of* links the two, and stays unread.
    """
    before = text.words(range(start))
    if not before or len(before) >= MOST_WORDS or before[0] not in text.line(start):
        return start
    first, links = before[0], before[1:]
    joined = all(text.tokens[index].kind == "word" for index in range(first, start))
    linked = all(text.means(index, "filler", "link") for index in links)
    if not joined or not linked:
        return start
    if text.means(first, "bias") or (text.is_free(first) and text.means(first, "another fold")):
        return first
    return first if links and text.is_free(first) and text.at(first) is None else start


def about_name(name: str | None, size: str | None, unread: Sequence[str]) -> list[str]:
    """Ask about a single letter that may be a size or a side: `Front L`, or `Sleeve` and `M`."""
    last = name.split()[-1].upper() if name and " " in name else ""
    if size is not None or name is None:
        return []
    letters = [last, *(words.upper() for words in unread)]
    return [
        f"Is “{letter}” behind “{name}” the size?"
        for letter in dict.fromkeys(letters)
        if letter in ("S", "M", "L")
    ]


def _extended(text: Text, run: range) -> range:
    """Return a name with what tells it from its like: `Front A`, `Yoke (outer)`, `Back, view C`."""
    stop = run.stop
    while True:
        more = _bracketed(text, stop) or _lettered(text, stop) or _of_view(text, stop)
        if more is None:
            return range(run.start, stop)
        stop = more


def _bracketed(text: Text, index: int) -> int | None:
    """Return the token behind a bracket that holds words of a name, or a letter."""
    tokens = text.tokens
    if index >= len(tokens) or tokens[index].text != "(":
        return None
    for place in range(index + 1, min(index + 8, len(tokens))):
        if tokens[place].text == ")":
            return place + 1 if place > index + 1 else None
        said = text.means(place, *_WORDS, *_NAMING, f"{MATERIAL}main", "view")
        if tokens[place].kind != "word" or not (said or len(tokens[place].key) == 1):
            return None
    return None


def _lettered(text: Text, index: int) -> int | None:
    """Return the token behind a letter that ends the name: the A of `Front A, cut 2`."""
    if index >= len(text.tokens) or text.tokens[index].key not in _LETTERS:
        return None
    phrase = text.at(index)
    following = index + 1
    ends_line = following < len(text.tokens) and text.tokens[following].kind == "line"
    if phrase is not None and phrase.end > following and not ends_line:  # A|couper is no *à couper*
        return None
    ends = following >= len(text.tokens) or following not in text.item(index)
    if not ends and not text.is_read(following) and not text.means(following, "cut"):
        return None
    return following


def _of_view(text: Text, index: int) -> int | None:
    """Return the token behind a view with its letter or number, on the line of the name."""
    start = index + 1 if index < len(text.tokens) and text.tokens[index].text in ",-–(" else index
    if start >= len(text.tokens) or not text.means(start, "view"):
        return None
    phrase = text.at(start)
    value = start + 1 if phrase is None else phrase.end
    if start not in text.line(index - 1) or value >= len(text.tokens):
        return None
    token = text.tokens[value]
    named = token.kind == "number" or (token.kind == "word" and len(token.key) == 1)
    closes = value + 1 < len(text.tokens) and text.tokens[value + 1].text == ")"
    return (value + 2 if closes else value + 1) if named else None


def read_centre_as_name(text: Text) -> str | None:
    """Return *centre front* and the like as a name, which it is where nothing else is one."""
    for phrase in list(text.find("centre")):
        text.read(phrase)
        return text.slice(phrase.start, phrase.end)
    return None


def _is_elsewhere(text: Text, start: int) -> bool:
    """Return whether a word like *to* stands before a name: it is that of another piece."""
    before = text.before(start)
    return (
        before is not None
        and before in text.line(start)
        and text.is_free(before)
        and text.means(before, "elsewhere")
    )


def _runs(text: Text) -> Iterator[range]:
    """Yield the stretches of words that can belong to one name."""
    start: int | None = None
    for index, token in enumerate(text.tokens):
        belongs = _belongs(text, index) or (start is not None and token.text in _INSIDE)
        if belongs and start is None:
            start = index
        elif not belongs and start is not None:
            yield range(start, index)
            start = None
    if start is not None:
        yield range(start, len(text.tokens))


def _belongs(text: Text, index: int) -> bool:
    if text.is_free(index) and text.means(index, *_WORDS):
        return True
    if text.means(index, "part") and text.means(index, *_NAMING):
        return True  # Futterärmel
    # The lining that a name gives to the demand is part of the name as well.
    return text.means(index, *_NAMING) and not _behind_count(text, index)


def _behind_count(text: Text, index: int) -> bool:
    """Return whether a count, or a word read with it, comes before a material in its line."""
    before = text.before(index)
    while before is not None and before in text.line(index) and text.means(before, "filler"):
        before = text.before(before)
    return before is not None and before in text.line(index) and text.is_read(before)


def _trimmed(text: Text, run: range) -> range:
    """Return a run without the links and signs at its ends."""
    low, high = run.start, run.stop

    def is_edge(index: int) -> bool:
        if text.tokens[index].kind != "word":
            return True
        return text.means(index, "link") and not text.means(index, "part", "which")

    while low < high and is_edge(low):
        low += 1
    while high > low and is_edge(high - 1):
        high -= 1
    return range(low, high)
