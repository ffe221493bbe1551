# SPDX-License-Identifier: GPL-2.0-or-later
"""Ottervane No. 15, a shoulder pouch from what is left: four pieces, and two remnants for them.

Measures (invented): pouch 240 wide and 260 high, flap 150, strap 60 by 700. One remnant has had a
corner cut out of it and a stain, the other is a strip cut off askew.
"""

from __future__ import annotations

from functools import cache

from lxml import etree

from tests.helpers.drafting.curves import Chain, polyline, rounded_below
from tests.helpers.drafting.draft import Draft, Label
from tests.helpers.drafting.sheet import Page, Sheet, describe

WIDTH, HEIGHT, FLAP = 240.0, 260.0, 150.0
CORNER = 40.0
TINT = "#dfe7ee"


def panel() -> Draft:
    """Front and back alike: rounded below."""
    return Draft(
        id="pouch-panel",
        name="Pouch panel",
        cut="2",
        seam=rounded_below(WIDTH, HEIGHT, CORNER),
        words=("Pouch panel", "cut 2", "No. 15 · piece 1 of 4"),
        text_size=20,
        grain=(40 + 210j, 40 + 50j),
    )


def flap() -> Draft:
    """The flap, rounded below more than the panels."""
    return Draft(
        id="pouch-flap",
        name="Flap",
        cut="2",
        seam=rounded_below(WIDTH, FLAP, 65.0),
        words=("Flap", "cut 2", "piece 2 of 4"),
        text_size=18,
        grain=(44 + 115j, 44 + 35j),
    )


def strap() -> Draft:
    """The strap, along the grain."""
    corners = (0j, 60 + 0j, 60 + 700j, 700j, 0j)
    return Draft(
        id="pouch-strap",
        name="Strap",
        cut="1",
        seam=polyline(("end", "side", "end", "side"), corners),
        words=("Strap", "cut 1", "piece 3 of 4"),
        text_size=13,
        grain=(30 + 640j, 30 + 420j),
    )


def pocket() -> Draft:
    """The pocket that is sewn on the front."""
    return Draft(
        id="pouch-pocket",
        name="Pocket",
        cut="1",
        seam=rounded_below(150.0, 130.0, 25.0),
        words=("Pocket", "cut 1", "piece 4 of 4"),
        text_size=15,
        grain=(30 + 105j, 30 + 25j),
    )


@cache
def drafts() -> tuple[Draft, ...]:
    """All pieces of the pouch."""
    return panel(), flap(), strap(), pocket()


def canvas() -> Chain:
    """A remnant with a corner cut out of it, its grain upwards."""
    corners = (0j, 430 + 0j, 430 + 420j, 620 + 420j, 620 + 800j, 0 + 800j, 0j)
    return polyline(("edge",) * 6, corners)


def strip() -> Chain:
    """A strip cut off askew, its grain from left to right."""
    return polyline(("edge",) * 4, (0j, 700 + 60j, 640 + 300j, 0 + 300j, 0j))


def remnant(
    page: Sheet, parent: etree._Element, name: str, title: str, shape: Chain, at: complex
) -> etree._Element:
    """Add a piece of cloth as a group; return it."""
    group = page.add(parent, "g", id=name, inkscape__label=title)
    group.set("transform", f"translate({page.point(at)})")
    describe(group, role="cloth", name=title)
    page.stroke(group, f"{name}-shape", shape, 1.0, closed=True, fill=TINT)
    return group


def sheet() -> Sheet:
    """The pouch and two remnants on one page, in millimetres."""
    page = Sheet(Page(1500, 1360), "Ottervane No. 15 · Pouch from remnants", "Four pieces")
    pieces = page.layer("Pattern pieces")
    places = (40 + 140j, 320 + 140j, 600 + 140j, 320 + 340j)
    for draft, at in zip(drafts(), places, strict=True):
        page.draw(pieces, draft, at)
    cloths = page.layer("Remnants")
    first = remnant(page, cloths, "canvas", "Oat canvas", canvas(), 820 + 140j)
    page.grainline(first, "canvas-grain", 60 + 740j, 60 + 480j)
    stain = page.add(first, "circle", id="canvas-stain", r=page.number(18), lay__role="flaw")
    stain.set("cx", page.number(330))
    stain.set("cy", page.number(110))
    stain.set("style", "fill:#9aa5ae;stroke:none")
    page.text(first, "canvas-words", Label(500 + 760j, ("Oat canvas",), 20), lay__role="label")
    second = remnant(page, cloths, "strip", "Oat strip", strip(), 40 + 1010j)
    page.text(second, "strip-words", Label(320 + 270j, ("Oat strip",), 20), lay__role="label")
    notes = page.layer("Sheet heading")
    page.heading(
        notes, 40 + 65j, 26,
        (
            "No. 15 · Pouch from remnants",
            "Ottervane, an invented label. Hems and seams are included; cloth in full size.",
        ),
    )  # fmt: skip
    return page
