# SPDX-License-Identifier: GPL-2.0-or-later
"""Hold or Release Parts: says of parts on a layout that they stay where they are, or no longer.

What is said stands on the part's outline as well as on its group (`lay:held`), so that ungrouping
does not lose it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lxml import etree

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.language.words import listed
from extension.layouts.found import FoundPart, found_on, leaves_on, part_group
from extension.layouts.holding import elements_of, is_within
from extension.layouts.layers import LayoutLayer, layout_layers
from extension.layouts.signs import renew_signs
from extension.svg.document import Document, serialise
from extension.svg.leaves import read_leaves

NO_PART = "Select the parts on a layout that are to be held or released: no part is selected."
_MOST = 12


@dataclass(frozen=True, slots=True)
class HoldOutcome:
    """The drawing with parts held or released, and what to say."""

    drawing: bytes
    summary: tuple[str, ...]


def hold_parts(document: Document, ids: Sequence[str], hold: bool | None = None) -> HoldOutcome:
    """Return the drawing with the parts of some ids held, or released; the tree is changed.

    `ids` are of parts, of groups of them, or of layouts; what of them is no part is passed over.
    With `hold` None parts that are all held already are released, and else all are held. Raises
    DrawingError when no part is chosen, or one cannot be held; the tree is untouched then.
    """
    leaves = read_leaves(document, include_layouts=True)
    wanted = elements_of(document, ids)
    chosen: list[tuple[LayoutLayer, list[FoundPart]]] = []
    for layer in layout_layers(document):
        own = found_on(leaves_on(leaves, layer)).parts
        parts = [part for part in own if is_within(part, wanted)]
        if parts:
            chosen.append((layer, parts))
    every = [part for _, parts in chosen for part in parts]
    if not every:
        raise DrawingError(NO_PART)
    if hold is None:
        hold = not all(part.held for part in every)
    for part in every:
        _check(part, hold)
    for part in every:
        _write(part, hold)
    again = read_leaves(document, include_layouts=True)
    for layer, _ in chosen:
        renew_signs(document, again, layer)
    names = listed([_name(part) for part in every], _MOST)
    return HoldOutcome(serialise(document), (f"{'Held' if hold else 'Released'}: {names}.",))


def _check(part: FoundPart, hold: bool) -> None:
    """Raise for a part that cannot carry a note of its own."""
    if part.is_clone:
        what = "held" if hold else "released"
        raise DrawingError(
            f"{part.called} cannot be {what}, because it is a clone: unlink it first "
            "(Edit > Clone > Unlink Clone).",
            part.id,
        )


def _write(part: FoundPart, hold: bool) -> None:
    """Write or delete the note on a part: on its outline and on every group of it."""
    outline = part.shape.leaf.element
    around = part_group(part)
    groups = [one for one in outline.iterancestors() if one.get(lay("of")) and one.get(lay("held"))]
    nodes: list[etree._Element] = [outline, *groups, *([] if around is None else [around])]
    for node in nodes:
        if hold:
            node.set(lay("held"), "yes")
        else:
            node.attrib.pop(lay("held"), "")


def _name(part: FoundPart) -> str:
    """Return what is written on a part, or how messages call one that was ungrouped."""
    return f"“{part.groups[-1].label}”" if part.groups and part.groups[-1].label else part.called
