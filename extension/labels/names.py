# SPDX-License-Identifier: GPL-2.0-or-later
"""The name of a piece on its label: a part of a garment with the words that say which."""

from __future__ import annotations

from collections.abc import Iterator

from extension.labels.phrases import MATERIAL, Text

_NAMING = (f"{MATERIAL}lining", f"{MATERIAL}interfacing", f"{MATERIAL}contrast")
"""Materials that may be part of a name: the front lining."""
_WORDS = ("part", "which", "link", "notion")
"""What a name is made of; a notion only beside a part: the button placket."""
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
        text.read(run)
        return text.slice(run.start, run.stop)
    return None


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
