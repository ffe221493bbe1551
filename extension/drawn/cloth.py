# SPDX-License-Identifier: GPL-2.0-or-later
"""The cloth under the parts: usable width, selvedges, cut end and far end."""

from __future__ import annotations

from lxml import etree

from extension.drawn.ink import CLOTH, MEASURE_LINE, SELVEDGE, SELVEDGE_LINE, THIN_LINE, line_look
from extension.drawn.lettering import ASCENT, text
from extension.drawn.sheet import Sheet
from extension.language.edges import CUT_END, FAR_END, LOWER_SELVEDGE, UPPER_SELVEDGE
from extension.svg.building import element, inkscape, path_data, style
from extension.svg.transforms import multiply, rotation, translation
from nesting.model import Point

CUT_DASH = (12.0, 6.0)
"""mm: dashes of the lines along which cloth is cut across."""


def word_size(sheet: Sheet) -> float:
    """Return the font size of the words along the edges of the cloth, mm."""
    return 0.7 * sheet.letters


def word_space(sheet: Sheet) -> float:
    """Return how far the words along the edges stand from them, mm."""
    return 0.2 * sheet.letters


def cloth(sheet: Sheet) -> list[etree._Element]:
    """Return the cloth. The usable part comes first, so that it can be found again."""
    length, width, edge = sheet.cloth_length, sheet.width, sheet.selvedge
    found = [_area("usable cloth", 0.0, 0.0, length, width, CLOTH)]
    for inner, outer in ((0.0, -edge), (width, width + edge)):
        found.append(_area("selvedge", 0.0, min(inner, outer), length, edge, SELVEDGE))
        found += [_edge((0.0, y), (length, y)) for y in (inner, outer)]
    ends = (-edge, width + edge)
    found += [_cut((x, ends[0]), (x, ends[1]), MEASURE_LINE) for x in (0.0, length)]
    if length - sheet.layout.length > 1.0:
        used = sheet.layout.length
        found.append(_cut((used, 0.0), (used, width), THIN_LINE))
    return [*found, *_words(sheet)]


def _words(sheet: Sheet) -> list[etree._Element]:
    """Return the words along the four edges, outside the cloth."""
    size, space, edge = word_size(sheet), word_space(sheet), sheet.selvedge
    length, width = sheet.cloth_length, sheet.width
    under = width + edge + space + ASCENT * size
    upper = text([UPPER_SELVEDGE], 0.0, -edge - space, size, colour=SELVEDGE_LINE)
    lower = text([LOWER_SELVEDGE], 0.0, under, size, colour=SELVEDGE_LINE)
    left = _upwards(CUT_END, (-space, width / 2.0), size)
    right = _upwards(FAR_END, (length + space + ASCENT * size, width / 2.0), size)
    return [upper, lower, left, right]


def _upwards(words: str, at: Point, size: float) -> etree._Element:
    """Return words that read upwards, their baseline's middle at a point."""
    matrix = multiply(translation(*at), rotation(-90.0))
    return text([words], 0.0, 0.0, size, anchor="middle", matrix=matrix, colour=SELVEDGE_LINE)


def _area(label: str, x: float, y: float, width: float, height: float, fill: str) -> etree._Element:
    """Return a filled rectangle without a line."""
    sides = {"x": x, "y": y, "width": width, "height": height}
    look = style({"fill": fill, "stroke": "none"})
    return element("rect", {**sides, inkscape("label"): label, "style": look})


def _edge(start: Point, end: Point) -> etree._Element:
    """Return a line of a selvedge."""
    look = style(line_look(SELVEDGE_LINE, MEASURE_LINE))
    return element("path", {"d": path_data((start, end), closed=False), "style": look})


def _cut(start: Point, end: Point, width: float) -> etree._Element:
    """Return a dashed line across the cloth."""
    look = style(line_look(SELVEDGE_LINE, width, dash=CUT_DASH))
    return element("path", {"d": path_data((start, end), closed=False), "style": look})
