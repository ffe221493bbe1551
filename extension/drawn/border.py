# SPDX-License-Identifier: GPL-2.0-or-later
"""Borders on the drawn cloth: a tinted strip, the line on which edges lie, and the word beside."""

from __future__ import annotations

from lxml import etree

from extension.drawn.edging import FOLD_LINE, area, upwards, word_size, word_space
from extension.drawn.ink import BORDER, BORDER_LINE, MEASURE_LINE, THIN_LINE, line_look
from extension.drawn.lettering import ASCENT
from extension.drawn.lying import Lying
from extension.drawn.sheet import Sheet
from extension.job.lying_bands import bands_lying
from extension.job.lying_flaws import rings_of
from extension.job.remnant import Remnant
from extension.svg.building import element, inkscape, path_data, style
from nesting.model import Band

WORD = "border"
BELOW = (8.0, 4.0)
"""The broken lines of a border of the lower layer: strokes and spaces, mm."""


def borders(sheet: Sheet) -> list[etree._Element]:
    """Return the borders of a layout's open cloth."""
    bands = sheet.plan.job.fabric.bands
    return [one for band in bands for one in _drawn(sheet, band, 0.0, sheet.cloth_length)]


def borders_in(sheet: Sheet, one: Lying) -> list[etree._Element]:
    """Return the borders that are seen on a section of folded cloth.

    One that only the lower layer has is told by broken lines.
    """
    fabric, beyond = sheet.plan.job.fabric, FOLD_LINE if one.has_fold_across else 0.0
    return [
        made
        for seen in bands_lying(fabric.bands, one.section, sheet.width, fabric.sides)
        for made in _drawn(
            sheet, seen.band, one.start, one.length, beyond, is_below=seen.layer == "lower"
        )
    ]


def _drawn(
    sheet: Sheet,
    band: Band,
    start: float,
    length: float,
    beyond: float = 0.0,
    *,
    is_below: bool = False,
) -> list[etree._Element]:
    """Return the strip of a border, its two lines and its name beyond the far end.

    `beyond`: mm that its fold takes there.
    """
    line, end = sheet.width - band.line, sheet.width - band.to
    low, high = min(line, end), max(line, end)
    size, remnant = word_size(sheet), sheet.options.remnant
    beside = start + length + beyond + word_space(sheet) + ASCENT * size, (low + high) / 2.0
    dash = BELOW if is_below else ()
    strip = (
        [area(WORD, start, low, length, high - low, BORDER)]
        if remnant is None
        else _on_remnant(remnant, band, sheet.width)
    )
    return [
        *strip,
        _line(start, length, line, MEASURE_LINE, dash),
        _line(start, length, end, THIN_LINE, dash),
        upwards(WORD, beside, size, colour=BORDER_LINE),
    ]


def _on_remnant(remnant: Remnant, band: Band, width: float) -> list[etree._Element]:
    """Return what of a strip lies on a remnant."""
    there = remnant.between(min(band.line, band.to), max(band.line, band.to))
    look = style({"fill": BORDER, "stroke": "none"})
    shapes = [[(x, width - y) for x, y in ring] for ring in rings_of(there)]
    return [
        element("path", {"d": path_data(one, closed=True), inkscape("label"): WORD, "style": look})
        for one in shapes
    ]


def _line(
    start: float, length: float, y: float, width: float, dash: tuple[float, ...]
) -> etree._Element:
    """Return a line along the cloth."""
    look = style(line_look(BORDER_LINE, width, dash=dash))
    ends = ((start, y), (start + length, y))
    return element("path", {"d": path_data(ends, closed=False), "style": look})
