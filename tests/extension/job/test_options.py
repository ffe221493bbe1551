# SPDX-License-Identifier: GPL-2.0-or-later
"""What is typed becomes options, or one sentence that names the field and the remedy."""

from __future__ import annotations

import math

import pytest

from extension.job.limits import time_limit
from extension.job.options import (
    LayOutOptions,
    changed_options,
    options_from_text,
    usual_workers,
)
from extension.language.errors import OptionError


def typed(**values: str) -> LayOutOptions:
    return options_from_text({"fabric_width": "140cm", **values})


def test_only_the_width_must_be_typed_and_defaults_never_spoil_cloth() -> None:
    options = options_from_text({"fabric_width": "140 cm"})
    assert options == LayOutOptions(1400.0, workers=usual_workers())
    assert (options.nap, options.gap, options.no_grain) == (True, 3.0, "leave-out")
    assert (options.end_allowance, options.allowance, options.seconds) == (50.0, None, 20.0)


def test_everything_typed_is_understood() -> None:
    options = options_from_text(
        {
            "fabric_width": "45in",
            "width_is": "Booked",
            "nap": "no",
            "gap": "1/8 in",
            "round_up": "5cm",
            "end_allowance": "2 in",
            "allowance": "5/8in",
            "material": "lining",
            "sizes": "38=2, 40",
            "garments": "3",
            "no_grain": "lay",
            "seconds": "2.5",
            "rounds": "7",
            "seed": "11",
            "workers": "2",
        },
        ["front", "back"],
    )
    assert options == LayOutOptions(
        fabric_width=1143.0,
        system="imperial",
        width_is="booked",
        nap=False,
        gap=3.175,
        round_up="5cm",
        end_allowance=50.8,
        allowance=15.875,
        material="lining",
        sizes=(("38", 2), ("40", 3)),
        garments=3,
        no_grain="lay",
        select=("front", "back"),
        seconds=2.5,
        rounds=7,
        seed=11,
        workers=2,
    )


def test_a_booked_width_loses_both_selvedges_by_the_unit_typed() -> None:
    # Half an inch a side: what fashion-incubator.com and greenetextile.com take off.
    assert options_from_text(
        {"fabric_width": "45in", "width_is": "booked"}
    ).usable_width == pytest.approx(44 * 25.4, abs=1e-9)
    assert typed(width_is="booked").usable_width == 1375.0
    assert typed(width_is="usable").usable_width == 1400.0


def test_a_width_is_as_on_the_bolt_unless_told() -> None:
    assert typed().width_is == LayOutOptions(1400.0).width_is == "booked"
    assert typed().usable_width == 1375.0


def test_a_selvedge_of_ones_own_comes_off_each_side() -> None:
    assert typed(selvedge="2cm").usable_width == 1360.0
    assert typed(selvedge="0cm").usable_width == 1400.0


def test_nothing_comes_off_a_width_between_the_selvedges() -> None:
    with pytest.raises(OptionError, match="leave the selvedge empty"):
        typed(width_is="usable", selvedge="2cm")


def test_a_stored_selvedge_goes_when_the_width_is_between_them_now() -> None:
    stored = typed(selvedge="2cm")
    assert changed_options(stored, {"width_is": "usable"}).usable_width == 1400.0
    assert changed_options(stored, {"fabric_width": "150cm"}).usable_width == 1460.0
    with pytest.raises(OptionError, match="leave the selvedge empty"):
        changed_options(stored, {"width_is": "usable", "selvedge": "1cm"})


def test_the_step_of_rounding_up_follows_the_unit() -> None:
    assert typed().round_up == "10cm"
    assert options_from_text({"fabric_width": "1 1/2 yd"}).round_up == "1/8yd"


def test_included_allowance_is_none_to_add() -> None:
    assert typed(allowance="included").allowance is None
    assert typed(allowance="0mm").allowance == 0.0


def test_garments_in_all_are_those_of_the_sizes() -> None:
    assert typed(sizes="38=2,40=1", garments="9").garments_in_all == 3
    assert typed(garments="9").garments_in_all == 9


@pytest.mark.parametrize(
    ("field", "text", "words"),
    [
        ("fabric_width", "", "No fabric width is given"),
        ("fabric_width", "wide", "The fabric width: “wide” is not a length"),
        ("fabric_width", "NaN", "is not a length"),
        ("fabric_width", "inf", "is not a length"),
        ("fabric_width", "140", "has no unit"),
        ("fabric_width", "0cm", "must be more than nothing"),
        ("fabric_width", "-140cm", "must be more than nothing"),
        ("fabric_width", "5mm", "between 10 mm and 10 m"),
        ("fabric_width", "11m", "between 10 mm and 10 m"),
        ("gap", "-3mm", "The gap between parts must be between 0 and 500 mm"),
        ("gap", "a little", "The gap between parts: “a little” is not a length"),
        ("end_allowance", "-1cm", "The end allowance must be between"),
        ("allowance", "-1cm", "The seam allowance to add must be between"),
        ("allowance", "3m", "The seam allowance to add must be between"),
        ("width_is", "guessed", "choose usable or booked"),
        ("round_up", "1ft", "choose 1/8yd, 5cm, 10cm or none"),
        ("no_grain", "spin", "choose lay or leave-out"),
        ("nap", "perhaps", "type yes or no"),
        ("garments", "0", "The number of garments must be a whole number from 1"),
        ("garments", "1.5", "must be a whole number, but it is “1.5”"),
        ("garments", "-1", "must be a whole number from 1"),
        ("garments", "10000", "must be a whole number from 1 to 999"),
        ("garments", "9" * 5000, "must be a whole number from 1 to 999"),
        ("garments", "٣", "must be a whole number, but"),
        ("rounds", "0", "The number of rounds must be"),
        ("seed", "-1", "The seed must be"),
        ("workers", "0", "The number of workers must be"),
        ("seconds", "0", "The time limit must be more than 0"),
        ("seconds", "nan", "The time limit must be more than 0"),
        ("seconds", "inf", "The time limit must be more than 0"),
        ("seconds", "soon", "The time limit must be a number of seconds"),
        ("sizes", "38=0", "The number of garments in size 38 must be"),
        ("sizes", "38=two", "The number of garments in size 38 must be a whole number"),
        ("sizes", "38=1,38=2", "A size is named twice"),
        ("sizes", "=2", "A size has no name"),
    ],
)
def test_what_cannot_be_used_is_refused_in_one_sentence(field: str, text: str, words: str) -> None:
    with pytest.raises(OptionError) as refused:
        typed(**{field: text})
    message = str(refused.value)
    assert words in message
    assert "\n" not in message
    assert len(message) < 250


def test_a_booked_width_narrower_than_its_selvedges_is_refused() -> None:
    with pytest.raises(OptionError, match="leaves 5 mm between the selvedges"):
        options_from_text({"fabric_width": "3cm", "width_is": "booked"})


@pytest.mark.parametrize("width", [math.nan, math.inf, -math.inf, 0.0])
def test_a_width_that_is_no_number_is_refused_however_it_comes(width: float) -> None:
    with pytest.raises(OptionError, match="fabric width"):
        LayOutOptions(width)


def test_a_gap_that_is_no_number_is_refused_however_it_comes() -> None:
    with pytest.raises(OptionError, match="gap between parts"):
        LayOutOptions(1400.0, gap=math.nan)


def test_a_material_without_a_name_is_refused() -> None:
    with pytest.raises(OptionError, match="No material"):
        LayOutOptions(1400.0, material="  ")


def test_typed_values_take_the_place_of_stored_ones_and_blank_ones_stay() -> None:
    stored = LayOutOptions(1400.0, gap=5.0, nap=False, rounds=7, seed=3, garments=2)
    assert changed_options(stored, {"gap": " ", "material": ""}) == stored
    changed = changed_options(stored, {"fabric_width": "45in", "sizes": "38", "seconds": "9"})
    assert (changed.fabric_width, changed.system) == (1143.0, "imperial")
    assert changed.sizes == (("38", 2),)
    assert (changed.seconds, changed.rounds) == (9.0, None)
    assert (changed.gap, changed.nap, changed.seed) == (5.0, False, 3)


def test_what_is_selected_now_is_added_to_what_was_selected_then() -> None:
    some = LayOutOptions(1400.0, select=("front", "back"))
    assert changed_options(some, {}, ["back", "cuff"]).select == ("front", "back", "cuff")
    everything = LayOutOptions(1400.0)
    assert changed_options(everything, {}, ["cuff"]).select == ()


def test_a_changed_value_is_judged_like_any_other() -> None:
    with pytest.raises(OptionError, match="fabric width"):
        changed_options(LayOutOptions(1400.0), {"fabric_width": "0cm"})


def test_the_end_allowance_follows_the_unit_typed_and_is_nothing_by_choice() -> None:
    assert options_from_text({"fabric_width": "45in"}).end_allowance == pytest.approx(50.8)
    assert typed().end_allowance == 50.0
    assert typed(end_allowance="0cm").end_allowance == 0.0


def test_shrinkage_across_leaves_less_of_the_width() -> None:
    assert typed(shrinkage_across="4 %").usable_width == pytest.approx(0.96 * 1375.0)
    between = typed(shrinkage_across="4", width_is="usable")
    assert between.usable_width == pytest.approx(0.96 * 1400.0)
    # What is bought is divided by what remains along the cloth alone.
    assert typed(shrinkage_across="4 %").bought(900.0) == typed().bought(900.0)
    with pytest.raises(OptionError, match="The shrinkage must be between 0 and 50 %"):
        typed(shrinkage_across="60%")
    with pytest.raises(OptionError, match="Shrinkage is for cloth that is bought"):
        typed(shrinkage_across="4%", fabric_length="2m")


def test_shrinkage_is_a_percentage_within_reason() -> None:
    assert typed(shrinkage="5 %").bought(900.0).metric == 1000
    for wrong in ("-1%", "51%", "half", "nan"):
        with pytest.raises(OptionError, match="The shrinkage must be between 0 and 50 %"):
            typed(shrinkage=wrong)


@pytest.mark.parametrize("typed", ["0", "-3", "nan", "soon", "1e9"])
def test_a_time_limit_that_is_none_is_refused(typed: str) -> None:
    with pytest.raises(OptionError, match="time limit"):
        time_limit(typed)


def test_a_time_limit_is_read() -> None:
    assert time_limit("2.5") == 2.5
