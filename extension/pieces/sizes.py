# SPDX-License-Identifier: GPL-2.0-or-later
"""What the size of a piece says: one size, a list of sizes, or a range of them.

A pocket is often drawn once for sizes that share it, `38, 40` or `38-42`, beside fronts of one size
each. It belongs to each of these; a range that holds no size of the drawing is a size by itself.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from itertools import pairwise

from extension.language.words import folded

_LIST = re.compile(r"\s*[,;+&]\s*")
_EITHER = re.compile(r"\s*/\s*")
_RANGE = re.compile(r"\s*[-\u2010-\u2015]\s*")
_NUMBER = re.compile(r"([^\W\d_]*)\s*(\d{1,6}(?:\.\d{1,6})?)\s*([^\W\d_]*)")
_LETTERS = ("xxxxs", "xxxs", "xxs", "xs", "s", "m", "l", "xl", "xxl", "xxxl", "xxxxl", "xxxxxl")
"""The smallest first: common practice, no source."""
_WORDS = {"small": "s", "medium": "m", "large": "l"}
_TIMES = re.compile(r"([2-5])(x[sl])")


def sizes_named(text: str) -> tuple[str, ...]:
    """Return what a size lists, as written: `38, 40` or `38 40` is two, a range or `86/92` one."""
    parts = [part for part in _LIST.split(text) if part]
    return tuple(one for part in parts for one in _listed_plainly(part)) or (text,)


def names_several(text: str) -> bool:
    """Return whether a size is a list or a range of sizes; `86/92` is one."""
    return len(sizes_named(text)) > 1 or len(_ends(text)) > 1


def covers(text: str, size: str) -> bool:
    """Return whether what a piece has as its size holds a size: is it, lists it, spans it."""
    return any(
        folded(part) == folded(size) or _spans(part, size) or _offers(part, size)
        for part in (text, *sizes_named(text))
    )


def same_size(one: str | None, other: str | None) -> bool:
    """Return whether two sizes meet; what has no size belongs to every size."""
    if one is None or other is None:
        return True
    ends = [_whole_ends(part) for text in (one, other) for part in sizes_named(text)]
    known = [end for part in ends for end in part]
    return (
        covers(one, other)
        or covers(other, one)
        or any(covers(one, size) and covers(other, size) for size in known)
    )


def sizes_drawn(texts: Iterable[str]) -> tuple[str, ...]:
    """Return the sizes of pieces that have these, each once, as first written.

    What all of them share is one size, however it is written; lists and ranges are none beside
    sizes that they hold.
    """
    found: dict[str, str] = {}
    for text in texts:
        found.setdefault(folded(text), text)
    written = [*found.values()]
    if len(written) < 2:
        return tuple(written)
    parts: dict[str, str] = {}
    for text in written:
        for part in sizes_named(text):
            parts.setdefault(folded(part), part)
    each = [*parts.values()]
    return tuple(
        one
        for place, one in enumerate(each)
        if not any(
            other != one and covers(one, other) and (before < place or not covers(other, one))
            for before, other in enumerate(each)
        )
    )


def any_covered(text: str | None, chosen: Collection[str]) -> bool:
    """Return whether a piece with such a size is of one of the chosen ones."""
    return text is None or any(covers(text, size) for size in chosen)


def words_join(text: str) -> bool:
    """Return whether words stand between two sizes: `38 to 42` may be a list or a range."""
    first, *between, last = text.split() if len(text.split()) > 2 else ("", "", "")
    of_one_kind = len({kind[0] if kind else None for kind in map(_rank, (first, last))}) == 1
    is_word = [not _rank(word) and any(map(str.isalpha, word)) for word in between]
    return of_one_kind and _rank(first) is not None and len(between) < 3 and all(is_word)


def _listed_plainly(part: str) -> tuple[str, ...]:
    """Return sizes that rise with a space between, `38 40`, or three and more with dashes."""
    for parts, least in ((part.split(), 2), (_RANGE.split(part), 3)):
        ranks = [rank for one in parts if (rank := _rank(one)) is not None]
        rises = all(one[0] == next_[0] and one[1] < next_[1] for one, next_ in pairwise(ranks))
        if len(parts) == len(ranks) >= least and rises:
            return tuple(parts)
    return (part,)


def _ends(part: str) -> tuple[str, ...]:
    """Return the two ends of a range, or what is written as it is."""
    ends = _RANGE.split(part)
    return tuple(ends) if len(ends) == 2 and all(map(_reach, ends)) else (part,)


def _whole_ends(part: str) -> tuple[str, ...]:
    """Return the ends of a range that are sizes as they stand; `0-3M` and `3-6M` share none."""
    ends = _ends(part)
    kinds = {rank[0] for end in ends if (rank := _rank(end)) is not None}
    return ends if len(kinds) < 2 else (part,)


def _spans(part: str, size: str) -> bool:
    """Return whether a range holds a size of its kind, or all that `86/92` or a range is."""
    outer, inner = _reach(part), _reach(size)
    if len(_ends(part)) != 2 or outer is None or inner is None:
        return False
    return outer[0] == inner[0] and outer[1] <= inner[1] and inner[2] <= outer[2]


def _reach(part: str) -> tuple[str, float, float] | None:
    """Return the kind of a size, a range or `86/92`, and its ends; None for any other words.

    What stands before the first or behind the last belongs to each: `UK 8-10`, `6-12 m`.
    """
    ends = [_told(one) for end in _RANGE.split(part) for one in _EITHER.split(end)]
    known = [one for one in ends if one is not None]
    if len(known) < len(ends) or len(_RANGE.split(part)) > 2:
        return None
    kinds = {(before or known[0][0], behind or known[-1][2]) for before, _, behind in known}
    if len(kinds) > 1:
        return None
    values = [value for _, value, _ in known]
    return " ".join(kinds.pop()), min(values), max(values)


def _offers(part: str, size: str) -> bool:
    """Return whether `86/92` is also what a drawing with 86 and 92 by themselves calls a size."""
    either = _EITHER.split(part)
    return len(either) > 1 and folded(size) in map(folded, either)


def _rank(text: str) -> tuple[str, float] | None:
    """Return the kind of a size and its place among others of it, None for any other word."""
    told = _told(text)
    return None if told is None else (f"{told[0]} {told[2]}", told[1])


def _told(text: str) -> tuple[str, float, str] | None:
    """Return the number of a size between the letters round it, or the place of letters alone."""
    plain = _TIMES.sub(lambda found: "x" * int(found[1]) + found[2][1], text.strip().casefold())
    plain = _WORDS.get(plain, plain)
    if plain in _LETTERS:
        return "", float(_LETTERS.index(plain)), "letters"
    number = _NUMBER.fullmatch(plain)
    return None if number is None else (number[1], float(number[2]), number[3])
