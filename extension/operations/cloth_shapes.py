# SPDX-License-Identifier: GPL-2.0-or-later
"""Closed shapes marked as pieces of cloth that parts can be laid on, or as such no more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lxml import etree

from extension.language.errors import DrawingError, OptionError
from extension.language.names import lay
from extension.language.words import folded
from extension.operations.match_points import CLEAR
from extension.pieces.attributes import makes_piece
from extension.pieces.objects import all_called, called, is_original
from extension.pieces.outlines import closed_shape
from extension.pieces.remnants import CLOTH, cloths_drawn
from extension.svg.document import Document
from extension.svg.identities import Identities
from extension.svg.leaves import read_leaves
from extension.svg.model import Group, Leaf

DETAIL = "cloth"
"""What the detail is called that makes cloth of a shape."""


def mark_cloth(
    document: Document, selected: Sequence[str], changes: Mapping[str, str]
) -> tuple[str, ...]:
    """Mark the selected shapes as cloth, or take that away; return what to say.

    A name may be set with it, and nothing else. Raises OptionError for another detail, DrawingError
    for what is a piece, no closed shape or a clone, or cannot be cloth; the tree is untouched then.
    """
    value = folded(changes[DETAIL])
    others = [name for name in changes if name not in (DETAIL, "name")]
    if others:
        raise OptionError(
            f"A piece of cloth has no {others[0]}: set its name with it, and nothing else."
        )
    if value not in ("yes", CLEAR):
        raise OptionError(f"Whether a shape is cloth is “{changes[DETAIL]}”: type yes, or -.")
    things = _things(read_leaves(document), selected)
    identities = Identities(document.root)
    nodes = [(one, identities.find(one.id)) for one in things]
    for thing, node in nodes:
        if node is None or (isinstance(thing, Leaf) and not is_original(thing)):
            raise DrawingError(
                f"{called(thing)} is a clone: unlink it first (Edit > Clone > Unlink Clone).",
                thing.id,
            )
        if value != CLEAR and makes_piece(thing.attributes):
            raise DrawingError(
                f"{called(thing)} has the details of a piece: take them away, or choose a shape "
                "that is none.",
                thing.id,
            )
    kept = [(node, dict(node.attrib)) for _, node in nodes if node is not None]
    for node, _ in kept:
        _write(node, value, changes)
    try:
        cloths_drawn(read_leaves(document))
    except DrawingError:
        for node, before in kept:
            node.attrib.clear()
            node.attrib.update(before)
        raise
    names = all_called(things, 8)
    if value == CLEAR:
        return (f"No cloth any more: {names}.",)
    return (f"Cloth to lay out on: {names}.",)


def _things(leaves: Sequence[Leaf], selected: Sequence[str]) -> list[Leaf | Group]:
    """Return the closed shapes and groups that are selected. Raises DrawingError without any."""
    found: dict[str, Leaf | Group] = {}
    for leaf in leaves:
        groups: list[Leaf | Group] = [group for group in leaf.groups if not group.is_layer]
        if closed_shape(leaf) is not None:
            found.update({one.id: one for one in (*groups, leaf) if one.id in selected})
    if not found:
        raise DrawingError("No closed shape is selected: cloth is one, drawn in its full size.")
    return list(found.values())


def _write(node: etree._Element, value: str, changes: Mapping[str, str]) -> None:
    """Write on a shape that it is cloth, or no more, and its name."""
    if value != CLEAR:
        node.set(lay("role"), CLOTH)
    elif folded(node.get(lay("role"), "")) == CLOTH:
        del node.attrib[lay("role")]
    name = changes.get("name", "")
    if name and name != CLEAR:
        node.set(lay("name"), name)
    elif name and node.get(lay("name")) is not None:
        del node.attrib[lay("name")]
