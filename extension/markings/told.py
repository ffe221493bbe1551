# SPDX-License-Identifier: GPL-2.0-or-later
"""What is drawn on pieces about fold, allowance and count, for a layout to compare with its plan.

Reading the markings makes proposals of all that is drawn. A layout asks less: does anything say
that a piece lies on the fold, that its outline is not what is cut, or that it is not cut just once?
The answer is in the words and brackets themselves, so that it holds for drawings that were never
read.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import Literal

import shapely

from extension.labels.reading import LabelReading, read_label
from extension.labels.unfolded import says_on_fold
from extension.language.words import folded
from extension.markings.arrows import arrows_of
from extension.markings.blocks import Block, lines_of
from extension.markings.foldmarks import bracket_mark, is_bracket, straight_edges
from extension.markings.fragments import fragments_of
from extension.markings.inner import runs_along_inner_line
from extension.markings.marking import bent_lines, has_heads
from extension.markings.merging import counts_of
from extension.markings.texts import Texts, sort_texts
from extension.pieces.objects import called, role_carrier
from extension.pieces.outlines import drawn_lines
from extension.pieces.straight import Run
from extension.pieces.structure import Structure
from extension.svg.document import viewport_of
from extension.svg.model import Leaf

BESIDE = 15.0
"""mm outside an outline within which a bracket, or a line marked as fold, may mean it."""
LONGEST_NOTE = 300
"""Characters beyond which a text beside the pieces is a page of instructions, not a note."""


@dataclass(frozen=True, slots=True)
class Told:
    """What is drawn on one outline; the words or the line that say so, "" for nothing.

    `on_fold`: it is cut on the fold. `perhaps_fold`: something that may say so, but may as well be
    another line of the piece. `allowance`: the reading of the label that speaks of one, and `label`
    its words. `counts` is whether a label counts one copy of the main fabric, or something else,
    and `open` a question that a label with a count leaves.
    """

    on_fold: str = ""
    perhaps_fold: str = ""
    allowance: LabelReading | None = None
    label: str = ""
    counts: Literal["", "once", "otherwise"] = ""
    open: str = ""


@dataclass(frozen=True, eq=False, slots=True)
class Sayings:
    """What is told of each outline that was asked about; and of all, by a note beside them."""

    of: Mapping[int, Told]
    of_all: Told


def sayings(
    leaves: Sequence[Leaf],
    structure: Structure,
    owners: Mapping[int, tuple[int, ...]],
    pieces: Collection[int],
    unfolded: Collection[int],
) -> Sayings:
    """Return what words say of `pieces`, and what signs of a fold say of the `unfolded` of them.

    Both hold outlines by index; `owners` says for places among the leaves whose marks they are.
    """
    texts = _texts(leaves, structure)
    lines = [
        (leaf, owners.get(place, ()))
        for place, leaf in enumerate(leaves)
        if any(not ring.closed for ring in leaf.rings)
    ]
    signs = _Signs(lines, structure, texts, unfolded)
    of = {index: _told(signs if index in unfolded else None, texts, index) for index in pieces}
    return Sayings(of, _about_allowance(notes_beside(texts.loose)))


def notes_beside(loose: Sequence[Block]) -> list[Block]:
    """Return the texts on no piece that may be notes on all: no pages of instructions."""
    return [block for block in loose if len(block.text) <= LONGEST_NOTE]


def name_tells_fold(name: str) -> bool:
    """Return whether the name of a piece puts it on the fold: `Back, on the fold`."""
    return read_label(name).fold and says_on_fold(name)


def _texts(leaves: Sequence[Leaf], structure: Structure) -> Texts:
    words = [leaf for leaf in leaves if leaf.text.strip()]
    if not words:
        return Texts((), {}, {}, (), ())
    root = words[0].element.getroottree().getroot()
    fragments = fragments_of(words, root, viewport_of(root))
    return sort_texts(structure, lines_of(fragments), leaves)


def _blocks_of(texts: Texts, index: int) -> tuple[Block, ...]:
    """Return the labels of an outline, those among them that stand between it and another."""
    family = texts.family.get(index, -1)
    between = (block for block, *two in texts.between if family in two)
    return (*texts.of.get(family, ()), *between)


def _told(signs: _Signs | None, texts: Texts, index: int) -> Told:
    blocks = _blocks_of(texts, index)
    own = texts.of.get(texts.family.get(index, -1), ())
    told = replace(_about_allowance(blocks), counts=_counts(own), open=_open(own))
    if signs is None:
        return told
    on_fold, perhaps = "", ""
    for block in blocks:
        if not signs.is_open(block, texts):
            continue
        if block.reading.fold and (
            says_on_fold(block.text) or not signs.names_inner_line(block, index)
        ):
            on_fold = on_fold or f"“{block.plain}”"
        elif block.reading.fold:
            perhaps = perhaps or f"“{block.plain}”"
    sure, unsure = signs.of(index)
    return replace(told, on_fold=on_fold or sure, perhaps_fold=perhaps or unsure)


def _open(blocks: Sequence[Block]) -> str:
    """Return the first question that labels with a count leave, each or together, "" for none."""
    counted = (block.reading for block in blocks if block.reading.counts)
    of_one = (asked for reading in counted for asked in reading.questions)
    return next(chain(of_one, counts_of(blocks)[1]), "")


def _counts(blocks: Sequence[Block]) -> Literal["", "once", "otherwise"]:
    """Return whether labels count one copy of the main fabric, or something else."""
    counted = [block.reading.demands for block in blocks if block.reading.demands]
    if not counted:
        return ""
    once = [[(one.cut, one.material) for one in demands] == [(1, "main")] for demands in counted]
    return "once" if all(once) else "otherwise"


def _about_allowance(blocks: Sequence[Block]) -> Told:
    """Return what labels say of the allowance; one that says it is missing comes first."""
    speaking = [block for block in blocks if block.reading.allowance is not None]
    speaking.sort(key=lambda block: not block.reading.lacks_allowance)
    if not speaking:
        return Told()
    return Told(allowance=speaking[0].reading, label=f"“{speaking[0].plain}”")


class _Signs:
    """The lines of a drawing that may say something of a fold, found once for all outlines."""

    def __init__(
        self,
        lines: Sequence[tuple[Leaf, tuple[int, ...]]],
        structure: Structure,
        texts: Texts,
        asked: Collection[int],
    ) -> None:
        self._owners = dict(lines)
        self._lines = list(self._owners)
        self._shapes = {index: structure.shapes[index] for index in asked}
        every = (block for blocks in texts.of.values() for block in blocks)
        self._texts = [block for block in every if block.reading.fold]
        self._found: dict[int, list[tuple[bool, str]]] = {index: [] for index in asked}
        self._order = list(asked)
        self._tree = shapely.STRtree([self._shapes[index].polygon for index in self._order])
        self._edges: dict[int, tuple[Run, ...]] = {}
        if self._order:
            self._find_brackets()
            self._find_marked()

    def of(self, index: int) -> tuple[str, str]:
        """Return what says for sure that an outline is on the fold, and what may say so."""
        sure = next((name for certain, name in self._found[index] if certain), "")
        return sure, next((name for certain, name in self._found[index] if not certain), "")

    def is_open(self, block: Block, texts: Texts) -> bool:
        """Return whether no piece that words may be about has a known fold edge, if they are two.

        Where one of two has, the words between them are its.
        """
        two = next((set(pair) for each, *pair in texts.between if each is block), set())
        return all(any(texts.family[i] == family for i in self._order) for family in two)

    def names_inner_line(self, block: Block, index: int) -> bool:
        """Return whether words stand along a line inside an outline, not along an edge of it."""
        return runs_along_inner_line(block, self._lines, self._edges_of(index), self._shapes[index])

    def _edges_of(self, index: int) -> tuple[Run, ...]:
        if index not in self._edges:
            self._edges[index] = straight_edges(self._shapes[index].outline)
        return self._edges[index]

    def _near(self, leaves: Sequence[Leaf]) -> Iterator[int]:
        """Yield the outlines that lines may be marks of: theirs, or those close by of nobody's."""
        lines = shapely.union_all([drawn_lines(leaf) for leaf in leaves])
        owners = {index for leaf in leaves for index in self._owners[leaf]}
        for hit in sorted(self._tree.query(lines, "dwithin", distance=BESIDE)):
            index = self._order[int(hit)]
            if not owners or index in owners:
                yield index

    def _find_brackets(self) -> None:
        """Note the brackets that point at a straight edge."""
        free = [leaf for leaf in self._lines if _may_be_bracket(leaf)]
        for stroke in bent_lines(free):
            if not is_bracket(stroke.points):
                continue
            arrows = arrows_of([leaf for leaf in self._lines if _close(leaf, stroke.leaves[0])])
            for index in self._near(stroke.leaves):
                mark = bracket_mark(stroke, self._edges_of(index), arrows, self._texts)
                if mark is not None:
                    sure = (
                        has_heads(stroke)
                        or role_carrier(stroke.leaves[0]) is not None
                        or bool(mark.words)
                        or len(mark.leaves) > len(stroke.leaves)
                    )
                    name = called(stroke.leaves[0], "bracket")
                    self._found[index].append((sure, name))

    def _find_marked(self) -> None:
        """Note the lines marked as fold that lie close to an outline, and on none."""
        for leaf in self._lines:
            carrier = role_carrier(leaf)
            if carrier is not None and folded(carrier.attributes["role"]) == "fold":
                for index in self._near([leaf]):
                    self._found[index].append((True, f"{called(leaf)} marked as fold"))


def _may_be_bracket(leaf: Leaf) -> bool:
    """Return whether a line has no role but perhaps that of a bracket."""
    carrier = role_carrier(leaf)
    return carrier is None or folded(carrier.attributes["role"]) == "bracket"


def _close(leaf: Leaf, other: Leaf) -> bool:
    """Return whether the boxes of two leaves come within 5 mm of each other."""
    one, two = leaf.box, other.box
    return (
        one[0] <= two[2] + 5.0
        and two[0] <= one[2] + 5.0
        and one[1] <= two[3] + 5.0
        and two[1] <= one[3] + 5.0
    )
