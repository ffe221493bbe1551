# SPDX-License-Identifier: GPL-2.0-or-later
"""What the lengths of a table cost where prices were typed, and what all of a size comes to.

Plain arithmetic on what is printed: a cost is that of the printed length, a sum that of the
printed costs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extension.language.prices import Cost, parse_price, total_text
from extension.language.words import listed
from extension.requirements_table.cells import nap_text
from extension.requirements_table.matching import column_of
from extension.requirements_table.merging import shown
from extension.requirements_table.sizes import SizeSet
from extension.requirements_table.table import Entry, Table

MOST = 12
"""Materials that a sentence names."""


@dataclass(frozen=True, eq=False, slots=True)
class Total:
    """What one size costs of all materials that have a price, cut with nap or without.

    `entries` are the lengths that are added up, `without` the materials that are cut as well but
    are not in the sum.
    """

    sizes: SizeSet
    nap: bool
    entries: tuple[Entry, ...]
    without: tuple[str, ...]

    @property
    def text(self) -> str:
        """The sum, one for each currency."""
        return total_text([cost.money for one in self.entries if (cost := cost_of(one))])


def cost_of(entry: Entry) -> Cost | None:
    """Return what a length to buy costs; None where there is none, or no price."""
    return None if entry.bought is None else entry.planned.options.cost(entry.bought)


def cost_text(entry: Entry) -> str:
    """Return what a length to buy costs, "" where that is not known."""
    cost = cost_of(entry)
    return "" if cost is None else cost.money.text


def price_notes(table: Table) -> list[str]:
    """Return what prices the costs come from, and what each size costs in all; none without."""
    of_each = [(name, price_text(table, name)) for name in table.materials]
    said = [f"{name} {price}" for name, price in of_each if price]
    if not said:
        return []
    rest = [name for name, price in of_each if not price]
    none = f"; none was typed for {listed(rest, MOST)}" if rest else ""
    return [
        f"Costs are plain arithmetic on the lengths to buy: {listed(said, MOST)}{none}.",
        *_total_notes(totals_of(table)),
    ]


def price_text(table: Table, name: str) -> str:
    """Return the price of a material as it counts, `12.50 EUR per metre`, "" without one."""
    typed = table.options.price_of(name)
    if not typed:
        return ""
    price, system = parse_price(typed), table.options.widths_of(name)[0].system
    per = price.per or ("m" if system == "metric" else "yd")
    return f"{price.money.text} per {'metre' if per == 'm' else 'yard'}"


def totals_of(table: Table) -> tuple[Total, ...]:
    """Return what each size costs in all, in the order of the rows; none of a single material.

    Only where every material has one column, and lies in one way: else it is not known which of
    its lengths is bought.
    """
    entries = {name: shown(table, name) for name in table.materials}
    priced = [name for name in entries if table.options.price_of(name)]
    if len(priced) < 2 or any(_has_a_choice(table, name, own) for name, own in entries.items()):
        return ()
    sizes = dict.fromkeys(one.cell.sizes for own in entries.values() for one in own)
    naps = dict.fromkeys(one.cell.nap for own in entries.values() for one in own)
    found = (
        _total(table, [_of(own, size, nap) for own in entries.values()], size, nap)
        for nap in naps
        for size in sizes
    )
    return tuple(total for total in found if total is not None)


def _has_a_choice(table: Table, name: str, entries: Sequence[Entry]) -> bool:
    """Return whether a material has several columns, or is told to lie in several ways."""
    ways = {one.cell.spread for one in entries} if table.options.shows_each(name) else set()
    return len(ways) > 1 or len(set(map(column_of, entries))) > 1


def _of(entries: Sequence[Entry], sizes: SizeSet, nap: bool) -> Entry | None:
    """Return what is bought of a material for a size: with nap or without, or what there is."""
    own = [one for one in entries if one.cell.sizes == sizes]
    return next((one for one in own if one.cell.nap == nap), own[0] if own else None)


def _total(table: Table, found: Sequence[Entry | None], sizes: SizeSet, nap: bool) -> Total | None:
    """Return what one size costs; None where one of its lengths is not known."""
    cut = [one for one in found if one is not None]
    if any(one.bought is None for one in cut):
        return None
    entries = tuple(one for one in cut if cost_of(one) is not None)
    unpriced = [one.cell.material for one in cut if cost_of(one) is None]
    return Total(sizes, nap, entries, (*unpriced, *table.missing)) if entries else None


def _total_notes(totals: Sequence[Total]) -> list[str]:
    """Return what each size costs in all, a sentence for cloth with nap and one without."""
    naps = list(dict.fromkeys(total.nap for total in totals))
    notes = []
    for nap in naps:
        own = [total for total in totals if total.nap == nap]
        which = f", {nap_text(nap)} where the table has both" if len(naps) > 1 else ""
        without = dict.fromkeys(name for total in own for name in total.without)
        rest = f", without {listed(list(without), MOST)}" if without else ""
        each = "; ".join(f"{total.sizes.title}: {total.text}" for total in own)
        notes.append(f"Cost of all materials{which}{rest} – {each}.")
    return notes
