# SPDX-License-Identifier: GPL-2.0-or-later
"""Round the cloth: title, dimension lines, nap arrow, key to small parts, and summary."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from lxml import etree

from extension.drawn.arrows import arrow, dimension
from extension.drawn.edging import word_size, word_space
from extension.drawn.headings import headings, headings_top, key, key_width, length_words
from extension.drawn.ink import INK, MEASURE_LINE, THIN_LINE, line_look
from extension.drawn.lettering import ASCENT, DESCENT, LINE_HEIGHT, line_width, text, wrapped
from extension.drawn.lying import BETWEEN
from extension.drawn.sheet import Sheet
from extension.job.summary import between_text
from extension.job.tops import is_one_way
from extension.language.rounding import purchase_text
from extension.language.spreads import across_text
from extension.svg.building import element, path_data, style
from extension.svg.transforms import multiply, rotation, translation
from nesting.model import Point

TITLE = 1.4
"""Font size of the title, in those of the measures."""
ABOVE_LINE = 0.4
"""How far words stand from their dimension line, in font sizes."""
BELOW_LINE = 0.55
"""The same where they stand below it, clear of its heads."""
SMALL_PARTS = "Letters on small parts"
"""Heading of the key to them."""
_BETWEEN_ENTRIES = 4 * " "
_BELOW_KEY = 0.5
"""Between the key and the summary, in font sizes."""
_LEAST_COLUMN = 900.0
"""mm: the summary is not squeezed into less, however short the cloth."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Where the measures lie round the cloth; sheet mm, outwards from its edges."""

    title: float
    """Baseline above the cloth."""
    width_line: float
    """x of the line that shows the width, left of the cloth."""
    nap: float
    """x of the right end of the nap arrow."""
    length_line: float
    """y of the line that shows the length, below the cloth."""
    summary: float
    """First baseline of the key to small parts, and where there is none of the summary."""


def grid_of(sheet: Sheet) -> Grid:
    """Return the places of the measures."""
    size = sheet.letters
    # The words along the edges of the cloth come first.
    words = word_space(sheet) + (ASCENT + DESCENT) * word_size(sheet)
    above = sheet.top - sheet.selvedge - words
    if sheet.is_folded:
        above = headings_top(sheet)
    left = -words - 0.3 * size
    below = sheet.bottom + sheet.selvedge + words + (0.2 + ASCENT + ABOVE_LINE) * size
    more = BELOW_LINE if _is_told_below(sheet) else 0.0
    return Grid(
        title=above - (0.2 + DESCENT) * TITLE * size,
        width_line=left,
        nap=left - (ABOVE_LINE + ASCENT + 1.0) * size,
        length_line=below,
        summary=below + (4.0 if sheet.is_folded else 2.4 + more) * size,
    )


def measures(sheet: Sheet, legend: Sequence[str]) -> list[etree._Element]:
    """Return all that is said round the cloth."""
    grid, size = grid_of(sheet), sheet.letters
    lengths = _lengths_of_sections(sheet, grid) if sheet.is_folded else _length(sheet, grid)
    return [
        text([sheet.label], 0.0, grid.title, TITLE * size, bold=True),
        *lengths,
        *_width(sheet, grid),
        *_nap(sheet, grid),
        *_key_to_small_parts(sheet, grid, legend),
        *_summary(sheet, grid.summary + _key_height(sheet, legend)),
    ]


def extent(sheet: Sheet, legend: Sequence[str]) -> tuple[float, float, float, float]:
    """Return the corners (x_low, y_low, x_high, y_high) of cloth and measures, sheet mm."""
    grid, size = grid_of(sheet), sheet.letters
    rows = _summary_rows(sheet)
    widest = max(_title_width(sheet), line_width(purchase_text(sheet.bought), size))
    beyond = 2.0 * word_size(sheet)
    if sheet.is_folded:
        widest, beyond = max(widest, _title_width(sheet) + key_width(sheet)), BETWEEN * size
    return (
        grid.nap - _nap_width(sheet),
        grid.title - TITLE * size,
        max(sheet.reach + beyond, widest, _column(sheet)),
        grid.summary + _key_height(sheet, legend) + len(rows) * LINE_HEIGHT * _small(sheet),
    )


def _title_width(sheet: Sheet) -> float:
    """Return how wide the title is, mm."""
    return line_width(sheet.label, TITLE * sheet.letters, bold=True)


def _length(sheet: Sheet, grid: Grid) -> list[etree._Element]:
    """Return the dimension line of the needed length, and what to buy."""
    words, size = purchase_text(sheet.bought), sheet.letters
    made = _dimensioned(sheet, grid, (0.0, sheet.layout.length, sheet.width), words)
    if _is_told_below(sheet):
        base = grid.length_line + (BELOW_LINE + ASCENT) * size
        made[-1] = text([words], 0.0, base, size)
    return made


def _is_told_below(sheet: Sheet) -> bool:
    """Return whether the length of open cloth is told below its line.

    Longer words above it would be run through by the line that leads to its end.
    """
    wide = line_width(purchase_text(sheet.bought), sheet.letters)
    return not sheet.is_folded and wide > sheet.layout.length


def _lengths_of_sections(sheet: Sheet, grid: Grid) -> list[etree._Element]:
    """Return the headings, the key, the length of each section, and below them what to buy."""
    size = sheet.letters
    made = headings(sheet)
    made += key(sheet, (_title_width(sheet) + 2.0 * size, grid.title))
    for one in [one for one in sheet.lying if one.needed > 0.0]:
        ends = one.start, one.start + one.needed, sheet.width - one.low
        own = replace(grid, length_line=grid.length_line - (sheet.bottom - ends[2]))
        made += _dimensioned(sheet, own, ends, length_words(sheet, one))
    bought = purchase_text(sheet.bought)
    return [*made, text([bought], 0.0, grid.length_line + 1.6 * size, size)]


def _dimensioned(
    sheet: Sheet, grid: Grid, ends: tuple[float, float, float], words: str
) -> list[etree._Element]:
    """Return a dimension line below the cloth: `ends` are where it starts and ends, and an edge."""
    (start, end, bottom), size, y = ends, sheet.letters, grid.length_line
    edge = bottom + sheet.selvedge
    small = min(size, size * (end - start) / line_width(words, size))
    return [
        *_helper_lines(((start, edge), (start, y)), ((end, edge), (end, y)), size),
        *dimension((start, y), (end, y), 0.8 * size, MEASURE_LINE),
        text([words], (start + end) / 2.0, y - ABOVE_LINE * size, small, anchor="middle"),
    ]


def _width(sheet: Sheet, grid: Grid) -> list[etree._Element]:
    """Return the dimension line of the usable width, its words reading upwards."""
    size, x, words = sheet.letters, grid.width_line, between_text(sheet.options)
    low, high = _first_sides(sheet)
    if high - low < sheet.width:
        words = f"{across_text(high - low, sheet.options.system)} folded, {words}"
    at = multiply(translation(x - ABOVE_LINE * size, (low + high) / 2.0), rotation(-90.0))
    small = min(size, size * 0.9 * (high - low) / line_width(words, size))
    return [
        *_helper_lines(((0.0, low), (x, low)), ((0.0, high), (x, high)), size),
        *dimension((x, low), (x, high), 0.8 * size, MEASURE_LINE),
        text([words], 0.0, 0.0, small, anchor="middle", matrix=at),
    ]


def _first_sides(sheet: Sheet) -> tuple[float, float]:
    """Return where the cloth of the first section has its upper and its lower side, sheet mm."""
    if not sheet.lying:
        return 0.0, sheet.width
    return sheet.width - sheet.lying[0].high, sheet.width - sheet.lying[0].low


def _helper_lines(
    one: tuple[Point, Point], other: tuple[Point, Point], size: float
) -> list[etree._Element]:
    """Return thin lines that lead from the cloth to a little past a dimension line."""
    look = style(line_look(INK, THIN_LINE))
    lines = []
    for (ax, ay), (bx, by) in (one, other):
        past = 0.3 * size
        end = (bx + past * _sign(bx - ax), by + past * _sign(by - ay))
        lines.append(
            element("path", {"d": path_data(((ax, ay), end), closed=False), "style": look})
        )
    return lines


def _sign(value: float) -> float:
    """Return 1, 0 or -1."""
    return float((value > 0.0) - (value < 0.0))


def _nap_words(sheet: Sheet) -> list[str]:
    """Return what stands beside the nap arrow."""
    if not sheet.plan.job.fabric.nap:
        return ["no nap", "either way"]
    tops = "all tops" if is_one_way(sheet.plan, sheet.layout.placements) else "not all tops"
    return ["nap", tops, "this way"]


def _nap_width(sheet: Sheet) -> float:
    """Return how wide the nap arrow and its words are, mm."""
    return max(line_width(line, sheet.letters) for line in _nap_words(sheet))


def _nap(sheet: Sheet, grid: Grid) -> list[etree._Element]:
    """Return the arrow outside the left end that shows which way the tops lie."""
    size, width = sheet.letters, _nap_width(sheet)
    middle = (grid.nap - width / 2.0, sum(_first_sides(sheet)) / 2.0)
    below = middle[1] + 1.6 * size + ASCENT * size
    if sheet.plan.job.fabric.nap:
        drawn = arrow(middle, 0.0, min(width, 3.0 * size), 3.0 * MEASURE_LINE)
    else:
        ends = ((middle[0] - 2.0 * size, middle[1]), (middle[0] + 2.0 * size, middle[1]))
        drawn = dimension(*ends, 1.2 * size, 3.0 * MEASURE_LINE)
    return [*drawn, text(_nap_words(sheet), middle[0], below, size, anchor="middle")]


def _small(sheet: Sheet) -> float:
    """Return the font size of the summary, mm."""
    return 0.72 * sheet.letters


def _column(sheet: Sheet) -> float:
    """Return the width of the summary, mm."""
    return max(sheet.reach, _LEAST_COLUMN * sheet.letters / 25.0)


def _small_parts_rows(sheet: Sheet, legend: Sequence[str]) -> list[str]:
    """Return the rows of the key to the letters on small parts; what a letter means stays whole."""
    rows: list[str] = []
    for entry in legend:
        longer = f"{rows[-1]}{_BETWEEN_ENTRIES}{entry}" if rows else entry
        if rows and line_width(longer, sheet.letters) <= _column(sheet):
            rows[-1] = longer
        else:
            rows += wrapped(entry, _column(sheet), sheet.letters)
    return [SMALL_PARTS, *rows] if rows else []


def _key_height(sheet: Sheet, legend: Sequence[str]) -> float:
    """Return how far the key to small parts moves the summary down, mm."""
    rows = _small_parts_rows(sheet, legend)
    return (len(rows) * LINE_HEIGHT + _BELOW_KEY) * sheet.letters if rows else 0.0


def _key_to_small_parts(sheet: Sheet, grid: Grid, legend: Sequence[str]) -> list[etree._Element]:
    """Return the key to the letters on small parts: as large as the measures, above the summary."""
    rows = _small_parts_rows(sheet, legend)
    if not rows:
        return []
    made = text(rows, 0.0, grid.summary, sheet.letters)
    made[0].set("style", "font-weight:bold")
    return [made]


def _summary_rows(sheet: Sheet) -> list[str]:
    """Return the rows of the summary, broken to the column."""
    return [row for line in sheet.summary for row in wrapped(line, _column(sheet), _small(sheet))]


def _summary(sheet: Sheet, baseline: float) -> list[etree._Element]:
    """Return the summary below the cloth."""
    return [text(_summary_rows(sheet), 0.0, baseline, _small(sheet))]
