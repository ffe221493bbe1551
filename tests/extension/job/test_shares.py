# SPDX-License-Identifier: GPL-2.0-or-later
"""Time and rounds of a run are shared out by area and difficulty, always in the same way."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.job.options import LayOutOptions
from extension.job.plan import Plan
from extension.job.shares import LEAST, rounds_shared, shared_out, shares
from tests.helpers.garments import garment_of_materials
from tests.helpers.layouts import plan_of

MATERIALS = ("main", "lining", "interfacing")


def plans() -> list[Plan]:
    document = garment_of_materials().document()
    return [plan_of(document, LayOutOptions(1400.0, material=name)) for name in MATERIALS]


def test_shares_add_up_and_more_area_in_more_parts_has_more() -> None:
    main, lining, interfacing = shares(plans())
    assert main + lining + interfacing == pytest.approx(1.0)
    assert min(main, lining) > interfacing >= LEAST / 3.0
    document = garment_of_materials().document()
    one, two = (plan_of(document, LayOutOptions(1400.0, garments=count)) for count in (1, 2))
    few, many = shares([one, two])
    # Twice the area, and more than twice the work: 3 parts and 6.
    assert many > 2.0 * few


def test_a_layout_alone_has_all() -> None:
    (plan, *_) = plans()
    assert shares([plan]) == [1.0]
    options = LayOutOptions(1400.0, rounds=5)
    assert shared_out([plan], [options], 20.0, None) == [options]


def test_what_needs_no_search_has_as_much_as_any_other_that_needs_none() -> None:
    document = garment_of_materials().document()
    single = plan_of(document, LayOutOptions(1400.0, select=("back",)))
    assert single.parts == 1
    assert shares([single, single]) == [0.5, 0.5]


def test_each_layout_keeps_its_share_in_its_options() -> None:
    made = plans()
    options = [LayOutOptions(1400.0, material=name) for name in MATERIALS]
    found = shared_out(made, options, 20.0, 30)
    assert sum(one.seconds for one in found) == pytest.approx(20.0, abs=0.2)
    assert sum(one.rounds or 0 for one in found) == 30
    assert [one.rounds for one in shared_out(made, options, 20.0, None)] == [None] * 3


@given(
    rounds=st.integers(1, 10_000),
    weights=st.lists(st.integers(1, 1000), min_size=1, max_size=8),
)
def test_rounds_are_all_dealt_out_and_nobody_goes_without(rounds: int, weights: list[int]) -> None:
    parts = [weight / sum(weights) for weight in weights]
    dealt = rounds_shared(rounds, parts)
    assert min(dealt) >= 1
    # Nobody without a round: a few rounds for many come to more.
    assert rounds <= sum(dealt) <= max(rounds, rounds + len(weights) - 1)
    differences = [abs(got - rounds * part) for got, part in zip(dealt, parts, strict=True)]
    assert max(differences) <= 1.0
    assert dealt == rounds_shared(rounds, parts)
