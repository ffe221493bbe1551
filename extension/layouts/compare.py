# SPDX-License-Identifier: GPL-2.0-or-later
"""Several layouts of a drawing side by side: width, length, use of the cloth, settings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extension.job.options import LayOutOptions
from extension.language.rounding import buy_text, length_text, small_text
from extension.language.spreads import spread_name
from extension.layouts.layers import LayoutLayer
from nesting.model import LaidSection

HEAD = ("layout", "width", "needs", "buy", "used", "parts", "nap", "gap", "cut from", "check")
LIES = "cloth"
"""The column that tells how the cloth lies, where it does not lie open everywhere."""
_RIGHT = ("width", "needs", "used", "gap")
"""Columns of figures, set to the right on the terminal."""

Table = tuple[tuple[str, ...], ...]


@dataclass(frozen=True, eq=False, slots=True)
class Row:
    """One layout as it lies now; `length` in mm, `used` the share of the cloth, 0 to 1."""

    layer: LayoutLayer
    length: float
    used: float
    parts: int
    expected: int
    faults: int
    left_over: int = 0


def table(rows: Sequence[Row]) -> Table:
    """Return the layouts as cells of text, the head first."""
    cells = (HEAD, *(_cells(row) for row in rows))
    if not any(row.layer.sections for row in rows):
        return cells
    lies = (LIES, *(_lies(row.layer) for row in rows))
    return tuple((*row[:2], how, *row[2:]) for row, how in zip(cells, lies, strict=True))


def aligned(cells: Table) -> tuple[str, ...]:
    """Return a table as lines of text with straight columns."""
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    right = [name in _RIGHT for name in cells[0]]
    return tuple(
        "  ".join(
            cell.rjust(width) if is_right else cell.ljust(width)
            for cell, width, is_right in zip(row, widths, right, strict=True)
        ).rstrip()
        for row in cells
    )


def _cells(row: Row) -> tuple[str, ...]:
    """Return one layout as cells."""
    options = row.layer.options
    bought = options.bought(row.length)
    return (
        row.layer.name,
        small_text(options.usable_width, options.system),
        length_text(row.length, options.system),
        buy_text(bought),
        f"{row.used:.1%}",
        f"{row.parts} of {row.expected}"
        + (f", {row.left_over} left over" if row.left_over else ""),
        "with" if options.nap else "without",
        small_text(options.gap, options.system),
        _what(options),
        "clean" if not row.faults else f"{row.faults} fault{'s' if row.faults > 1 else ''}",
    )


def _what(options: LayOutOptions) -> str:
    """Return material, sizes and garments of a layout."""
    sizes = ", ".join(f"{size} × {count}" for size, count in options.sizes)
    return f"{options.material}, {sizes or f'{options.garments} ×'}"


def _lies(layer: LayoutLayer) -> str:
    """Return how the cloth of a layout lies: `folded lengthwise, then open`."""
    options = layer.options
    used = [one for one in layer.sections if one.length > 0.0] or [LaidSection()]
    names = [spread_name(one, options.usable_width, options.system) for one in used]
    return ", then ".join(names)
