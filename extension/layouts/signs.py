# SPDX-License-Identifier: GPL-2.0-or-later
"""The sign on parts that are held: a pin and the word, small, on the part itself.

It stands in the part's group, so that it moves along. Signs are never edited, only drawn anew from
what the parts say (`lay:held`), so that they cannot contradict it for long. Each line and word of a
sign says what it is, so that also what is left of an ungrouped one is known.
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from lxml import etree

from extension.drawn.frames import transform_text
from extension.drawn.ink import INK, line_look
from extension.drawn.lettering import ASCENT, line_width, text
from extension.drawn.room import room_in
from extension.language.names import lay
from extension.layouts.found import OUR_IDS, FoundPart, found_on, leaves_on, part_group
from extension.layouts.layers import LayoutLayer, chosen_layers
from extension.pieces.objects import carriers
from extension.svg.building import FreeIds, element, group, path_data, style
from extension.svg.decoration import remove_all
from extension.svg.document import Document, matrix_of
from extension.svg.identities import kind_of
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from extension.svg.transforms import inverse, multiply, translation
from nesting.model import Point

HELD = "held"
"""The word beside the pin, and what the attribute of a sign says."""
SIZES = (14.0, 12.0, 10.0, 8.0, 7.0, 6.0, 5.0, 4.0)
"""Font sizes, mm: smaller than most labels', for a held part is nothing to see to."""
_EDGE = 2.0
"""mm that a sign keeps from the edge of its part."""
_CLEAR = {8.0: SIZES[:4], 4.0: SIZES[:5], 2.5: SIZES, 1.0: SIZES}
"""mm that it keeps from the marks and words of the part, and its sizes then; the best first."""
_REACH, _RISE = 1.5, 0.6
"""How long and high a pin is, in font sizes."""
_UNDER = (0.28, 0.46)
"""Shares of a pin between which it runs under the cloth."""


def renew_signs(document: Document, leaves: Sequence[Leaf], layer: LayoutLayer) -> None:
    """Draw the signs of one layout anew; `leaves` are everything drawn in the document."""
    own = leaves_on(leaves, layer)
    # A clone shows the sign of its original.
    parts = [part for part in found_on(own).parts if part.held and not part.is_clone]
    # Worked out before anything changes: leaves belong to the tree as it was read.
    made = [_sign(document, part, own) for part in parts]
    remove_all([one for one in layer.element.iter(etree.Element) if _is_sign(one)])
    ids = FreeIds(document.root)
    for part, sign in zip(parts, made, strict=True):
        for node in sign.iter(etree.Element):
            node.set("id", ids.take(f"{OUR_IDS}{layer.element.get(lay('layout'))}-{HELD}"))
        around = part_group(part)
        if around is not None:
            around.append(sign)
        else:
            part.shape.leaf.element.addnext(sign)


def sign_held(document: Document, layer_id: str) -> None:
    """Draw the signs of a layout that has just been drawn."""
    (layer,) = chosen_layers(document, [layer_id])
    renew_signs(document, read_leaves(document, include_layouts=True), layer)


def _sign(document: Document, part: FoundPart, leaves: Sequence[Leaf]) -> etree._Element:
    """Return the sign of a part, in the coordinates of what it is put into."""
    around = part_group(part)
    inside = part.shape.leaf.element.getparent() if around is None else around
    assert inside is not None  # an outline on a layer has something round it
    spot, size = _place(part, leaves)
    # Upright as the page is seen, whichever way the part was turned by hand.
    matrix = multiply(inverse(matrix_of(document, inside)), translation(*_corner(spot, size)))
    sign = group("", HELD, _pin(size), {"transform": transform_text(matrix)})
    for node in sign.iter(etree.Element):
        node.set(lay("role"), "label")
        node.set(lay("sign"), HELD)
    return sign


def _is_sign(node: etree._Element) -> bool:
    """Return whether an element is a sign of ours: not what she put beside it or wrote herself."""
    if node.get(lay("sign")) is None or kind_of(node) == "tspan":
        return False
    return kind_of(node) != "text" or "".join(map(str, node.itertext())).strip() == HELD


def _place(part: FoundPart, leaves: Sequence[Leaf]) -> tuple[Point, float]:
    """Return the middle of the sign of a part, page mm, and its font size.

    Where there is no room it stands in the middle of the part.
    """
    marks = _marks(part, leaves)
    for clear, sizes in _CLEAR.items():
        room = room_in(part.shape.outline, [mark.buffer(clear) for mark in marks], _EDGE)
        for size in sizes:
            spot = room.spot(*_extent(size))
            if spot is not None:
                return spot, size
    return room.centre, SIZES[-1]


def _marks(part: FoundPart, leaves: Sequence[Leaf]) -> list[shapely.Geometry]:
    """Return the marks and words of a part, page mm; signs are none."""
    names = {one.id for one in part.groups}
    taken: list[shapely.Geometry] = []
    for leaf in leaves:
        if leaf is part.shape.leaf or any("sign" in one.attributes for one in carriers(leaf)):
            continue
        if any(one.id in names for one in leaf.groups):
            lines = [ring.points for ring in leaf.rings if len(ring.points) > 1]
            taken += [shapely.LineString(line) for line in lines]
            taken += [] if lines else [shapely.box(*leaf.box)]
    return taken


def _extent(size: float) -> Point:
    """Return width and height of a sign, mm."""
    return (_REACH + 0.4) * size + line_width(HELD, size), ASCENT * size


def _corner(centre: Point, size: float) -> Point:
    """Return where the left end of the baseline of a sign is that is centred on a point."""
    width, height = _extent(size)
    return centre[0] - width / 2.0, centre[1] + height / 2.0


def _pin(size: float) -> list[etree._Element]:
    """Return a pin with a round head, its middle under the cloth, and the word beside it."""
    reach, rise = _REACH * size, _RISE * size
    look = style(line_look(INK, 0.085 * size))
    needle = [
        ((reach * a, -rise * a), (reach * b, -rise * b))
        for a, b in ((0.0, _UNDER[0]), (_UNDER[1], 1.0))
    ]
    lines = [
        element("path", {"d": path_data(ends, closed=False), "style": look}) for ends in needle
    ]
    dot = style(line_look("none", 0.0, fill=INK))
    head = element("circle", {"cx": reach, "cy": -rise, "r": 0.17 * size, "style": dot})
    return [*lines, head, text([HELD], reach + 0.4 * size, 0.0, size)]
