# SPDX-License-Identifier: GPL-2.0-or-later
"""The rows of one material in groups: with nap and without, and how the cloth lies where told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from extension.language.words import begun
from extension.requirements_table.cells import Cell, nap_text
from extension.requirements_table.matching import Column, column_of
from extension.requirements_table.options import TableOptions
from extension.requirements_table.sizes import SizeSet
from extension.requirements_table.table import Entry


@dataclass(frozen=True, eq=False, slots=True)
class Group:
    """Some rows under a heading, and what stands in them."""

    title: str
    rows: tuple[SizeSet, ...]
    known: Mapping[tuple[SizeSet, Column], Entry]

    def entry(self, row: SizeSet, column: Column) -> Entry | None:
        """Return what is known of a row on the cloth of a column."""
        return self.known.get((row, column))


def groups_of(entries: Sequence[Entry], options: TableOptions) -> list[Group]:
    """Return the groups of the entries of one material, in order.

    Where open and folded cloth are told each by itself, a row of which nothing can be cut double
    needs on folded cloth what it needs on open cloth.
    """
    rows = tuple(dict.fromkeys(entry.cell.sizes for entry in entries))
    is_each = any(options.shows_each(entry.cell.material) for entry in entries)
    made = []
    for nap in dict.fromkeys(entry.cell.nap for entry in entries):
        own = [entry for entry in entries if entry.cell.nap == nap]
        ways = list(dict.fromkeys(entry.cell.spread for entry in own)) if is_each else [""]
        for way in ways:
            told = [one for one in own if not is_each or _is_told(one.cell, way)]
            last = sorted(told, key=lambda one: one.cell.spread == way)
            known = {(one.cell.sizes, column_of(one)): one for one in last}
            title = f"{begun(nap_text(nap))}{_LIES[way] if len(ways) > 1 else ''}"
            made.append(Group(title, rows, known))
    return made


def _is_told(cell: Cell, way: str) -> bool:
    """Return whether a cell may stand in a group of cloth that lies in a way.

    On open cloth what is plain, but not a design, which may be one that cannot be folded.
    """
    return cell.spread == way or (cell.spread == "open" and cell.design is None)


_LIES = {"open": ", cloth open", "lengthwise": ", cloth folded lengthwise"}
