# SPDX-License-Identifier: GPL-2.0-or-later
"""Ottervane No. 16, a child's top on twelve pages to print at home, as the editor opens its PDF.

The pieces are those of No. 12 (invented). `python -m tests.helpers.drafting.on_pages` makes the
sample anew; it needs the editor, on whose version the file depends, so it is kept and what it shows
is tested.
"""

from __future__ import annotations

import copy
import tempfile
from dataclasses import replace
from functools import cache
from pathlib import Path

from lxml import etree

from extension.svg.document import parse
from tests.helpers.drafting import striped_top
from tests.helpers.drafting.curves import line
from tests.helpers.drafting.draft import Draft, Label
from tests.helpers.drafting.place import origin
from tests.helpers.drafting.sheet import INVENTED, SVG, Page, Sheet, rectangle
from tests.helpers.drafting.to_read import without_attributes
from tests.helpers.paged import Paging, cut
from tests.helpers.places import SAMPLES
from tests.helpers.printed import by_editor, opened_at_once
from tests.helpers.truths import Truth, drafted

FILE = SAMPLES / "to_read" / "top-on-twelve-pages.svg"
PAGING = Paging(overlap=(10.0, 10.0), numbers="page n of total", marks="triangles")
"""A4, three columns and four rows."""
SQUARE = 50.0
"""mm, the side of the test square."""
PLACES = {
    "top-front": 15 + 60j,
    "top-back": 255 + 60j,
    "top-sleeve": 15 + 615j,
    "top-pocket": 360 + 620j,
    "top-neckband": 15 + 1000j,
}
"""Where the upper left corner of each piece lies on the sheet, mm."""


@cache
def drafts() -> tuple[Draft, ...]:
    """The pieces in the order of their numbers."""
    return tuple(
        replace(draft, words=(*draft.words[:2], f"No. 16 · {number} of 5"))
        for number, draft in enumerate(striped_top.drafts(), start=1)
    )


def placed(draft: Draft) -> complex:
    """Return where the origin of a piece lies on the sheet, mm."""
    return origin(draft, PLACES[draft.id])


def sheet() -> Sheet:
    """The sheet before it is cut, with nothing of ours on it."""
    page = Sheet(Page(550, 1078), "Ottervane No. 16 · Child's top", "Twelve pages of A4")
    layer = page.layer("Pieces")
    for draft in drafts():
        page.draw(layer, draft, placed(draft))
    words = ("No. 16 · Child's top", "Ottervane, an invented label. Seam allowance is included.")
    page.heading(layer, 15 + 25j, 16, words)
    low = 360 + 800j
    square = rectangle(low, low + complex(SQUARE, SQUARE))
    page.stroke(layer, "square", square, 0.5, closed=True)
    said = Label(low + complex(SQUARE / 2, SQUARE / 2), ("Test square", "5 cm x 5 cm"), 6.0)
    page.text(layer, "square-label", said)
    page.stroke(layer, "under", (line("rule", 15 + 48j, 300 + 48j),), 0.5)
    return without_attributes(page)


def truth() -> Truth:
    """Return the sheet as it is cut into pages."""
    root = sheet().root
    data = etree.tostring(root)
    layers = [child for child in root if child.tag == f"{{{SVG}}}g"]
    defs = [part for child in root if child.tag == f"{{{SVG}}}defs" for part in child]
    return replace(
        drafted(data),
        elements=tuple(map(copy.deepcopy, layers)),
        defs=tuple(map(copy.deepcopy, defs)),
    )


def on_pages() -> bytes:
    """Return the pages as the editor opens all of them at once, with a note that it is invented."""
    with tempfile.TemporaryDirectory() as folder:
        pdf = Path(folder) / "pages.pdf"
        by_editor(cut(truth(), PAGING), PAGING, pdf)
        (opened,) = opened_at_once(pdf)
        root = parse(opened).root
    for tag, words in (("desc", INVENTED), ("title", "Ottervane No. 16 (invented sample)")):
        note = etree.Element(f"{{{SVG}}}{tag}")
        note.text = words
        root.insert(0, note)
    data: bytes = etree.tostring(root, encoding="UTF-8", xml_declaration=True, standalone=False)
    return data


if __name__ == "__main__":
    FILE.write_bytes(on_pages())
