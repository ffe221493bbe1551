# SPDX-License-Identifier: GPL-2.0-or-later
"""Borders on the drawn cloth: a tinted strip, the line on which edges lie, and the word beside."""

from __future__ import annotations

from lxml import etree

from extension.drawn.edging import area, upwards, word_size, word_space
from extension.drawn.ink import BORDER, BORDER_LINE, MEASURE_LINE, THIN_LINE, line_look
from extension.drawn.lettering import ASCENT
from extension.drawn.sheet import Sheet
from extension.svg.building import element, path_data, style
from nesting.model import Band

WORD = "border"


def borders(sheet: Sheet) -> list[etree._Element]:
    """Return the borders of a layout's cloth."""
    return [one for band in sheet.plan.job.fabric.bands for one in _drawn(sheet, band)]


def _drawn(sheet: Sheet, band: Band) -> list[etree._Element]:
    """Return the strip of a border, its two lines and its name beyond the far end."""
    length, line, end = sheet.cloth_length, sheet.width - band.line, sheet.width - band.to
    low, high = min(line, end), max(line, end)
    size = word_size(sheet)
    beside = length + word_space(sheet) + ASCENT * size, (low + high) / 2.0
    return [
        area(WORD, 0.0, low, length, high - low, BORDER),
        _line(length, line, MEASURE_LINE),
        _line(length, end, THIN_LINE),
        upwards(WORD, beside, size, colour=BORDER_LINE),
    ]


def _line(length: float, y: float, width: float) -> etree._Element:
    """Return a line along the cloth."""
    look = style(line_look(BORDER_LINE, width))
    return element("path", {"d": path_data(((0.0, y), (length, y)), closed=False), "style": look})
