# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout in full size on many leaves of A4 or Letter, to be put together with tape.

The pages overlap; crosses in the overlaps lie on each other when two pages are joined rightly.
Every page has its name, those beside it and a square to measure; the first shows how all lie.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Iterator
from dataclasses import dataclass

from lxml import etree

from extension.diagram.full_size import Drawn, drawn_full, page_title
from extension.diagram.paper import MARGIN, Leaf, Paper
from extension.diagram.rows import rows_in
from extension.diagram.strong import BLACK
from extension.drawn.ink import line_look
from extension.drawn.lettering import ASCENT, LINE_HEIGHT, text
from extension.language.rounding import small_text
from extension.language.units import MM_PER_INCH, System
from extension.language.words import counted
from extension.layouts.layers import LayoutLayer
from extension.svg.building import NSMAP, element, path_data, style, svg
from extension.svg.document import Document
from extension.svg.identities import INKSCAPE, SODIPODI
from extension.svg.transforms import multiply, rotation, translation

_HREF = "{http://www.w3.org/1999/xlink}href"
"""The editor (1.2) follows no other kind of reference."""
OVERLAP = 10.0
"""mm that a page has in common with the next."""
STRIP = 30.0
"""mm at the foot of a page for its square and its words."""
AROUND = 32.0
"""mm beyond the cloth for the words along its edges."""
LABELS = 40.0
"""mm round a part within which its words may stand."""
BETWEEN = 10.0
"""mm between two pages in the drawing."""
SQUARES: dict[System, tuple[float, str]] = {
    "metric": (20.0, "2 cm"),
    "imperial": (MM_PER_INCH, "1 in"),
}
"""Side of the square to measure, mm and in words: what the foot of a page has room for."""
NUMBERS = 15.0
"""mm beyond the ends of the cloth within which the numbers of its grid stand."""
_CROSS, _THIN, _EDGE = 4.0, 0.35, 0.5
_TITLE, _WORDS, _SMALL = 7.0, 4.2, 3.4
_SIDES = (("left", -1, 0), ("right", 1, 0), ("above", 0, -1), ("below", 0, 1))
_PLAN = 90.0
"""mm that the plan of the pages is high at most."""


@dataclass(frozen=True, slots=True)
class Tile:
    """A page: its place, counted from 0 along the cloth and down from the upper selvedge.

    `x` and `y` are its corner in the drawing in full size, mm.
    """

    column: int
    row: int
    x: float
    y: float

    @property
    def name(self) -> str:
        """What it is called: `A1` is at the cut end and the upper selvedge, `A2` beside it."""
        letters, rest = "", self.row
        while rest >= 0:
            letters = chr(ord("A") + rest % 26) + letters
            rest = rest // 26 - 1
        return f"{letters}{self.column + 1}"


@dataclass(frozen=True, slots=True)
class Tiling:
    """How a drawing falls on leaves: `field` is what of it a page shows, wide and high, mm."""

    leaf: Leaf
    field: tuple[float, float]
    columns: int
    rows: int

    @property
    def step(self) -> tuple[float, float]:
        """From one page to the next, mm."""
        return self.field[0] - OVERLAP, self.field[1] - OVERLAP

    def tiles(self) -> Iterator[Tile]:
        """Yield all pages, row by row."""
        for row in range(self.rows):
            for column in range(self.columns):
                x, y = column * self.step[0] - AROUND, row * self.step[1] - AROUND
                yield Tile(column, row, x, y)


def tiling_of(drawn: Drawn, paper: Paper) -> Tiling:
    """Return how cloth in full size, with the words along its edges, falls on leaves that stand."""
    leaf = Leaf(paper, "portrait")
    high = leaf.size[1] - 2.0 * MARGIN - STRIP
    # Whole centimetres, so that the frame of a page can be measured as well.
    field = (math.floor(leaf.width / 10.0) * 10.0, math.floor(high / 10.0) * 10.0)
    counts = [
        max(1, math.ceil((size + 2.0 * AROUND - OVERLAP) / (side - OVERLAP)))
        for size, side in zip((drawn.along, drawn.down), field, strict=True)
    ]
    return Tiling(leaf, field, *counts)


def tiled(document: Document, chosen: LayoutLayer, paper: Paper) -> bytes:
    """Return a layout in full size as a drawing of many pages; the first tells how they lie.

    Pages on which no part lies are left out. Raises DrawingError when the layout is empty or breaks
    a rule.
    """
    drawn = drawn_full(document, chosen)
    tiling = tiling_of(drawn, paper)
    every = list(tiling.tiles())
    kept = {tile: _shown(drawn, tiling, tile) for tile in every}
    used = [tile for tile in every if kept[tile]]
    width, height = tiling.leaf.size
    root = etree.Element(svg("svg"), nsmap={**NSMAP, "xlink": _HREF[1:-5]})
    root.set("width", f"{width:g}mm")
    root.set("height", f"{height:g}mm")
    root.set("viewBox", f"0 0 {width:g} {height:g}")
    root.append(page_title(drawn.known.title))
    view = etree.SubElement(root, f"{{{SODIPODI}}}namedview", {"id": "view"})
    root.append(_definitions(drawn, tiling))
    pages = [_cover(drawn, tiling, used)]
    pages += [_page(drawn, tiling, tile, used, kept[tile]) for tile in used]
    for number, page in enumerate(pages):
        left = number * (width + BETWEEN)
        frame = {"id": f"page{number + 1}", "x": f"{left:g}", "y": "0"}
        frame |= {"width": f"{width:g}", "height": f"{height:g}"}
        etree.SubElement(view, f"{{{INKSCAPE}}}page", frame)
        page.set("transform", f"translate({left:g} 0)")
        root.append(page)
    return etree.tostring(root, encoding="UTF-8", xml_declaration=True)


def _shown(drawn: Drawn, tiling: Tiling, tile: Tile) -> list[int]:
    """Return the numbers of the parts of which a page may show anything, if it shows one at all."""
    right, low = tile.x + tiling.field[0], tile.y + tiling.field[1]

    def reached(box: tuple[float, float, float, float], more: float) -> bool:
        x0, y0, x1, y1 = box
        return x0 - more < right and tile.x < x1 + more and y0 - more < low and tile.y < y1 + more

    if not any(reached(box, 0.0) for box in drawn.boxes):
        return []
    return [number for number, box in enumerate(drawn.boxes) if reached(box, LABELS)]


def _definitions(drawn: Drawn, tiling: Tiling) -> etree._Element:
    """Return the drawing, of which each page shows what it needs, and what a page shows of it."""
    made = element("defs", {})
    made.append(_named("grounds", [copy.deepcopy(one) for one in drawn.grounds]))
    made.append(_named("crosses", _crosses(tiling)))
    for number, part in enumerate(drawn.parts):
        made.append(_named(f"part{number}", [part]))
    wide, high = tiling.field
    for tile in tiling.tiles():
        clip = element("clipPath", {"id": f"clip-{tile.name}"})
        clip.append(element("rect", {"x": tile.x, "y": tile.y, "width": wide, "height": high}))
        made.append(clip)
    return made


def _named(id_: str, elements: list[etree._Element]) -> etree._Element:
    """Return a group of an id."""
    made = element("g", {"id": id_})
    made.extend(elements)
    return made


def _crosses(tiling: Tiling) -> list[etree._Element]:
    """Return the crosses in the middle of the overlaps, at corners and half-way between them."""
    look = style(line_look(BLACK, _THIN))
    (dx, dy), middle = tiling.step, OVERLAP / 2.0
    spots = set()
    for column in range(tiling.columns + 1):
        for row in range(tiling.rows + 1):
            x, y = column * dx + middle - AROUND, row * dy + middle - AROUND
            spots |= {(x, y), (x + dx / 2.0, y), (x, y + dy / 2.0)}
    return [
        element("path", {"d": path_data(ends, closed=False), "style": look})
        for x, y in sorted(spots)
        for ends in (((x - _CROSS, y), (x + _CROSS, y)), ((x, y - _CROSS), (x, y + _CROSS)))
    ]


def _page(
    drawn: Drawn, tiling: Tiling, tile: Tile, used: list[Tile], parts: list[int]
) -> etree._Element:
    """Return one page: its field with the frame, and the strip at its foot."""
    made = element("g", {"id": f"tile-{tile.name}"})
    place = f"translate({MARGIN - tile.x:.6g} {MARGIN - tile.y:.6g})"
    field = element("g", {"transform": place, "clip-path": f"url(#clip-{tile.name})"})
    for name in ("grounds", *(f"part{number}" for number in parts), "crosses"):
        field.append(element("use", {_HREF: f"#{name}"}))
    field.extend(_ends(drawn, tiling, tile))
    made.append(field)
    wide, high = tiling.field
    frame: dict[str, str | float] = {"x": MARGIN, "y": MARGIN, "width": wide, "height": high}
    made.append(element("rect", {**frame, "style": style(line_look(BLACK, _EDGE))}))
    names = {(one.column, one.row): one.name for one in used}
    beside = [
        f"{side}: {names[tile.column + along, tile.row + down]}"
        for side, along, down in _SIDES
        if (tile.column + along, tile.row + down) in names
    ]
    size = " × ".join(small_text(one, drawn.system) for one in tiling.field)
    lines = [
        ", ".join(beside) or "no page beside it",
        f"The square must measure {SQUARES[drawn.system][1]}, the frame {size}.",
        drawn.known.title,
    ]
    _strip(made, tiling, drawn.system, tile.name, lines)
    return made


def _ends(drawn: Drawn, tiling: Tiling, tile: Tile) -> Iterator[etree._Element]:
    """Yield the names of the ends of the cloth that a page shows, upright beside their numbers."""
    wide, high = tiling.field
    rise = ASCENT * _WORDS
    for x, words in ((-NUMBERS, drawn.begin), (drawn.along + NUMBERS + rise, drawn.end)):
        if tile.x + rise < x < tile.x + wide:
            matrix = multiply(translation(x, tile.y + 0.7 * high), rotation(-90.0))
            yield text([words], 0.0, 0.0, _WORDS, anchor="middle", matrix=matrix, colour=BLACK)


def _strip(
    page: etree._Element, tiling: Tiling, system: System, name: str, lines: list[str]
) -> None:
    """Write the foot of a page: the square, the name of the page, and some lines."""
    side, _ = SQUARES[system]
    top = MARGIN + tiling.field[1] + 2.0
    square: dict[str, str | float] = {"x": MARGIN, "y": top, "width": side, "height": side}
    page.append(element("rect", {**square, "style": style(line_look(BLACK, _EDGE))}))
    x = MARGIN + side + 5.0
    if name:
        page.append(text([name], x, top + ASCENT * 12.0, 12.0, bold=True, colour=BLACK))
    x, room = x + 30.0, tiling.field[0] - side - 35.0
    rows = [row for line in lines for row in rows_in(line, room, _SMALL)][:5]
    page.append(text(rows, x, top + ASCENT * _SMALL, _SMALL, colour=BLACK))


def _cover(drawn: Drawn, tiling: Tiling, used: list[Tile]) -> etree._Element:
    """Return the first page: what is to be known, and how the others lie."""
    made = element("g", {"id": "cover"})
    room, y = tiling.field[0], MARGIN
    missing = tiling.columns * tiling.rows - len(used)
    overlap = small_text(OVERLAP, "metric")
    left_out = ""
    if missing:
        left_out = f" On {counted(missing, 'page')} more no part lies: left out."
    known = drawn.known
    for lines, size, bold in (
        ([drawn.known.title], _TITLE, True),
        ([known.bought], _WORDS, True),
        (
            [
                f"{len(used)} pages, in {tiling.rows} rows (A is at {drawn.upper}) of up to "
                f"{tiling.columns} (1 is at the {drawn.begin}).{left_out}",
                "Print at 100 %, never “fit to page”, and measure the square and the frame on "
                "every page before you go on.",
                f"Each page has {overlap} in common with the next: lay one over the other so that "
                "the crosses lie on each other, and tape them. Begin with one row after the other.",
                *known.lines,
            ],
            _WORDS,
            False,
        ),
        (known.cautions, _SMALL, False),
    ):
        rows = [row for line in lines for row in rows_in(line, room, size, bold=bold)]
        made.append(text(rows, MARGIN, y + ASCENT * size, size, bold=bold, colour=BLACK))
        y += (len(rows) + 0.6) * LINE_HEIGHT * size
    made.append(_plan(drawn, tiling, used, (MARGIN, y + 8.0)))
    side = SQUARES[drawn.system][1]
    _strip(made, tiling, drawn.system, "", [f"The square must measure {side} on every page."])
    return made


def _plan(
    drawn: Drawn, tiling: Tiling, used: list[Tile], corner: tuple[float, float]
) -> etree._Element:
    """Return a small picture of the pages on the cloth."""
    (dx, dy), (wide, high) = tiling.step, tiling.field
    free = MARGIN + high - corner[1]
    all_wide, all_high = dx * tiling.columns + OVERLAP, dy * tiling.rows + OVERLAP
    scale = min(wide / all_wide, min(free, _PLAN) / all_high)
    place = f"translate({corner[0]:.6g} {corner[1]:.6g}) scale({scale:.6g})"
    made = element("g", {"id": "plan", "transform": place})
    thin = _THIN / scale
    cloth: dict[str, str | float] = {
        "x": AROUND, "y": AROUND, "width": drawn.along, "height": drawn.down,
        "style": style({**line_look(BLACK, thin), "fill": "#e4e4e4"}),
    }  # fmt: skip
    made.append(element("rect", cloth))
    size = min(3.2 / scale, 0.45 * min(dx, dy))
    for tile in used:
        x, y = tile.x + AROUND, tile.y + AROUND
        box: dict[str, str | float] = {"x": x, "y": y, "width": wide, "height": high}
        made.append(element("rect", {**box, "style": style(line_look(BLACK, thin))}))
        middle = (x + wide / 2.0, y + high / 2.0 + 0.35 * size)
        made.append(text([tile.name], *middle, size, anchor="middle", colour=BLACK))
    return made
