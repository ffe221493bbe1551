# SPDX-License-Identifier: GPL-2.0-or-later
"""Finds the counts on a label: `CUT 2`, `2 x`, `1 pair`, *couper deux fois*, *zweimal*."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from extension.labels.phrases import MATERIAL, NUMBER, TIMES, Text
from extension.language.vocabulary import MATERIAL_WORDS
from extension.pieces.cutlist import MOST
from nesting.model import Hand

Side = Literal["left", "right"]

_CLOTHS = tuple(f"{MATERIAL}{name}" for name in MATERIAL_WORDS)
_BESIDE = ("on fold", "mirrored", "same", "bias", "cross")
"""A bare number right before one of these, or before a material, is a count."""


@dataclass(frozen=True, slots=True)
class Count:
    """A count: its tokens from `start` up to `end`, how many, which hand or side it says."""

    start: int
    end: int
    value: int
    hand: Hand | None = None
    side: Side | None = None


@dataclass(frozen=True, slots=True)
class _Number:
    """A number or number word; no languages means digits, which every language reads."""

    start: int
    end: int
    value: int
    languages: frozenset[str] | None

    def goes_with(self, text: Text, index: int | None, *ideas: str) -> bool:
        """Return whether a token has such a meaning in a language of the number."""
        phrase = text.at(index)
        if phrase is None or not phrase.means(*ideas) or not text.is_free(index):
            return False
        return self.languages is None or bool(self.languages & phrase.languages(*ideas))


def count_at(text: Text, index: int) -> Count | None:
    """Return the count that begins at a token, if one does."""
    if not text.is_free(index):
        return None
    return (
        _number_of_times(text, index)
        or _after_times(text, index)
        or _pair_without_number(text, index)
        or _with_number(text, index)
    )


def is_cloth(text: Text, index: int | None) -> bool:
    """Return whether a token names a material."""
    phrase = text.at(index)
    return phrase is not None and bool(phrase.values(MATERIAL)) and text.is_free(index)


def _number_of_times(text: Text, index: int) -> Count | None:
    """*twice*, *zweimal*."""
    phrase = text.at(index)
    values = {} if phrase is None else phrase.values(TIMES)
    if phrase is None or not values:
        return None
    return Count(index, phrase.end, int(next(iter(values))))


def _after_times(text: Text, index: int) -> Count | None:
    """`x2`."""
    if text.key(index) != "x" or (index and text.tokens[index - 1].kind == "number"):
        return None
    number = _number_at(text, text.after(index))
    if number is None or number.languages is not None or number.start != index + 1:
        return None
    return Count(index, number.end, number.value)


def _pair_without_number(text: Text, index: int) -> Count | None:
    """`CUT A PAIR`; `PAIR` on a line of its own."""
    if not text.means(index, "pair"):
        return None
    before = _skipped(text, text.before(index), -1, text.line(index))
    alone = text.words(text.line(index)) == [index]
    phrase = text.at(index)
    if phrase is not None and (text.means(before, "cut") or alone):
        return Count(index, phrase.end, 2, "mirrored")
    return None


def _with_number(text: Text, index: int) -> Count | None:
    number = _number_at(text, index)
    if number is None:
        return None
    after = text.after(number.end - 1)
    if number.goes_with(text, after, "pair"):
        return Count(index, _end(text, after), 2 * number.value, "mirrored")
    if number.goes_with(text, after, "times") and not _is_dimension(text, after):
        end = _end(text, after)
        return Count(index, end, number.value, side=_side_of(text, index, end))
    if number.goes_with(text, after, "copies") or _is_one_copy(text, number, after):
        end = _end(text, after)
        return Count(index, end, number.value, side=_side_of(text, index, end))
    if text.means(after, "size") and text.is_free(after):
        return None  # CUT 2 SIZES SMALLER
    if _is_told(text, number):
        return Count(index, number.end, number.value, side=_side_of(text, index, number.end))
    return None


def _is_one_copy(text: Text, number: _Number, after: int | None) -> bool:
    """Return whether *one piece* stands here, and no number of a piece: `1 pièce`."""
    if number.value != 1 or after is None or after not in text.line(number.start):
        return False
    behind = text.after(_end(text, after) - 1) if text.at(after) else None
    numbered = behind is not None and text.tokens[behind].kind == "number"
    return number.goes_with(text, after, "one copy") and not (
        numbered and behind in text.line(number.start)
    )


def _is_told(text: Text, number: _Number) -> bool:
    """Return whether the words round a number make it a count."""
    line = text.line(number.start)
    before = text.before(number.start)
    if number.goes_with(text, before, "cut", "quantity"):
        return True  # also at the end of the line above
    before = _skipped(text, before, -1, line, cloth=True)
    if number.goes_with(text, before, "cut", "quantity"):
        return True
    after = text.after(number.end - 1)
    beside = _skipped(text, after, 1, line, sides=True)
    if number.goes_with(text, beside, *_BESIDE):
        return True
    if number.goes_with(text, beside, "cut"):
        return not _begins_count(text, beside)
    if _side_of(text, number.start, number.end) and _names_both_sides(text, number.start):
        sides = (phrase for phrase in text.find("left", "right") if phrase.start in line)
        return number.languages is None or all(
            number.languages & phrase.languages("left", "right") for phrase in sides
        )
    in_item = beside is not None and beside in text.item(number.start)
    if number.languages is not None:
        # *ein Stoff* is a cloth; English has another word for that.
        says_one = number.value > 1 or number.languages == {"en"}
        return in_item and says_one and number.goes_with(text, beside, *_CLOTHS)
    return (in_item and is_cloth(text, beside)) or _is_behind_colon(text, number.start)


def _is_behind_colon(text: Text, index: int) -> bool:
    """Return whether a number tells how many of a material: `LINING: 2`."""
    return index > 1 and text.tokens[index - 1].text in ":=" and is_cloth(text, index - 2)


def _number_at(text: Text, index: int | None) -> _Number | None:
    """Return the number from 1 to 999, or the number word, at a token."""
    if index is None or not text.is_free(index):
        return None
    count = text.tokens[index].count
    if count is not None:
        return _Number(index, index + 1, count, None) if 1 <= count <= MOST else None
    phrase = text.at(index)
    if phrase is None or phrase.start != index:
        return None
    for value, languages in sorted(phrase.values(NUMBER).items()):
        return _Number(index, phrase.end, int(value), languages)
    return None


def _skipped(
    text: Text,
    index: int | None,
    step: int,
    line: range,
    *,
    cloth: bool = False,
    sides: bool = False,
    elsewhere: bool = False,
) -> int | None:
    """Return the first word in a line from here on that is no filler (or material, or side)."""
    while index is not None and index in line:
        if is_cloth(text, index):
            passes = cloth
        else:
            passes = text.means(index, "filler", "each") or text.key(index) == "x"
            passes = passes or (sides and text.means(index, "left", "right"))
            passes = passes or (elsewhere and text.means(index, "elsewhere"))
        if not passes:
            return index
        phrase = text.at(index)
        low, high = (index, index) if phrase is None else (phrase.start, phrase.end - 1)
        index = text.before(low) if step < 0 else text.after(high)
    return None


def _begins_count(text: Text, cut: int | None) -> bool:
    """Return whether a word for cutting has its own number behind it: `1 CUT 2`."""
    phrase = text.at(cut)
    if phrase is None:
        return False
    following = _skipped(text, text.after(phrase.end - 1), 1, text.line(phrase.start))
    return _number_at(text, following) is not None


def _is_dimension(text: Text, times: int | None) -> bool:
    """Return whether another number stands behind an x, as in `5 x 5`."""
    if times is None or text.key(times) != "x":
        return False
    following = times + 1
    return following < len(text.tokens) and text.tokens[following].kind == "number"


def _end(text: Text, index: int | None) -> int:
    phrase = text.at(index)
    assert phrase is not None
    return phrase.end


def _side(text: Text, index: int | None) -> Side | None:
    if not text.is_free(index):
        return None
    if text.means(index, "left"):
        return "left"
    return "right" if text.means(index, "right") else None


def _side_of(text: Text, start: int, end: int) -> Side | None:
    """Return the side a count is of: the word behind it, or before where sides lead the line."""
    line = text.line(start)
    first = next((one for one in line if _side(text, one) or _number_at(text, one)), end)
    if _side(text, first) and _names_both_sides(text, start):
        before = text.before(start)
        return _side(text, before) if before is not None and before in line else None
    behind = text.after(end - 1)
    return _side(text, behind) or _side(text, _skipped(text, behind, 1, line, elsewhere=True))


def _names_both_sides(text: Text, index: int) -> bool:
    line = text.line(index)
    return all(any(text.means(one, side) for one in line) for side in ("left", "right"))
