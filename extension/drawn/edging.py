# SPDX-License-Identifier: GPL-2.0-or-later
"""Of what cloth is drawn: areas, the lines along its edges, and the words beside them."""

from __future__ import annotations

from lxml import etree

from extension.drawn.ink import INK, MEASURE_LINE, SELVEDGE_LINE, line_look
from extension.drawn.lettering import text
from extension.drawn.sheet import Sheet
from extension.svg.building import element, inkscape, path_data, style
from extension.svg.transforms import multiply, rotation, translation
from nesting.model import Point

CUT_DASH = (12.0, 6.0)
"""mm: dashes of the lines along which cloth is cut across."""
FOLD_LINE = 3.0
"""mm: how heavy the fold of the cloth is drawn, so that nobody takes it for a piece's own edge."""
FOLD_DASH = (36.0, 8.0, 6.0, 8.0)
"""mm: dash, space, dot, space."""


def word_size(sheet: Sheet) -> float:
    """Return the font size of the words along the edges of the cloth, mm."""
    return 0.7 * sheet.letters


def word_space(sheet: Sheet) -> float:
    """Return how far the words along the edges stand from them, mm."""
    return 0.2 * sheet.letters


def upwards(words: str, at: Point, size: float, colour: str = SELVEDGE_LINE) -> etree._Element:
    """Return words that read upwards, their baseline's middle at a point."""
    matrix = multiply(translation(*at), rotation(-90.0))
    return text([words], 0.0, 0.0, size, anchor="middle", matrix=matrix, colour=colour)


def area(label: str, x: float, y: float, width: float, height: float, fill: str) -> etree._Element:
    """Return a filled rectangle without a line."""
    sides = {"x": x, "y": y, "width": width, "height": height}
    look = style({"fill": fill, "stroke": "none"})
    return element("rect", {**sides, inkscape("label"): label, "style": look})


def edge_line(start: Point, end: Point) -> etree._Element:
    """Return a line of a selvedge."""
    look = style(line_look(SELVEDGE_LINE, MEASURE_LINE))
    return element("path", {"d": path_data((start, end), closed=False), "style": look})


def cut_line(start: Point, end: Point, width: float) -> etree._Element:
    """Return a dashed line across the cloth."""
    look = style(line_look(SELVEDGE_LINE, width, dash=CUT_DASH))
    return element("path", {"d": path_data((start, end), closed=False), "style": look})


def fold_line(start: Point, end: Point) -> etree._Element:
    """Return the heavy dash-dot line of a fold of the cloth."""
    look = style(line_look(INK, FOLD_LINE, dash=FOLD_DASH))
    return element("path", {"d": path_data((start, end), closed=False), "style": look})
