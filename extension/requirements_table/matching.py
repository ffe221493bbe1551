# SPDX-License-Identifier: GPL-2.0-or-later
"""What a table says of cloth with a design: what it is, and what matching costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from extension.job.design import design_text
from extension.job.folded_design import not_double_text
from extension.job.matched import COST_NOT_TRIED, RULES
from extension.language.rounding import less_text
from extension.language.words import begun
from extension.requirements_table.cells import Cell
from extension.requirements_table.designs import TypedDesign
from extension.requirements_table.options import Width
from extension.requirements_table.table import Entry, Table
from nesting.cloth.repeats import has_match
from nesting.model import OPEN

PLAIN, WITH_DESIGN = "plain", "with the design"
"""How the two columns of a width are called."""
ADDED = (
    "With the design one repeat along the cloth is added to each length: a cut end may fall "
    "anywhere in it, and the cloth is trimmed to a dominant line."
)
ONE_WAY = (
    "The design is uneven and has one way up, so there is no length with it in the rows without "
    "nap."
)
OPEN_ALONE = (
    "An uneven design would run the other way on the upper layer of folded cloth: lengths with it "
    "are for cloth that lies open."
)
FOLD_ON_LINE = (
    "With the design a fold of the cloth lies on a dominant line or midway, so that both layers "
    "show it alike, as near to where it is asked as may be."
)
FOLD_ON_ROWS = (
    "With the half-drop a fold of the cloth lies on a dominant line, so that both layers show it "
    "alike, as near to where it is asked as may be."
)


@dataclass(frozen=True, slots=True)
class Column:
    """A column of the table: a width, on plain cloth or with the design."""

    width: Width
    has_design: bool


def column_of(entry: Entry) -> Column:
    """Return the column in which an entry stands."""
    return Column(entry.cell.width, entry.cell.design is not None)


def columns_of(entries: Sequence[Entry]) -> list[Column]:
    """Return the columns of a material: each width, plain first where it has a design as well."""
    found = dict.fromkeys(column_of(entry) for entry in entries)
    order = list(dict.fromkeys(column.width for column in found))
    return sorted(found, key=lambda column: (order.index(column.width), column.has_design))


def design_in(table: Table, material: str) -> TypedDesign | None:
    """Return the design of a material, None where its cloth is plain."""
    found = (entry.cell.design for entry in table.every if entry.cell.material == material)
    return next((design for design in found if design is not None), None)


def has_design(table: Table) -> bool:
    """Return whether any cloth of a table has a design."""
    return any(entry.cell.design is not None for entry in table.every)


def cloth_text(table: Table, cell: Cell) -> str:
    """Return whether a cell is of plain cloth or with the design; "" where no cloth has one."""
    if design_in(table, cell.material) is None:
        return ""
    return PLAIN if cell.design is None else WITH_DESIGN


def plain_beside(table: Table, entry: Entry) -> Entry | None:
    """Return the entry on plain cloth that lies in the same way; None where there is none."""
    wanted = replace(entry.cell, design=None)
    if entry.cell.design is None:
        return None
    return next((one for one in table.every if one.cell == wanted), None)


def costs_more(table: Table, entry: Entry) -> float | None:
    """Return how many mm more a layout with the design takes than on plain cloth, None if unknown.

    On the same cloth, lying in the same way.
    """
    plain = plain_beside(table, entry)
    if plain is None or plain.layout is None or entry.layout is None:
        return None
    return max(0.0, entry.layout.length - plain.layout.length)


def design_notes(table: Table) -> list[str]:
    """Return what has to be known of the design, and what matching costs; none on plain cloth."""
    found = [design_notes_of(table, name) for name in table.materials]
    notes = [line for lines in found for line in lines]
    return list(dict.fromkeys([*notes, RULES])) if notes else []


def design_notes_of(table: Table, material: str) -> list[str]:
    """Return what is said of the design of one material."""
    design = design_in(table, material)
    if design is None:
        return []
    first = next(entry for entry in table.every if entry.cell.design == design)
    options = first.planned.options
    words = design_text(design.of_cloth, options.kept_off, options.system)
    many = sum(design_in(table, name) is not None for name in table.materials) > 1
    whose = f"{begun(material)}: " if many else ""
    return [
        f"{whose}{words}",
        *_lies_notes(table, material, design),
        *([ADDED] if design.of_cloth.along else []),
        *_cost_notes(table, material, whose),
    ]


def _lies_notes(table: Table, material: str, design: TypedDesign) -> list[str]:
    """Return what the design means for the nap and for how the cloth lies."""
    spreads, repeat = table.options.spreads_of(material), design.of_cloth
    notes = [ONE_WAY] if design.has_one_way_up and False in table.options.naps_of(material) else []
    if design.uneven and len(spreads) > 1:
        return [*notes, OPEN_ALONE]
    cloths = [
        entry.planned.job.fabric
        for entry in table.every
        if entry.cell.material == material and entry.cell.design == design
    ]
    singly = dict.fromkeys(
        line for one in cloths for line in not_double_text(one.sections, repeat, one.width)
    )
    if singly:
        return [*notes, *singly]
    if repeat.across and any(one.sections != (OPEN,) for one in cloths):
        notes.append(FOLD_ON_ROWS if repeat.half_drop else FOLD_ON_LINE)
    return notes


def _cost_notes(table: Table, material: str, whose: str) -> list[str]:
    """Return what matching costs over the lengths of a material, least and most."""
    entries = [
        entry
        for entry in table.every
        if entry.cell.material == material and entry.cell.design is not None
    ]
    matched = [one for one in entries if has_match(one.planned.job.fabric, one.planned.job.pieces)]
    if not matched:
        return []  # the plan says that no piece has a match point
    known = [(more, entry) for entry in matched if (more := costs_more(table, entry)) is not None]
    if not known:
        return [f"{whose}{COST_NOT_TRIED}"]
    known.sort(key=lambda one: one[0])
    least, most = (_more_text(table, entry) for _, entry in (known[0], known[-1]))
    ends = list(dict.fromkeys((least, most)))
    amount = ends[0] if len(ends) == 1 else f"from {ends[0]} to {ends[1]}"
    return [
        f"{whose}What matching takes more than plain cloth that lies alike, as far as was found: "
        f"{amount}, before anything is added or rounded; the web page and the spreadsheet "
        "tell it for each length."
    ]


def _more_text(table: Table, entry: Entry) -> str:
    """Return what matching costs in an entry: `12 cm (8 %)`, `nothing`."""
    plain = plain_beside(table, entry)
    assert plain is not None
    assert plain.layout is not None
    assert entry.layout is not None
    long, short = entry.layout.length, plain.layout.length
    more = less_text(long, short, entry.cell.width.system)
    share = 100.0 * (long / short - 1.0)
    return f"{more} ({max(share, 1.0):.0f} %)" if more else "nothing"


def more_text(table: Table, entry: Entry) -> str:
    """Return what matching costs in one length as the tape measure reads it, "" if not known."""
    if costs_more(table, entry) is None:
        return ""
    return _more_text(table, entry)
