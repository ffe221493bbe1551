# SPDX-License-Identifier: GPL-2.0-or-later
"""Prices by the metre or yard, in any currency as it is typed, and what a length comes to.

Plain arithmetic on the length that is bought: no tax, no discount, no exchange of currencies.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from extension.language.errors import OptionError
from extension.language.rounding import YARD, Purchase, metric_text, yard_text

Per = Literal["", "m", "yd"]
"""What a price is for; "": for the metre or the yard, by the unit in which the width is typed."""

MOST = 1_000_000
_EXAMPLE = "write it like “12.50”, “12.50 EUR” or “9.99 per yard”"
_PRICE = re.compile(
    r"(?P<before>[^\d.,/+-]{0,12}?)(?P<amount>\d+(?:[.,]\d+)?)(?P<after>[^\d,/+-]{0,12}?)"
    r"(?:\s*(?:/|\bper\b|\ba\b)\s*(?P<per>m|met(?:re|er)|yd|yard))?",
    re.ASCII | re.IGNORECASE,
)
_THOUSANDS = re.compile(r"\d{1,3},\d{3}")
_CENT = Fraction(1, 100)


@dataclass(frozen=True, slots=True)
class Money:
    """An amount as its currency is written: `12.50 EUR`, `$9.99`, `8,20 kr`."""

    amount: Fraction
    before: str = ""
    after: str = ""
    mark: str = "."

    @property
    def text(self) -> str:
        """The amount in full cents, half a cent rounded up, with its currency."""
        cents = int(self.amount / _CENT + Fraction(1, 2))
        return f"{self.before}{cents // 100}{self.mark}{cents % 100:02d}{self.after}"

    @property
    def currency(self) -> str:
        """What is added up together."""
        return f"{self.before.strip()}{self.after.strip()}".casefold()


@dataclass(frozen=True, slots=True)
class Price:
    """What a metre or a yard costs."""

    money: Money
    per: Per = ""

    def of(self, bought: Purchase) -> Cost | None:
        """Return what the length to buy comes to; None for cloth that is there already."""
        if bought.cloth is not None:
            return None
        per = self.per or ("m" if bought.system == "metric" else "yd")
        length = bought.metric / 1000 if per == "m" else bought.yards / YARD
        cents = int(length * self.money.amount / _CENT + Fraction(1, 2))
        told = metric_text(bought.metric) if per == "m" else yard_text(bought.yards)
        money = self.money
        return Cost(
            Money(cents * _CENT, money.before, money.after, money.mark),
            f"{told} at {money.text} per {'metre' if per == 'm' else 'yard'}",
        )


@dataclass(frozen=True, slots=True)
class Cost:
    """What a length comes to, in full cents, and how: `1.90 m at 12.50 EUR per metre`."""

    money: Money
    how: str


def parse_price(text: str) -> Price:
    """Return a price as typed. Raises OptionError for what is none."""
    plain = " ".join(text.split())
    match = _PRICE.fullmatch(plain)
    if match is None or _THOUSANDS.fullmatch(match["amount"]):
        raise OptionError(f"“{text}” is not a price: {_EXAMPLE}.")
    amount = Fraction(match["amount"].replace(",", "."))
    if amount > MOST:
        raise OptionError(f"A price may be {MOST:,} at most, but it is “{text}”: {_EXAMPLE}.")
    if (amount / _CENT).denominator != 1:
        raise OptionError(f"“{text}” is finer than a cent: {_EXAMPLE}.")
    mark = "," if "," in match["amount"] else "."
    per: Per = "" if not match["per"] else ("m" if match["per"][0] in "mM" else "yd")
    return Price(Money(amount, match["before"], match["after"], mark), per)


def total_text(costs: list[Money]) -> str:
    """Return the sum of costs, one for each currency: `42.15 EUR`, `12.00 EUR + $3.00`."""
    sums: dict[str, Money] = {}
    for cost in costs:
        so_far = sums.get(cost.currency)
        amount = cost.amount if so_far is None else so_far.amount + cost.amount
        first = so_far or cost
        sums[cost.currency] = Money(amount, first.before, first.after, first.mark)
    return " + ".join(money.text for money in sums.values())
