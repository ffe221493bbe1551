# SPDX-License-Identifier: GPL-2.0-or-later
"""What else is drawn on pattern sheets: darts, folds of hems and pleats, squares, tiles, turns.

The wording is common practice, no source, from knowledge of the trade and not from the tables of
the reader.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from lxml import etree

from tests.helpers.pattern_signs import LINE
from tests.helpers.svg_builder import SvgBuilder

DASHED = f"{LINE};stroke-dasharray:4,2"
Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, top, width and height of a piece, mm on the page."""

HEM_FOLD: Mapping[str, str] = {
    "en": "hem fold line", "de": "Saumbruch", "fr": "pliure d'ourlet",
    "es": "doblez del dobladillo",
    "it": "piega dell'orlo", "pt": "dobra da bainha", "nl": "vouwlijn zoom",
}  # fmt: skip
PLEAT_FOLD: Mapping[str, str] = {
    "en": "pleat fold", "de": "Faltenbruch", "fr": "pli creux", "es": "doblez del pliegue",
    "it": "piega del cannoncino", "pt": "dobra da prega", "nl": "plooivouw",
}  # fmt: skip
SQUARE: Mapping[str, str] = {
    "en": "Test square 5 cm x 5 cm", "de": "Kontrollquadrat 5 x 5 cm",
    "fr": "Carré de contrôle 5 x 5 cm", "es": "Cuadro de prueba 5 x 5 cm",
    "it": "Quadrato di prova 5 x 5 cm", "pt": "Quadrado de teste 5 x 5 cm",
    "nl": "Controlevierkant 5 x 5 cm",
}  # fmt: skip
PAGE: Mapping[str, str] = {
    "en": "page", "de": "Seite", "fr": "page", "es": "página", "it": "pagina", "pt": "página",
    "nl": "pagina",
}  # fmt: skip

DARTS = ("none", "open", "two lines", "dashed", "with its middle")
FOLDS = ("none", "hem", "hem, dashed", "pleat")
SQUARES = ("none", "with words", "with lines")
TILES = ("none", "frames", "frames with numbers")
LIES = (
    "upright",
    "quarter turn",
    "upside down",
    "leaning",
    "mirrored",
    "inches",
    "inches, leaning",
)

SHARED = {
    "range": ("36-40", "36-40"), "wide range": ("36 – 40", "36 – 40"), "list": ("36, 38", "36, 38"),
    "plus": ("36 + 38", "36, 38"), "and": ("36 {link} 38", "36, 38"),
}  # fmt: skip
"""How a piece that some sizes share says so, and what that is in the words of no language."""
LINKS = {"en": "and", "de": "und", "fr": "et", "es": "y", "it": "e", "nl": "en", "pt": "e"}


def dart(drawing: SvgBuilder, parent: etree._Element, style: str, box: Box, unit: float) -> None:
    """Draw a dart that goes up into a piece from its lower edge, left of the arrow."""
    left, top, wide, high = box
    foot, apex = top + high, (left + 0.3 * wide, top + 0.82 * high)
    low, far = (apex[0] - 10.0 * unit, foot), (apex[0] + 10.0 * unit, foot)
    look = DASHED if style == "dashed" else LINE
    if style in ("open", "dashed", "with its middle"):
        drawing.add_path(_path(low, apex, far), parent, style=look)
    if style == "two lines":
        drawing.add_line(low, apex, parent, style=look)
        drawing.add_line(apex, far, parent, style=look)
    if style == "with its middle":
        drawing.add_line(apex, (apex[0], foot), parent, style=DASHED)


def another_fold(
    drawing: SvgBuilder, parent: etree._Element, style: str, box: Box, code: str, font: float
) -> None:
    """Draw the fold of a hem across a piece, or that of a pleat down from its middle, in words."""
    left, top, wide, high = box
    look = DASHED if style.endswith("dashed") else LINE
    if style.startswith("hem"):
        y = top + 0.95 * high
        drawing.add_line((left + 0.02 * wide, y), (left + 0.8 * wide, y), parent, style=look)
        size = min(0.5 * font, 0.03 * high)
        _words(drawing, parent, HEM_FOLD[code], (left + 0.35 * wide, y - 0.3 * size), size)
    if style == "pleat":
        x = left + 0.85 * wide
        drawing.add_line((x, top + 0.55 * high), (x, top + 0.98 * high), parent, style=look)
        size = min(0.5 * font, 0.03 * high)
        text = _words(drawing, parent, PLEAT_FOLD[code], (0.0, 0.0), size)
        text.set("transform", f"translate({x - size:.3f} {top + 0.9 * high:.3f}) rotate(-90)")


def square(
    drawing: SvgBuilder, parent: etree._Element, style: str, at: Point, code: str, unit: float
) -> None:
    """Draw a test square of 5 cm at the scale of the sheet, as one shape or of four lines."""
    side, (x, y) = 50.0 * unit, at
    if style == "with words":
        drawing.add_rect(x, y, side, side, parent, style=LINE)
    if style == "with lines":
        corners = [(x, y), (x + side, y), (x + side, y + side), (x, y + side)]
        for one, other in zip(corners, (*corners[1:], corners[0]), strict=True):
            drawing.add_line(one, other, parent, style=LINE)
    if style != "none":
        size = side / 16.0
        _words(drawing, parent, SQUARE[code], (x + size, y + 0.5 * side), size)


def tiles(
    drawing: SvgBuilder, parent: etree._Element, style: str, page: Point, code: str, unit: float
) -> None:
    """Draw the frames of the pages that a sheet is printed on, of 190 x 277 mm at its scale."""
    wide, high = 190.0 * unit, 277.0 * unit
    columns, rows = math.ceil(page[0] / wide), math.ceil(page[1] / high)
    if style == "none":
        return
    for row in range(rows):
        for column in range(columns):
            x, y = column * wide, row * high
            drawing.add_rect(x, y, wide, high, parent, style=LINE)
            if style == "frames with numbers":
                number = row * columns + column + 1
                words = f"{PAGE[code]} {number}/{rows * columns}"
                size = 6.0 * unit
                _words(drawing, parent, words, (x + size, y + high - size), size)


Matrix = tuple[float, float, float, float, float, float]


def lying(style: str, page: Point) -> tuple[Matrix, Point]:
    """Return how a sheet is turned, as an SVG matrix in mm, and how wide and high its page is."""
    width, height = page
    if style == "quarter turn":
        return (0.0, 1.0, -1.0, 0.0, height, 0.0), (height, width)
    if style == "upside down":
        return (-1.0, 0.0, 0.0, -1.0, width, height), page
    if style == "mirrored":
        return (-1.0, 0.0, 0.0, 1.0, width, 0.0), page
    if style.endswith("leaning"):
        c, s = math.cos(math.radians(17.0)), math.sin(math.radians(17.0))
        return (c, s, -s, c, height * s, 0.0), (width * c + height * s, width * s + height * c)
    return (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), page


def laid(drawing: SvgBuilder, style: str, page: Point) -> Callable[[Point], Point]:
    """Turn what is drawn, and give the page its size; return where a point lies then, mm."""
    (a, b, c, d, e, f), (width, height) = lying(style, page)
    inches = style.startswith("inches")
    unit, scale = ("in", 1.0 / 25.4) if inches else ("mm", 1.0)
    for layer in drawing.root.iterchildren("{*}g"):
        matrix = " ".join(f"{scale * value:.9g}" for value in (a, b, c, d, e, f))
        if style != "upright":
            layer.set("transform", f"matrix({matrix})")
    drawing.root.set("width", f"{width * scale:.6f}{unit}")
    drawing.root.set("height", f"{height * scale:.6f}{unit}")
    drawing.root.set("viewBox", f"0 0 {width * scale:.6f} {height * scale:.6f}")
    return lambda point: (a * point[0] + c * point[1] + e, b * point[0] + d * point[1] + f)


def _path(*points: Point) -> str:
    return "M " + " L ".join(f"{x:.3f} {y:.3f}" for x, y in points)


def _words(
    drawing: SvgBuilder, parent: etree._Element, words: str, at: Point, size: float
) -> etree._Element:
    style = f"font-size:{size:.3f}px;font-family:sans-serif"
    return drawing.add_text(words, *at, parent, font_size=size, style=style)
