# SPDX-License-Identifier: GPL-2.0-or-later
"""What is typed for all materials of a run becomes the options of each of its layouts."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.job.options import LayOutOptions, options_from_text
from extension.job.wishes import BY_MATERIAL, changed_for, materials_typed, wishes_from_text
from extension.language.errors import OptionError
from extension.language.vocabulary import MATERIALS

JACKET = {"main": 11, "lining": 5, "interfacing": 3}


def options(present: dict[str, int] | None = None, **typed: str) -> dict[str, LayOutOptions]:
    """Return the options of each layout by its material."""
    found = wishes_from_text(typed).options(JACKET if present is None else present)
    return {one.material: one for one in found}


def test_every_material_is_laid_with_a_width_of_its_own() -> None:
    found = options(fabric_width="main=140cm, lining=150cm, interfacing=90cm")
    assert {name: one.fabric_width for name, one in found.items()} == {
        "main": 1400.0,
        "lining": 1500.0,
        "interfacing": 900.0,
    }


def test_of_one_material_nothing_is_other_than_it_was() -> None:
    typed = {"fabric_width": "140cm", "gap": "5mm", "sizes": "38=2", "seed": "4", "rounds": "7"}
    assert options({"main": 4}, **typed)["main"] == options_from_text(typed)


def test_a_width_alone_is_for_all_and_it_is_said() -> None:
    wishes = wishes_from_text({"fabric_width": "140cm, interfacing=90cm"})
    widths = [one.fabric_width for one in wishes.options(JACKET)]
    assert widths == [1400.0, 1400.0, 900.0]
    said = wishes.taken_alike(list(JACKET))
    assert said.startswith("Main and lining are laid on the same width, 140cm, which was typed")
    assert wishes.taken_alike(["main", "interfacing"]) == ""


def test_linings_and_interfacings_have_no_nap_unless_told() -> None:
    present = {"main": 1, "contrast": 1, "lining 2": 1, "interfacing": 1, "velvet lining": 1}
    naps = {name: one.nap for name, one in options(present, fabric_width="1m").items()}
    assert naps == {
        "main": True,
        "contrast": True,
        "lining 2": False,
        "interfacing": False,
        "velvet lining": True,
    }


@pytest.mark.parametrize(
    ("typed", "naps"),
    [
        ("yes", [True, True, True]),
        ("no", [False, False, False]),
        ("main, Futter", [True, True, False]),
        ("lining", [False, True, False]),
        ("lining=yes", [True, True, False]),
        ("no; lining=yes", [False, True, False]),
        ("main=without", [False, False, False]),
        ("main=1, lining=0", [True, False, False]),
    ],
)
def test_a_nap_is_told_by_words_or_by_names(typed: str, naps: list[bool]) -> None:
    found = options(fabric_width="1m", nap=typed)
    assert [one.nap for one in found.values()] == naps


def test_all_that_belongs_to_the_cloth_may_be_typed_for_each_material() -> None:
    found = options(
        fabric_width="140cm, interfacing=35in",
        fabric_length="main=2m",
        width_is="booked, interfacing=usable",
        selvedge="main=2cm",
        gap="main=0mm, lining=5mm",
        shrinkage="lining=3%, interfacing=0%",
        price="main=12,50, lining=6",
    )
    main, lining, interfacing = found.values()
    assert (main.fabric_length, lining.fabric_length) == (2000.0, None)
    assert (main.usable_width, lining.usable_width) == (1360.0, 1375.0)
    assert interfacing.usable_width == interfacing.fabric_width == 889.0
    assert [one.gap for one in found.values()] == [0.0, 5.0, 3.0]
    assert (lining.shrinkage, interfacing.shrinkage) == (0.03, 0.0)
    assert [one.price for one in found.values()] == ["12,50", "6", ""]
    assert (main.round_up, interfacing.round_up) == ("10cm", "1/8yd")
    assert (main.end_allowance, interfacing.end_allowance) == (50.0, 50.8)


def test_each_material_may_lie_in_its_own_way() -> None:
    typed = {"fabric_width": "140cm", "spread": "main=depth=35cm, lining=lengthwise"}
    found = options(**typed, sides="main=apart")
    assert [one.spread for one in found.values()] == ["depth 35cm", "lengthwise", "open"]
    assert [one.sides for one in found.values()] == ["apart", "together", "together"]


def test_some_materials_are_laid_when_they_are_named() -> None:
    typed = {"fabric_width": "main=140cm,lining=150cm"}
    assert list(options(material="Futter, main", **typed)) == ["lining", "main"]
    assert list(options(material="all", fabric_width="1m")) == list(JACKET)
    assert materials_typed("lining; lining , ") == ("lining",)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({}, "No fabric width is given"),
        ({"fabric_width": " "}, "No fabric width is given"),
        (
            {"fabric_width": "main=140cm"},
            "No fabric width is given for lining (5 pieces) and interfacing (3 pieces): "
            "type “main=…, lining=…, interfacing=…”",
        ),
        ({"fabric_width": "main=140cm", "material": "lining"}, "for lining (5 pieces)"),
        (
            {"fabric_width": "140cm, felt=1m"},
            "No piece is cut from “felt”: what is drawn is cut from main (11 pieces), lining (5 "
            "pieces) and interfacing (3 pieces)",
        ),
        ({"fabric_width": "1m", "material": "felt"}, "No piece is cut from “felt”"),
        ({"fabric_width": "1m", "nap": "perhaps"}, "No piece is cut from “perhaps”"),
        ({"fabric_width": "1m", "nap": "main=perhaps"}, "has a nap is “perhaps”: type yes or no"),
        ({"fabric_width": "1m", "nap": "main,,lining"}, "A value is missing"),
        ({"fabric_width": "1m", "price": "felt=3"}, "No piece is cut from “felt”"),
        ({"fabric_width": "1m", "price": "lining=dear"}, "“dear” is not a price"),
        ({"fabric_width": "main=1m,lining=wide"}, "The fabric width: “wide” is not a length"),
        ({"fabric_width": "main=1m,lining=2cm"}, "between the selvedges"),
        ({"fabric_width": "main=1m,2m"}, "“1m, 2m” are several values for main"),
        ({"fabric_width": "1m", "gap": "lining=-3mm"}, "The gap between parts must be between"),
        ({"fabric_width": "1m", "rounds": "main=some"}, "The number of rounds must be a whole"),
    ],
)
def test_bad_input_is_one_sentence(typed: dict[str, str], words: str) -> None:
    with pytest.raises(OptionError) as caught:
        options(**typed)
    assert words in str(caught.value)
    assert str(caught.value).endswith(".")
    assert "\n" not in str(caught.value)


def test_a_drawing_without_pieces_is_left_to_whoever_plans() -> None:
    assert list(options({}, fabric_width="1m")) == ["main"]


@given(
    present=st.lists(st.sampled_from(sorted(MATERIALS)), min_size=1, unique=True),
    widths=st.lists(st.integers(20, 300), min_size=8, max_size=8),
)
def test_each_material_gets_what_was_typed_for_it(present: list[str], widths: list[int]) -> None:
    typed = dict(zip(present, widths, strict=False))
    text = ", ".join(f"{name}={width}cm" for name, width in typed.items())
    found = options(dict.fromkeys(present, 1), fabric_width=text)
    assert {name: one.fabric_width for name, one in found.items()} == {
        name: 10.0 * width for name, width in typed.items()
    }


ANYTHING = st.text("main=,;. linig0123456789cm/-", max_size=24)


@given(typed=st.dictionaries(st.sampled_from(sorted(BY_MATERIAL)), ANYTHING, max_size=3))
def test_whatever_is_typed_gives_options_or_one_sentence(typed: dict[str, str]) -> None:
    said = ""
    try:
        assert list(options(**{"fabric_width": "1m", **typed})) == list(JACKET)
    except OptionError as fault:
        said = str(fault)
    assert not said or said.endswith(".")
    assert "\n" not in said


# --- rounds and layouts that are laid again ------------------------------------------------------


def test_rounds_are_for_the_whole_run_unless_each_material_has_its_own() -> None:
    assert wishes_from_text({"fabric_width": "1m", "rounds": "12"}).rounds == 12
    own = wishes_from_text({"fabric_width": "1m", "rounds": "main=9, lining=2, interfacing=1"})
    assert own.rounds is None
    assert [one.rounds for one in own.options(JACKET)] == [9, 2, 1]


LINING = LayOutOptions(1500.0, material="lining", nap=False, seconds=7.0)


def test_a_layout_that_is_laid_again_takes_what_is_typed_for_its_material() -> None:
    typed = {"fabric_width": "main=140cm, lining=145cm", "gap": "5mm"}
    found = changed_for(LINING, typed, others=("main",))
    assert (found.fabric_width, found.gap, found.nap, found.seconds) == (1450.0, 5.0, False, 7.0)
    assert changed_for(LINING, {}) == LINING
    assert changed_for(LINING, {"material": "Oberstoff"}).material == "main"


@pytest.mark.parametrize(
    ("typed", "others", "words"),
    [
        ({"fabric_width": "main=140cm"}, (), "“main” is not laid out again"),
        ({"nap": "main"}, (), "“main” is not laid out again"),
        ({"material": "main, lining"}, (), "has one material"),
        ({"material": "main"}, ("main",), "has one material"),
    ],
)
def test_what_is_typed_for_no_layout_that_is_laid_again_is_refused(
    typed: dict[str, str], others: tuple[str, ...], words: str
) -> None:
    with pytest.raises(OptionError, match=words):
        changed_for(LINING, typed, others=others)
