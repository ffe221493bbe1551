# SPDX-License-Identifier: GPL-2.0-or-later
"""The table on the drawing: a layer of its own, in real text that can be edited.

Measures are in font sizes of the drawing's own lettering.
"""

from __future__ import annotations

from collections.abc import Sequence

from lxml import etree

from extension.drawn.frames import transform_text
from extension.drawn.ink import line_look
from extension.drawn.lettering import LINE_HEIGHT, Anchor, line_width, text, wrapped
from extension.drawn.place import Box, free_place
from extension.language.cautions import CAUTIONS
from extension.language.decimals import written
from extension.language.names import lay
from extension.requirements_table.groups import groups_of
from extension.requirements_table.look import Look, look_of
from extension.requirements_table.matching import (
    PLAIN,
    WITH_DESIGN,
    Column,
    column_of,
    columns_of,
)
from extension.requirements_table.merging import shown
from extension.requirements_table.prices import cost_text
from extension.requirements_table.publisher import FOR_PUBLISHER, publisher_notes
from extension.requirements_table.sentences import (
    NOTHING,
    bracket_text,
    jump_texts,
    lengths_text,
    lies_text,
    marks_text,
    material_title,
    notes,
    pattern_notes,
    width_text,
)
from extension.requirements_table.sizes import SizeSet
from extension.requirements_table.table import Entry, Table
from extension.svg.building import FreeIds, element, group, layer, path_data, style
from extension.svg.decoration import declare
from extension.svg.document import Document
from extension.svg.model import Leaf
from extension.svg.transforms import multiply, translation

HEADING = "Fabric requirements"
TITLE, SMALL = 1.5, 0.8
"""Font sizes of the title and of the second line in a cell."""
PAD = 0.8
"""Room left and right of what stands in a cell."""
LEAST_WIDTH = 60.0
"""The notes are not squeezed into less, however narrow the table."""
GROUP_HEIGHT, ROW_HEIGHT = 1.9, 2.9
RULE, THIN = 0.08, 0.03
"""Line widths."""


def draw_table(document: Document, leaves: Sequence[Leaf], table: Table) -> etree._Element:
    """Add the table's layer to the document's tree and return it.

    `leaves` are everything drawn in the document, results included: the table is put beside them.
    """
    ids = FreeIds(document.root)
    number = _next_number(document)
    prefix = f"thriftlay-table-{number}"
    writer = _Writer(look_of(leaves), table.options.locale)
    writer.write(table, prefix)
    origin = free_place(document, leaves, writer.box)
    made = layer(
        prefix,
        f"{HEADING} {number}",
        writer.groups,
        {
            "transform": transform_text(multiply(document.from_page, translation(*origin))),
            lay("table"): str(number),
        },
    )
    declare([made], "table")
    for count, node in enumerate(made.iter(etree.Element), start=1):
        node.set("id", ids.take(node.get("id") or f"{prefix}-item-{count}"))
    document.root.append(made)
    return made


def _next_number(document: Document) -> int:
    """Return one more than there are tables."""
    return 1 + sum(node.get(lay("table")) is not None for node in document.root.iter(etree.Element))


class _Writer:
    """Writes downwards from the origin, with numbers as in a country.

    `box` is what has been written on, mm.
    """

    def __init__(self, look: Look, locale: str) -> None:
        self._look, self._locale = look, locale
        self._y = 0.0
        self._right = LEAST_WIDTH * look.size
        self._into: list[etree._Element] = []
        self.groups: list[etree._Element] = []

    @property
    def box(self) -> Box:
        """The box of what has been written."""
        return 0.0, 0.0, self._right, self._y

    def write(self, table: Table, prefix: str) -> None:
        """Write the whole table with its notes."""
        self._title(table)
        self._close(f"{prefix}-title", "title")
        for number, material in enumerate(table.materials, start=1):
            self._material(table, material)
            self._close(f"{prefix}-{number}", material)
        self._notes(table)
        self._close(f"{prefix}-notes", "notes")

    def _close(self, name: str, label: str) -> None:
        """End a group of what has been written since the last one."""
        self.groups.append(group(name, label, self._into))
        self._into = []

    def _title(self, table: Table) -> None:
        words = f"{HEADING}: {table.title}" if table.title else HEADING
        self._y += TITLE * self._look.size
        self._say([words], 0.0, self._y, TITLE, bold=True, is_name=True)
        self._y += 1.6 * self._look.size
        small = SMALL * self._look.size
        rows = wrapped(lies_text(table), self._right, small)
        self._say(rows, 0.0, self._y, SMALL)
        self._y += (len(rows) - 1) * LINE_HEIGHT * small
        self._right = max(self._right, line_width(words, TITLE * self._look.size, bold=True))

    def _material(self, table: Table, material: str) -> None:
        """Write the table of one material."""
        size, entries = self._look.size, shown(table, material)
        columns = columns_of(entries)
        rows = list(dict.fromkeys(entry.cell.sizes for entry in entries))
        ends = _column_ends(table, entries, columns, rows, size)
        self._right = max(self._right, ends[-1])
        self._y += 2.4 * size
        self._say([material_title(material)], 0.0, self._y, 1.15, bold=True)
        self._heads(table, columns, ends)
        for one in groups_of(entries, table.options):
            self._group(one.title, ends)
            for row in rows:
                self._row(row, [one.entry(row, column) for column in columns], ends)

    def _heads(self, table: Table, columns: Sequence[Column], ends: Sequence[float]) -> None:
        size, has_kinds = self._look.size, any(column.has_design for column in columns)
        self._y += 0.5 * size
        base = self._y + 1.2 * size
        self._say(["Size"], 0.0, base, 1.0, bold=True)
        for column, end in zip(columns, ends[1:], strict=True):
            self._say([width_text(column.width)], end, base, 1.0, anchor="end", bold=True)
            usable = bracket_text(column.width, table.options)
            kind = [WITH_DESIGN if column.has_design else PLAIN] if has_kinds else []
            self._say([usable, *kind], end, base + 1.1 * size, SMALL, anchor="end")
        self._y += (ROW_HEIGHT + (1.0 if has_kinds else 0.0)) * size
        self._rule(ends[-1], RULE)

    def _group(self, words: str, ends: Sequence[float]) -> None:
        self._say([words], 0.0, self._y + 1.35 * self._look.size, 0.9, bold=True)
        self._y += GROUP_HEIGHT * self._look.size
        self._rule(ends[-1], THIN)

    def _row(self, row: SizeSet, entries: Sequence[Entry | None], ends: Sequence[float]) -> None:
        base = self._y + 1.25 * self._look.size
        self._say([row.title], 0.0, base, 1.0)
        for entry, end in zip(entries, ends[1:], strict=True):
            own, below = _words(entry)
            self._say([own], end, base, 1.0, anchor="end")
            if below:
                self._say(below, end, base + 1.1 * self._look.size, SMALL, anchor="end")
        most = max(len(_words(entry)[1]) for entry in entries)
        self._y += (ROW_HEIGHT + SMALL * LINE_HEIGHT * max(most - 1, 0)) * self._look.size
        self._rule(ends[-1], THIN)

    def _notes(self, table: Table) -> None:
        """Write what has to be known, in rows no wider than the table."""
        size = SMALL * self._look.size
        lines = (
            *notes(table)[1:],  # the first stands under the title
            *jump_texts(table),
            *pattern_notes(table),
            *CAUTIONS,
            f"{FOR_PUBLISHER}: {' '.join(publisher_notes(table))}",
        )
        rows = [row for line in lines for row in wrapped(line, self._right, size)]
        self._y += 1.6 * self._look.size
        self._say(rows, 0.0, self._y, SMALL)
        self._y += (len(rows) - 1) * LINE_HEIGHT * size + 0.5 * size

    def _say(
        self,
        lines: Sequence[str],
        x: float,
        baseline: float,
        size: float,
        *,
        anchor: Anchor = "start",
        bold: bool = False,
        is_name: bool = False,
    ) -> None:
        look = self._look
        told = lines if is_name else [written(line, self._locale) for line in lines]
        self._into.append(
            text(
                told,
                x,
                baseline,
                size * look.size,
                anchor=anchor,
                bold=bold,
                colour=look.colour,
                family=look.family,
            )
        )

    def _rule(self, end: float, width: float) -> None:
        look = style(line_look(self._look.colour, width * self._look.size))
        line = path_data(((0.0, self._y), (end, self._y)), closed=False)
        self._into.append(element("path", {"d": line, "style": look}))


def _words(entry: Entry | None) -> tuple[str, list[str]]:
    """Return the first line of a cell, and the small ones below it."""
    if entry is None:
        return NOTHING, []
    own, other = lengths_text(entry)
    return own + marks_text(entry), [line for line in (other, cost_text(entry)) if line]


def _column_ends(
    table: Table,
    entries: Sequence[Entry],
    columns: Sequence[Column],
    rows: Sequence[SizeSet],
    size: float,
) -> list[float]:
    """Return where each column ends, mm: that of the sizes, then one for each width."""
    names = ["Size", *(row.title for row in rows)]
    ends = [max(line_width(name, size, bold=True) for name in names) + PAD * size]
    for column in columns:
        lines = [_words(entry) for entry in entries if column_of(entry) == column]
        head = [bracket_text(column.width, table.options)]
        lines.append(
            (width_text(column.width), [*head, WITH_DESIGN] if column.has_design else head)
        )
        widest = max(
            max(
                [
                    line_width(own, size, bold=True),
                    *(line_width(one, SMALL * size) for one in below),
                ]
            )
            for own, below in lines
        )
        ends.append(ends[-1] + widest + 2.0 * PAD * size)
    return ends
