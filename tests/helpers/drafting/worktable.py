# SPDX-License-Identifier: GPL-2.0-or-later
"""The untidy sample: the smock of No. 5 as it lies in a drawing that has been worked on for weeks.

Layers within layers, some locked, some hidden; clones of a path and of a group; marks that lie on
their piece without being grouped with it; a frame, a legend, a test square, a coffee ring; a piece
without a grainline; and the layer of an earlier layout.
"""

from __future__ import annotations

from lxml import etree

from extension.language.names import lay
from extension.svg.decoration import declare
from tests.helpers.drafting import smock
from tests.helpers.drafting.curves import line
from tests.helpers.drafting.draft import Label
from tests.helpers.drafting.place import settled
from tests.helpers.drafting.sheet import INK, SOFT, Page, Sheet, describe, rectangle

LOCKED = {"sodipodi__insensitive": "true"}


def sheet() -> Sheet:
    """Return the worktable, in millimetres."""
    page = Sheet(Page(1300, 1000), "Ottervane No. 5 · Smock, worktable", "An untidy drawing")
    _furniture(page)
    _first_try(page)
    pattern = page.layer("Pattern", transform="translate(20,10)")
    _body(page, page.layer("Body", pattern, transform="translate(0,10)"))
    _sleeve(page, page.layer("Sleeves (done)", pattern, id="layer-sleeves", **LOCKED))
    _small(page, page.layer("Small pieces", pattern))
    _legend(page)
    _earlier_layout(page)
    return page


def _furniture(page: Sheet) -> None:
    """Frame, heading, test square and a coffee ring."""
    layer = page.layer("Page")
    page.stroke(layer, "page-frame", rectangle(20 + 20j, 860 + 980j), 1.0, closed=True)
    page.heading(
        layer,
        45 + 72j,
        24,
        ("No. 5 · Smock, height 92", "Ottervane, an invented label. Worktable."),
    )
    page.stroke(layer, "test-square", rectangle(780 + 42j, 830 + 92j), 0.7, closed=True)
    page.text(layer, "test-square-text", Label(805 + 67j, ("5 cm",), 9))
    ring = page.add(layer, "ellipse", id="coffee-ring", cx="752", cy="905", rx="41", ry="40")
    ring.set("style", "fill:none;stroke:#a9825a;stroke-width:5;stroke-opacity:0.35")


def _first_try(page: Sheet) -> None:
    """A hidden layer with an earlier front."""
    layer = page.layer("First try", style="display:none")
    draft = smock.front()
    group = page.draw(layer, draft, 300 + 300j)
    for element in (group, *group.iterdescendants()):
        element.set("id", f"first-{element.get('id')}")


def _body(page: Sheet, layer: etree._Element) -> None:
    """The front as a group; the back as a bare outline with its marks lying on it."""
    page.draw(layer, smock.front(), 30 + 110j)
    back = smock.back()
    loose = page.add(layer, "g", id="loose", transform="translate(330,110)")
    page.draw_lines(loose, back)
    outline = loose[0]
    describe(outline, name=back.name, cut=back.cut)
    # Notches and label have lost their roles: they travel because they lie on the piece.
    for element in list(loose)[1:]:
        if element.get(lay("role")) != "grainline":
            del element.attrib[lay("role")]


def _sleeve(page: Sheet, layer: etree._Element) -> None:
    """The sleeve in a locked layer: it has its cutting details, so it is laid."""
    page.draw(layer, smock.sleeve(), 185 + 560j)


def _small(page: Sheet, layer: etree._Element) -> None:
    """Pocket and strap with a clone of each; a binding without grainline; a piece left out."""
    page.draw(layer, smock.pocket(), 380 + 565j)
    clone = page.add(layer, "use", id="second-pocket", xlink__href="#pocket")
    clone.set("transform", "translate(140,0)")
    describe(clone, name="Second pocket")
    strap = smock.strap()
    outline = page.stroke(layer, "strap", strap.cutting, 1.0, closed=True, fill="#ffffff")
    outline.set("transform", "translate(690,430)")
    describe(outline, name=strap.name, cut=strap.cut, grain="up")
    page.text(layer, "strap-label", settled(strap), transform="translate(690,430)")
    loop = page.add(layer, "use", id="loop", xlink__href="#strap")
    loop.set("transform", "rotate(90) translate(30,-1112)")
    describe(loop, name="Loop", cut="1")
    page.draw(layer, smock.binding(), 596 + 200j)
    old = page.draw(layer, smock.collar(), 60 + 860j)
    describe(old, leave_out="yes")
    hidden = page.draw(layer, smock.pocket(), 250 + 850j)
    for element in (hidden, *hidden.iterdescendants()):
        element.set("id", f"spare-{element.get('id')}")
    hidden.set("style", "display:none")


def _legend(page: Sheet) -> None:
    """A box that explains the lines, with two swatches in it, locked so that it stays put."""
    layer = page.layer("Legend", None, **LOCKED)
    page.stroke(layer, "legend-box", rectangle(240 + 840j, 640 + 960j), 0.7, closed=True)
    rows = (("legend-cut", "cutting line", INK), ("legend-old", "given up", SOFT))
    for index, (name, words, colour) in enumerate(rows):
        corner = complex(260, 880 + 36 * index)
        page.stroke(
            layer, name, rectangle(corner, corner + 40 + 22j), 0.7, closed=True, colour=colour
        )
        page.text(layer, f"{name}-text", Label(corner + 56 + 12j, (words,), 11), anchor="start")
    page.text(layer, "legend-text", Label(260 + 862j, ("Legend",), 12), anchor="start")
    page.stroke(
        layer, "legend-fold", (line("fold", 440 + 891j, 480 + 891j),), 1.5, dash=(12, 3, 1.5, 3)
    )
    page.text(layer, "legend-fold-text", Label(496 + 892j, ("fold",), 11), anchor="start")


def _earlier_layout(page: Sheet) -> None:
    """An earlier layout of two sleeves on cloth 60 cm wide, written as the layout command does."""
    name, long, wide = "thriftlay-1", 222.0, 600.0
    layer = page.layer("Layout 1 – 60 cm, main", id=name, transform="translate(930,140)")
    describe(layer, layout="1", settings=SETTINGS)
    cloth = page.layer("cloth", layer, id=f"{name}-cloth", **LOCKED)
    fabric = rectangle(0j, complex(long, wide))
    page.stroke(cloth, f"{name}-fabric", fabric, 0.7, closed=True, fill="#fbf4e6")
    declare(cloth, "cloth")
    parts = page.layer("parts", layer, id=f"{name}-parts")
    sleeve = smock.sleeve()
    for copy, y in ((1, 155.0), (2, 445.0)):
        group = page.add(parts, "g", id=f"{name}-part-{copy}")
        group.set("transform", f"matrix(0,-1,1,0,4,{y:g})")
        outline = page.stroke(
            group,
            f"{name}-part-{copy}-outline",
            sleeve.cutting,
            0.7,
            closed=True,
            fill="#dadada" if copy == 2 else "#ffffff",
        )
        for element in (group, outline):
            facts = {"copy": str(copy), "turned": "0", "flipped": "yes" if copy == 2 else "no"}
            describe(element, of=sleeve.id, **facts)
    measures = page.layer("measures", layer, id=f"{name}-measures")
    words = Label(complex(long / 2, wide + 36), ("needs 0.22 m",), 16)
    page.text(measures, f"{name}-length", words)
    declare(measures, "measures")
    for sublayer in (cloth, parts, measures):
        describe(sublayer, holds=str(sublayer.get("id")).rpartition("-")[2])


SETTINGS = '{"options": {"fabric_width_mm": 600.0, "sizes": {}, "select": []}, "result": {}}'
"""What the layout command stores so that a layout can be made again."""
