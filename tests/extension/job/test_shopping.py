# SPDX-License-Identifier: GPL-2.0-or-later
"""One list of what to buy over all layouts of a run."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from extension.job.options import LayOutOptions
from extension.job.shopping import Item, shopping_list, shopping_values

MAIN = LayOutOptions(1400.0, price="12.50")
LINING = LayOutOptions(1500.0, material="lining", price="6")


def item(
    options: LayOutOptions,
    needed: float = 1840.0,
    *,
    is_short: bool = False,
    is_draft: bool = False,
) -> Item:
    return Item(options, options.bought(needed), is_short, is_draft)


def test_the_list_has_every_material_with_its_width_and_the_sum() -> None:
    assert shopping_list([item(MAIN), item(LINING, 1020.0)]) == (
        "To buy:",
        "  main, 140 cm wide: 1.90 m / 2 1/8 yd – 23.75",
        "  lining, 150 cm wide: 1.10 m / 1 1/4 yd – 6.60",
        "Cost in all: 30.35: plain arithmetic on the lengths to buy.",
    )


def test_of_one_material_alone_its_layout_says_it_all() -> None:
    assert shopping_list([item(MAIN)]) == ()


def test_without_prices_nothing_is_said_of_cost() -> None:
    lines = shopping_list([item(replace(MAIN, price="")), item(replace(LINING, price=""))])
    assert len(lines) == 3
    assert "–" not in "".join(lines)


def test_what_has_no_price_is_named_beside_the_sum() -> None:
    *_, total = shopping_list([item(MAIN), item(replace(LINING, price=""))])
    assert total.startswith("Cost in all: 23.75, without lining (no price was typed):")


def test_each_length_is_by_the_unit_of_its_width() -> None:
    inches = replace(LINING, fabric_width=1524.0, system="imperial", round_up="1/8yd")
    lines = shopping_list([item(MAIN), item(inches)])
    assert lines[2] == "  lining, 60 in wide: 2 1/8 yd / 1.90 m – 12.75"


def test_cloth_in_hand_is_not_bought_and_what_does_not_fit_is_said() -> None:
    there = replace(MAIN, fabric_length=1200.0)
    _, line, _, total = shopping_list([item(there, 1100.0, is_short=True), item(LINING, 1020.0)])
    assert line == "  main, 140 cm wide: 1.20 m in hand – not all parts fit on it"
    assert total == "Cost in all: 6.60: plain arithmetic on the lengths to buy."


def test_a_length_of_a_first_draft_is_told_as_one() -> None:
    _, main, lining, _ = shopping_list([item(MAIN, is_draft=True), item(LINING, 1020.0)])
    assert main.endswith(" – 23.75 (a first draft: more time may need less)")
    assert "draft" not in lining


def test_the_report_has_the_list_as_plain_values() -> None:
    main, lining = json.loads(json.dumps(shopping_values([item(MAIN), item(LINING, 1020.0)])))
    assert (main["material"], main["metric_mm"], main["cost"]) == ("main", 1900.0, 23.75)
    assert main["yards_mm"] == pytest.approx(2.125 * 914.4)
    assert (lining["text"], lining["cost_text"]) == ("1.10 m / 1 1/4 yd", "6.60")
    assert lining["cost_how"] == "1.10 m at 6.00 per metre"
