# SPDX-License-Identifier: GPL-2.0-or-later
"""The sheet that pages were put together to, as a new layer of the document."""

from __future__ import annotations

import json
from collections.abc import Sequence

from lxml import etree

from extension.drawn.copies import copied
from extension.drawn.frames import transform_text
from extension.drawn.place import place_below
from extension.language.names import lay
from extension.pages.model import Patch, SheetLine
from extension.pages.together import Together
from extension.svg.building import FreeIds, element, layer, number, style
from extension.svg.building import path_data as outline_data
from extension.svg.decoration import declare
from extension.svg.document import Document
from extension.svg.model import Leaf
from extension.svg.transforms import multiply, scaling, translation

LABEL = "Pattern sheet"
LEAST_WIDTH = 0.1
"""mm; a line thinner than this is drawn so wide."""
PLAIN = "#000000"
"""The colour of a line whose own is no plain colour."""


def draw_sheet(
    document: Document,
    leaves: Sequence[Leaf],
    sheet: Together,
    stands_for: Sequence[str],
    scale: float = 1.0,
) -> str:
    """Add the layer of a sheet to the document's tree, below everything drawn; return its id.

    `leaves` are everything drawn in the document, layouts included; `stands_for` the ids of what
    is read no longer, the sheet being read instead; `scale` by what the sheet is enlarged.
    """
    ids = FreeIds(document.root)
    count = 1 + sum(1 for _ in document.root.iterfind(f".//*[@{lay('sheet')}]"))
    stem = f"sheet-{count}"
    origin = place_below(document, leaves)
    onto = multiply(document.from_page, multiply(translation(*origin), scaling(scale, scale)))
    drawn = [
        *(_line(line) for line in sheet.lines),
        *(_patch(patch) for patch in sheet.patches),
        *(copied(words.leaf, shift) for words, shift in sheet.words),
    ]
    for place, node in enumerate(drawn, start=1):
        node.set("id", ids.take(f"{stem}-{place}"))
    made = layer(
        ids.take(stem),
        LABEL,
        drawn,
        {
            "transform": transform_text(onto),
            lay("sheet"): str(count),
            lay("sheet-of"): json.dumps(list(stands_for), ensure_ascii=False),
        },
    )
    declare([made], "sheet")
    document.root.append(made)
    return str(made.get("id"))


def _line(line: SheetLine) -> etree._Element:
    colour = line.look.colour
    look: dict[str, str | float] = {
        "fill": "none",
        "stroke": colour if colour.startswith("#") else PLAIN,
        "stroke-width": max(line.look.width, LEAST_WIDTH),
    }
    if line.look.dashes:
        look["stroke-dasharray"] = ",".join(map(number, line.look.dashes))
    points = [(x, y) for x, y in line.points.tolist()]
    data = outline_data(points, closed=line.closed)
    return element("path", {"d": data, "style": style(look)})


def _patch(patch: Patch) -> etree._Element:
    data = [outline_data([(x, y) for x, y in ring.tolist()], closed=True) for ring in patch.rings]
    look = {"fill-rule": "evenodd", **patch.look}
    return element("path", {"d": " ".join(data), "style": style(look)})
