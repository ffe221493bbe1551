# SPDX-License-Identifier: GPL-2.0-or-later
"""What all the words on one piece say together; where they contradict each other it is asked."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

from extension.labels.leftover import may_change_cut
from extension.labels.phrases import Text
from extension.labels.reading import LabelReading, read_label
from extension.language.words import folded, listed
from extension.markings.blocks import Block
from extension.pieces.cutlist import Demand

FIELDS = ("size", "nap", "allowance")
"""What a piece has one of."""
_Value = TypeVar("_Value")
_LOST = re.compile(r"\d{1,2}\s*[x×]?\s+[^\W\d]{3,}")


@dataclass(frozen=True, eq=False, slots=True)
class Words:
    """The reading of all words on a piece.

    `demands` is empty when no count is given. `forbids_fold`: the label says not to cut on the
    fold. `pairs`: it says that the copies are mirror images, `every_size`: that it belongs to all
    sizes. `lacks_allowance`: it says clearly
    that the allowance is not in the outline. `used` are blocks that gave something; `unread` the
    rest of the words.
    """

    demands: tuple[Demand, ...] = ()
    name: str | None = None
    size: str | None = None
    nap: bool | None = None
    allowance: str | float | None = None
    lacks_allowance: bool = False
    fold: bool = False
    forbids_fold: bool = False
    pairs: bool = False
    every_size: bool = False
    used: tuple[Block, ...] = ()
    unread: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()


def words_of(blocks: Sequence[Block]) -> Words:
    """Return what blocks of text on one piece say together."""
    questions = [question for block in blocks for question in block.reading.questions]
    demands, about_cut = counts_of(blocks)
    if demands and not about_cut:
        demands, about_cut = _as_one_label(blocks, demands)
    name, unread_name = _name(blocks)
    sizes, naps, allowances = (_values(blocks, field) for field in FIELDS)
    for found in (sizes, naps, allowances):
        questions += _contradiction(found)
    unread = [words for block in blocks for words in block.reading.unread if words != unread_name]
    return Words(
        demands=demands,
        name=name,
        size=_only(sizes, lambda reading: reading.size),
        nap=_only(naps, lambda reading: reading.nap),
        allowance=_only(allowances, lambda reading: reading.allowance),
        lacks_allowance=any(block.reading.lacks_allowance for block in blocks),
        fold=any(block.reading.fold for block in blocks),
        forbids_fold=any(_forbids_fold(block) for block in blocks),
        pairs=any(_says_pair(block) for block in blocks if block.reading.demands),
        every_size=any(_says_every_size(block) for block in blocks),
        used=tuple(block for block in blocks if _gives(block.reading)),
        unread=tuple(unread),
        questions=(
            *about_cut,
            *questions,
            *_not_understood(blocks, unread_name, questions),
        ),
    )


def is_about_fold_alone(block: Block) -> bool:
    """Return whether a text says nothing but that an edge lies on the fold."""
    reading = block.reading
    plain = all(demand.cut == 1 and demand.material == "main" for demand in reading.demands)
    counted = any(sign.isdigit() for sign in block.text)
    return reading.fold and plain and not counted and reading.name is None


def _gives(reading: LabelReading) -> bool:
    return bool(
        reading.demands
        or reading.fold
        or reading.grain
        or reading.name
        or reading.size
        or reading.nap is not None
        or reading.stretch
        or reading.allowance is not None
    )


def counts_of(blocks: Sequence[Block]) -> tuple[tuple[Demand, ...], list[str]]:
    """Return the counts: of the one label, of several that add up, or a question."""
    told = [b for b in blocks if b.reading.demands and not is_about_fold_alone(b)]
    if not told:
        on_fold = any(is_about_fold_alone(block) for block in blocks)
        return ((Demand(1, "main", "mirrored"),) if on_fold else ()), []
    distinct = dict.fromkeys(block.reading.demands for block in told)
    if len(distinct) == 1:
        return told[0].reading.demands, []
    every = [demand for demands in distinct for demand in demands]
    if len({demand.material for demand in every}) == len(every):
        return tuple(every), []
    texts = listed([f"“{block.plain}”" for block in told])
    return (), [f"The texts {texts} give different counts: how often is it cut?"]


def _name(blocks: Sequence[Block]) -> tuple[str | None, str | None]:
    """Return the name of a piece, and the unread words that it was taken from, if it was.

    The label with the count comes first, then the largest letters. A name by its place alone,
    which no list knows, comes last.
    """
    ranked = sorted(
        blocks,
        key=lambda block: (
            block.reading.name in block.reading.unread,
            not block.reading.demands or is_about_fold_alone(block),
            -round(block.height, 3),
        ),
    )
    for block in ranked:
        if block.reading.name:
            return _whole_name(block, block.reading.name)
    return None, None


def _whole_name(block: Block, name: str) -> tuple[str, str | None]:
    """Return a name with the unknown words that stand with it on its line: `Wrap` *front*.

    Where more stands on the line, only words before the name are of it: `Belly` *strap*, cut 2.
    """
    if name in block.reading.unread:
        return name, name
    for line in block.lines:
        for words in block.reading.unread:
            whole = " ".join(line.text.split())
            if any(sign.isdigit() for sign in words) or len(whole) > 40:
                continue
            if folded(whole) in (folded(words + name), folded(name + words)):
                return whole, words
            begins = f"{words} {name}"
            if whole.startswith(begins) and not whole[len(begins)].isalnum():
                return begins, words
    return name, None


def _as_one_label(
    blocks: Sequence[Block], demands: tuple[Demand, ...]
) -> tuple[tuple[Demand, ...], list[str]]:
    """Return the demands with what the other texts say of them: *Cut 2* here, *Lining* there.

    Where the texts together count otherwise than the one does, that is asked.
    """
    if len(blocks) < 2 or any(is_about_fold_alone(block) for block in blocks):
        return demands, []
    ordered = sorted(blocks, key=lambda block: (block.middle[1], block.middle[0]))
    whole = read_label("\n".join(block.text for block in ordered))
    about = list(_about_beside(blocks, whole))
    if about or whole.demands == demands or not whole.demands:
        return demands, about
    if [demand.cut for demand in whole.demands] == [demand.cut for demand in demands]:
        return whole.demands, []
    counting = next(block for block in blocks if block.reading.demands)
    return demands, [
        f"“{counting.plain}” and the other texts on the piece may be one label: how is it cut?"
    ]


def _about_beside(blocks: Sequence[Block], whole: LabelReading) -> Iterator[str]:
    """Ask about texts without a count that nobody understood, and that may change what is cut.

    `whole` is the reading of all as one label, in which they may have given their material.
    """
    for block in blocks:
        if block.reading.demands or not may_change_cut(block.text):
            continue
        left = [words for words in whole.unknown if words in " ".join(block.text.split())]
        if any(sum(map(str.isalpha, words)) > 2 for words in left):
            yield f"“{block.plain}” was not understood: does it change what is cut?"


def _not_understood(blocks: Sequence[Block], name: str | None, asked: Sequence[str]) -> list[str]:
    """Ask about the words that nobody understood on labels that count; once about each."""
    questions: list[str] = []
    for block in blocks:
        if not block.reading.demands or is_about_fold_alone(block):
            continue
        for words in block.reading.unknown:
            if words == name or any(words in question for question in asked):
                continue
            what = "is it another count?" if _LOST.match(words) else "does it change what is cut?"
            questions.append(f"“{words}” was not understood: {what}")
    return questions


def _values(blocks: Sequence[Block], field: str) -> list[Block]:
    """Return a block for each different value that blocks give of one thing."""
    found: dict[object, Block] = {}
    for block in blocks:
        value = getattr(block.reading, field)
        if value is not None:
            found.setdefault(folded(value) if isinstance(value, str) else value, block)
    return list(found.values())


def _contradiction(found: Sequence[Block]) -> list[str]:
    if len(found) < 2:
        return []
    texts = listed([f"“{block.plain}”" for block in found])
    return [f"The texts {texts} contradict each other: which is right?"]


def _only(found: Sequence[Block], get: Callable[[LabelReading], _Value]) -> _Value | None:
    """Return the one value that blocks agree on."""
    return get(found[0].reading) if len(found) == 1 else None


def _forbids_fold(block: Block) -> bool:
    """Return whether a text says not to place or cut the piece on the fold."""
    if block.reading.fold:
        return False
    text = Text(block.text)
    words = [p for p in text.phrases if p.means("not")]
    folds = [p for p in text.phrases if p.means("on fold", "fold")]
    return any(
        fold.start in text.line(phrase.start) for phrase in words for fold in folds
    ) and not any(p.means("another fold") for p in text.phrases)


def _says_pair(block: Block) -> bool:
    return any(phrase.means("pair", "mirrored") for phrase in Text(block.text).phrases)


def _says_every_size(block: Block) -> bool:
    return any(phrase.means("all sizes") for phrase in Text(block.text).phrases)
