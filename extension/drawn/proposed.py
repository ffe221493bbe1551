# SPDX-License-Identifier: GPL-2.0-or-later
"""Writes what was read onto the pieces and lines, and draws the lines that are missing.

Only attributes of ours are set, on the objects themselves; nothing is moved or restyled. What an
earlier reading wrote is taken away first, unless it was changed by hand since.
"""

from __future__ import annotations

from collections.abc import Mapping

from lxml import etree

from extension.drawn.frames import transform_text
from extension.drawn.ink import line_look
from extension.language.names import lay
from extension.markings.proposals import NewLine, Proposals
from extension.markings.remembering import DRAWN_BY_US, READ, by_hand, is_ours, remember, remembered
from extension.markings.taken_over import carriers_of
from extension.svg.building import FreeIds, element, path_data, style
from extension.svg.decoration import declare_line, inside, lies_on_ours
from extension.svg.document import Document
from extension.svg.identities import Identities, lay_attributes
from extension.svg.model import Leaf
from extension.svg.transforms import IDENTITY, apply, inverse, parse_transform

FOLD_COLOUR, GRAIN_COLOUR = "#7a3b69", "#22252b"
DASHES: Mapping[str, tuple[float, ...]] = {"fold": (12.0, 3.0, 1.5, 3.0)}
LINE_WIDTH = 0.8
"""mm."""


def write_reading(document: Document, proposals: Proposals) -> None:
    """Write proposals into the tree of the drawing that they were read from."""
    identities = Identities(document.root)
    to_match = _to_match(proposals)
    targets = {
        leaf.id: identities.find(leaf.id)
        for leaf in (*(piece.leaf for piece in proposals.pieces), *proposals.roles, *to_match)
    }
    forget(document)
    for leaf, role in proposals.roles.items():
        _write(targets[leaf.id], leaf.id, {"role": role})
    carriers = [*carriers_of(proposals.pieces)]
    for piece in carriers:
        _write(targets[piece.id], piece.id, piece.attributes)
    for leaf, value in to_match.items():
        _set_match(targets[leaf.id], leaf.id, value)
    ids = FreeIds(document.root)
    ours = {READ: remember(DRAWN_BY_US)}
    for piece in carriers:
        home = targets[piece.id]
        if home is not None and home is piece.leaf.element:
            for line in piece.lines:
                home.addnext(drawn_line(piece.leaf, line, ids, piece.size, ours))


def _to_match(proposals: Proposals) -> dict[Leaf, str]:
    """Return the strokes of notches that are to be match points, with what they then say."""
    if not proposals.sets_matches:
        return {}
    return {leaf: one.value for one in proposals.matches for leaf in one.leaves}


def _set_match(node: etree._Element | None, object_id: str, value: str) -> None:
    """Make a stroke a match point: because she asked for it, so that it is hers from then on."""
    if node is None or lies_on_ours(node):
        return
    node.set("id", object_id)
    node.set(lay("match"), value)


def forget(document: Document) -> None:
    """Take away what an earlier reading wrote and has not been changed since.

    What lies on layouts and other layers of ours was not read and stays as it is.
    """
    for node in [*inside(document.root)]:
        attributes = lay_attributes(node)
        if READ not in attributes:
            continue
        parent = node.getparent()
        if is_ours(node) and parent is not None:
            parent.remove(node)
            continue
        kept = by_hand(attributes)
        for name in attributes:
            if name not in kept:
                del node.attrib[lay(name)]


def _write(node: etree._Element | None, object_id: str, values: Mapping[str, str]) -> None:
    """Set attributes on an object, and keep which ones."""
    # A clone may show what lies on a layout: that stays as it was laid.
    if node is None or not values or lies_on_ours(node):
        return
    node.set("id", object_id)
    for name, value in values.items():
        node.set(lay(name), value)
    node.set(lay(READ), remember({**(remembered(lay_attributes(node)) or {}), **values}))


def drawn_line(
    leaf: Leaf, line: NewLine, ids: FreeIds, size: str | None, more: Mapping[str, str]
) -> etree._Element:
    """Return a line with its role, in the coordinates of a piece's outline.

    `more` are further attributes of ours by their names without prefix.
    """
    back = inverse(leaf.matrix)
    own = [apply(back, point) for point in (line.start, line.end)]
    (a, _, _), (b, _, _) = leaf.matrix
    scale = (a * a + b * b) ** 0.5
    colour = FOLD_COLOUR if line.role == "fold" else GRAIN_COLOUR
    look = line_look(colour, LINE_WIDTH, dash=DASHES.get(line.role, ()), scale=scale)
    attributes: dict[str, str | float] = {
        "id": ids.take(f"{leaf.id}-{line.role}"),
        "d": path_data(own, closed=False),
        "style": style(look),
        lay("role"): line.role,
        **{lay(name): value for name, value in more.items()},
    }
    if size is not None:
        attributes[lay("size")] = size
    matrix = parse_transform(leaf.element.get("transform"))
    if matrix != IDENTITY:
        attributes["transform"] = transform_text(matrix)
    made = element("path", attributes)
    if READ in more:
        declare_line(made)
    return made
