# SPDX-License-Identifier: GPL-2.0-or-later
"""Sheets without any attribute of ours: everything on them is to be read from what is drawn.

The garments are those of the other samples (Ottervane, invented), labelled in German and French,
drawn in three sizes on layers, and drawn as if by hand.
`python -m tests.helpers.drafting.to_read` draws them anew.
"""

from __future__ import annotations

import math
import random
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from lxml import etree
from shapely.geometry import Polygon

from extension.language.names import NAMESPACE
from tests.helpers.drafting import apron, skirt, smock
from tests.helpers.drafting.curves import Chain, polyline, ring
from tests.helpers.drafting.draft import Draft, Label
from tests.helpers.drafting.place import rows, settled
from tests.helpers.drafting.sheet import INK, Page, Sheet
from tests.helpers.places import PROJECT

HOME = PROJECT / "sample_svgs" / "to_read"

GERMAN: Mapping[str, tuple[str, ...]] = {
    "apron-body": ("Schürze", "1x im Stoffbruch", "Teil 1 von 4"),
    "apron-pocket": ("Tasche", "2x zuschneiden", "Teil 2 von 4"),
    "apron-strap": ("Nackenband", "1 x", "Teil 3 von 4"),
    "apron-tie": ("Bindeband", "2 x", "Teil 4 von 4"),
}
FRENCH: Mapping[str, tuple[str, ...]] = {
    "back": ("Dos", "1 tissu, 1 doublure", "au pli"),
    "wrap-front": ("Devant", "2 tissu, 2 doublure", "pièce 2 sur 7"),
    "wrap-facing": ("Parementure", "2 tissu, 2 entoilage"),
    "back-band": ("Ceinture dos", "1 tissu, 1 entoilage", "au pli"),
    "front-band": ("Ceinture devant", "2 tissu, 2 entoilage"),
    "tie": ("Lien", "couper 2 fois"),
    "pocket-bag": ("Fond de poche", "2 tissu, 2 doublure"),
}
SIZES = ("86", "92", "98")
STEP = 5.0
"""mm from one size to the next, on every edge but a fold."""
WOBBLE = 0.35
"""mm by which a hand leaves its line."""


def german() -> Sheet:
    """The apron with German labels; the word for the grainline stands beside each."""
    page = Sheet(Page(900, 1040), "Ottervane Nr. 1 · Küchenschürze", "Vier Teile, eine Größe")
    layer = page.layer("Schnittteile")
    places = (40 + 140j, 460 + 140j, 680 + 140j, 790 + 140j)
    for draft, at in zip(labelled(apron.drafts(), GERMAN), places, strict=True):
        page.draw(layer, draft, at)
        _beside_grain(page, layer, draft, at, "Fadenlauf")
    words = ("Nr. 1 · Küchenschürze", "Ottervane, erfunden. Nähte und Säume enthalten.")
    page.heading(page.layer("Kopf"), 40 + 65j, 26, words)
    return without_attributes(page)


def french() -> Sheet:
    """The wrap skirt with French labels."""
    page = Sheet(Page(1500, 1300), "Ottervane no 2 · Jupe portefeuille", "Sept pièces")
    layer = page.layer("Pièces")
    one = {draft.id: draft for draft in labelled(skirt.drafts(), FRENCH)}
    table = (
        ("back", "wrap-front", "wrap-facing"),
        ("pocket-bag", "back-band", "front-band", "tie"),
    )
    for draft, at in rows([[one[name] for name in row] for row in table], 40 + 140j, 40.0):
        page.draw(layer, draft, at)
    words = ("No 2 · Jupe portefeuille", "Ottervane, une marque inventée.")
    page.heading(page.layer("Titre"), 40 + 65j, 26, words)
    return without_attributes(page)


def layered() -> Sheet:
    """Three pieces of the smock in three sizes, a layer for each and one for what they share."""
    page = Sheet(Page(900, 620), "Ottervane No. 5 · Smock", "Sizes 86, 92 and 98 on layers")
    layers = {size: page.layer(size, id=f"size-{size}") for size in SIZES}
    common = page.layer("All sizes")
    drafts = (smock.front(), smock.back(), smock.sleeve())
    for draft, at in rows([drafts], 40 + 130j, 40.0 + 4 * STEP):
        moved = f"translate({page.point(at)})"
        for size, layer in layers.items():
            shape = page.stroke(
                layer, f"{draft.id}-{size}", graded(draft, size), 0.8, closed=True, fill="none"
            )
            shape.set("transform", moved)
        group = page.add(common, "g", id=f"{draft.id}-common", transform=moved)
        page.draw_lines(group, draft)
        group.remove(group[0])
    words = ("No. 5 · Smock, sizes 86, 92, 98", "Ottervane, an invented label. Seams included.")
    page.heading(page.layer("Sheet heading"), 40 + 65j, 26, words)
    return without_attributes(page)


def by_hand() -> Sheet:
    """The apron as a hand draws it: uneven outlines, open heads, words not quite level."""
    page = Sheet(Page(900, 1040), "Ottervane No. 1 · Kitchen apron", "Drawn by hand")
    layer = page.layer("Scan, traced")
    chance = random.Random(11)
    places = (40 + 140j, 460 + 140j, 680 + 140j, 790 + 140j)
    for draft, at in zip(apron.drafts(), places, strict=True):
        _sketch(page, layer, draft, at, chance)
    words = ("No. 1 · Kitchen apron", "Ottervane, an invented label.")
    page.heading(page.layer("Heading"), 40 + 65j, 26, words)
    return without_attributes(page)


def labelled(drafts: Sequence[Draft], words: Mapping[str, tuple[str, ...]]) -> tuple[Draft, ...]:
    """Return drafts with other labels."""
    return tuple(replace(draft, name=words[draft.id][0], words=words[draft.id]) for draft in drafts)


def graded(draft: Draft, size: str) -> Chain:
    """Return the cutting line of a draft in a size: the fold stays where it is."""
    base = Polygon([(point.real, point.imag) for point in ring(draft.cutting)])
    grown = base.buffer(STEP * SIZES.index(size), join_style="mitre", mitre_limit=5.0)
    if draft.fold_line is not None:
        x = draft.fold_line[0].real
        grown = grown.intersection(Polygon([(x, -900), (2000, -900), (2000, 2000), (x, 2000)]))
    points = tuple(complex(x, y) for x, y in grown.exterior.coords)
    return polyline(tuple("edge" for _ in points[1:]), points)


def without_attributes(page: Sheet) -> Sheet:
    """Return a sheet with all attributes of ours taken away."""
    for element in page.root.iter():
        for name in list(element.attrib):
            if str(name).startswith(f"{{{NAMESPACE}}}"):
                del element.attrib[name]
    return page


def _beside_grain(
    page: Sheet, parent: etree._Element, draft: Draft, at: complex, words: str
) -> None:
    """Write the word for the grainline along it."""
    if draft.grain is None:
        return
    foot, top = draft.grain
    spot = at + (foot + top) / 2 + 7.0
    text = page.text(parent, f"{draft.id}-grain-text", Label(0j, (words,), 5.0))
    text.set("transform", f"translate({page.point(spot)}) rotate(-90)")


def _sketch(
    page: Sheet, parent: etree._Element, draft: Draft, at: complex, chance: random.Random
) -> None:
    """Draw a piece by hand; a fold is drawn along a ruler."""
    moved = f"translate({page.point(at)})"
    group = page.add(parent, "g", id=f"{draft.id}-sketch", transform=moved)
    line = Polygon([(point.real, point.imag) for point in ring(draft.cutting)]).exterior
    fold = draft.fold_line
    points: list[complex] = []
    for step in range(int(line.length / 6.0)):
        spot = line.interpolate(step * 6.0)
        point = complex(spot.x, spot.y)
        on_fold = fold is not None and abs(point.real - fold[0].real) < 0.5
        shift = complex(chance.uniform(-WOBBLE, WOBBLE), chance.uniform(-WOBBLE, WOBBLE))
        points.append(complex(point.real, point.imag + shift.imag) if on_fold else point + shift)
    chain = polyline(tuple("edge" for _ in points), (*points, points[0]))
    page.stroke(group, f"{draft.id}-outline", chain, 0.9, closed=True, colour=INK, fill="none")
    if draft.grain is not None:
        foot, top = draft.grain
        page.stroke(group, f"{draft.id}-shaft", polyline(("shaft",), (foot, top)), 0.8)
        unit = (top - foot) / abs(top - foot)
        for tip, way, name in ((top, -unit, "top"), (foot, unit, "foot")):
            turns = (math.radians(24 + chance.uniform(-3, 3)) * side for side in (1, -1))
            left, right = (tip + 9.0 * way * complex(math.cos(t), math.sin(t)) for t in turns)
            head = polyline(("barb", "barb"), (left, tip, right))
            page.stroke(group, f"{draft.id}-head-{name}", head, 0.8)
    if draft.bracket:
        bent = polyline(("bracket",) * 3, draft.bracket)
        page.stroke(group, f"{draft.id}-bracket", bent, 0.8)
    text = page.text(group, f"{draft.id}-label", settled(draft))
    x, y = text.get("x", "0"), text.get("y", "0")
    text.set("transform", f"rotate({chance.uniform(-2.5, 2.5):.2f} {x} {y})")


TO_READ: Mapping[str, Callable[[], Sheet]] = {
    "apron-german.svg": german,
    "skirt-french.svg": french,
    "smock-sizes-on-layers.svg": layered,
    "apron-by-hand.svg": by_hand,
}
"""Which file is drawn by which function."""


def main() -> None:
    """Write the sheets into their folder."""
    for name, sheet in TO_READ.items():
        (HOME / name).write_text(sheet().text_file(), encoding="utf-8", newline="\n")
        sys.stdout.write(f"{HOME / name}\n")


if __name__ == "__main__":
    main()
