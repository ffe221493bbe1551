# SPDX-License-Identifier: GPL-2.0-or-later
"""A remnant under the parts, on its own shape, in the frame that lengths are measured from."""

from __future__ import annotations

from lxml import etree

from extension.drawn.border import borders
from extension.drawn.edging import CUT_DASH, cut_line, upwards, word_size, word_space
from extension.drawn.flaws import flaws
from extension.drawn.ink import CLOTH, MEASURE_LINE, SELVEDGE_LINE, THIN_LINE, line_look
from extension.drawn.lettering import ASCENT, text
from extension.drawn.sheet import Sheet
from extension.job.remnant import Remnant
from extension.language.edges import LEFT_END, LOWER_EDGE, RIGHT_END, UPPER_EDGE
from extension.svg.building import element, inkscape, path_data, style


def remnant_cloth(sheet: Sheet, remnant: Remnant) -> list[etree._Element]:
    """Return the cloth: its shape comes first, so that it can be found again."""
    length, width = sheet.cloth_length, sheet.width
    rings = (remnant.outline, *remnant.holes)
    data = " ".join(path_data([(x, width - y) for x, y in ring], closed=True) for ring in rings)
    look = line_look(SELVEDGE_LINE, MEASURE_LINE, fill=CLOTH) | {"fill-rule": "evenodd"}
    shape = element("path", {"d": data, "style": style(look), inkscape("label"): "usable cloth"})
    frame = style(line_look(SELVEDGE_LINE, THIN_LINE, dash=CUT_DASH))
    corners = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    around = element("path", {"d": path_data(corners, closed=True), "style": frame})
    found = [shape, *borders(sheet), around]
    used = sheet.layout.length
    if used > 0.0 and length - used > 1.0:
        found.append(cut_line((used, 0.0), (used, width), THIN_LINE))
    return [*found, *flaws(sheet), *_words(sheet)]


def _words(sheet: Sheet) -> list[etree._Element]:
    """Return the words along the four sides of the frame, outside it."""
    size, space = word_size(sheet), word_space(sheet)
    length, width = sheet.cloth_length, sheet.width
    return [
        text([UPPER_EDGE], 0.0, -space, size, colour=SELVEDGE_LINE),
        text([LOWER_EDGE], 0.0, width + space + ASCENT * size, size, colour=SELVEDGE_LINE),
        upwards(LEFT_END, (-space, width / 2.0), size),
        upwards(RIGHT_END, (length + space + ASCENT * size, width / 2.0), size),
    ]
