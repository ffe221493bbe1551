# SPDX-License-Identifier: GPL-2.0-or-later
"""What a table says in words: on the page, on the drawing, in the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from extension.job.edges import edges_of_pieces
from extension.job.plan import consents, uncertain_tops
from extension.job.summary import left_out_text
from extension.language.rounding import (
    INCH,
    Purchase,
    metric_text,
    round_up,
    share_text,
    small_text,
    yard_text,
)
from extension.language.spreads import sides_text, spread_name
from extension.language.units import System
from extension.language.words import begun, listed
from extension.pieces.model import DrawnPiece
from extension.requirements_table.bordered import border_notes
from extension.requirements_table.cells import Cell, nap_text
from extension.requirements_table.matching import cloth_text, design_in, design_notes
from extension.requirements_table.merging import shown
from extension.requirements_table.options import TableOptions, Width
from extension.requirements_table.prices import cost_text, price_notes
from extension.requirements_table.table import Entry, Jump, Table
from extension.svg.model import LeftOut

SINGLE_LAYER = "Single layer, cloth open, right side up; cutting on folded cloth may need more."
BOTH_WAYS = (
    "Enough for cloth that lies open in one layer, right side up, and for cloth folded lengthwise: "
    "each length is the longer of the two."
)
EACH_WAY = (
    "For cloth that lies open in one layer, right side up, and for cloth folded lengthwise, each "
    "by itself."
)
"""How the cloth lies stands with every table."""
RAISED, JUMPS, ROUGH, NOTHING = "†", "*", "~", "–"
"""What marks a length: raised to that of a smaller size, much less than on narrower cloth, rough;
none."""
ROUGH_CELL = "Rough: more time may well make it shorter."

_STEPS = {
    "1/8yd": "10 cm and 1/8 yd",
    "10cm": "10 cm and 1/8 yd",
    "5cm": "5 cm and 1/8 yd",
    "none": "whole centimetres and hundredths of a yard",
}
_OTHERS = ("other size", "other material")
"""Reasons for which a piece is not in one cell but may well be in another."""


def material_title(name: str) -> str:
    """Return the heading of a material: `Main fabric`, `Lining`."""
    return "Main fabric" if name == "main" else name[0].upper() + name[1:]


def width_text(width: Width) -> str:
    """Return a width as typed, in its own unit: `140 cm`, `45 in`; several as `140 to 145 cm`."""
    told = small_text(width.typed, width.system)
    if not width.upto:
        return told
    number, _, unit = told.rpartition(" ")
    most = small_text(width.upto, width.system)
    return f"{number if most.endswith(f' {unit}') else told} to {most}"


def usable_text(width: Width, options: TableOptions) -> str:
    """Return what is left of a width between the selvedges."""
    return small_text(options.usable_of(width), width.system)


def bracket_text(width: Width, options: TableOptions) -> str:
    """Return in brackets what is left of a width, nothing where that is all of it."""
    differs = options.selvedge_of(width) or options.base.shrinkage_across
    return f"({usable_text(width, options)})" if differs else ""


def lengths_text(entry: Entry) -> tuple[str, str]:
    """Return the lengths to buy in metres and in yards, the cloth's own system first."""
    if entry.bought is None:
        return NOTHING, ""
    return _both(entry.bought, entry.cell.width.system)


def length_text(entry: Entry) -> str:
    """Return all that stands in a cell in one line: `1.90 m / 2 1/8 yd† – 23.75 EUR`."""
    lengths = " / ".join(filter(None, lengths_text(entry)))
    return " – ".join(filter(None, (f"{lengths}{marks_text(entry)}", cost_text(entry))))


def marks_text(entry: Entry) -> str:
    """Return the marks of a length that the notes explain."""
    marks = ((JUMPS, entry.jumps), (RAISED, entry.raised_from), (ROUGH, entry.is_rough))
    return "".join(mark for mark, holds in marks if holds)


def lies_text(table: Table) -> str:
    """Return how the cloth of a table lies, of each material where they differ."""
    ways: dict[str, list[str]] = {}
    for name in table.materials:
        ways.setdefault(lies_of(table, name), []).append(name)
    if len(ways) == 1:
        return next(iter(ways))
    return " ".join(f"{begun(listed(names, 12))}: {words}" for words, names in ways.items())


def lies_of(table: Table, name: str) -> str:
    """Return how the cloth of one material lies."""
    spreads = table.options.spreads_of(name)
    if len(spreads) > 1:
        return EACH_WAY if table.options.shows_each(name) else BOTH_WAYS
    if spreads == ("open",):
        return SINGLE_LAYER
    entry = next(entry for entry in table.every if entry.cell.material == name)
    fabric = entry.planned.job.fabric
    folded, system = fabric.sections[0], entry.cell.width.system
    words = f"{spread_name(folded, fabric.width, system)}, {sides_text(folded, fabric.sides)}"
    return (
        f"Cloth {words}; what cannot be cut double lies on open cloth behind it. Cutting in one "
        "layer may need less."
    )


def notes(table: Table) -> tuple[str, ...]:
    """Return what has to be known to use the table, the most important first."""
    return (
        lies_text(table),
        *_less_open_notes(table),
        *design_notes(table),
        *border_notes(table),
        *rough_notes(table),
        *_width_notes(table),
        *_merged_notes(table),
        *_length_notes(table),
        *price_notes(table),
        *_nap_notes(table),
        *_mark_notes(table),
        *_hole_notes(table),
    )


def _less_open_notes(table: Table) -> list[str]:
    """Return how many lengths would be less on open cloth, where folded cloth needs more."""
    both = [entry for entry in table.entries if entry.ways and entry.bought is not None]
    less = sum(
        min(_bought(way) for way in entry.ways) < _bought(entry)
        for entry in both
        if entry.cell.spread != "open"
    )
    if not less:
        return []
    return [
        f"Laid open, {less} of {len(both)} lengths would be less; the spreadsheet (CSV) has both."
    ]


def _bought(entry: Entry) -> Fraction:
    """Return what is to be bought for an entry that was worked out, mm."""
    assert entry.bought is not None
    return entry.bought.metric


def rough_notes(table: Table) -> list[str]:
    """Return how many lengths are rough; nothing when none is."""
    laid = [entry for entry in table.entries if entry.layout is not None]
    rough = [entry for entry in laid if entry.is_rough]
    if not rough:
        return []
    which = (
        "All lengths are" if len(rough) == len(laid) else f"{len(rough)} of {len(laid)} lengths are"
    )
    return [f"{ROUGH} {which if len(laid) > 1 else 'The length is'} rough: less cloth may well do."]


def jump_texts(table: Table) -> list[str]:
    """Return where the lengths of rows jump, on open cloth where it lies folded as well."""
    return [
        jump_text(jump, is_one_of_two=len(table.options.spreads_of(jump.cell.material)) > 1)
        for jump in table.jumps
    ]


def jump_text(jump: Jump, *, is_one_of_two: bool = False) -> str:
    """Return where the length of a row jumps."""
    system = jump.cell.width.system
    before, after = (" / ".join(_both(each, system)) for each in (jump.before, jump.after))
    found = "" if jump.proven else ", as far as was found,"
    open_cloth = ", open cloth" if is_one_of_two else ""
    return (
        f"{_cell_title(jump.cell)}{open_cloth}: {before}{found} on cloth "
        f"{width_text(jump.narrow)} wide; "
        f"{after} is enough from {_up(jump.enough_from, system)} on."
    )


def pattern_notes(table: Table) -> tuple[str, ...]:
    """Return what was read of the pattern that bears on the lengths."""
    pieces = _pieces(table)
    left = {
        each.object_id: each
        for reading in table.readings.values()
        for each in reading.left_out
        if each.reason not in _OTHERS
    }
    remarks = [note for reading in table.readings.values() for note in reading.notes]
    remarks += [
        note
        for entry in table.entries
        # On plain cloth beside it match points are not used, but that is what is compared.
        if entry.cell.design == design_in(table, entry.cell.material)
        for note in entry.planned.plan.notes
    ]
    allowed = [note for entry in table.entries for note in consents(entry.planned.plan)]
    return (
        _allowance_note(pieces, table),
        f"Gap between pieces {small_text(table.options.base.gap, table.options.system)}.",
        *_left_out_notes(list(left.values())),
        *_top_notes(table),
        *dict.fromkeys(allowed),
        *dict.fromkeys(remarks),
    )


def rows_text(table: Table) -> list[str]:
    """Return the table as plain lines for a terminal."""
    lines = []
    for entry in (one for name in table.materials for one in shown(table, name)):
        cloth = cloth_text(table, entry.cell)
        title = ", ".join(filter(None, (_row_title(entry.cell, table.options), cloth)))
        words = f"{title}, {width_text(entry.cell.width)} wide: "
        lines.append(words + (entry.why_not or length_text(entry)))
    return lines


def _both(bought: Purchase, system: System) -> tuple[str, str]:
    """Return a length to buy in metres and in yards, the person's own system first."""
    metric, yards = metric_text(bought.metric), yard_text(bought.yards)
    return (metric, yards) if system == "metric" else (yards, metric)


def _cell_title(cell: Cell) -> str:
    """Return what a sentence calls a row."""
    size = f"Size {cell.sizes.title}" if cell.sizes.garments else "One size"
    return f"{size}, {cell.material}, {nap_text(cell.nap)}"


def _row_title(cell: Cell, options: TableOptions) -> str:
    """Return what a line calls a row: how the cloth lies as well, where each way is shown."""
    lies = f", {cell.spread}" if options.shows_each(cell.material) else ""
    return f"{_cell_title(cell)}{lies}"


def _width_notes(table: Table) -> list[str]:
    """Return what the widths mean."""
    widths = _widths(table)
    lost = table.options.base.shrinkage_across
    washed = f"; {share_text(lost)} of the width is lost in the wash" if lost else ""
    used = ", and the width in brackets is what is used."
    if not any(table.options.selvedge_of(width) for width in widths):
        if washed:
            return [f"Widths are between the selvedges{washed}{used}"]
        return ["Widths are between the selvedges: nothing was taken off."]
    off = {small_text(table.options.selvedge_of(width), width.system): None for width in widths}
    return [
        f"Widths are as on the bolt: {' or '.join(off)} of selvedge comes off each side"
        f"{washed}{used}"
    ]


def _merged_notes(table: Table) -> list[str]:
    """Return what a column of several widths means."""
    if not any(one.cell.width.upto for name in table.materials for one in shown(table, name)):
        return []
    return ["Several widths in one column: the length is enough on each of them."]


def _length_notes(table: Table) -> list[str]:
    """Return what was added to the lengths."""
    options, base, widths = table.options, table.options.base, _widths(table)
    steps = {_STEPS[options.step_of(width)]: None for width in widths}
    ends = small_text(options.ends, options.system)
    added = f"{ends} in all for uneven ends" if options.ends else ""
    shrunk = f"{share_text(base.shrinkage)} lost in the wash" if base.shrinkage else ""
    what = " and ".join(filter(None, (added, shrunk))) or "nothing for uneven ends"
    return [f"Lengths include {what}, and are rounded up to {' or '.join(steps)}."]


def _nap_notes(table: Table) -> list[str]:
    """Return what the words about the nap mean."""
    naps = {entry.cell.nap for entry in table.entries}
    told = {
        True: "With nap: pile, shading or a one-way print, all tops lie one way.",
        False: "Without nap: pieces may lie head to foot.",
    }
    return [told[nap] for nap in (True, False) if nap in naps]


def _mark_notes(table: Table) -> list[str]:
    """Return what the marks mean, those that occur."""
    notes = []
    if any(jump.proven for jump in table.jumps):
        notes.append(
            f"{JUMPS} Much less than on the next narrower cloth, where so little can never be "
            "enough."
        )
    if any(not jump.proven for jump in table.jumps):
        notes.append(
            f"{JUMPS} Much less than was found on the next narrower cloth, where the search was as "
            "long as for a single layout, and this arrangement was tried."
        )
    if any(entry.raised_from for entry in table.entries):
        notes.append(
            f"{RAISED} Raised to the length of a smaller size, which came out longer; this size "
            "can be cut from less."
        )
    return notes


def _hole_notes(table: Table) -> list[str]:
    """Return why lengths are missing, and which materials are."""
    notes = [f"{NOTHING} {why}" for why in dict.fromkeys(e.why_not for e in table.entries) if why]
    if table.missing:
        notes.append(
            f"Not in this table, for want of a width: {listed(list(table.missing), most=12)}."
        )
    return notes


def _allowance_note(pieces: Sequence[DrawnPiece], table: Table) -> str:
    """Return what was done about seam allowance."""
    amounts = sorted({piece.allowance for piece in pieces})
    words = [small_text(amount, table.options.system) for amount in amounts if amount]
    edges = edges_of_pieces(pieces, table.options.system)
    if not words:
        added = f", but added: {edges}" if edges else ""
        return f"Seam allowance: included in the drawing{added}."
    rest = "; on some pieces it is included in the drawing" if 0.0 in amounts else ""
    own = f"; {edges}" if edges else ""
    return f"Seam allowance: {listed(words)} added on every edge but the fold{rest}{own}."


def _left_out_notes(left: Sequence[LeftOut]) -> list[str]:
    return [f"Not counted: {left_out_text(left)}."] if left else []


def _top_notes(table: Table) -> list[str]:
    """Return the pieces whose top is not certain, where it matters."""
    names = [name for entry in table.entries for name in uncertain_tops(entry.planned.plan)]
    if not names:
        return []
    return [
        f"Top not certain: {listed(list(dict.fromkeys(names)), most=12)}. With nap the lengths "
        "hold only if it was read rightly."
    ]


def _pieces(table: Table) -> list[DrawnPiece]:
    """Return all pieces that were read, each once."""
    read = [piece for reading in table.readings.values() for piece in reading.pieces]
    return list({piece.id: piece for piece in read}.values())


def _widths(table: Table) -> list[Width]:
    """Return the widths of the table, one of each system that occurs is enough."""
    return list({entry.cell.width.system: entry.cell.width for entry in table.entries}.values())


def _up(width: float, system: System) -> str:
    """Return a width rounded up to whole centimetres or eighths of an inch."""
    step = Fraction(10) if system == "metric" else INCH / 8
    return small_text(float(round_up(width, step)), system)
