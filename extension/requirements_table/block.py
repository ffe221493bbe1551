# SPDX-License-Identifier: GPL-2.0-or-later
"""The table as plain text, to paste into the text of an envelope: a tab between two columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from extension.language.decimals import written
from extension.requirements_table.groups import groups_of
from extension.requirements_table.matching import Column, cloth_text, column_of, columns_of
from extension.requirements_table.merging import shown
from extension.requirements_table.sentences import (
    bracket_text,
    length_text,
    material_title,
    notes,
    width_text,
)
from extension.requirements_table.table import Entry, Table


def block_of(table: Table) -> str:
    """Return the whole table as text, each length in metres and yards, and how to read it."""
    lines = [f"{table.title}: fabric requirements" if table.title else "Fabric requirements"]
    for material in table.materials:
        lines += ["", material_title(material), *_rows(table, shown(table, material))]
    said = [*lines[1:], "", *notes(table)]
    return "\n".join([lines[0], *(written(line, table.options.locale) for line in said), ""])


def _rows(table: Table, entries: Sequence[Entry]) -> Iterator[str]:
    """Yield the rows of one material under its widths."""
    columns = columns_of(entries)
    yield "\t".join(["Size", *(_head(table, entries, one) for one in columns)])
    for group in groups_of(entries, table.options):
        yield group.title
        for row in group.rows:
            yield "\t".join([row.title, *(_length(group.entry(row, one)) for one in columns)])


def _head(table: Table, entries: Sequence[Entry], column: Column) -> str:
    """Return the head of a column: its width, and whether it is of plain cloth."""
    cell = next(one.cell for one in entries if column_of(one) == column)
    usable, kind = bracket_text(column.width, table.options), cloth_text(table, cell)
    return " ".join(filter(None, (width_text(column.width), usable, kind)))


def _length(entry: Entry | None) -> str:
    """Return what stands in a cell."""
    if entry is None:
        return "–"
    return length_text(entry)
