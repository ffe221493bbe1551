# SPDX-License-Identifier: GPL-2.0-or-later
"""The cloth under the parts: usable width, selvedges, cut end and far end."""

from __future__ import annotations

from lxml import etree

from extension.drawn.border import borders
from extension.drawn.edging import area, cut_line, edge_line, upwards, word_size, word_space
from extension.drawn.flaws import flaws
from extension.drawn.folded import folded_cloth
from extension.drawn.ink import CLOTH, MEASURE_LINE, SELVEDGE, SELVEDGE_LINE, THIN_LINE
from extension.drawn.lettering import ASCENT, text
from extension.drawn.remnant import remnant_cloth
from extension.drawn.repeat import repeat_lines
from extension.drawn.sheet import Sheet
from extension.language.edges import CUT_END, FAR_END, LOWER_SELVEDGE, UPPER_SELVEDGE


def cloth(sheet: Sheet) -> list[etree._Element]:
    """Return the cloth. The usable part comes first, so that it can be found again."""
    if sheet.options.remnant is not None:
        return remnant_cloth(sheet, sheet.options.remnant)
    return folded_cloth(sheet) if sheet.is_folded else _plain_cloth(sheet)


def _plain_cloth(sheet: Sheet) -> list[etree._Element]:
    """Return cloth that lies open, in one section."""
    length, width, edge = sheet.cloth_length, sheet.width, sheet.selvedge
    found = [area("usable cloth", 0.0, 0.0, length, width, CLOTH)]
    found += borders(sheet)
    design = sheet.plan.job.fabric.repeat
    if design is not None:
        found += repeat_lines(design, (0.0, 0.0, length, width), width)
    for inner, outer in ((0.0, -edge), (width, width + edge)):
        found.append(area("selvedge", 0.0, min(inner, outer), length, edge, SELVEDGE))
        found += [edge_line((0.0, y), (length, y)) for y in (inner, outer)]
    ends = (-edge, width + edge)
    found += [cut_line((x, ends[0]), (x, ends[1]), MEASURE_LINE) for x in (0.0, length)]
    if length - sheet.layout.length > 1.0:
        used = sheet.layout.length
        found.append(cut_line((used, 0.0), (used, width), THIN_LINE))
    return [*found, *flaws(sheet), *_words(sheet)]


def _words(sheet: Sheet) -> list[etree._Element]:
    """Return the words along the four edges, outside the cloth."""
    size, space, edge = word_size(sheet), word_space(sheet), sheet.selvedge
    length, width = sheet.cloth_length, sheet.width
    under = width + edge + space + ASCENT * size
    upper = text([UPPER_SELVEDGE], 0.0, -edge - space, size, colour=SELVEDGE_LINE)
    lower = text([LOWER_SELVEDGE], 0.0, under, size, colour=SELVEDGE_LINE)
    left = upwards(CUT_END, (-space, width / 2.0), size)
    right = upwards(FAR_END, (length + space + ASCENT * size, width / 2.0), size)
    return [upper, lower, left, right]
