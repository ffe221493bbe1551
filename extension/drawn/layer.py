# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout as a new layer of the document; nothing else in the document changes."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

from lxml import etree

from extension.drawn.cloth import cloth
from extension.drawn.frames import transform_text
from extension.drawn.measures import extent, measures
from extension.drawn.parts import parts
from extension.drawn.place import free_place
from extension.drawn.sheet import Sheet
from extension.language.names import lay
from extension.svg.building import FreeIds, layer, sodipodi
from extension.svg.decoration import declare
from extension.svg.document import Document
from extension.svg.model import Leaf
from extension.svg.transforms import multiply, translation


def next_number(document: Document) -> int:
    """Return the number of the next layout: one more than the highest in the document."""
    found = [
        int(text)
        for node in document.root.iter(etree.Element)
        if (text := node.get(lay("layout"), "")).isascii() and text.isdigit() and len(text) < 9
    ]
    return max(found, default=0) + 1


def draw_layout(document: Document, leaves: Sequence[Leaf], sheet: Sheet) -> etree._Element:
    """Add the layer of a layout to the document's tree and return it.

    `leaves` are everything drawn in the document, earlier layouts included.
    """
    ids = FreeIds(document.root)
    prefix = f"thriftlay-{sheet.number}"
    groups, legend = parts(sheet, prefix)
    drawn_cloth, said = cloth(sheet), measures(sheet, legend)
    declare(drawn_cloth, "cloth", f"{prefix}-cloth")
    declare(said, "measures", f"{prefix}-measures")
    origin = free_place(document, leaves, extent(sheet, legend))
    matrix = multiply(document.from_page, translation(*origin))
    attributes = {
        "transform": transform_text(matrix),
        lay("layout"): str(sheet.number),
        lay("settings"): sheet.settings,
        lay("called"): sheet.label,
    }
    made = layer(
        prefix,
        sheet.label,
        [
            _sublayer(prefix, "cloth", drawn_cloth, {sodipodi("insensitive"): "true"}),
            _sublayer(prefix, "parts", groups, {}),
            _sublayer(prefix, "measures", said, noted(legend)),
        ],
        attributes,
    )
    _give_ids(made, prefix, ids)
    document.root.append(made)
    return made


def _sublayer(
    prefix: str,
    holds: str,
    drawn: Sequence[etree._Element],
    more: Mapping[str, str],
) -> etree._Element:
    """Return a sublayer that says what it holds, whatever it will be called."""
    return layer(f"{prefix}-{holds}", holds, drawn, {**more, lay("holds"): holds})


def noted(legend: Sequence[str]) -> dict[str, str]:
    """Return the attribute that keeps the legend, so that the measures can be drawn again."""
    return {lay("legend"): json.dumps(list(legend), ensure_ascii=False)} if legend else {}


def _give_ids(made: etree._Element, prefix: str, ids: FreeIds) -> None:
    """Give every element an id that is free in the document, the same ones in every run."""
    for count, node in enumerate(made.iter(etree.Element), start=1):
        node.set("id", ids.take(node.get("id") or f"{prefix}-item-{count}"))
