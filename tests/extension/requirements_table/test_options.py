# SPDX-License-Identifier: GPL-2.0-or-later
"""The choices of a table as typed, and the options of the layout behind a cell."""

from __future__ import annotations

import pytest

from extension.language.errors import OptionError
from extension.requirements_table.options import TableOptions, Width, replay_text, table_options
from extension.requirements_table.sizes import SizeSet


def options(widths: str = "110cm, 140cm", **typed: str) -> TableOptions:
    return table_options({"widths": widths, **typed})


def booked(wanted: TableOptions, material: str = "main") -> list[float]:
    return [width.typed for width in wanted.widths_of(material)]


def test_defaults_never_spoil_cloth() -> None:
    wanted = options()
    assert wanted.naps_of("main") == (True, False)
    assert (wanted.base.seconds, wanted.base.rounds, wanted.base.gap) == (180.0, None, 3.0)
    assert (wanted.ends, wanted.raise_sizes, wanted.write_layouts) == (50.0, True, False)


def test_widths_without_a_material_hold_for_all_that_have_none_of_their_own() -> None:
    wanted = options("140cm, 110cm; interfacing = 90cm")
    assert booked(wanted, "main") == booked(wanted, "lining") == [1100.0, 1400.0]
    assert booked(wanted, "interfacing") == [900.0]


def test_a_material_without_a_width_is_not_in_the_table() -> None:
    assert booked(options("main=110cm"), "lining") == []


def test_materials_meet_through_their_synonyms() -> None:
    wanted = options("Oberstoff=110cm; Futter=140cm", nap="both; doublure=without")
    assert booked(wanted, "lining") == [1400.0]
    assert wanted.naps_of("lining") == (False,)


@pytest.mark.parametrize(
    ("text", "naps"), [("both", (True, False)), ("With", (True,)), ("without", (False,))]
)
def test_nap_is_asked_for_in_words(text: str, naps: tuple[bool, ...]) -> None:
    assert options(nap=text).naps_of("main") == naps


def test_the_layout_behind_a_cell_has_booked_cloth_and_one_worker() -> None:
    wanted = options(workers="4", seed="7", gap="5mm")
    behind = wanted.cell(SizeSet((("38", 2),)), "lining", Width(1400.0, "metric"), False, "open")
    assert (behind.fabric_width, behind.width_is, behind.usable_width) == (1400.0, "booked", 1375.0)
    assert (behind.material, behind.nap, behind.sizes) == ("lining", False, (("38", 2),))
    assert (behind.workers, behind.seed, behind.gap) == (1, 7, 5.0)
    assert (behind.round_up, behind.end_allowance) == ("10cm", 50.0)


def test_half_an_inch_comes_off_widths_in_inches() -> None:
    # 45 in cuts 44 in: half an inch a side, the usual rule on teaching pages on cuttable width
    # (alisonhoenes.com and fashion-incubator.com, read for the project's notes).
    wanted = options("45in")
    behind = wanted.cell(SizeSet(), "main", wanted.widths_of("main")[0], True, "open")
    assert behind.usable_width == pytest.approx(44 * 25.4)
    assert behind.end_allowance == pytest.approx(2 * 25.4)
    assert behind.round_up == "1/8yd"


def test_a_selvedge_of_ones_own_comes_off_each_side() -> None:
    wanted = options("140cm", selvedge="2cm")
    behind = wanted.cell(SizeSet(), "main", wanted.widths_of("main")[0], True, "open")
    assert (behind.usable_width, wanted.selvedge_of(Width(1400.0, "metric"))) == (1360.0, 20.0)


def test_nothing_comes_off_widths_between_the_selvedges() -> None:
    wanted = options("140cm, 45in", width_is="usable")
    cells = [wanted.cell(SizeSet(), "main", w, True, "open") for w in wanted.widths_of("main")]
    assert [cell.usable_width for cell in cells] == [1143.0, 1400.0]


def test_every_cell_has_the_same_end_allowance_whatever_the_unit_of_its_width() -> None:
    # Else wider cloth could need more, for a longer allowance.
    wanted = options("45in, 140cm")
    cells = [wanted.cell(SizeSet(), "main", w, True, "open") for w in wanted.widths_of("main")]
    assert [cell.end_allowance for cell in cells] == [50.8, 50.8]
    assert [cell.system for cell in cells] == ["imperial", "metric"]


def test_a_price_is_by_material_with_the_decimal_mark_of_the_country() -> None:
    wanted = options("main=140cm; lining=45in", price="main=12.50 EUR, lining=$9 per yard")
    assert wanted.price_of("main") == "12.50 EUR"
    assert wanted.price_of("interfacing") == ""
    german = options("140cm", price="6 kr.", locale="de")
    assert german.price_of("main") == "6,00 kr."
    assert options("140cm,45in", price="6 per metre").price_of("main") == "6 per metre"
    behind = wanted.cell(SizeSet(), "lining", wanted.widths_of("lining")[0], True, "open")
    assert behind.price == "$9 per yard"


def test_shrinkage_is_a_percentage() -> None:
    assert options(shrinkage="5 %").base.shrinkage == options(shrinkage="5").base.shrinkage == 0.05
    assert options(shrinkage="2,5%").base.shrinkage == 0.025


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"widths": ""}, "No fabric width is given"),
        ({"widths": "110cm,,140cm"}, "A value is missing"),
        ({"widths": "110,140cm"}, "“110” has no unit"),
        ({"widths": "110cm,1.1m"}, "given twice"),
        ({"widths": "main=110cm; self=140cm"}, "What is typed for “self” stands twice"),
        ({"nap": "both; with"}, "What is typed for all materials stands twice"),
        ({"nap": "lining=with, without"}, "“with, without” are several values for lining"),
        ({"widths": "=110cm"}, "A material has no name"),
        ({"widths": "wide"}, "“wide” is not a length"),
        ({"widths": "140cm,45in", "price": "6"}, "type “6 per metre” or “6 per yard”"),
        ({"price": "main=dear"}, "“dear” is not a price"),
        ({"widths": "-3cm"}, "The fabric width must be more than nothing"),
        ({"nap": "some"}, "“some” is not known for the nap"),
        ({"selvedge": "1m"}, "The selvedge must be between 0 and 200 mm"),
        ({"selvedge": "2cm", "width_is": "usable"}, "leave the selvedge empty"),
        ({"width_is": "guessed"}, "choose usable or booked"),
        ({"selvedge": "thin"}, "The selvedge: “thin” is not a length"),
        ({"end_allowance": "-5cm"}, "The end allowance must be between"),
        ({"shrinkage": "half"}, "The shrinkage must be between 0 and 50 %"),
        ({"shrinkage": "60%"}, "The shrinkage must be between 0 and 50 %"),
        ({"round_up": "1m"}, "“1m” is not known"),
        ({"raise_sizes": "perhaps"}, "type yes or no"),
        ({"seconds": "0"}, "The time limit"),
        ({"rounds": "0"}, "The number of rounds"),
    ],
)
def test_bad_input_is_one_sentence(typed: dict[str, str], words: str) -> None:
    with pytest.raises(OptionError) as caught:
        table_options({"widths": "110cm", **typed})
    assert words in str(caught.value)
    assert str(caught.value).endswith(".")
    assert "\n" not in str(caught.value)


def test_a_width_that_the_selvedges_use_up_is_told() -> None:
    with pytest.raises(OptionError, match="between the selvedges"):
        options("30mm")
    wanted = options("30cm; lining=30mm")
    with pytest.raises(OptionError, match="between the selvedges"):
        wanted.cell(SizeSet(), "lining", wanted.widths_of("lining")[0], True, "open")


@pytest.mark.parametrize("rounds", [[0, 0, 0], [0], [7, 7], [12, 12, 40], [0, 5]])
def test_what_a_table_says_of_its_rounds_can_be_typed(rounds: list[int]) -> None:
    wanted = options(rounds=replay_text(rounds))
    assert (list(wanted.replay) or [wanted.base.rounds] * len(rounds)) == rounds
