# SPDX-License-Identifier: GPL-2.0-or-later
"""Text broken into columns that no word can leave, however long it is."""

from __future__ import annotations

from collections.abc import Iterator

from extension.diagram.section import Table
from extension.drawn.lettering import line_width

PAD = 1.6
"""mm between the edge of a column and its words."""
_NARROWEST = 8.0


def rows_in(words: str, room: float, size: float, *, bold: bool = False) -> list[str]:
    """Return words broken into rows of at most `room` mm: at spaces, and where a word is longer.

    A character that is wider than the room still has a row of its own.
    """
    rows: list[str] = []
    for word in words.split():
        for part in _parts(word, room, size, bold):
            longer = f"{rows[-1]} {part}" if rows else part
            if rows and line_width(longer, size, bold=bold) <= room:
                rows[-1] = longer
            else:
                rows.append(part)
    return rows or [""]


def _parts(word: str, room: float, size: float, bold: bool) -> Iterator[str]:
    """Yield a word in parts that fit."""
    part = ""
    for letter in word:
        if part and line_width(part + letter, size, bold=bold) > room:
            yield part
            part = ""
        part += letter
    if part:
        yield part


def column_widths(table: Table, room: float, size: float) -> list[float]:
    """Return the widths of the columns of a table, mm: as the cells need, in all at most `room`.

    Heads are broken at spaces; where there is too little room, the widest columns give way.
    """
    wanted = [
        max(
            max((line_width(row[place], size, bold=True) for row in table.rows), default=0.0),
            max(line_width(word, size, bold=True) for word in head.split()),
            _head_room(head, size),
        )
        + 2.0 * PAD
        + 0.01
        for place, head in enumerate(table.head)
    ]
    cap = max(wanted)
    while sum(min(one, cap) for one in wanted) > room and cap > _NARROWEST:
        cap -= 0.5
    return [min(one, cap) for one in wanted]


def _head_room(head: str, size: float) -> float:
    """Return a width at which a long head takes about three rows."""
    return line_width(head, size, bold=True) / 2.5
