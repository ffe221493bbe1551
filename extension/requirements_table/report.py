# SPDX-License-Identifier: GPL-2.0-or-later
"""The table as plain values for JSON: every length, and the rows and columns as they are shown.

A cell names the length that stands in it by its place among all lengths, so that whatever is
printed can be followed back to the layout behind it. Numbers are in mm, whatever they are written
in on page and text.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from extension.job.report import purchase_values
from extension.language.cautions import CAUTIONS
from extension.language.rounding import buy_text
from extension.requirements_table.cells import Cell
from extension.requirements_table.groups import Group, groups_of
from extension.requirements_table.matching import Column, columns_of, costs_more, design_in
from extension.requirements_table.merging import shown
from extension.requirements_table.options import TableOptions, replay_text
from extension.requirements_table.prices import Total, cost_text, price_text, totals_of
from extension.requirements_table.publisher import publisher_notes
from extension.requirements_table.sentences import (
    jump_texts,
    lies_of,
    marks_text,
    material_title,
    notes,
    pattern_notes,
    width_text,
)
from extension.requirements_table.sizes import SizeSet
from extension.requirements_table.table import Entry, Jump, Table
from nesting import ENGINE

FORMAT, VERSION = "thriftlay-requirements", 1

_Values = dict[str, Any]


def report_of(table: Table) -> _Values:
    """Return the report of a table."""
    numbers = {id(one.planned.job): number for number, one in enumerate(table.every)}
    return {
        "format": FORMAT,
        "version": VERSION,
        "title": table.title,
        "options": _options(table.options),
        "materials": [_material(table, name, numbers) for name in table.materials],
        "lengths": [_length(table, entry) for entry in table.every],
        "totals": [_total(one, numbers) for one in totals_of(table)],
        "jumps": [
            _jump(table, jump, words)
            for jump, words in zip(table.jumps, jump_texts(table), strict=True)
        ],
        "missing": list(table.missing),
        "notes": list(notes(table)),
        "pattern": list(pattern_notes(table)),
        "for_publisher": list(publisher_notes(table)),
        "cautions": list(CAUTIONS),
        "seed": table.options.base.seed,
        "engine": ENGINE,
        "replay": replay_text([one.rounds for one in table.every if not one.planned.why_not]),
    }


def _options(options: TableOptions) -> _Values:
    """Return what was asked for and is the same for every length."""
    base = options.base
    return {
        "width_is": base.width_is,
        "gap_mm": base.gap,
        "allowance_mm": base.allowance,
        "end_allowance_mm": options.ends,
        "shrinkage": base.shrinkage,
        "shrinkage_across": base.shrinkage_across,
        "merge_widths_mm": options.merge_widths,
        "raise_sizes": options.raise_sizes,
    }


def _material(table: Table, name: str, numbers: Mapping[int, int]) -> _Values:
    """Return the table of one material, as it is shown."""
    entries = shown(table, name)
    columns = columns_of(entries)
    groups = groups_of(entries, table.options)
    return {
        "material": name,
        "title": material_title(name),
        "lies": lies_of(table, name),
        "price_text": price_text(table, name) or None,
        "has_design": design_in(table, name) is not None,
        "columns": [_column(one, table.options) for one in columns],
        "groups": [_group(one, columns, numbers) for one in groups],
    }


def _column(column: Column, options: TableOptions) -> _Values:
    """Return a column: the width, or the widths, that stand over it."""
    width = column.width
    return {
        "width_mm": width.typed,
        "upto_mm": width.upto or width.typed,
        "usable_mm": options.usable_of(width),
        "text": width_text(width),
        "design": column.has_design,
    }


def _group(group: Group, columns: Sequence[Column], numbers: Mapping[int, int]) -> _Values:
    """Return some rows under a heading."""
    rows = [
        {"size": row.title, "cells": [_cell(group.entry(row, one), numbers) for one in columns]}
        for row in group.rows
    ]
    return {"title": group.title, "rows": rows}


def _cell(entry: Entry | None, numbers: Mapping[int, int]) -> _Values | None:
    """Return what stands in a cell, and of which length; None where nothing is known."""
    if entry is None:
        return None
    return {
        "length": numbers[id(entry.planned.job)],
        "text": None if entry.bought is None else buy_text(entry.bought),
        "marks": marks_text(entry),
        "cost_text": cost_text(entry) or None,
    }


def _length(table: Table, entry: Entry) -> _Values:
    """Return one length with what is behind it."""
    cell, layout, bought = entry.cell, entry.layout, entry.bought
    options = entry.planned.options
    return {
        "size": cell.sizes.title,
        "garments": _garments(cell.sizes),
        "material": cell.material,
        "width_mm": cell.width.typed,
        "system": cell.width.system,
        "usable_mm": options.usable_width,
        "nap": cell.nap,
        "spread": cell.spread,
        "design": cell.design is not None,
        "layout_mm": None if layout is None else layout.length,
        "lower_bound_mm": None if layout is None else layout.lower_bound,
        "utilisation": None if layout is None else layout.utilisation,
        "buy": None if bought is None else purchase_values(bought, options),
        "raised_from": entry.raised_from.title if entry.raised_from else None,
        "matching_mm": costs_more(table, entry),
        "jumps": entry.jumps,
        "rough": entry.is_rough,
        "rounds": entry.rounds,
        "rounds_wanted": entry.wanted,
        "finished": entry.finished,
        "why_not": entry.why_not or None,
    }


def _garments(sizes: SizeSet) -> list[_Values]:
    return [{"size": size, "count": count} for size, count in sizes.garments]


def _total(total: Total, numbers: Mapping[int, int]) -> _Values:
    """Return what one size costs in all, and of which lengths."""
    return {
        "size": total.sizes.title,
        "nap": total.nap,
        "text": total.text,
        "lengths": [numbers[id(one.planned.job)] for one in total.entries],
        "without": list(total.without),
    }


def _jump(table: Table, jump: Jump, words: str) -> _Values:
    """Return where the length of a row jumps, and between which lengths."""
    narrow = replace(jump.cell, width=jump.narrow)
    return {
        "length": _number(table, jump.cell),
        "narrow_length": _number(table, narrow),
        "enough_from_mm": jump.enough_from,
        "proven": jump.proven,
        "text": words,
    }


def _number(table: Table, cell: Cell) -> int:
    """Return the place of a length among all."""
    return next(number for number, one in enumerate(table.every) if one.cell == cell)
