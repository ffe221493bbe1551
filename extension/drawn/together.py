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
    is read no longer, the sheet being read instead; `scale` by what the sheet is enlarged. What
    lay on a layer named by a size lies on one of that name within the sheet's.
    """
    ids = FreeIds(document.root)
    count = 1 + sum(1 for _ in document.root.iterfind(f".//*[@{lay('sheet')}]"))
    stem = f"sheet-{count}"
    origin = place_below(document, leaves)
    onto = multiply(document.from_page, multiply(translation(*origin), scaling(scale, scale)))
    drawn = [
        *((_line(lines), lines[0].layer) for lines in objects_of(sheet.lines)),
        *((_patch(patch), "") for patch in sheet.patches),
        *((copied(words.leaf, shift), words.layer) for words, shift in sheet.words),
    ]
    on_layers: dict[str, list[etree._Element]] = {}
    for place, (node, name) in enumerate(drawn, start=1):
        node.set("id", ids.take(f"{stem}-{place}"))
        on_layers.setdefault(name, []).append(node)
    inner = [
        layer(ids.take(f"{stem}-layer-{count}"), name, nodes)
        for count, (name, nodes) in enumerate(on_layers.items(), start=1)
        if name
    ]
    made = layer(
        ids.take(stem),
        LABEL,
        [*on_layers.get("", ()), *inner],
        {
            "transform": transform_text(onto),
            lay("sheet"): str(count),
            lay("sheet-of"): json.dumps(list(stands_for), ensure_ascii=False),
        },
    )
    declare([made], "sheet")
    document.root.append(made)
    return str(made.get("id"))


def objects_of(lines: Sequence[SheetLine]) -> list[list[SheetLine]]:
    """Return lines by the objects that they were part of, those of none one by one, in order."""
    found: list[list[SheetLine]] = []
    at: dict[Leaf, list[SheetLine]] = {}
    for line in lines:
        # Lines that went on over an edge make one of the objects on both pages.
        known = list({id(at[leaf]): at[leaf] for leaf in line.of if leaf in at}.values())
        fits = [
            each
            for each in known
            if (each[0].look, each[0].layer) == (line.look, line.layer) and not line.closed
        ]
        home: list[SheetLine] = fits[0] if fits else []
        if not fits:
            found.append(home)
        home.append(line)
        for other in fits[1:]:
            home += other
            found.remove(other)
            at.update({leaf: home for leaf, each in at.items() if each is other})
        if not line.closed:
            at.update(dict.fromkeys(line.of, home))
    return [each for each in found if each]


def _line(lines: Sequence[SheetLine]) -> etree._Element:
    line = lines[0]
    colour = line.look.colour
    look: dict[str, str | float] = {
        "fill": "none",
        "stroke": colour if colour.startswith("#") else PLAIN,
        "stroke-width": max(line.look.width, LEAST_WIDTH),
    }
    if line.look.dashes:
        look["stroke-dasharray"] = ",".join(map(number, line.look.dashes))
    data = [
        outline_data([(x, y) for x, y in each.points.tolist()], closed=each.closed)
        for each in lines
    ]
    return element("path", {"d": " ".join(data), "style": style(look)})


def _patch(patch: Patch) -> etree._Element:
    data = [outline_data([(x, y) for x, y in ring.tolist()], closed=True) for ring in patch.rings]
    look = {"fill-rule": "evenodd", **patch.look}
    return element("path", {"d": " ".join(data), "style": style(look)})
