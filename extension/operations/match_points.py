# SPDX-License-Identifier: GPL-2.0-or-later
"""Match points made of selected marks: a notch, a small circle, a grainline."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.pieces.attributes import mark_details
from extension.pieces.marks import owners_of
from extension.pieces.objects import all_called, called, is_original
from extension.pieces.stand_ins import with_stand_ins
from extension.pieces.structure import structure_of
from extension.svg.document import Document
from extension.svg.identities import Identities
from extension.svg.leaves import read_leaves
from extension.svg.model import Group, Leaf

CLEAR = "-"
"""What is typed to take a detail away."""


@dataclass(frozen=True, eq=False, slots=True)
class Marks:
    """The marks, or groups of their strokes, that are selected."""

    chosen: tuple[Leaf | Group, ...]

    @property
    def ids(self) -> tuple[str, ...]:
        """Their ids."""
        return tuple(one.id for one in self.chosen)


def marks_to_match(document: Document, selected: Sequence[str], value: str) -> Marks:
    """Return the marks of pieces among what is selected.

    Raises DrawingError when there is none, for a clone, and for a value that cannot be used.
    """
    leaves = [leaf for leaf in with_stand_ins(read_leaves(document)) if not leaf.hidden]
    structure = structure_of(leaves)
    owned = [leaves[place] for place in sorted(owners_of(leaves, structure))]
    outlines = {shape.leaf for shape in structure.shapes} - set(owned)
    around = {group.id for leaf in outlines for group in leaf.groups}
    chosen: dict[str, Leaf | Group] = {}
    for leaf in owned:
        groups = [group for group in leaf.groups if group.id not in around]
        things: list[Leaf | Group] = [*groups, leaf]
        picked = [one for one in things if one.id in selected]
        if picked and not is_original(leaf):
            raise DrawingError(
                f"{called(leaf)} is shown by a clone, which cannot have a match point of its own: "
                "unlink it first (Edit > Clone > Unlink Clone).",
                leaf.id,
            )
        chosen.update({one.id: one for one in picked[:1]})
    if not chosen:
        raise DrawingError(
            "No mark of a piece is selected: select the notch, the small circle or the grainline "
            "that is to match, and nothing is lost by selecting its piece with it."
        )
    if value != CLEAR:
        for one in chosen.values():
            mark_details({"match": value}, called(one), one.id)
    return Marks(tuple(chosen.values()))


def write_match(document: Document, marks: Marks, value: str) -> str:
    """Write `lay:match` on marks, or take it away, and return what was done."""
    identities = Identities(document.root)
    for one in marks.chosen:
        node = identities.find(one.id)
        if node is None:
            continue
        node.set("id", one.id)
        if value != CLEAR:
            node.set(lay("match"), value)
        elif node.get(lay("match")) is not None:
            del node.attrib[lay("match")]
    names = all_called(marks.chosen, 8)
    return f"{'Took match from' if value == CLEAR else 'Set match on'} {names}."
