# SPDX-License-Identifier: GPL-2.0-or-later
"""Whole pattern sheets as a PDF of many pages by a real writer, opened by the real editor.

Three writers: the editor's own (cairo), a browser (Skia) and matplotlib's; and the editor's two
readers: its own, all pages at once, and poppler's with cairo, a page a document, which turns texts
into shapes.
"""

from __future__ import annotations

import copy
import math
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import matplotlib as mpl
import numpy as np
from lxml import etree
from matplotlib.axes import Axes
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path as Outline

from extension.drawn.frames import transform_text
from extension.joining.open_lines import look_of
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from extension.svg.styles import font_size
from extension.svg.transforms import apply, apply_vector
from tests.helpers.browser import print_page
from tests.helpers.editor import editor_version
from tests.helpers.paged import SVG, Paging, Sheet, as_drawing, as_web_page
from tests.helpers.pattern_sheets import PatternSheet
from tests.helpers.screen import need
from tests.helpers.svg_builder import SvgBuilder
from tests.helpers.truths import TrueLine, Truth, arrow_head

MM = 25.4

SQUARE = 50.0
"""mm, the side of the test square below the pieces of a sheet."""
_STRIP = SQUARE + 20.0


def whole(sheet: PatternSheet) -> Truth:
    """Return a sheet as it is cut into pages, with a test square below its pieces."""
    document = sheet.drawing.document()
    width, height = (abs(side) for side in apply_vector(document.page, document.viewport))
    group = etree.Element(f"{{{SVG}}}g", transform=transform_text(document.page))
    group.extend(map(copy.deepcopy, sheet.drawing.root))
    for node in group.iter():
        node.attrib.pop("id", "")
    square = _square(height)
    lines = tuple(
        TrueLine(ring.points, ring.closed)
        for drawn in (document, square.document())
        for leaf in read_leaves(drawn, tolerance_mm=0.01)
        for ring in leaf.rings
    )
    elements = (group, *map(copy.deepcopy, square.root))
    return Truth(width, height + _STRIP, lines, elements=elements, defs=(etree.fromstring(HEAD),))


HEAD = (
    f'<marker xmlns="{SVG}" id="head" orient="auto-start-reverse" refX="10" refY="4" '
    'markerWidth="12" markerHeight="8" style="overflow:visible">'
    '<path d="M 10,4 0,0 0,8 Z" style="fill:#000000;stroke:none"/></marker>'
)
"""What the sheets call `head`."""


def _square(height: float) -> SvgBuilder:
    """Return a test square below a sheet of so many mm, a unit a millimetre."""
    side = f"{height + _STRIP:.6f}"
    drawing = SvgBuilder(f"{side}mm", f"{side}mm", (0.0, 0.0, float(side), float(side)))
    look = "fill:none;stroke:#000000;stroke-width:0.4"
    drawing.add_rect(20.0, height + 10.0, SQUARE, SQUARE, id="", style=look)
    style = "font-size:5px;font-family:sans-serif"
    for words, y in (("Test square", 30.0), ("5 cm x 5 cm", 38.0)):
        drawing.add_text(words, 25.0, height + y, id="", font_size=5.0, style=style)
    return drawing


# --- writers -------------------------------------------------------------------------------------


def by_editor(sheets: Sequence[Sheet], paging: Paging, pdf: Path, *more: str) -> None:
    """Write pages as the editor does; `more` are words for it."""
    drawing = pdf.with_suffix(".drawn.svg")
    drawing.write_bytes(as_drawing(sheets, paging))
    editor(*more, "--export-type=pdf", f"--export-filename={pdf}", drawing)


def by_browser(sheets: Sequence[Sheet], paging: Paging, pdf: Path) -> None:
    """Write pages as a browser prints them."""
    page = pdf.with_suffix(".html")
    page.write_text(as_web_page(sheets, paging), encoding="utf-8")
    print_page(page, pdf)


def by_plotter(truth: Truth, sheets: Sequence[Sheet], paging: Paging, pdf: Path) -> None:
    """Write pages as matplotlib does, which cuts lines to each page and dashes them itself.

    Lines of cut pages, and texts, come from the whole sheet; `sheets` have what is a page's own.
    """
    drawn = [_leaves(Sheet(0, 0, (*truth.elements, *truth.defs), ()), paging)]
    width, height = paging.paper
    with mpl.rc_context({"path.simplify": False, "pdf.fonttype": 42}), PdfPages(pdf) as pages:
        for sheet in sheets:
            figure = Figure(figsize=(width / MM, height / MM))
            axes = figure.add_axes((0.0, 0.0, 1.0, 1.0), xlim=(0.0, width), ylim=(height, 0.0))
            axes.set_axis_off()
            low = paging.margin
            window = Rectangle((low, low), *paging.window, transform=axes.transData)
            x, y = (
                low - place * step
                for place, step in zip((sheet.column, sheet.row), paging.step, strict=True)
            )
            for leaf in drawn[0]:
                _plot(axes, leaf, (x, y), window)
            own = [each for each in sheet.drawn if each.get("clip-path") is None]
            for leaf in _leaves(Sheet(0, 0, tuple(own), ()), paging):
                _plot(axes, leaf, (0.0, 0.0), None)
            pages.savefig(figure)


def _leaves(sheet: Sheet, paging: Paging) -> list[Leaf]:
    document = parse(
        as_drawing([replace(sheet, drawn=tuple(map(copy.deepcopy, sheet.drawn)))], paging)
    )
    return [leaf for leaf in read_leaves(document, tolerance_mm=0.01) if not leaf.hidden]


def _plot(axes: Axes, leaf: Leaf, shift: tuple[float, float], window: Rectangle | None) -> None:
    """Draw a leaf moved by so many mm, within a window of the page."""
    for (x, y), words, size, degrees, anchor in _said(leaf):
        axes.text(
            x + shift[0], y + shift[1], words, size=size / MM * 72.0, rotation=degrees,
            ha={"middle": "center", "end": "right"}.get(anchor, "left"), va="baseline",
            rotation_mode="anchor", family="DejaVu Sans", clip_on=True, clip_path=window,
        )  # fmt: skip
    if not leaf.rings:
        return
    points = [np.array(ring.points) + shift for ring in leaf.rings]
    codes = [
        [Outline.MOVETO, *[Outline.LINETO] * (len(ring.points) - 1)]
        + [Outline.CLOSEPOLY] * ring.closed
        for ring in leaf.rings
    ]
    places = [
        np.vstack([p, p[:1]]) if r.closed else p for p, r in zip(points, leaf.rings, strict=True)
    ]
    outline = Outline(np.vstack(places), np.concatenate(codes))
    look = look_of(leaf.style, leaf.matrix)
    stroked, filled = leaf.style.get("stroke", "none") != "none", leaf.style.get("fill", "black")
    if filled == "#ffffff":
        return
    patch = PathPatch(
        outline,
        fill=filled != "none",
        fc="k",
        ec="k" if stroked else "none",
        lw=look.width / MM * 72.0,
        capstyle="butt",
        joinstyle="miter",
    )
    if look.dashes:
        patch.set_linestyle((0.0, tuple(dash / look.width for dash in look.dashes)))
    axes.add_patch(patch)
    if window is not None:
        patch.set_clip_path(window)
    for mark, (tip, before) in (("start", (0, 1)), ("end", (-1, -2))):
        if leaf.style.get(f"marker-{mark}", "none") != "none":
            head = np.array(arrow_head(leaf.rings[0].points[tip], leaf.rings[0].points[before]))
            spot = PathPatch(Outline(head + shift), fc="k", ec="none")
            axes.add_patch(spot)
            if window is not None:
                spot.set_clip_path(window)


def _said(leaf: Leaf) -> Iterator[tuple[tuple[float, float], str, float, float, str]]:
    """Yield the lines of a text: where each begins, its words, size, degrees and anchor."""
    if not leaf.text.strip():
        return
    size = font_size(leaf.style) * math.hypot(*apply_vector(leaf.matrix, (1.0, 0.0)))
    u, v = apply_vector(leaf.matrix, (1.0, 0.0))
    spans = list(leaf.element.iter("{*}tspan")) or [leaf.element]
    for node in spans:
        place = apply(leaf.matrix, (float(node.get("x", "0")), float(node.get("y", "0"))))
        yield (
            place,
            node.text or "",
            size,
            math.degrees(math.atan2(-v, u)),
            leaf.style.get("text-anchor", "start"),
        )


# --- the editor's readers ------------------------------------------------------------------------


def editor(*words: object) -> None:
    """Let the editor do something without a window."""
    need("inkscape")
    subprocess.run(
        ["inkscape", *map(str, words)],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        timeout=300,
        check=True,
    )


def opened_at_once(pdf: Path) -> list[Path]:
    """Return the drawing that the editor's own reader makes of all pages."""
    drawing = pdf.with_suffix(".all.svg")
    editor(pages_option("-1", "all"), pdf, "-o", drawing)
    return [drawing]


def pages_option(older: str, newer: str) -> str:
    """Return the word for the pages to open: 1.2 takes `--pdf-page`, 1.4 takes `--pages`."""
    return f"--pdf-page={older}" if editor_version() < (1, 3) else f"--pages={newer}"


def opened_one_by_one(pdf: Path, count: int) -> list[Path]:
    """Return the drawings that the editor's other reader makes, a page each."""
    drawings = [pdf.with_suffix(f".{number}.svg") for number in range(1, count + 1)]
    for number, drawing in enumerate(drawings, start=1):
        editor("--pdf-poppler", pages_option(f"{number}", f"{number}"), pdf, "-o", drawing)
    return drawings
