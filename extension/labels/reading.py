# SPDX-License-Identifier: GPL-2.0-or-later
"""What a label says, in seven languages; what cannot be read is shown, never dropped."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from extension.labels.allowance import ASKS_IF_INCLUDED, Allowance, read_allowance
from extension.labels.bare import strange_word
from extension.labels.cloths import Cloth, about_letters
from extension.labels.demands import Demands, read_demands
from extension.labels.facts import Grain, read_grain, read_nap, read_number, read_stretch
from extension.labels.folds import about_fold, about_fold_alone, bar_negations, read_fold
from extension.labels.leftover import about_leftover, about_others, alternatives, is_unknown
from extension.labels.measures import bar_numbered, bar_other_numbers
from extension.labels.names import about_name, read_centre_as_name, read_first_line, read_name
from extension.labels.phrases import Phrase, Text
from extension.labels.sizes import about_size, read_size
from extension.labels.turned import about_turned_sizes
from extension.pieces.cutlist import Demand

LONGEST = 2000
"""Characters beyond which a text is no label but prose (sewing instructions, a licence)."""


@dataclass(frozen=True, slots=True)
class LabelReading:
    """The reading of one text.

    `demands` is empty when no count is given; a fold without a count is one on the fold. `nap` is
    None when nothing is said, `allowance` a number of mm when the label names a width without
    saying that it is included, `included` the mm that it names where it does. `number` is that of
    the piece. `counts`: it says how many, if only so that `demands` stay open. `unread` holds the
    words that say something else, `unknown` those of them that nobody understood (of a page number
    it is known that it counts nothing), `questions` what the label leaves open or contradicts.
    """

    demands: tuple[Demand, ...] = ()
    fold: bool = False
    grain: Grain | None = None
    name: str | None = None
    size: str | None = None
    nap: bool | None = None
    stretch: bool = False
    allowance: Allowance = None
    included: float | None = None
    number: str | None = None
    counts: bool = False
    unread: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()

    @property
    def lacks_allowance(self) -> bool:
        """Return whether it says clearly that the allowance is not in the outline."""
        return self.allowance not in (None, "included") and ASKS_IF_INCLUDED not in self.questions


@lru_cache(maxsize=4096)
def read_label(text: str) -> LabelReading:
    """Return what a label says. Never fails: what is not understood is left in `unread`."""
    if len(text) > LONGEST:
        return LabelReading(unread=(" ".join(text.split()),) if text.strip() else ())
    label = Text(text)
    seams = read_allowance(label)
    size, ends = read_size(label)
    number, cut, of_fold, about = _until_fold(label)
    fold = bool(of_fold)
    demands = cut.demands
    if fold and not demands and not cut.questions:
        demands = _one_on_fold(label, cut.loose)
    grain, about_grain = read_grain(label)
    nap, about_nap = read_nap(label)
    stretch = read_stretch(label)
    name = read_name(label)
    if demands and name is None:
        about += about_fold_alone(label, of_fold)
        name = read_centre_as_name(label) or read_first_line(label)
    _read_fillers(label)
    unread, unknown = _unread(label)
    turned = about_turned_sizes(label)
    about += turned or about_size(label, size, ends)
    if demands:
        about += about_leftover(label) + about_name(name, size, unread)
        about += about_others(label, sorted(start for start, _ in cut.counted), name or "")
        about += [*about_letters(label, demands)]
    return LabelReading(
        demands=demands,
        fold=fold,
        grain=grain,
        name=name,
        size=None if turned else size,
        nap=nap,
        stretch=stretch,
        allowance=seams.allowance,
        included=seams.included,
        number=number,
        counts=bool(demands or cut.counted or cut.questions),
        unread=unread,
        unknown=unknown,
        questions=(
            *cut.questions,
            *dict.fromkeys(about),
            *_strange(label, cut.bare),
            *about_grain,
            *about_nap,
            *seams.questions,
        ),
    )


def words_of_fold(text: str) -> tuple[tuple[int, int], ...]:
    """Return the words of a label that put the piece on the fold: first and past last letter."""
    if len(text) > LONGEST:
        return ()
    label = Text(text)
    read_allowance(label)
    read_size(label)
    tokens = label.tokens
    return tuple((tokens[p.start].start, tokens[p.end - 1].end) for p in _until_fold(label)[2])


def _until_fold(label: Text) -> tuple[str | None, Demands, tuple[Phrase, ...], list[str]]:
    """Read number, counts and fold, and what is to be asked; allowance and size come before."""
    bar_numbered(label)
    about = alternatives(label)
    number = read_number(label)
    bar_other_numbers(label)
    denied = bar_negations(label)
    cut = read_demands(label)
    fold = read_fold(label)
    return number, cut, fold, about + about_fold(label, fold, denied, cut.counted)


def _one_on_fold(label: Text, cloths: Sequence[Cloth]) -> tuple[Demand, ...]:
    """Return one piece for each material named: what a bare fold mark means."""
    label.read(*(range(cloth.start, cloth.end) for cloth in cloths))
    names = dict.fromkeys(cloth.name for cloth in cloths)
    return tuple(Demand(1, name, "mirrored") for name in names or ("main",))


def _strange(label: Text, counts: Sequence[int]) -> Iterator[str]:
    """Yield what is to be asked about unknown words where a material would stand.

    That is behind a count without one, in its item of a list.
    """
    for end in counts:
        word = strange_word(label, end)
        if word is not None:
            yield f"Is “{label.tokens[word].text}” the material, or the main fabric meant?"


def _read_fillers(label: Text) -> None:
    """Mark small words as read where they only stand between words that are, or beside them."""
    words = label.words(range(len(label.tokens)))
    position = 0
    while position < len(words):
        stop = position
        while stop < len(words) and _is_filler(label, words[stop], words[position]):
            stop += 1
        if stop > position:
            line = label.line(words[position])
            beside = [*words[max(position - 1, 0) : position], *words[stop : stop + 1]]
            beside = [index for index in beside if index in line]
            if beside and all(label.is_read(index) for index in beside):
                label.read(*words[position:stop])
        position = max(stop, position + 1)


def _is_filler(label: Text, index: int, first: int) -> bool:
    is_small = label.is_free(index) and label.means(index, "filler", "and")
    if label.key(index) in ("l", "d"):  # l', d'; by itself a letter may be a size
        is_small = label.text[label.tokens[index].end :][:1] in tuple("'’´")
    return is_small and index in label.line(first)


def _unread(label: Text) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return what has not been read, words that stand together as one, and what is not known."""
    runs: list[list[int]] = []
    ended = True
    for index, token in enumerate(label.tokens):
        if token.says_something and not label.is_read(index):
            if ended:
                runs.append([])
            runs[-1].append(index)
            ended = False
        elif token.kind == "line" or token.says_something:
            ended = True
    words = [label.slice(run[0], run[-1] + 1) for run in runs]
    known = [not any(is_unknown(label, index) for index in run) for run in runs]
    return tuple(words), tuple(one for one, knows in zip(words, known, strict=True) if not knows)
