# SPDX-License-Identifier: GPL-2.0-or-later
"""What is stored on a layout is enough to run it again."""

from __future__ import annotations

import json
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.job.options import LayOutOptions, NoGrain, WidthIs
from extension.job.settings import options_of, result_of, settings_of, settings_text
from extension.language.errors import DrawingError, OptionError
from extension.language.rounding import RoundUp
from extension.language.units import System
from nesting import VERSION

options = st.builds(
    LayOutOptions,
    fabric_width=st.floats(100.0, 5000.0),
    system=st.sampled_from(get_args(System)),
    width_is=st.sampled_from(get_args(WidthIs)),
    nap=st.booleans(),
    gap=st.floats(0.0, 100.0),
    round_up=st.sampled_from(get_args(RoundUp)),
    end_allowance=st.floats(0.0, 1000.0),
    shrinkage=st.floats(0.0, 0.5),
    advice=st.booleans(),
    allowance=st.none() | st.floats(0.0, 50.0),
    material=st.sampled_from(["main", "lining", "Spitze “weiß”"]),
    sizes=st.dictionaries(st.text(min_size=1, max_size=4), st.integers(1, 9), max_size=3).map(
        lambda sizes: tuple(sizes.items())
    ),
    garments=st.integers(1, 999),
    no_grain=st.sampled_from(get_args(NoGrain)),
    select=st.lists(st.text(min_size=1, max_size=5), max_size=3).map(tuple),
    seconds=st.floats(0.1, 3600.0),
    rounds=st.none() | st.integers(1, 1000),
    seed=st.integers(0, 2**31 - 1),
    workers=st.integers(1, 64),
)


@given(options)
def test_stored_options_come_back_to_the_last_digit(given_options: LayOutOptions) -> None:
    assert options_of(settings_text(given_options, {"length_mm": 1840.0})) == given_options


def test_lengths_are_stored_with_their_unit_and_the_result_beside_them() -> None:
    stored = json.loads(settings_text(LayOutOptions(1400.0), {"engine": "1"}))
    assert stored["options"]["fabric_width_mm"] == 1400.0
    assert stored["options"]["allowance_mm"] is None
    assert stored["result"] == {"engine": "1"}


def test_the_version_that_wrote_them_is_stored() -> None:
    assert json.loads(settings_text(LayOutOptions(1400.0), {}))["version"] == VERSION


@pytest.mark.parametrize("version", [None, "", "1.0.0", "99.0", 7, ["1"]])
def test_settings_of_any_version_or_none_are_read_alike(version: object) -> None:
    wanted = LayOutOptions(1400.0, nap=False, sizes=(("38", 2),))
    stored = json.loads(settings_text(wanted, {"length_mm": 1840.0}))
    del stored["version"]
    text = json.dumps(stored if version is None else {"version": version, **stored})
    assert options_of(text) == wanted
    assert result_of(text) == {"length_mm": 1840.0}


def test_a_stored_width_is_what_it_was_when_the_layout_was_made() -> None:
    for width_is, usable in (("usable", 1400.0), ("booked", 1375.0)):
        assert options_of(changed(width_is=width_is)).usable_width == usable
    # Before the settings said what a width is, it was the one between the selvedges.
    silent = settings_of(LayOutOptions(1400.0))
    del silent["width_is"]
    assert options_of(json.dumps({"options": silent})).usable_width == 1400.0


def changed(**values: object) -> str:
    return json.dumps({"options": {**settings_of(LayOutOptions(1400.0)), **values}})


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        "{}",
        '{"options": 3}',
        '{"options": {}}',
        changed(shape="round"),
        changed(sizes=7),
        changed(fabric_width_mm="140 cm"),
        changed(seconds=None),
        changed(material=None),
        changed(nap="no"),
        changed(nap=[]),
    ],
)
def test_damaged_settings_are_told_plainly(text: str) -> None:
    with pytest.raises(DrawingError, match="settings stored on this layout cannot be read"):
        options_of(text)


def test_a_stored_value_out_of_bounds_is_named() -> None:
    with pytest.raises(OptionError, match="number of garments"):
        options_of(changed(garments=0))
