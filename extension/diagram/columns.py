# SPDX-License-Identifier: GPL-2.0-or-later
"""How wide the columns of a table are, so that no word leaves its own."""

from __future__ import annotations

from extension.diagram.section import Table
from extension.drawn.lettering import line_width

PAD = 1.6
"""mm between the edge of a column and its words."""
_NARROWEST = 8.0


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
