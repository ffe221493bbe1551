# SPDX-License-Identifier: GPL-2.0-or-later
"""Widths that are nearly the same, shown as one column: what is enough on every one of them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from extension.requirements_table.cells import Cell
from extension.requirements_table.options import Width
from extension.requirements_table.table import Entry, Table

_NOISE = 1e-6
"""mm by which widths may differ more: the computer's rounding."""


def shown(table: Table, material: str) -> tuple[Entry, ...]:
    """Return the entries of a material as they are shown, near-equal widths as one where asked."""
    options = table.options
    return merged(table.of(material), options.merge_widths, is_each=options.shows_each(material))


def merged(entries: Sequence[Entry], within: float, *, is_each: bool) -> tuple[Entry, ...]:
    """Return the entries of one material with widths at most `within` mm apart as one.

    A column then runs from the narrowest to the widest, and each of its lengths is the longest of
    theirs, which is enough on all. Widths in different units, or on which not the same rows can be
    laid, keep columns of their own. 0 merges nothing. `is_each`: each way for the cloth to lie is
    a row of its own.
    """
    if not within:
        return tuple(entries)
    found: dict[Cell, Entry] = {}
    for group in _groups(entries, within):
        wide = replace(group[0], upto=group[-1].typed if len(group) > 1 else 0.0)
        for entry in entries:
            if entry.cell.width not in group:
                continue
            cell = replace(entry.cell, width=wide)
            key = cell if is_each else replace(cell, spread="")
            if key not in found or _needs(entry) > _needs(found[key]):
                found[key] = replace(entry, planned=replace(entry.planned, cell=cell))
    return tuple(found.values())


def _groups(entries: Sequence[Entry], within: float) -> Iterator[list[Width]]:
    """Yield the widths that become one column, the narrowest first in each."""
    group: list[Width] = []
    for width in sorted({one.cell.width for one in entries}, key=lambda one: one.typed):
        if group and not _is_alike(entries, group[0], width, within):
            yield group
            group = []
        group.append(width)
    yield group


def _is_alike(entries: Sequence[Entry], narrow: Width, wide: Width, within: float) -> bool:
    """Return whether a width may share the column of a narrower one."""
    near = wide.typed - narrow.typed <= within + _NOISE and wide.system == narrow.system
    return near and _laid(entries, narrow) == _laid(entries, wide)


def _laid(entries: Sequence[Entry], width: Width) -> set[object]:
    """Return the rows that can be laid on a width."""
    return {
        (one.cell.sizes, one.cell.nap, one.cell.design)
        for one in entries
        if one.cell.width == width and one.bought is not None
    }


def _needs(entry: Entry) -> float:
    """Return what an entry needs, mm; endless where it is not known."""
    return math.inf if entry.bought is None else entry.bought.needed
