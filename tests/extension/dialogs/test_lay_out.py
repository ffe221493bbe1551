# SPDX-License-Identifier: GPL-2.0-or-later
"""From what the editor passes to the options of a run."""

from __future__ import annotations

import pytest

from extension.dialogs.lay_out import LayOut
from extension.job.options import LayOutOptions, usual_workers
from extension.job.settings import settings_text
from extension.language.errors import DrawingError, OptionError
from extension.layouts.holding import HoldRequest
from extension.operations.lay_out import Order
from tests.helpers.menu import EMPTY, opened


def options(*arguments: str, drawing: bytes = EMPTY, material: str = "main") -> LayOutOptions:
    """Return the options of the layout of a drawing with one material."""
    (wanted,) = opened(LayOut, *arguments, drawing=drawing).wanted().options({material: 1})
    return wanted


def again(*arguments: str, drawing: bytes) -> list[Order]:
    return opened(LayOut, "--again=true", *arguments, drawing=drawing).orders()


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
    typed = options("--fabric_width=45 in", "--width_is=booked")
    assert (typed.fabric_width, typed.round_up) == (1143.0, "1/8yd")
    assert typed.usable_width == 1143.0 - 25.4


def test_materials_may_have_widths_and_naps_of_their_own() -> None:
    words = ("--fabric_width=main = 140 cm, lining = 55 in", "--price=main=12.50, lining=6")
    wishes = opened(LayOut, *words).wanted()
    main, lining = wishes.options({"main": 2, "lining": 1})
    assert (main.fabric_width, main.nap, main.price) == (1400.0, True, "12.50")
    assert (lining.fabric_width, lining.nap, lining.price) == (1397.0, False, "6")
    assert (main.round_up, lining.round_up) == ("10cm", "1/8yd")


@pytest.mark.parametrize(
    ("words", "naps"),
    [
        ((), [True, False, True]),
        (("--napped=lining",), [False, True, False]),
        (("--napped=main, lining",), [True, True, False]),
        (("--nap=false",), [False, False, False]),
        (("--nap=false", "--napped=main"), [False, False, False]),
    ],
    ids=str,
)
def test_the_tick_and_the_names_beside_it_tell_the_nap(
    words: tuple[str, ...], naps: list[bool]
) -> None:
    wishes = opened(LayOut, *words).wanted()
    found = wishes.options({"main": 1, "lining": 1, "contrast": 1})
    assert [one.nap for one in found] == naps


def test_every_field_reaches_the_options() -> None:
    typed = options(
        "--fabric_width=1.2 m",
        "--nap=false",
        "--spread=twice",
        "--depths=20 cm, 30 cm",
        "--sides=apart",
        "--material=lining",
        "--gap=1/8in",
        "--end_allowance=7cm",
        "--shrinkage=3 %",
        "--shrinkage_across=2 %",
        "--advice=true",
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
        material="lining",
    )
    assert typed == LayOutOptions(
        fabric_width=1200.0,
        nap=False,
        spread="twice 20 cm, 30 cm",
        sides="apart",
        material="lining",
        gap=3.175,
        end_allowance=70.0,
        shrinkage=0.03,
        shrinkage_across=0.02,
        advice=True,
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


def test_each_material_may_lie_its_own_way() -> None:
    words = "--spread=lengthwise", "--spread_by=lining = open, contrast = depth 30 cm"
    found = opened(LayOut, *words).wanted().options({"main": 1, "lining": 1, "contrast": 1})
    assert [one.spread for one in found] == ["lengthwise", "open", "depth 30 cm"]


def test_the_length_of_cloth_that_is_there_reaches_the_options_of_its_material() -> None:
    assert options().fabric_length is None
    assert options("--fabric_length=1.2 m").fabric_length == 1200.0
    found = (
        opened(LayOut, "--fabric_length=main = 1.2 m").wanted().options({"main": 1, "lining": 1})
    )
    assert [one.fabric_length for one in found] == [1200.0, None]


def test_flaws_that_are_typed_reach_the_options_of_their_material() -> None:
    typed = "--flaws=30 cm, 20 cm, 5 cm, 4 cm; main = 1 cm, 2 cm, 3 cm, 4 cm"
    with pytest.raises(OptionError, match="name it"):
        opened(LayOut, typed).wanted().options({"main": 1, "lining": 1})
    both = options(typed.replace("main = ", ""))
    assert [flaw[0] for flaw in both.flaws] == [(300.0, 200.0), (10.0, 20.0)]


def test_the_width_to_add_counts_only_when_adding_is_chosen() -> None:
    assert options("--allowance=1cm").allowance is None


@pytest.mark.parametrize(
    "fault",
    [
        ("--allowance_is=add", "--allowance= "),
        ("--fabric_width=0 cm",),
        ("--fabric_width=-3 cm",),
        ("--fabric_width=nan",),
        ("--fabric_width=140",),
        ("--fabric_width= ",),
        ("--fabric_width=main=140cm,lining=wide",),
        ("--price=cheap",),
        ("--spread=open", "--depths=35 cm"),
        ("--spread=depth", "--depths=3 m"),
        ("--spread_by=lining = folded",),
        ("--gap=three",),
        ("--fabric_length=2",),
        ("--fabric_length=2 m", "--shrinkage=3 %"),
        ("--fabric_length=2 m", "--shrinkage_across=3 %"),
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
    (order,) = again(f"--id={selected}", "--fabric_width=70 cm", drawing=drawing)
    assert order == Order(second, HoldRequest("layer2"))


def test_several_selected_layouts_are_laid_out_again_together() -> None:
    first = LayOutOptions(fabric_width=900.0)
    second = LayOutOptions(fabric_width=1150.0, material="lining", nap=False)
    orders = again("--id=layer2", "--id=path1", drawing=drawing_with_layouts(first, second))
    assert [order.options for order in orders] == [first, second]
    assert [order.hold.layer for order in orders] == ["layer1", "layer2"]


def test_of_several_layouts_each_keeps_the_parts_that_are_selected_on_it() -> None:
    drawing = drawing_with_layouts(LayOutOptions(900.0), LayOutOptions(900.0, material="lining"))
    words = ("--keep=selected", "--id=part1", "--id=part2")
    kept = [order.hold for order in again(*words, drawing=drawing)]
    assert kept == [HoldRequest("layer1", ("part1",)), HoldRequest("layer2", ("part2",))]


@pytest.mark.parametrize("selected", [[], ["front"], ["part1", "front"], ["nobody"]], ids=str)
def test_without_a_selected_layout_its_settings_are_refused(selected: list[str]) -> None:
    settings = LayOutOptions(fabric_width=900.0)
    drawing = drawing_with_layouts(settings, settings)
    with pytest.raises(DrawingError, match="settings of layouts, select them"):
        again(*(f"--id={one}" for one in selected), drawing=drawing)


def test_parts_of_one_layout_count_as_one() -> None:
    drawing = drawing_with_layouts(LayOutOptions(fabric_width=900.0))
    (order,) = again("--id=part1", "--id=path1", drawing=drawing)
    assert order.options.fabric_width == 900


def hold(*words: str, drawing: bytes) -> HoldRequest:
    """Return what a run keeps, of its one layout."""
    command = opened(LayOut, *words, drawing=drawing)
    return command.orders()[0].hold if command.options.again else command.kept()


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
    (order,) = again("--keep=all", "--id=part1", "--id=cuff", drawing=drawing)
    assert order.options.select == ("front", "cuff")
    assert order.hold == HoldRequest("layer1", ("layer1",))


def test_new_pieces_do_not_go_into_the_gaps_of_several_layouts() -> None:
    drawing = drawing_with_layouts(LayOutOptions(900.0), LayOutOptions(900.0))
    with pytest.raises(DrawingError, match="gaps of one alone"):
        again("--keep=all", "--id=part1", "--id=part2", drawing=drawing)


def test_parts_that_are_selected_are_not_read_as_pieces() -> None:
    drawing = drawing_with_layouts(LayOutOptions(900.0))
    assert options("--id=part1", "--id=front", drawing=drawing).select == ("front",)


def test_an_earlier_layer_without_settings_is_refused() -> None:
    bare = (
        b"<svg xmlns='http://www.w3.org/2000/svg' xmlns:lay='urn:thriftlay:1' width='1mm' "
        b"height='1mm'><g id='old' lay:layout='1'/></svg>"
    )
    with pytest.raises(DrawingError, match="settings"):
        again("--id=old", drawing=bare)
