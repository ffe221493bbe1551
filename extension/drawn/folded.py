# SPDX-License-Identifier: GPL-2.0-or-later
"""Folded cloth as it lies on the table, its sections side by side.

Strips of two layers have a darker tint than those of one. A fold of the cloth is a heavy dash-dot
line just outside of it, so that a part which lies on the fold does not hide it.
"""

from __future__ import annotations

from lxml import etree

from extension.drawn.border import borders_in
from extension.drawn.edging import (
    FOLD_LINE,
    area,
    cut_line,
    edge_line,
    fold_line,
    upwards,
    word_size,
    word_space,
)
from extension.drawn.flaws import flaws
from extension.drawn.ink import (
    CLOTH,
    DOUBLE_CLOTH,
    INK,
    MEASURE_LINE,
    SELVEDGE,
    SELVEDGE_LINE,
    THIN_LINE,
)
from extension.drawn.lettering import ASCENT, text
from extension.drawn.lying import Edge, Lying, Zone
from extension.drawn.repeat import repeat_lines
from extension.drawn.sheet import Sheet
from extension.language.edges import CUT_END, FAR_END
from extension.language.names import lay
from extension.language.spreads import CUT_ACROSS, FOLD_OF_CLOTH

NARROW = 3.0
"""mm: a selvedge that lies on the cloth is drawn no narrower, though it meets another one."""


def folded_cloth(sheet: Sheet) -> list[etree._Element]:
    """Return the sections of the cloth, the usable part of each told by its number.

    That of the first comes first, so that the layout can be found again.
    """
    lying = sheet.lying
    usable = [_usable(sheet, one) for one in lying]
    return [*usable, *(drawn for one in lying for drawn in _section(sheet, one)), *flaws(sheet)]


def zone_colour(layers: int) -> str:
    """Return the tint of a strip of one layer or of two."""
    return DOUBLE_CLOTH if layers == 2 else CLOTH


def _usable(sheet: Sheet, one: Lying) -> etree._Element:
    """Return the usable part of a section, which says which one it is."""
    top = sheet.width - one.high
    made = area("usable cloth", one.start, top, one.length, one.high - one.low, CLOTH)
    made.set(lay("section"), str(one.number))
    return made


def _section(sheet: Sheet, one: Lying) -> list[etree._Element]:
    """Return zones, edges and words of a section."""
    return [
        *(_zone(sheet, one, zone) for zone in one.zones if zone.layers == 2),
        *borders_in(sheet, one),
        *_design(sheet, one),
        *_side(sheet, one, one.upper_edge, -1.0),
        *_side(sheet, one, one.lower_edge, 1.0),
        *(line for edge in one.edges_within for line in _within(sheet, one, edge)),
        *_ends(sheet, one),
    ]


def _zone(sheet: Sheet, one: Lying, zone: Zone) -> etree._Element:
    """Return the tint of a zone."""
    top, height = sheet.width - zone.high, zone.high - zone.low
    return area("two layers", one.start, top, one.length, height, zone_colour(zone.layers))


def _design(sheet: Sheet, one: Lying) -> list[etree._Element]:
    """Return the lines of the design on a section, of its lower layer."""
    design = sheet.plan.job.fabric.repeat
    if design is None:
        return []
    box = (one.start, sheet.width - one.high, one.end, sheet.width - one.low)
    return repeat_lines(design, box, sheet.width)


def _side(sheet: Sheet, one: Lying, edge: Edge, out: float) -> list[etree._Element]:
    """Return the selvedge or the fold along a side; `out` is which way is off the cloth."""
    y, size = sheet.width - edge.y, word_size(sheet)
    wide = FOLD_LINE if edge.is_fold else sheet.selvedge
    outer = y + out * wide
    beside = outer + out * word_space(sheet) + (ASCENT * size if out > 0.0 else 0.0)
    colour = INK if edge.is_fold else SELVEDGE_LINE
    # The lines that lead to the measures begin at the corner itself.
    words = text([edge.words], one.start + word_space(sheet), beside, size, colour=colour)
    if edge.is_fold:
        middle = y + out * wide / 2.0
        return [fold_line((one.start, middle), (one.end, middle)), words]
    return [
        area("selvedge", one.start, min(y, outer), one.length, wide, SELVEDGE),
        *(edge_line((one.start, at), (one.end, at)) for at in (y, outer)),
        words,
    ]


def _within(sheet: Sheet, one: Lying, edge: Edge) -> list[etree._Element]:
    """Return the selvedge of an upper layer, with its words in the gap behind the section."""
    zone = next((zone for zone in one.zones if zone.layers == 1), None)
    y, size = sheet.width - edge.y, word_size(sheet)
    low, high = y - NARROW / 2.0, y + NARROW / 2.0
    if zone is not None:
        wide = max(min(sheet.selvedge, (zone.high - zone.low) / 2.0), NARROW)
        low, high = (y - wide, y) if edge.y == zone.low else (y, y + wide)
    beside = one.end + word_space(sheet)
    words = text([edge.words], beside, (low + high) / 2.0 + 0.35 * size, size, colour=SELVEDGE_LINE)
    return [
        area("selvedge", one.start, low, one.length, high - low, SELVEDGE),
        *(edge_line((one.start, at), (one.end, at)) for at in (low, high)),
        words,
    ]


def _ends(sheet: Sheet, one: Lying) -> list[etree._Element]:
    """Return both ends of a section, and where what is needed of it ends."""
    size, space = word_size(sheet), word_space(sheet)
    ends = _reach_across(sheet, one)
    left = one.start - space
    found = [cut_line((one.start, ends[0]), (one.start, ends[1]), MEASURE_LINE)]
    middle = _free_height(sheet, one)
    if one.number == sheet.lying[0].number:
        found.append(upwards(CUT_END, (left, middle), size))
    right = one.end + space + ASCENT * size
    if one.has_fold_across:
        at = one.end + FOLD_LINE / 2.0
        found.append(fold_line((at, ends[0]), (at, ends[1])))
        found.append(upwards(FOLD_OF_CLOTH, (right + FOLD_LINE, middle), size, INK))
        return found
    found.append(cut_line((one.end, ends[0]), (one.end, ends[1]), MEASURE_LINE))
    found.append(upwards(_at_end(sheet, one), (right, middle), size))
    if one.end - one.start - one.needed > 1.0:
        used = one.start + one.needed
        low, high = sheet.width - one.high, sheet.width - one.low
        found.append(cut_line((used, low), (used, high), THIN_LINE))
    return found


def _at_end(sheet: Sheet, one: Lying) -> str:
    """Return what the end of a section is called."""
    is_last = one.number == sheet.lying[-1].number
    return FAR_END if is_last and not one.section.crosswise else CUT_ACROSS


def _reach_across(sheet: Sheet, one: Lying) -> tuple[float, float]:
    """Return from where to where on the sheet a section reaches across, its selvedges included."""
    above = 0.0 if one.upper_edge.is_fold else sheet.selvedge
    below = 0.0 if one.lower_edge.is_fold else sheet.selvedge
    return sheet.width - one.high - above, sheet.width - one.low + below


def _free_height(sheet: Sheet, one: Lying) -> float:
    """Return where beside a section words can stand: at the middle of its widest zone."""
    widest = max(one.zones, key=lambda zone: zone.high - zone.low)
    return sheet.width - (widest.low + widest.high) / 2.0
