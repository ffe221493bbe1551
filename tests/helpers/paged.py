# SPDX-License-Identifier: GPL-2.0-or-later
"""A known sheet cut into pages, as patterns to print at home are: frames, numbers, marks, overlaps.

The pages come as one drawing of the editor, as one each, or as a web page for a browser to print to
a PDF.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import shapely
from lxml import etree

from tests.helpers.truths import TrueLine, Truth

SVG = "http://www.w3.org/2000/svg"
INKSCAPE = "http://www.inkscape.org/namespaces/inkscape"
SODIPODI = "http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"
PX = 96.0 / 25.4
"""px of a drawing to a mm."""
A4, LETTER = (210.0, 297.0), (215.9, 279.4)
"""Paper: ISO 216; ANSI/ASME Y14.1 (8.5 x 11 in)."""
GAP = 20.0 / PX
"""mm between pages that Inkscape 1.2.2 opens all at once (seen)."""


@dataclass(frozen=True)
class Paging:
    """How a sheet is cut, mm.

    `frame`: "", "rect", "lines"; `numbers`: "", "n/total", "page n of total", "cell" (A1),
    "row column"; `marks`: "", "triangles", "diamonds", "letters", "crosses"; `clip`: whether each
    page holds the whole sheet behind a clip; `beside` puts numbers in the window, not the margin.
    """

    paper: tuple[float, float] = A4
    margin: float = 10.0
    overlap: tuple[float, float] = (0.0, 0.0)
    frame: str = "rect"
    numbers: str = "n/total"
    marks: str = ""
    clip: bool = True
    inside: bool = False
    by_columns: bool = False
    empty: bool = True
    """Whether empty pages are kept."""

    @property
    def window(self) -> tuple[float, float]:
        """Width and height of what is printed of the sheet on a page."""
        return self.paper[0] - 2.0 * self.margin, self.paper[1] - 2.0 * self.margin

    @property
    def step(self) -> tuple[float, float]:
        """From one page to the next across and down."""
        return self.window[0] - self.overlap[0], self.window[1] - self.overlap[1]

    def grid(self, truth: Truth) -> tuple[int, int]:
        """Return how many rows and columns of pages a sheet needs."""
        counts = [
            max(1, math.ceil((size - lap - 1e-9) / step))
            for size, lap, step in zip(
                (truth.height, truth.width), self.overlap[::-1], self.step[::-1], strict=True
            )
        ]
        return counts[0], counts[1]


@dataclass(frozen=True)
class Sheet:
    """A page of the pattern as SVG elements in mm, and where on the sheet it lies."""

    row: int
    column: int
    drawn: tuple[etree._Element, ...]
    clips: tuple[etree._Element, ...]


# --- cutting -------------------------------------------------------------------------------------


def cut(truth: Truth, paging: Paging) -> list[Sheet]:
    """Return the pages of a sheet in the order in which they are printed."""
    rows, columns = paging.grid(truth)
    cells = [(row, column) for row in range(rows) for column in range(columns)]
    if paging.by_columns:
        cells.sort(key=lambda cell: (cell[1], cell[0]))
    kept = [cell for cell in cells if paging.empty or _is_printed(truth, paging, *cell)]
    sheets = [
        _sheet(truth, paging, row, column, number, len(kept), (rows, columns))
        for number, (row, column) in enumerate(kept, start=1)
    ]
    # All pages are in one drawing, so that one of them defines it for all.
    sheets[0] = replace(sheets[0], clips=(*sheets[0].clips, *map(copy.deepcopy, truth.defs)))
    return sheets


def _window(paging: Paging, row: int, column: int) -> tuple[float, float, float, float]:
    x, y = column * paging.step[0], row * paging.step[1]
    return x, y, x + paging.window[0], y + paging.window[1]


def _is_printed(truth: Truth, paging: Paging, row: int, column: int) -> bool:
    window = shapely.box(*_window(paging, row, column))
    shapes = [shapely.LineString([*line.points, line.points[0]]) for line in truth.lines]
    return any(window.intersects(shape) for shape in shapes)


def _sheet(
    truth: Truth,
    paging: Paging,
    row: int,
    column: int,
    number: int,
    total: int,
    grid: tuple[int, int],
) -> Sheet:
    window = _window(paging, row, column)
    shift = paging.margin - window[0], paging.margin - window[1]
    clips: list[etree._Element] = []
    drawn: list[etree._Element] = []
    if paging.clip:
        name = f"clip-{row}-{column}"
        clips.append(_element("clipPath", id=name))
        frame = (paging.margin, paging.margin, *paging.window)
        clips[0].append(_rect(frame))
        outer = _element("g")
        outer.set("clip-path", f"url(#{name})")
        inner = etree.SubElement(outer, f"{{{SVG}}}g")
        inner.set("transform", f"translate({shift[0]:.6f},{shift[1]:.6f})")
        inner.extend(_whole(truth))
        drawn.append(outer)
    else:
        drawn += list(_cut(truth, window, shift))
    drawn += list(_furniture(paging, row, column, number, total, grid))
    return Sheet(row, column, tuple(drawn), tuple(clips))


def _element(tag: str, text: str = "", /, **attributes: object) -> etree._Element:
    made = etree.Element(f"{{{SVG}}}{tag}")
    for name, value in attributes.items():
        made.set(name.replace("_", "-"), str(value))
    made.text = text or None
    return made


def _rect(box: Sequence[float], **more: object) -> etree._Element:
    x, y, width, height = box
    return _element("rect", x=x, y=y, width=width, height=height, **more)


def _path(points: Sequence[Sequence[float]], closed: bool, style: str) -> etree._Element:
    data = "M " + " L ".join(f"{x:.5f},{y:.5f}" for x, y in points) + (" Z" if closed else "")
    return _element("path", d=data, style=style)


def _style(line: TrueLine) -> str:
    dashes = ",".join(map(str, line.dashes)) or "none"
    return f"fill:none;stroke:{line.colour};stroke-width:{line.width};stroke-dasharray:{dashes}"


def _written(words: str, x: float, y: float, size: float, anchor: str = "start") -> etree._Element:
    style = f"font-size:{size}px;font-family:sans-serif;fill:#000000;text-anchor:{anchor}"
    return _element("text", words, x=x, y=y, style=style)


def _whole(truth: Truth) -> Iterator[etree._Element]:
    if truth.elements:
        yield from map(copy.deepcopy, truth.elements)
        return
    for line in truth.lines:
        yield _path(line.points, line.closed, _style(line))
    for head in truth.heads:
        yield _path(head, True, "fill:#000000;stroke:none")
    for text in truth.words:
        yield _written(text.words, text.x, text.y, text.size)


def _cut(
    truth: Truth, window: tuple[float, float, float, float], shift: tuple[float, float]
) -> Iterator[etree._Element]:
    """Yield what a page shows, cut by its geometry with another library than ours is."""
    box = shapely.box(*window)
    for line in truth.lines:
        points = [*line.points, line.points[0]] if line.closed else list(line.points)
        shape = shapely.LineString(points)
        if box.covers(shape):
            yield _path(_moved(line.points, shift), line.closed, _style(line))
            continue
        inside = shapely.get_parts(shapely.line_merge(shape.intersection(box)))
        for part in inside:
            if part.geom_type == "LineString" and part.length > 0.0:
                yield _path(_moved(part.coords, shift), False, _style(line))
    for head in truth.heads:
        for part in shapely.get_parts(shapely.Polygon(head).intersection(box)):
            if part.geom_type == "Polygon" and part.area > 0.0:
                ring = list(part.exterior.coords)[:-1]
                yield _path(_moved(ring, shift), True, "fill:#000000;stroke:none")
    for text in truth.words:
        if window[0] <= text.x < window[2] and window[1] <= text.y < window[3]:
            yield _written(text.words, text.x + shift[0], text.y + shift[1], text.size)


def _moved(points: object, shift: tuple[float, float]) -> list[tuple[float, float]]:
    return [(x + shift[0], y + shift[1]) for x, y in points]  # type: ignore[attr-defined]


# --- what a page has of its own ------------------------------------------------------------------


def _furniture(
    paging: Paging, row: int, column: int, number: int, total: int, grid: tuple[int, int]
) -> Iterator[etree._Element]:
    low = paging.margin
    right, bottom = paging.paper[0] - low, paging.paper[1] - low
    line = "fill:none;stroke:#808080;stroke-width:0.3"
    if paging.frame == "rect":
        yield _rect((low, low, *paging.window), style=line)
    if paging.frame == "lines":
        for ends in (
            ((low, low), (right, low)),
            ((right, low), (right, bottom)),
            ((right, bottom), (low, bottom)),
            ((low, bottom), (low, low)),
        ):
            yield _path(ends, False, line)
    said = {
        "n/total": f"{number}/{total}",
        "page n of total": f"page {number} of {total}",
        "cell": f"{chr(ord('A') + row)}{column + 1}",
        "row column": f"row {row + 1}, column {column + 1}",
    }.get(paging.numbers)
    if said is not None:
        x, y = (low + 22.0, low + 12.0) if paging.inside else (paging.paper[0] / 2.0, bottom + 6.0)
        yield _written(said, x, y, 5.0, "middle")
    yield from _marks(paging, row, column, grid)


def _marks(
    paging: Paging, row: int, column: int, grid: tuple[int, int]
) -> Iterator[etree._Element]:
    """Yield the marks at the edges over which a page goes on, half of each on either page."""
    low = paging.margin
    right, bottom = paging.paper[0] - low, paging.paper[1] - low
    lap_x, lap_y = paging.overlap[0] / 2.0, paging.overlap[1] / 2.0
    middle_x, middle_y = (low + right) / 2.0, (low + bottom) / 2.0
    edges = (
        (column + 1 < grid[1], (right - lap_x, middle_y), (-1.0, 0.0), f"{row}{column}"),
        (column > 0, (low + lap_x, middle_y), (1.0, 0.0), f"{row}{column - 1}"),
        (row + 1 < grid[0], (middle_x, bottom - lap_y), (0.0, -1.0), f"{row}{column}v"),
        (row > 0, (middle_x, low + lap_y), (0.0, 1.0), f"{row - 1}{column}v"),
    )
    for there, (x, y), (u, v), name in edges:
        if not there:
            continue
        if paging.marks == "triangles":
            base = ((x - 3.0 * v, y + 3.0 * u), (x + 3.0 * v, y - 3.0 * u))
            yield _path((*base, (x + 5.0 * u, y + 5.0 * v)), True, "fill:#000000;stroke:none")
        if paging.marks == "diamonds":
            half = ((x - 4.0 * v, y + 4.0 * u), (x + 4.0 * u, y + 4.0 * v))
            yield _path(
                (*half, (x + 4.0 * v, y - 4.0 * u)),
                False,
                "fill:none;stroke:#000000;stroke-width:0.4",
            )
        if paging.marks == "letters":
            letter = chr(ord("a") + sum(map(ord, name)) % 26)
            yield _written(letter, x + 4.0 * u, y + 4.0 * v + 1.5, 4.0, "middle")
        if paging.marks == "crosses":
            thin = "fill:none;stroke:#000000;stroke-width:0.2"
            yield _path(((x - 3.0, y), (x + 3.0, y)), False, thin)
            yield _path(((x, y - 3.0), (x, y + 3.0)), False, thin)


# --- as files ------------------------------------------------------------------------------------


def as_drawing(
    sheets: Sequence[Sheet], paging: Paging, *, with_pages: bool = True, places: str = "row"
) -> bytes:
    """Return all pages as one drawing: with pages of the editor, or lying about as groups."""
    nsmap = {None: SVG, "inkscape": INKSCAPE, "sodipodi": SODIPODI}
    width, height = paging.paper[0] * PX, paging.paper[1] * PX
    root = etree.Element(f"{{{SVG}}}svg", nsmap=nsmap)  # type: ignore[arg-type]
    root.set("width", f"{width:.5f}")
    root.set("height", f"{height:.5f}")
    root.set("viewBox", f"0 0 {width:.5f} {height:.5f}")
    defs = etree.SubElement(root, f"{{{SVG}}}defs")
    view = etree.SubElement(root, f"{{{SODIPODI}}}namedview")
    home = root
    if not with_pages:
        home = etree.SubElement(root, f"{{{SVG}}}g", id="layer1")
        home.set(f"{{{INKSCAPE}}}groupmode", "layer")
    for number, sheet in enumerate(sheets):
        x = number * (paging.paper[0] + GAP) * PX
        group = etree.SubElement(home, f"{{{SVG}}}g", id=f"page-{number + 1}")
        group.set("transform", f"matrix({PX:.8f},0,0,{PX:.8f},{x:.5f},0)")
        if with_pages:
            page = etree.SubElement(view, f"{{{INKSCAPE}}}page")
            for name, value in (("x", x), ("y", 0.0), ("width", width), ("height", height)):
                page.set(name, f"{value:.5f}")
            group.set(f"{{{INKSCAPE}}}groupmode", "layer")
            group.set(f"{{{INKSCAPE}}}label", f"Page {number + 1}")
        paper = _rect((0.0, 0.0, *paging.paper), style="fill:#ffffff;stroke:none")
        group.extend([paper, *map(copy.deepcopy, sheet.drawn)])
        defs.extend(map(copy.deepcopy, sheet.clips))
    data: bytes = etree.tostring(root, encoding="UTF-8", xml_declaration=True)
    return data


def as_files(sheets: Sequence[Sheet], paging: Paging) -> list[bytes]:
    """Return each page as a drawing of its own."""
    return [as_drawing([sheet], paging) for sheet in sheets]


def as_web_page(sheets: Sequence[Sheet], paging: Paging) -> str:
    """Return a web page that a browser prints to a PDF, a page of the pattern on each sheet."""
    width, height = paging.paper
    parts = [
        "<!DOCTYPE html><html><head><style>"
        f"@page {{ size: {width}mm {height}mm; margin: 0 }} body {{ margin: 0 }}"
        " svg { display: block; page-break-after: always; break-after: page }"
        "</style></head><body>"
    ]
    for sheet in sheets:
        root = etree.Element(f"{{{SVG}}}svg", nsmap={None: SVG})  # type: ignore[dict-item]
        root.set("width", f"{width}mm")
        root.set("height", f"{height}mm")
        root.set("viewBox", f"0 0 {width} {height}")
        defs = etree.SubElement(root, f"{{{SVG}}}defs")
        defs.extend(map(copy.deepcopy, sheet.clips))
        root.extend(map(copy.deepcopy, sheet.drawn))
        parts.append(etree.tostring(root, encoding="unicode"))
    return "".join([*parts, "</body></html>"])
