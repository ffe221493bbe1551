# SPDX-License-Identifier: GPL-2.0-or-later
"""Edges with a seam allowance of their own, made of selected lines along an outline."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry import LinearRing

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.language.words import begun
from extension.operations.match_points import CLEAR
from extension.pieces.attributes import mark_details
from extension.pieces.edges import lines_of, stretch_under
from extension.pieces.marks import owners_of
from extension.pieces.objects import all_called, called, is_original
from extension.pieces.stand_ins import with_stand_ins
from extension.pieces.structure import Structure, says_role, structure_of
from extension.svg.document import Document
from extension.svg.identities import Identities
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf


@dataclass(frozen=True, eq=False, slots=True)
class EdgeLines:
    """The lines along outlines that are selected."""

    chosen: tuple[Leaf, ...]

    @property
    def ids(self) -> tuple[str, ...]:
        """Their ids."""
        return tuple(one.id for one in self.chosen)


def lines_along_edges(document: Document, selected: Sequence[str], value: str) -> EdgeLines:
    """Return the open lines along outlines among what is selected.

    Raises DrawingError when there is none, for a clone, for a line beside the outline of its piece,
    and for a value that cannot be used.
    """
    leaves = [leaf for leaf in with_stand_ins(read_leaves(document)) if not leaf.hidden]
    structure = structure_of(leaves)
    owners = owners_of(leaves, structure)
    outlines = {shape.leaf for shape in structure.shapes}
    chosen = [leaf for leaf in leaves if leaf.id in selected and leaf not in outlines]
    chosen = [leaf for leaf in chosen if leaf.rings]
    if value == CLEAR:
        chosen = [leaf for leaf in chosen if says_role(leaf, "edge")]
    if not chosen:
        raise DrawingError(
            "No line along an edge is selected: draw one along the edge, snapping to the nodes of "
            "the outline, and select it; nothing is lost by selecting its piece with it."
        )
    for leaf in chosen:
        _check(leaf, structure, owners.get(leaves.index(leaf), ()), value)
    return EdgeLines(tuple(chosen))


def _check(leaf: Leaf, structure: Structure, owners: Sequence[int], value: str) -> None:
    """Raise DrawingError for a line that cannot be an edge with this allowance."""
    if not is_original(leaf):
        raise DrawingError(
            f"{called(leaf)} is shown by a clone, which cannot have an allowance of its own: "
            "unlink it first (Edit > Clone > Unlink Clone).",
            leaf.id,
        )
    if value == CLEAR:
        return
    mark_details({"role": "edge", "allowance": value}, called(leaf), leaf.id)
    rings = [LinearRing(structure.shapes[index].outline) for index in owners]
    for line in lines_of(leaf, "a piece"):
        if not any(stretch_under(ring, line) for ring in rings):
            raise DrawingError(
                f"{called(leaf)} does not lie on the outline of a piece: move it onto the edge, "
                "snapping to its nodes.",
                leaf.id,
            )


def write_edges(document: Document, lines: EdgeLines, value: str) -> str:
    """Write the role and the allowance on lines, or take them away; return what was done."""
    identities = Identities(document.root)
    for one in lines.chosen:
        node = identities.find(one.id)
        if node is None:
            continue
        node.set("id", one.id)
        for name, given in (("role", "edge"), ("allowance", value)):
            if value != CLEAR:
                node.set(lay(name), given)
            elif node.get(lay(name)) is not None:
                del node.attrib[lay(name)]
    names = begun(all_called(lines.chosen, 8))
    if value == CLEAR:
        return f"{names}: no edge with an allowance of its own any more."
    return f"{names}: an edge with {value} of allowance."
