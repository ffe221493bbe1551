# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether a label places the piece on the fold, and not just names the fold of a hem or pleat."""

from __future__ import annotations

from extension.labels.phrases import MATERIAL, Phrase, Text

_ALLOWED = ("filler", "place", "cut", "straight", "centre")
"""What may stand beside a bare *fold* that is the edge on the fold."""
_POSTPOSED = frozenset({"de", "nl"})
"""Languages that put *not* behind: Bruchkante nicht abschneiden."""


def bar_negations(text: Text) -> None:
    """Bar `do not cut on the fold line` and the like, before counts are looked for."""
    for phrase in list(text.find("not")):
        item = text.item(phrase.start)
        if _forbids(text, phrase, item):
            text.bar(range(phrase.start, item.stop))
        elif phrase.languages("not") & _POSTPOSED:
            folds = [one for one in text.find("on fold", "fold") if one.start in item]
            if any(one.end <= phrase.start for one in folds) and not _counts(text, item):
                text.bar(item)


def read_fold(text: Text) -> tuple[Phrase, ...]:
    """Return the words that put the piece on the fold. Counts have been read before.

    A verb of cutting is among them where no count stands beside it.
    """
    found: list[Phrase] = []
    for phrase in list(text.find("on fold")):
        if _is_of_hem(text, phrase):
            text.bar(phrase)
        else:
            found += _taken(text, phrase)
    for phrase in list(text.find("fold")):
        if _stands_alone(text, phrase) or _follows_count(text, phrase):
            found += _taken(text, phrase)
        else:
            text.bar(phrase)
    return tuple(found)


def _taken(text: Text, phrase: Phrase) -> list[Phrase]:
    """Mark a fold as read, with what stands beside it; return it and the words that go with it."""
    line = text.line(phrase.start)
    before = text.before(phrase.start)
    words = [one for one in text.find("place", "cut") if one.start in line or one.end - 1 == before]
    centre = [one for one in text.find("centre") if one.start in line]
    counts = _counts(text, line)
    text.read(phrase, *words)
    if counts:  # beside a count the centre is the name of the piece
        return [phrase, *(one for one in words if not one.means("cut"))]
    text.read(*centre)
    return [phrase, *words]


def _is_of_hem(text: Text, phrase: Phrase) -> bool:
    """Return whether *on the fold* is said of a hem, pleat or step of sewing."""
    line = text.line(phrase.start)
    if _counts(text, line) or any(text.means(index, "cut", "place") for index in line):
        return False
    return any(text.means(index, "another fold") for index in text.item(phrase.start))


def _stands_alone(text: Text, phrase: Phrase) -> bool:
    """Return whether nothing beside a bare *fold* says that it is another one."""
    return all(
        index in range(phrase.start, phrase.end)
        or text.is_read(index)
        or text.means(index, *_ALLOWED)
        or _is_cloth(text, index)
        for index in text.words(text.item(phrase.start))
    )


def _follows_count(text: Text, phrase: Phrase) -> bool:
    """Return whether a bare *fold* stands right behind a count: `1x Bruch`."""
    before = text.before(phrase.start)
    is_last = text.words(text.item(phrase.start))[-1] < phrase.end
    return (
        before is not None
        and text.is_read(before)
        and is_last
        and _counts(text, text.item(phrase.start))
    )


def _is_cloth(text: Text, index: int) -> bool:
    phrase = text.at(index)
    return phrase is not None and bool(phrase.values(MATERIAL))


def _counts(text: Text, stretch: range) -> bool:
    """Return whether a count has been read in a stretch."""
    return any(
        text.is_read(index) and (text.tokens[index].kind == "number" or text.means(index, "pair"))
        for index in stretch
    )


def _forbids(text: Text, phrase: Phrase, item: range) -> bool:
    """Return whether a word for *not* is said of cutting or of a fold: the next word is one."""
    following = text.after(phrase.end - 1)
    while following is not None and following in item:
        if text.means(following, "cut", "on fold", "fold"):
            return True
        skips = text.means(following, "filler", "place") and not _is_cloth(text, following)
        if not skips:
            return False
        following = text.after(following)
    return False
