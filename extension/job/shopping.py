# SPDX-License-Identifier: GPL-2.0-or-later
"""What to buy for all layouts of a run: one list, with what it costs where prices are typed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from extension.job.options import LayOutOptions
from extension.language.prices import Cost, total_text
from extension.language.rounding import Purchase, buy_text, small_text
from extension.language.words import listed

HEAD = "To buy:"
"""The line above the list."""
MOST = 12
"""Materials that a sentence names."""
ARITHMETIC = "plain arithmetic on the lengths to buy"
"""What is said of every sum of money."""


@dataclass(frozen=True, slots=True)
class Item:
    """One material on the list.

    `is_short`: not all of its parts fit on the cloth that is there. `is_draft`: its layout came at
    once, and more time would most likely shorten it.
    """

    options: LayOutOptions
    bought: Purchase
    is_short: bool = False
    is_draft: bool = False

    @property
    def material(self) -> str:
        """What is bought."""
        return self.options.material

    @property
    def cost(self) -> Cost | None:
        """What it costs, None where there is no price or nothing is bought."""
        return self.options.cost(self.bought)

    @property
    def text(self) -> str:
        """The line of the list: `lining, 150 cm wide: 1.20 m / 1 3/8 yd – 7.20`."""
        width = small_text(self.options.fabric_width, self.options.system)
        line = f"{self.material}, {width} wide: {buy_text(self.bought)}"
        if self.is_short:
            line += " – not all parts fit on it"
        if self.cost is not None:
            line += f" – {self.cost.money.text}"
        return f"{line} (a first draft: more time may need less)" if self.is_draft else line


def shopping_list(items: Sequence[Item]) -> tuple[str, ...]:
    """Return the list, a line for each material: of one alone its layout says it all.

    On remnants nothing is bought.
    """
    if len(items) < 2 or all(item.options.remnant for item in items):
        return ()
    return (HEAD, *(f"  {item.text}" for item in items), *_total(items))


def _total(items: Sequence[Item]) -> list[str]:
    """Return what all costs, where there is a price, and what is not in the sum."""
    costs = [item.cost.money for item in items if item.cost is not None]
    if not costs:
        return []
    bought = [item for item in items if item.bought.cloth is None]
    without = [item.material for item in bought if item.cost is None]
    rest = f", without {listed(without, MOST)} (no price was typed)" if without else ""
    return [f"Cost in all: {total_text(costs)}{rest}: {ARITHMETIC}."]


def shopping_values(items: Sequence[Item]) -> list[dict[str, Any]]:
    """Return the list as plain values for a report."""
    return [
        {
            "material": item.material,
            "width_mm": item.options.fabric_width,
            "metric_mm": float(item.bought.metric),
            "yards_mm": float(item.bought.yards),
            "in_hand_mm": item.bought.cloth,
            "text": buy_text(item.bought),
            "all_fit": not item.is_short,
            "first_draft": item.is_draft,
            "cost": None if item.cost is None else float(item.cost.money.amount),
            "cost_text": None if item.cost is None else item.cost.money.text,
            "cost_how": None if item.cost is None else item.cost.how,
        }
        for item in items
    ]
