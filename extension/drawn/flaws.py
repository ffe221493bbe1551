# SPDX-License-Identifier: GPL-2.0-or-later
"""Flaws on the drawn cloth: hatched, with a line round them and the word where it has room."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from lxml import etree
from shapely import affinity

from extension.drawn import edging
from extension.drawn.edging import word_size
from extension.drawn.hatching import hatching
from extension.drawn.ink import CLOTH, INK, MEASURE_LINE, THIN_LINE, line_look
from extension.drawn.lettering import ASCENT, line_width, text
from extension.drawn.sheet import Sheet
from extension.svg.building import element, inkscape, path_data, style

WORD = "flaw"
SPACING = 6.0
"""mm between two lines of the hatching, for letters of 25 mm."""


def flaws(sheet: Sheet) -> list[etree._Element]:
    """Return the flaws of a layout's cloth, as much of each as lies on the cloth that is drawn."""
    there = shapely.box(0.0, 0.0, sheet.cloth_length, sheet.width)
    found: list[etree._Element] = []
    for flaw in sheet.options.flaws:
        outline = shapely.Polygon([(x, sheet.width - y) for x, y in flaw])
        common = shapely.intersection(shapely.make_valid(outline), there)
        for part in shapely.get_parts(common):
            if part.geom_type == "Polygon" and part.area > 0.0:
                found += _drawn(part, sheet)
    return found


def _drawn(area: shapely.Polygon, sheet: Sheet) -> Iterator[etree._Element]:
    """Yield the hatching of a flaw, its outline and its name."""
    look = style(line_look(INK, THIN_LINE))
    for ends in hatching(area, SPACING * sheet.letters / 25.0):
        yield element("path", {"d": path_data(ends, closed=False), "style": look})
    points = [(float(x), float(y)) for x, y in area.exterior.coords[:-1]]
    line = style(line_look(INK, MEASURE_LINE))
    data = path_data(points, closed=True)
    yield element("path", {"d": data, "style": line, inkscape("label"): WORD})
    size, middle = word_size(sheet), area.representative_point()
    wide, high = line_width(WORD, size), 1.4 * size
    room = shapely.box(-wide / 2.0, -high / 2.0, wide / 2.0, high / 2.0)
    room = affinity.translate(room, middle.x, middle.y)
    if area.contains(room):
        yield _box(room)
        yield text([WORD], middle.x, middle.y + 0.5 * ASCENT * size, size, anchor="middle")


def _box(room: shapely.Polygon) -> etree._Element:
    """Return plain cloth under the word."""
    low_x, low_y, high_x, high_y = room.bounds
    return edging.area("word", low_x, low_y, high_x - low_x, high_y - low_y, CLOTH)
