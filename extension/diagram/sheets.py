# SPDX-License-Identifier: GPL-2.0-or-later
"""Cutting diagrams as pages of an SVG drawing, for the editor to make a PDF of.

Several pages lie side by side in one drawing; the editor (1.2 and later) exports them as one file.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from extension.diagram.columns import PAD, column_widths
from extension.diagram.figure import LOOK, drawn
from extension.diagram.paper import MARGIN, Leaf
from extension.diagram.rows import rows_in
from extension.diagram.section import APART, Section, Table
from extension.diagram.shapes import MARGINS, Picture
from extension.drawn.lettering import ASCENT, LINE_HEIGHT
from extension.language.cautions import SCALED_CAUTIONS
from extension.svg.identities import INKSCAPE, SODIPODI, SVG

TITLE, HEADING, TEXT, CELLS, FOOT = 5.0, 4.2, 3.6, 3.6, 2.6
"""Font sizes, mm."""
_TITLE_ROWS = 2
"""A longer name of a layout would push the picture off the paper."""
_BASE = 0.88
"""Where the baseline lies in a row of a table, so that it looks centred, in font sizes."""
_TICK, _TICKS = 3.6, 14.0
"""mm: the side of a box to tick, and the width of its column."""
_APART = 4.0
"""mm below a table or a frame."""
_BETWEEN = 10.0
"""mm between two pages in the drawing."""
_STYLE = """
text { font-family: sans-serif; fill: #111; }
.bold { font-weight: bold; } .end { text-anchor: end; }
.rule { fill: none; stroke: #777; stroke-width: 0.2; } .strong { stroke: #111; }
.box { fill: none; stroke: #111; stroke-width: 0.4; }
.tick { fill: none; stroke: #111; stroke-width: 0.3; }
"""


def sheets(sections: Sequence[Section]) -> bytes:
    """Return the pages of some layouts as one drawing, lengths in mm."""
    pages = [page for section in sections for page in _pages(section)]
    left, frames, groups = 0.0, [], []
    for number, page in enumerate(pages, start=1):
        width, height = page.leaf.size
        size = f'y="0" width="{width:g}" height="{height:g}"'
        frames.append(f'<inkscape:page id="page{number}" x="{left:g}" {size}/>')
        page.foot(f"{page.title} – page {number} of {len(pages)}")
        groups.append(f'<g transform="translate({left:g} 0)">')
        groups += [*page.elements, "</g>"]
        left += width + _BETWEEN
    width, height = pages[0].leaf.size
    return "\n".join(
        [
            '<?xml version="1.0" encoding="UTF-8"?>',
            f'<svg xmlns="{SVG}" xmlns:inkscape="{INKSCAPE}" xmlns:sodipodi="{SODIPODI}"'
            f' width="{width:g}mm" height="{height:g}mm" viewBox="0 0 {width:g} {height:g}">',
            f"<title>{escape(pages[0].title)}</title>",
            '<sodipodi:namedview id="view">',
            *frames,
            "</sodipodi:namedview>",
            f"<style>{_STYLE}{LOOK}</style>",
            *groups,
            "</svg>\n",
        ]
    ).encode()


class _Page:
    """A page that is written on downwards; `y` is where there is room, mm."""

    def __init__(self, leaf: Leaf, title: str) -> None:
        self.leaf = leaf
        self.title = title
        self.elements: list[str] = []
        self.y = MARGIN

    @property
    def width(self) -> float:
        """Width between the margins, mm."""
        return self.leaf.width

    def has_room(self, height: float) -> bool:
        """Return whether so much is left above the margin."""
        return self.y + height <= self.leaf.size[1] - MARGIN

    def say(self, rows: Iterable[str], size: float, look: str = "") -> None:
        """Write rows at the left margin."""
        for row in rows:
            self.put(row, MARGIN, self.y + ASCENT * size, size, look)
            self.y += LINE_HEIGHT * size

    def put(self, words: str, x: float, baseline: float, size: float, look: str = "") -> None:
        """Write words at a place."""
        named = f' class="{look}"' if look else ""
        self.elements.append(
            f'<text x="{x:.2f}" y="{baseline:.2f}" font-size="{size:g}"{named}>'
            f"{escape(words)}</text>"
        )

    def rule(self, length: float, look: str = "rule") -> None:
        """Draw a line across."""
        self.elements.append(f'<path d="M{MARGIN:.2f} {self.y:.2f}h{length:.2f}" class="{look}"/>')

    def box(self, x: float, y: float, side: float) -> None:
        """Draw a box to tick."""
        size = f'width="{side:g}" height="{side:g}"'
        self.elements.append(f'<rect x="{x:.2f}" y="{y:.2f}" {size} class="tick"/>')

    def foot(self, words: str) -> None:
        """Write below the margin."""
        rows = rows_in(words, self.width, FOOT)
        self.put(rows[0], MARGIN, self.leaf.size[1] - MARGIN / 2.0, FOOT)


def _pages(section: Section) -> list[_Page]:
    """Return the pages of one layout: the picture on its own, then the tables."""
    pages = [_Page(section.leaf, section.title)]
    _heads(pages[0], section)
    for number, pictures in enumerate(section.leaves):
        if number:
            _next(pages)
        for picture in pictures:
            _picture(pages[-1], picture)
        pages[-1].say(rows_in(section.notes, pages[-1].width, TEXT), TEXT)
    _next(pages)
    # Above the tables: behind them they may stand alone on a last page.
    _cautions(pages[-1], (*section.cautions, *SCALED_CAUTIONS))
    for table in section.tables:
        _table(pages, table)
    return pages


def _heads(page: _Page, section: Section) -> None:
    """Write what stands above the picture."""
    title = rows_in(section.title, page.width - TITLE, TITLE, bold=True)
    if len(title) > _TITLE_ROWS:
        title = [*title[: _TITLE_ROWS - 1], f"{title[_TITLE_ROWS - 1]}…"]
    page.say(title, TITLE, "bold")
    page.y += 0.5
    page.say(rows_in(section.about, page.width, TEXT), TEXT)
    page.say(rows_in(section.bought, page.width, TEXT, bold=True), TEXT, "bold")
    page.say(rows_in(section.cloth, page.width, TEXT), TEXT)
    if section.lacking:
        page.say(rows_in(section.lacking, page.width, TEXT, bold=True), TEXT, "bold")


def _picture(page: _Page, picture: Picture) -> None:
    """Draw a picture."""
    place = f"translate({MARGIN + MARGINS[0]:.2f} {page.y + MARGINS[2]:.2f})"
    page.elements += [f'<g transform="{place}">', *drawn(picture), "</g>"]
    page.y += picture.extent[1] + APART


def _table(pages: list[_Page], table: Table) -> None:
    """Write a table, on a further page when there is no more room."""
    page = pages[-1]
    room = page.width - (_TICKS if table.ticked else 0.0)
    widths = column_widths(table, room, CELLS)
    body = [_cells(row, widths) for row in table.rows]
    head = _cells(table.head, widths)
    note = rows_in(table.note, page.width, CELLS) if table.note else []
    above = HEADING * LINE_HEIGHT + len(note) * CELLS * LINE_HEIGHT + _height(head)
    if not page.has_room(above + (_height(body[0]) if body else 0.0)):
        page = _next(pages)
    _heading(page, table, table.title, head, widths, note)
    for cells in body:
        if not page.has_room(_height(cells)):
            page = _next(pages)
            _heading(page, table, f"{table.title}, continued", head, widths)
        if table.ticked:
            page.box(MARGIN + sum(widths) + (_TICKS - _TICK) / 2.0, page.y + PAD / 2.0, _TICK)
        _row(page, cells, widths, table.figures)
        page.rule(page.width - room + sum(widths))
    page.y += _APART


def _next(pages: list[_Page]) -> _Page:
    """Return a new page behind the others."""
    pages.append(_Page(pages[-1].leaf, pages[-1].title))
    return pages[-1]


def _heading(
    page: _Page,
    table: Table,
    title: str,
    head: list[list[str]],
    widths: Sequence[float],
    note: Sequence[str] = (),
) -> None:
    """Write what stands above the rows of a table."""
    page.say([title], HEADING, "bold")
    page.say(note, CELLS)
    end = MARGIN + sum(widths)
    if table.ticked:
        page.put(table.ticked, end + PAD, page.y + PAD / 2.0 + _BASE * CELLS, CELLS, "bold")
        end += _TICKS
    _row(page, head, widths, table.figures, "bold")
    page.rule(end - MARGIN, "rule strong")


def _cells(row: Sequence[str], widths: Sequence[float]) -> list[list[str]]:
    """Return the cells of a row, each broken into rows of its own."""
    # Heads are bold: all cells are broken as if they were.
    return [
        rows_in(cell, width - 2.0 * PAD, CELLS, bold=True)
        for cell, width in zip(row, widths, strict=True)
    ]


def _height(cells: Sequence[Sequence[str]]) -> float:
    """Return how high a row of a table is, mm."""
    return max(len(cell) for cell in cells) * LINE_HEIGHT * CELLS + PAD


def _row(
    page: _Page,
    cells: Sequence[Sequence[str]],
    widths: Sequence[float],
    figures: int,
    look: str = "",
) -> None:
    """Write a row of a table; its last `figures` cells are set to the right."""
    x = MARGIN
    for place, (cell, width) in enumerate(zip(cells, widths, strict=True)):
        last = place >= len(cells) - figures
        for line, words in enumerate(cell):
            base = page.y + PAD / 2.0 + (_BASE + line * LINE_HEIGHT) * CELLS
            at = x + width - PAD if last else x + PAD
            page.put(words, at, base, CELLS, f"{look} end".strip() if last else look)
        x += width
    page.y += _height(cells)


def _cautions(page: _Page, lines: Sequence[str]) -> None:
    """Write the cautions in a frame."""
    inset = 3.0
    rows = [row for line in lines for row in rows_in(line, page.width - 2.0 * inset, TEXT)]
    height = 2.0 * inset + HEADING * LINE_HEIGHT + len(rows) * TEXT * LINE_HEIGHT
    page.elements.append(
        f'<rect x="{MARGIN:g}" y="{page.y:.2f}" width="{page.width:.2f}" height="{height:.2f}"'
        ' class="box"/>'
    )
    base = page.y + inset + ASCENT * HEADING
    page.put("Before you cut", MARGIN + inset, base, HEADING, "bold")
    for count, row in enumerate(rows):
        below = page.y + inset + LINE_HEIGHT * HEADING + (ASCENT + count * LINE_HEIGHT) * TEXT
        page.put(row, MARGIN + inset, below, TEXT)
    page.y += height + _APART
