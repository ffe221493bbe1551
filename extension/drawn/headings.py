# SPDX-License-Identifier: GPL-2.0-or-later
"""Round the sections of folded cloth: how each lies, how long it is, and what the tints mean."""

from __future__ import annotations

from lxml import etree

from extension.drawn.edging import area, word_size, word_space
from extension.drawn.folded import zone_colour
from extension.drawn.ink import INK, THIN_LINE
from extension.drawn.lettering import ASCENT, DESCENT, LINE_HEIGHT, line_width, text, wrapped
from extension.drawn.lying import HEADING, Lying
from extension.drawn.sheet import Sheet
from extension.language.spreads import ONE_LAYER, TWO_LAYERS, exact_text, section_text, spread_name
from extension.svg.building import style
from nesting.judge.verdict import capital
from nesting.model import Point

SIZE = 0.9
"""Font size of headings and of the key, in those of the measures."""
ABOVE_WORDS = 0.5
"""How far a heading stands from the words along the cloth, in font sizes."""


def headings(sheet: Sheet) -> list[etree._Element]:
    """Return what stands above each section: in which order, how it lies, for how long."""
    size = SIZE * sheet.letters
    made = []
    for place, one in enumerate(sheet.lying):
        rows = _rows(sheet, place)
        top = _last_baseline(sheet, one) - (len(rows) - 1) * LINE_HEIGHT * size
        made.append(text(rows, one.start, top, size, bold=True))
    return made


def headings_top(sheet: Sheet) -> float:
    """Return how high the headings reach on the sheet, mm."""
    size = SIZE * sheet.letters
    return min(
        _last_baseline(sheet, one)
        - ((len(_rows(sheet, place)) - 1) * LINE_HEIGHT + ASCENT + DESCENT) * size
        for place, one in enumerate(sheet.lying)
    )


def key(sheet: Sheet, at: Point) -> list[etree._Element]:
    """Return what the tints mean, from a point on a baseline to the right."""
    size, x = SIZE * sheet.letters, at[0]
    made: list[etree._Element] = []
    for layers, words in _tints(sheet):
        box = area(words, x, at[1] - ASCENT * size, 1.6 * size, ASCENT * size, zone_colour(layers))
        box.set(
            "style", style({"fill": zone_colour(layers), "stroke": INK, "stroke-width": THIN_LINE})
        )
        made += [box, text([words], x + 2.0 * size, at[1], size)]
        x += 2.0 * size + line_width(words, size) + 1.2 * size
    return made


def key_width(sheet: Sheet) -> float:
    """Return how much room the key takes along its line, mm."""
    size = SIZE * sheet.letters
    return sum(3.2 * size + line_width(words, size) for _, words in _tints(sheet))


def length_words(sheet: Sheet, one: Lying) -> str:
    """Return what the dimension line of a section says."""
    words = exact_text(one.needed, sheet.options.system)
    return f"{words} to each layer" if one.section.crosswise else words


def _rows(sheet: Sheet, place: int) -> list[str]:
    """Return the heading of a section, broken to the room above it."""
    one, fabric = sheet.lying[place], sheet.plan.job.fabric
    words = section_text(one.section, sheet.width, fabric.sides, sheet.options.system)
    if one.needed == 0.0:
        name = spread_name(one.section, sheet.width, sheet.options.system)
        words = f"{name}: nothing lies here"
    if len(sheet.lying) > 1:
        is_rest = any(before.needed > 0.0 for before in sheet.lying[:place])
        rest = "the rest " if is_rest and one.section.is_open else ""
        words = f"{place + 1}. {capital(rest + words)}"
    else:
        words = capital(words)
    size = SIZE * sheet.letters
    return wrapped(words, max(one.length, HEADING * sheet.letters), size)


def _last_baseline(sheet: Sheet, one: Lying) -> float:
    """Return where the last line of a heading stands, mm on the sheet."""
    edge = 0.0 if one.upper_edge.is_fold else sheet.selvedge
    words = word_space(sheet) + (ASCENT + DESCENT) * word_size(sheet)
    return sheet.width - one.high - edge - words - (ABOVE_WORDS + DESCENT) * sheet.letters


def _tints(sheet: Sheet) -> list[tuple[int, str]]:
    """Return the tints that are there, with their words."""
    there = {zone.layers for one in sheet.lying for zone in one.zones}
    return [
        (layers, words) for layers, words in ((2, TWO_LAYERS), (1, ONE_LAYER)) if layers in there
    ]
