# SPDX-License-Identifier: GPL-2.0-or-later
"""The table as CSV: one line per length, for a spreadsheet or a layout program.

`needed_mm` is what the layout of that size alone needs; `buy` holds the end allowance, may be
raised to the length of a smaller size, and is rounded up. Both are of the way for the cloth to lie
that needs more, `spread`; beside them stand what open and what folded cloth need. `booked_mm` is
empty where widths were typed as measured between the selvedges. `design` is empty where no design
of the material is known; `matching_mm` is what a layout with it needs more than one on plain cloth.
`price` is of a metre or yard, in the currency as it is typed; `cost` is what the length comes to.
"""

from __future__ import annotations

import csv
import io
from fractions import Fraction

from extension.language.rounding import YARD, round_up
from extension.requirements_table.matching import cloth_text, costs_more
from extension.requirements_table.prices import cost_of, price_text
from extension.requirements_table.sentences import ROUGH_CELL, lies_of
from extension.requirements_table.table import Entry, Table
from nesting import ENGINE
from nesting.model import Layout

COLUMNS = (
    "size",
    "material",
    "booked_mm",
    "usable_mm",
    "nap",
    "needed_mm",
    "buy",
    "buy_unit",
    "utilisation",
    "spread",
    "needed_open_mm",
    "needed_folded_mm",
    "design",
    "matching_mm",
    "price",
    "cost",
    "raised_from",
    "end_allowance_mm",
    "round_up",
    "rounds",
    "seed",
    "engine",
    "note",
)
"""The first nine are the table; the others say how it came about."""


def csv_of(table: Table) -> str:
    """Return the table as CSV text, lines ending as RFC 4180 has them."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    writer.writerows(
        [*_figures(entry), *_matching(entry, table), *_cost(entry, table), *_origin(entry, table)]
        for entry in table.entries
    )
    return out.getvalue()


def _figures(entry: Entry) -> list[str]:
    cell, layout, bought = entry.cell, entry.layout, entry.bought
    options = entry.planned.options
    head = [
        cell.sizes.title,
        cell.material,
        f"{cell.width.typed:.10g}" if options.width_is == "booked" else "",
        f"{options.usable_width:.10g}",
        "with" if cell.nap else "without",
    ]
    if layout is None or bought is None:
        return [*head, "", "", "", "", *_ways(entry)]
    metric = cell.width.system == "metric"
    length = f"{float(bought.metric) / 1000:.2f}" if metric else f"{float(bought.yards / YARD):.3f}"
    needed = _needed(layout)
    return [
        *head,
        needed,
        length,
        "m" if metric else "yd",
        f"{layout.utilisation:.4f}",
        *_ways(entry),
    ]


def _ways(entry: Entry) -> list[str]:
    """Return the way for the cloth to lie that is shown, and what open and folded cloth need."""
    needed = {"open": "", "folded": ""}
    for one in entry.ways or (entry,):
        kind = "open" if one.cell.spread == "open" else "folded"
        needed[kind] = "" if one.layout is None else _needed(one.layout)
    return [entry.cell.spread if entry.layout else "", needed["open"], needed["folded"]]


def _matching(entry: Entry, table: Table) -> list[str]:
    """Return whether cloth is plain or has the design, and what matching costs there, mm."""
    more = costs_more(table, entry)
    return [cloth_text(table, entry.cell), "" if more is None else f"{more:.1f}"]


def _cost(entry: Entry, table: Table) -> list[str]:
    """Return what a metre or yard costs, as typed, and what the length to buy comes to."""
    cost = cost_of(entry)
    amount = "" if cost is None else f"{float(cost.money.amount):.2f}"
    return [price_text(table, entry.cell.material), amount]


def _needed(layout: Layout) -> str:
    """Return the length of a layout in mm, rounded up to a tenth."""
    return f"{float(round_up(layout.length, Fraction(1, 10))):.1f}"


def _origin(entry: Entry, table: Table) -> list[str]:
    bought, raised = entry.bought, entry.raised_from
    lies = lies_of(table, entry.cell.material)
    return [
        raised.title if raised else "",
        f"{bought.end_allowance:.10g}" if bought else "",
        bought.round_up if bought else "",
        str(entry.rounds) if entry.finished else "",
        str(table.options.base.seed),
        ENGINE,
        entry.why_not or (f"{ROUGH_CELL} {lies}" if entry.is_rough else lies),
    ]
