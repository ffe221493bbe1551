# SPDX-License-Identifier: GPL-2.0-or-later
"""From what the editor passes to the options of a run."""

from __future__ import annotations

import pytest

from extension.dialogs.lay_out import LayOut
from extension.job.options import LayOutOptions, usual_workers
from extension.job.settings import settings_text
from extension.language.errors import DrawingError, OptionError
from extension.layouts.holding import HoldRequest
from tests.helpers.menu import EMPTY, opened


def options(*arguments: str, drawing: bytes = EMPTY) -> LayOutOptions:
    return opened(LayOut, *arguments, drawing=drawing).wanted()


def drawing_with_layouts(*settings: LayOutOptions) -> bytes:
    layers = "".join(
        f"<g id='layer{number}' lay:layout='{number}' lay:settings='{text}'>"
        f"<g id='part{number}'><path id='path{number}' d='M0,0'/></g></g>"
        for number, text in enumerate((settings_text(one, {}) for one in settings), start=1)
    )
    return (
        "<svg xmlns='http://www.w3.org/2000/svg' xmlns:lay='urn:thriftlay:1' width='1mm' "
        f"height='1mm'><!-- a remark --><rect id='front'/>{layers}</svg>"
    ).encode()


def test_an_untouched_dialog_gives_the_defaults_that_never_spoil_cloth() -> None:
    assert options() == LayOutOptions(fabric_width=1400.0, workers=usual_workers())


def test_inches_round_to_eighths_of_a_yard() -> None:
    typed = options("--width=45", "--width_unit=in", "--width_is=booked")
    assert (typed.fabric_width, typed.round_up) == (1143.0, "1/8yd")
    assert typed.usable_width == 1143.0 - 25.4


def test_noise_of_a_spin_box_is_no_width() -> None:
    assert options("--width=139.99999999999997").fabric_width == 1400.0


def test_every_field_reaches_the_options() -> None:
    typed = options(
        "--width=1.2",
        "--width_unit=m",
        "--nap=false",
        "--material=lining",
        "--gap=1/8in",
        "--end_allowance=7cm",
        "--shrinkage=3 %",
        "--round_up=none",
        "--garments=2",
        "--sizes=38=2,40",
        "--allowance_is=add",
        "--allowance=1cm",
        "--lay_without_grain=true",
        "--seconds=60",
        "--seed=7",
        "--id=b",
        "--id=a",
    )
    assert typed == LayOutOptions(
        fabric_width=1200.0,
        nap=False,
        material="lining",
        gap=3.175,
        end_allowance=70.0,
        shrinkage=0.03,
        round_up="none",
        garments=2,
        sizes=(("38", 2), ("40", 2)),
        allowance=10.0,
        no_grain="lay",
        seconds=60.0,
        seed=7,
        select=("b", "a"),
        workers=usual_workers(),
    )


def test_the_width_to_add_counts_only_when_adding_is_chosen() -> None:
    assert options("--allowance=1cm").allowance is None


@pytest.mark.parametrize(
    "fault",
    [
        ("--allowance_is=add", "--allowance= "),
        ("--width=0",),
        ("--width=-3",),
        ("--width=nan",),
        ("--gap=three",),
        ("--sizes=38=none",),
    ],
    ids=str,
)
def test_a_value_that_cannot_be_used_is_one_sentence(fault: tuple[str, ...]) -> None:
    with pytest.raises(OptionError) as caught:
        options(*fault)
    assert str(caught.value).endswith(".")
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("selected", ["layer2", "part2", "path2"])
def test_the_settings_of_the_selected_layout_are_used_whole(selected: str) -> None:
    first = LayOutOptions(fabric_width=900.0)
    second = LayOutOptions(fabric_width=1150.0, nap=False, select=("front",), seed=3)
    drawing = drawing_with_layouts(first, second)
    assert options("--again=true", f"--id={selected}", "--width=70", drawing=drawing) == second


@pytest.mark.parametrize(
    "selected", [[], ["front"], ["layer1", "layer2"], ["part1", "front"], ["nobody"]], ids=str
)
def test_without_one_selected_layout_its_settings_are_refused(selected: list[str]) -> None:
    settings = LayOutOptions(fabric_width=900.0)
    drawing = drawing_with_layouts(settings, settings)
    with pytest.raises(DrawingError, match="select that layout"):
        options("--again=true", *(f"--id={one}" for one in selected), drawing=drawing)


def test_parts_of_one_layout_count_as_one() -> None:
    drawing = drawing_with_layouts(LayOutOptions(fabric_width=900.0))
    assert options("--again=true", "--id=part1", "--id=path1", drawing=drawing).fabric_width == 900


def hold(*words: str, drawing: bytes) -> HoldRequest:
    return opened(LayOut, *words, drawing=drawing).kept()


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ((), HoldRequest()),
        (("--id=front",), HoldRequest()),
        (("--id=part1",), HoldRequest("part1")),
        (("--again=true", "--id=part1"), HoldRequest("layer1")),
        (("--keep=selected", "--id=part1", "--id=front"), HoldRequest("layer1", ("part1",))),
        (("--again=true", "--keep=selected", "--id=part1"), HoldRequest("layer1", ("part1",))),
        (("--keep=all", "--id=part1", "--id=front"), HoldRequest("layer1", ("layer1",))),
    ],
    ids=str,
)
def test_what_is_kept_follows_from_the_selection(
    words: tuple[str, ...], wanted: HoldRequest
) -> None:
    assert hold(*words, drawing=drawing_with_layouts(LayOutOptions(900.0))) == wanted


@pytest.mark.parametrize(
    "words",
    [
        ("--keep=all",),
        ("--keep=selected", "--id=front"),
        ("--keep=all", "--id=part1", "--id=part2"),
    ],
    ids=str,
)
def test_nothing_is_kept_of_no_layout_or_of_several(words: tuple[str, ...]) -> None:
    settings = LayOutOptions(900.0)
    with pytest.raises(DrawingError, match="To keep parts in place, select them"):
        hold(*words, drawing=drawing_with_layouts(settings, settings))


def test_new_pieces_go_into_the_gaps_of_the_selected_layout() -> None:
    drawing = drawing_with_layouts(LayOutOptions(900.0, select=("front",)))
    words = ("--again=true", "--keep=all", "--id=part1", "--id=cuff")
    assert options(*words, drawing=drawing).select == ("front", "cuff")


def test_parts_that_are_selected_are_not_read_as_pieces() -> None:
    drawing = drawing_with_layouts(LayOutOptions(900.0))
    assert options("--id=part1", "--id=front", drawing=drawing).select == ("front",)


def test_an_earlier_layer_without_settings_is_refused() -> None:
    bare = (
        b"<svg xmlns='http://www.w3.org/2000/svg' xmlns:lay='urn:thriftlay:1' width='1mm' "
        b"height='1mm'><g id='old' lay:layout='1'/></svg>"
    )
    with pytest.raises(DrawingError, match="settings"):
        options("--again=true", "--id=old", drawing=bare)
