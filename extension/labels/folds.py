# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether a label places the piece on the fold, and not just names the fold of a hem or pleat."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extension.labels.cloths import denied_mirror
from extension.labels.phrases import MATERIAL, Phrase, Text

_ALLOWED = ("filler", "place", "cut", "straight", "centre")
"""What may stand beside a bare *fold* that is the edge on the fold."""
_POSTPOSED = frozenset({"de", "nl"})
"""Languages that put *not* behind: Bruchkante nicht abschneiden."""


def bar_negations(text: Text) -> bool:
    """Bar `do not cut on the fold line` and the like, before counts are looked for.

    Returns whether the fold itself is denied: *do not fold* is, *do not cut on the fold line* says
    where the fold is.
    """
    denied = False
    for phrase in list(text.find("not")):
        item = text.item(phrase.start)
        if denied_mirror(text, phrase) is not None:
            continue
        if _forbids(text, phrase, item):
            rest = range(phrase.start, item.stop)
            says_fold = any(text.means(index, "fold", "on fold") for index in rest)
            denied |= says_fold and not any(text.means(index, "cut") for index in rest)
            text.bar(rest)
        elif (cloth := _denied_cloth(text, phrase)) is not None:
            text.bar(cloth)
        elif phrase.languages("not") & _POSTPOSED:
            folds = [one for one in text.find("on fold", "fold") if one.start in item]
            if any(one.end <= phrase.start for one in folds) and not _counts(text, item):
                text.bar(item)
    return denied


def about_fold(
    text: Text, fold: Sequence[Phrase], denied: bool, counts: Sequence[tuple[int, int]]
) -> list[str]:
    """Return what is to be asked about a fold that has been read, with the counts and places."""
    questions = _other_counts(text, fold, counts)
    if fold and denied:
        questions.append("The label puts the piece on the fold and denies it: which is right?")
    questions += [_which(text, one) for one in _left_beside_counts(text, fold)]
    marks = [one for one in fold if one.means("fold", "on fold")]
    counted = any(one.kind == "number" and text.is_read(i) for i, one in enumerate(text.tokens))
    for one in marks:
        line = text.line(one.start)
        if _is_of_allowance(text, one) or (
            any(text.means(i, "allowance") for i in line) and not _counts_fold(text, line)
        ):
            questions.append(f"“{text.slice(line.start, line.stop)}”: is the piece on the fold?")
        elif one.means("on fold") or any(text.means(i, "place", "cut", "centre") for i in line):
            continue
        elif counted and not _counts(text, line) and _may_be_another(text, one):
            questions.append(_which(text, one))
    return questions


def _which(text: Text, fold: Phrase) -> str:
    words = text.slice(fold.start, fold.end)
    return f"Is “{words}” the fold of the cloth, or that of a pleat or hem?"


def _left_beside_counts(text: Text, fold: Sequence[Phrase]) -> Iterator[Phrase]:
    """Yield the folds that nothing was made of, but a count stands in their item of a list."""
    for phrase in text.phrases:
        item = text.item(phrase.start)
        others = any(text.means(index, "another fold", "not", "notion") for index in item)
        others |= text.means(text.before(phrase.start), "part")  # facing fold line
        if phrase.means("fold") and phrase not in fold and _counts(text, item) and not others:
            yield phrase


def about_fold_alone(text: Text, fold: Sequence[Phrase]) -> list[str]:
    """Ask about a bare *fold* that is all of the first line of a label without a name: *Doblez*.

    It may be the name of a piece that is folded when it is sewn.
    """
    words = text.words(range(len(text.tokens)))
    for one in fold:
        alone = text.words(text.line(one.start)) == text.words(range(one.start, one.end))
        if (
            one.means("fold")
            and one.start == words[0]
            and alone
            and one.end <= words[-1]
            and not one.means("on fold")
        ):
            name = text.slice(one.start, one.end)
            return [f"Is “{name}” the name of the piece, or is it cut on the fold?"]
    return []


def _other_counts(
    text: Text, fold: Sequence[Phrase], counts: Sequence[tuple[int, int]]
) -> list[str]:
    """Ask where one count is on the fold and another one differs: halves, or whole ones."""
    spans = [_on(text, one, counts) for one in fold if one.means("on fold", "fold")]
    on_fold = {value for place, value in counts if any(place in span for span in spans)}
    others = {value for place, value in counts if not any(place in span for span in spans)}
    if on_fold and others - on_fold:
        return ["One count is on the fold and another is not: are all cut on the fold?"]
    return []


def _on(text: Text, fold: Phrase, counts: Sequence[tuple[int, int]]) -> range:
    """Return the tokens whose counts a fold is said of: its line, or from the count before it.

    Of that alone where a material or another count stands behind the fold.
    """
    line = text.line(fold.start)
    starts = sorted(place for place, _ in counts if place in line)
    before = [place for place in starts if place < fold.start]
    behind = [place for place in starts if place >= fold.end]
    if not before or not any(_is_cloth(text, one) for one in range(fold.end, line.stop)):
        return line
    return range(before[-1], behind[0] if behind else line.stop)


def _is_of_allowance(text: Text, fold: Phrase) -> bool:
    """Return whether a fold stands right behind the allowance: *ohne Nahtzugabe am Bruch*."""
    before = text.before(fold.start)
    while before is not None and text.means(before, "filler"):
        before = text.before(before)
    return before in text.item(fold.start) and text.means(before, "allowance")


def _counts_fold(text: Text, line: range) -> bool:
    """Return whether a line puts the piece on the fold by a count or verb of its own."""
    said = any(text.means(index, "cut", "place") for index in line)
    return said or any(
        text.is_read(index)
        and text.tokens[index].kind == "number"
        and text.means(text.after(index), "times", "on fold")
        for index in line
    )


def _may_be_another(text: Text, fold: Phrase) -> bool:
    """Return whether a bare fold may be a pleat by its word, or by others or unknown ones near."""
    line = text.words(text.line(fold.start))
    others = any(phrase.means("another fold") for phrase in text.phrases)
    others |= any(text.at(index) is None and text.is_free(index) for index in line)
    return others or fold.means("pleat or fold")


def _denied_cloth(text: Text, phrase: Phrase) -> range | None:
    """Return the tokens that deny a material: *ohne Futter*, but Portuguese *no forro* is *in*."""
    if phrase.means("filler"):
        return None
    following = text.after(phrase.end - 1)
    while following is not None and text.means(following, "filler"):
        if _is_cloth(text, following):
            break
        following = text.after(following)
    cloth = text.at(following)
    if cloth is None or cloth.start not in text.item(phrase.start):
        return None
    return range(phrase.start, cloth.end) if _is_cloth(text, cloth.start) else None


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
        if not skips and not text.means(following, "elsewhere"):
            return False
        following = text.after(following)
    return False
