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
from extension.drawn.lettering import ASCENT, LINE_HEIGHT, line_width, text
from extension.drawn.lying import Lying
from extension.drawn.sheet import Sheet
from extension.job.lying_flaws import flaws_lying
from extension.svg.building import element, inkscape, path_data, style

WORD = "flaw"
SPACING = 6.0
"""mm between two lines of the hatching, for letters of 25 mm."""
NAMELESS = "-"
"""In the place of the words for a flaw that is named already."""
BELOW = (4.0, 2.0)
"""The broken line round a flaw of the lower layer: strokes and spaces, mm."""


def flaws(sheet: Sheet) -> list[etree._Element]:
    """Return the flaws of a layout's cloth, as much of each as lies on the cloth that is drawn.

    On folded cloth in each section; those of the lower layer have a broken line round them.
    """
    if sheet.is_folded:
        return [made for one in sheet.lying for made in _in_section(sheet, one)]
    there = shapely.box(0.0, 0.0, sheet.cloth_length, sheet.width)
    found: list[etree._Element] = []
    for flaw in sheet.options.flaws:
        outline = shapely.Polygon([(x, sheet.width - y) for x, y in flaw])
        found += _parts_of(shapely.intersection(shapely.make_valid(outline), there), sheet)
    return found


def _in_section(sheet: Sheet, one: Lying) -> list[etree._Element]:
    """Return the flaws that lie in a section of folded cloth."""
    options, sections = sheet.options, sheet.layout.sections
    there = shapely.box(one.start, sheet.width - one.high, one.end, sheet.width - one.low)
    lying = flaws_lying(options.flaws, sections, one.number, sheet.width, options.sides)
    found: list[etree._Element] = []
    for flaw in lying:
        on_sheet = affinity.affine_transform(
            flaw.area, (1.0, 0.0, 0.0, -1.0, one.start, sheet.width)
        )
        seen = shapely.intersection(on_sheet, there)
        # Across the fold it lies in both layers, over itself: it is named once.
        same = [other for other in lying if other.number == flaw.number and other.layer]
        words = f"{flaw.layer} layer" if flaw.layer else ""
        if len(same) > 1 and flaw.layer:
            is_largest = flaw is max(same, key=lambda other: float(other.area.area))
            words = "both layers" if is_largest else NAMELESS
        found += _parts_of(seen, sheet, words, is_below=flaw.layer == "lower")
    return found


def _parts_of(
    area: shapely.Geometry, sheet: Sheet, words: str = "", *, is_below: bool = False
) -> Iterator[etree._Element]:
    """Yield the drawing of each part of a flaw that lies apart from the others."""
    for part in shapely.get_parts(area):
        if part.geom_type == "Polygon" and part.area > 0.0:
            yield from _drawn(part, sheet, words, is_below=is_below)


def _drawn(
    area: shapely.Polygon, sheet: Sheet, words: str, *, is_below: bool
) -> Iterator[etree._Element]:
    """Yield the hatching of a flaw, its outline and its name, with where it lies."""
    look = style(line_look(INK, THIN_LINE))
    for ends in hatching(area, SPACING * sheet.letters / 25.0):
        yield element("path", {"d": path_data(ends, closed=False), "style": look})
    points = [(float(x), float(y)) for x, y in area.exterior.coords[:-1]]
    line = style(line_look(INK, MEASURE_LINE, dash=BELOW if is_below else ()))
    data = path_data(points, closed=True)
    yield element("path", {"d": data, "style": line, inkscape("label"): WORD})
    size, middle = word_size(sheet), area.representative_point()
    for lines in () if words == NAMELESS else ([WORD, words], [WORD]) if words else ([WORD],):
        wide = max(line_width(line, size) for line in lines)
        high = (1.4 + LINE_HEIGHT * (len(lines) - 1)) * size
        room = shapely.box(-wide / 2.0, -high / 2.0, wide / 2.0, high / 2.0)
        room = affinity.translate(room, middle.x, middle.y)
        if area.contains(room):
            yield _box(room)
            base = middle.y + (0.5 * ASCENT - 0.5 * LINE_HEIGHT * (len(lines) - 1)) * size
            yield text(lines, middle.x, base, size, anchor="middle")
            return


def _box(room: shapely.Polygon) -> etree._Element:
    """Return plain cloth under the word."""
    low_x, low_y, high_x, high_y = room.bounds
    return edging.area("word", low_x, low_y, high_x - low_x, high_y - low_y, CLOTH)
