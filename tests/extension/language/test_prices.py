# SPDX-License-Identifier: GPL-2.0-or-later
"""Prices of a metre or yard, and what the length to buy comes to."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.language.errors import OptionError
from extension.language.prices import Cost, Money, parse_price, total_text
from extension.language.rounding import Purchase, purchase

METRES = purchase(1840.0, system="metric", rounding="10cm", end_allowance=50.0)
YARDS = purchase(1840.0, system="imperial", rounding="1/8yd", end_allowance=50.8)


def cost(text: str, bought: Purchase = METRES) -> tuple[str, str]:
    found = parse_price(text).of(bought)
    assert found is not None
    return found.money.text, found.how


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        # 1.84 m + 5 cm is 1.90 m to buy: 1.9 x 12.5 = 23.75.
        ("12.50", ("23.75", "1.90 m at 12.50 per metre")),
        ("12,50 EUR", ("23,75 EUR", "1.90 m at 12,50 EUR per metre")),
        ("€ 12.50", ("€ 23.75", "1.90 m at € 12.50 per metre")),
        ("8 kr.", ("15.20 kr.", "1.90 m at 8.00 kr. per metre")),
        ("12.50 EUR/m", ("23.75 EUR", "1.90 m at 12.50 EUR per metre")),
        # 2 1/8 yd x 9.99 = 21.22875, to the cent.
        ("$9.99 per yard", ("$21.23", "2 1/8 yd at $9.99 per yard")),
        ("0", ("0.00", "1.90 m at 0.00 per metre")),
    ],
)
def test_a_price_is_read_in_any_currency(typed: str, told: tuple[str, str]) -> None:
    assert cost(typed) == told


def test_a_price_is_by_the_unit_of_the_width_unless_it_says_more() -> None:
    assert cost("10", YARDS) == ("21.25", "2 1/8 yd at 10.00 per yard")
    assert cost("10 a metre", YARDS) == ("19.00", "1.90 m at 10.00 per metre")


def test_cloth_that_is_there_costs_nothing() -> None:
    there = Purchase(900.0, 0.0, 0.0, "metric", "10cm", Fraction(900), Fraction(0), cloth=1200.0)
    assert parse_price("12.50").of(there) is None


@pytest.mark.parametrize(
    "typed", ["", "x", "-3", "1,250", "3 4", "12..5", "12.505", "9 EUR/kg", "2000000", "1e5"]
)
def test_what_is_no_price_is_one_sentence(typed: str) -> None:
    with pytest.raises(OptionError) as caught:
        parse_price(typed)
    assert str(caught.value).endswith(".")


@given(cents=st.integers(0, 10_000_000), needed=st.floats(1.0, 50_000.0))
def test_a_cost_is_the_length_as_it_is_told_times_the_price(cents: int, needed: float) -> None:
    bought = purchase(needed, system="metric", rounding="10cm", end_allowance=50.0)
    found = parse_price(f"{cents // 100}.{cents % 100:02d}").of(bought)
    assert isinstance(found, Cost)
    metres = Fraction(found.how.partition(" m ")[0])
    assert metres * 1000 == bought.metric
    assert abs(found.money.amount - metres * Fraction(cents, 100)) <= Fraction(1, 200)


def test_a_sum_is_that_of_the_printed_amounts_one_for_each_currency() -> None:
    euros = [Money(Fraction("23.75"), after=" EUR"), Money(Fraction("7.20"), after=" eur")]
    assert total_text(euros) == "30.95 EUR"
    assert total_text([*euros, Money(Fraction(3), before="$")]) == "30.95 EUR + $3.00"
