# SPDX-License-Identifier: GPL-2.0-or-later
"""What is left unread on a label that counts, but may change what is cut: it is asked about."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from extension.labels.measures import measure_at
from extension.labels.phrases import MATERIAL, NUMBER, Text
from extension.labels.tokens import tokens_of
from extension.language.words import folded
from extension.pieces.cutlist import MOST

MOST_LEFT = 12
"""The largest number that may be a count nobody understood; larger ones are sizes and styles."""

_DECIDING = (
    "of which",
    "each",
    "same",
    "mirrored",
    "double",
    "pair",
    "times",
    "quantity",
    "bias",
    "cross",
)
"""What changes the pieces wherever it stands; said of something else it has been barred."""
_LONGER = (
    "extend extended lengthen shorten add longer shorter",
    "verlängern verlängere verkürzen kürzen zugeben länger kürzer",
    "rallonger prolonger raccourcir ajouter",
    "alargar prolongar acortar añadir",
    "allungare prolungare accorciare aggiungere",
    "alongar prolongar encurtar acrescentar adicionar",
    "verlengen inkorten verkorten toevoegen",
)
"""What makes a piece longer than it is drawn, beside a length; common practice, no source."""
_SEWN = ("notion", "another fold", "part", "size")
"""What a number in front of it counts that is not cut: tucks, buttons, notches."""


def alternatives(text: Text) -> list[str]:
    """Bar *2 or 4* beside a word for cutting, and ask which; before `2 of 9` is read as a number.

    Dutch *of* is *or*: the word for cutting says which language it is.
    """
    questions: list[str] = []
    for phrase in [one for one in text.phrases if one.means("or")]:
        before, after = text.before(phrase.start), text.after(phrase.end - 1)
        line = text.line(phrase.start)
        if before not in line or after not in line or before is None or after is None:
            continue
        ways = ("cut", "quantity", "times", "copies")
        spoken = [one.languages(*ways) for one in text.phrases if one.start in line]
        counts = _is_count(text, before) and _is_count(text, after)
        if counts and any(phrase.languages("or") & languages for languages in spoken):
            words = text.slice(before, after + 1)
            text.bar(range(before, after + 1))
            questions.append(f"The label says “{words}”: how many are cut?")
    return questions


def _is_count(text: Text, index: int) -> bool:
    phrase = text.at(index)
    count = text.tokens[index].count
    is_word = phrase is not None and bool(phrase.values(NUMBER))
    return text.is_free(index) and ((count is not None and 1 <= count <= MOST) or is_word)


def about_leftover(text: Text) -> list[str]:
    """Return a question for each item whose unread words may change what is cut."""
    questions: list[str] = []
    for index in text.words(range(len(text.tokens))):
        if text.is_read(index) or not (_decides(text, index) or _alone_on_wrong_side(text, index)):
            continue
        item = text.item(index)
        left = [one for one in text.words(item) if not text.is_read(one)]
        words = text.slice(left[0], left[-1] + 1)
        questions.append(f"“{words}” was not understood: does it change what is cut?")
    return list(dict.fromkeys(questions))


def about_others(text: Text, counts: Sequence[int], name: str) -> list[str]:
    """Ask about a part with a count of its own beside the named one: `Collar cut 1, cuff cut 2`.

    `counts` are the tokens where counts begin. In another language it is the same piece.
    """
    questions: list[str] = []
    named = [one for one in text.phrases if one.means("part") and text.is_read(one.start)]
    for number, count in enumerate(counts if len(counts) > 1 else ()):
        first = max([text.line(count).start, *counts[:number]])
        parts = [one for one in text.phrases if first <= one.start < count and one.means("part")]
        left = [one for one in text.words(range(first, count)) if not text.is_read(one)]
        if not left or not parts or any(text.is_read(one.start) for one in parts):
            continue
        words = text.slice(left[0], left[-1] + 1)
        is_same = folded(words) == folded(name) or any(_decides(text, one) for one in left)
        spoken = [one for one in named if one.languages("part") & parts[0].languages("part")]
        if spoken and not is_same:
            questions.append(f"“{words}” has a count of its own: is it another piece?")
    return questions


def may_change_cut(words: str) -> bool:
    """Return whether words that stand apart from the count may change what is cut.

    A number alone does not: tucks, notches and pages are numbered.
    """
    text = Text(words)
    deciding = [one for one in text.words(range(len(text.tokens))) if _decides(text, one)]
    if any(text.tokens[one].count is None for one in deciding) or _says_how_much_longer(text):
        return True
    behind = text.after(0) if 0 in deciding else None
    return behind is not None and not text.means(behind, *_SEWN)


def _says_how_much_longer(text: Text) -> bool:
    """Return whether a length and a word for lengthening or adding stand together."""
    places = range(len(text.tokens))
    return any(text.key(one) in _longer() for one in places) and any(
        measure_at(text, one) is not None for one in places
    )


@cache
def _longer() -> frozenset[str]:
    return frozenset(token.key for words in _LONGER for token in tokens_of(words))


def is_unknown(text: Text, index: int) -> bool:
    """Return whether nobody understood an unread word: no large number, no small word."""
    count = text.tokens[index].count
    if not text.is_free(index) or (count is not None and count > MOST_LEFT):
        return False
    return not text.means(index, "to", "filler", "and", "elsewhere")


def _decides(text: Text, index: int) -> bool:
    """Return whether a word that nobody took tells how many are cut, of what, or how."""
    if not text.is_free(index):
        return False
    count = text.tokens[index].count
    if count is not None:
        return 1 <= count <= MOST_LEFT
    phrase = text.at(index)
    if phrase is None:
        following = text.after(index)
        return following in text.item(index) and text.means(following, "on fold", "fold")
    if phrase.values(NUMBER) and not phrase.means("part"):
        cloth = text.after(phrase.end - 1)
        while text.means(cloth, "filler") and not _is_cloth(text, cloth):
            cloth = text.after(cloth) if cloth is not None else None
        return cloth in text.item(index) and _is_cloth(text, cloth)
    if phrase.means("part", "filler", "notion"):
        return False
    if phrase.means("not"):  # of what? of something that no list knows
        return any(text.at(one) is None for one in text.words(text.item(index)))
    cloths = [name for name in phrase.values(MATERIAL) if name != "main"]
    return bool(cloths) or phrase.means(*_DECIDING)


def _is_cloth(text: Text, index: int | None) -> bool:
    phrase = text.at(index)
    return phrase is not None and bool(phrase.values(MATERIAL))


def _alone_on_wrong_side(text: Text, index: int) -> bool:
    """Return whether an item says *wrong side* and nothing else: the cloth lies so."""
    if not text.means(index, "wrong side"):
        return False
    return all(text.means(one, "wrong side", "filler") for one in text.words(text.item(index)))
