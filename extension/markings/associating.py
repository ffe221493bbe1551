# SPDX-License-Identifier: GPL-2.0-or-later
"""Which outlines are pieces, and to which of them every text belongs.

The sizes of one piece, drawn within each other, are a family: its texts belong to all of them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from extension.markings.arrows import arrow_of
from extension.markings.blocks import Block, Line
from extension.markings.legends import look_of
from extension.markings.sizing import Sizes, is_nest
from extension.markings.texts import sort_texts
from extension.pieces.marks import owners_of
from extension.pieces.outlines import SMALL, ClosedShape
from extension.pieces.structure import Structure, has_mark_role, structure_of
from extension.svg.model import Leaf

SYMBOL = 150.0
"""mm; a larger shape like an arrow that lies in no outline may well be a piece."""


@dataclass(frozen=True, eq=False, slots=True)
class Sheet:
    """The drawing sorted: outlines, whose the lines are, and whose the texts are.

    `leaves` carry their sizes, and symbols their role of mark; they stand in the places of the
    drawing's own leaves. `candidates` are the outlines that may be pieces, by index, `family`
    which of them are sizes of one piece. `owners` gives for places the outlines a leaf lies on.
    `texts` are the blocks of each family, `between` those that may belong to two, `loose` those
    that belong to none; `leaders` the lines that lead from labels to their pieces; `unclosed` the
    labels that stand where an outline is broken.
    """

    leaves: tuple[Leaf, ...]
    structure: Structure
    candidates: tuple[int, ...]
    family: Mapping[int, int]
    owners: Mapping[int, tuple[int, ...]]
    texts: Mapping[int, tuple[Block, ...]]
    between: tuple[tuple[Block, int, int], ...]
    loose: tuple[Block, ...]
    leaders: frozenset[Leaf]
    unclosed: tuple[Block, ...]

    def shape(self, index: int) -> ClosedShape:
        """Return an outline by its index."""
        return self.structure.shapes[index]


def sort_sheet(leaves: Sequence[Leaf], lines: Sequence[Line], sizes: Sizes) -> Sheet:
    """Return the outlines of a drawing with what belongs to each."""
    prepared = tuple(_prepared(leaf, leaves, sizes) for leaf in leaves)
    structure = structure_of(prepared)
    seams = _stitching(structure)
    if seams:
        prepared = tuple(
            replace(leaf, attributes={**leaf.attributes, "role": "stitching"})
            if leaf in seams
            else leaf
            for leaf in prepared
        )
        structure = structure_of(prepared)
    words = [line for line in lines if line not in sizes.lines]
    texts = sort_texts(structure, words, prepared)
    return Sheet(
        prepared,
        structure,
        texts.candidates,
        texts.family,
        owners_of(prepared, structure),
        texts.of,
        texts.between,
        texts.loose,
        texts.leaders,
        texts.unclosed,
    )


def _prepared(leaf: Leaf, leaves: Sequence[Leaf], sizes: Sizes) -> Leaf:
    """Return a leaf with its size and, for a symbol or a sample of a legend, the role of a mark."""
    added: dict[str, str] = {}
    if leaf in sizes.of:
        added["size"] = sizes.of[leaf]
    if not has_mark_role(leaf) and (leaf in sizes.samples or _is_symbol(leaf, leaves)):
        added["role"] = "mark"
    return replace(leaf, attributes={**leaf.attributes, **added}) if added else leaf


def _is_symbol(leaf: Leaf, leaves: Sequence[Leaf]) -> bool:
    """Return whether a closed shape is an arrow drawn on a piece, or a small one on the sheet."""
    if not any(ring.closed for ring in leaf.rings):
        return False
    arrow = arrow_of(leaf)
    if arrow is None or not arrow.filled:
        return False
    low_x, low_y, high_x, high_y = leaf.box
    around = any(
        other is not leaf
        and any(ring.closed for ring in other.rings)
        and other.box[0] <= low_x
        and other.box[1] <= low_y
        and other.box[2] >= high_x
        and other.box[3] >= high_y
        for other in leaves
    )
    return around or arrow.length <= SYMBOL


def _stitching(structure: Structure) -> set[Leaf]:
    """Return the lines inside an outline that look like the stitching lines of other pieces.

    A stitching line at an uneven distance does not explain itself; its look may.
    """
    looks = {
        (look_of(structure.shapes[i].leaf), look_of(structure.shapes[each.owner].leaf))
        for i, each in enumerate(structure.standings)
        if each.kind == "mark"
        and each.owner is not None
        and structure.shapes[i].area >= SMALL * structure.shapes[each.owner].area
    }
    return {
        structure.shapes[i].leaf
        for i, each in enumerate(structure.standings)
        if each.kind == "unexplained"
        and each.owner is not None
        and is_nest(structure.shapes[i], structure.shapes[each.owner])
        and (look := look_of(structure.shapes[i].leaf))
        != look_of(structure.shapes[each.owner].leaf)
        and (look, look_of(structure.shapes[each.owner].leaf)) in looks
    }
