# SPDX-License-Identifier: GPL-2.0-or-later
"""One run lays every material that the pieces are cut from, each as a layout of its own."""

from __future__ import annotations

import json
import threading
from collections import Counter
from functools import cache

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from extension.job.settings import options_of, result_of
from extension.job.wishes import wishes_from_text
from extension.language.errors import DrawingError, OptionError
from extension.language.names import lay
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import layout_layers
from extension.operations import running
from extension.operations.again import orders_again
from extension.operations.check import check_layouts
from extension.operations.lay_out import Outcome, lay_out, lay_out_again, lay_out_materials
from extension.operations.progress import ProgressOfAll, progress_text
from extension.operations.running import Run
from extension.svg.document import Document, parse
from nesting.errors import JobError
from nesting.search.keeper import Progress
from nesting.stop import AfterRounds, never
from tests.helpers.garments import garment, garment_of_materials
from tests.helpers.laid import read_layouts
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder, set_lay

WIDTHS = "main=90cm, lining=100cm, interfacing=60cm"
COUNTS = (
    Counter({"front": 2, "back": 1}),
    Counter({"front": 2, "pocket": 2}),
    Counter({"tab": 2}),
)
"""What is cut of the garment from main cloth, lining and interfacing."""


def later(rounds: int) -> bool:
    return never()


def laid(
    drawing: SvgBuilder | None = None, hold: HoldRequest | None = None, **typed: str
) -> Outcome:
    given = {"fabric_width": WIDTHS, "rounds": "6", "workers": "1", **typed}
    document = (drawing or garment_of_materials()).document()
    return lay_out_materials(
        document, wishes_from_text(given), Run(no_time, later), hold or HoldRequest()
    )


@cache
def all_laid() -> Outcome:
    return laid()


def layers(drawing: bytes) -> list[etree._Element]:
    return [layer.element for layer in layout_layers(parse(drawing))]


def settings_on(drawing: bytes) -> list[str]:
    return [layer.get(lay("settings"), "") for layer in layers(drawing)]


def test_every_material_is_laid_once_with_all_that_is_cut_from_it() -> None:
    # Read back with inkex, judged by shapely alone.
    found = read_layouts(all_laid().drawing)
    assert tuple(one.counts for one in found) == COUNTS
    for one, width in zip(found, (900.0, 1000.0, 600.0), strict=True):
        assert one.height <= width - 25.0 + 0.1
        assert one.least_gap() >= 3.0 - 0.1


def test_each_layout_is_clean_for_check_layout() -> None:
    outcome = check_layouts(parse(all_laid().drawing), ())
    assert [len(one["violations"]) for one in outcome.report["layouts"]] == [0, 0, 0]


def test_originals_stay_and_layouts_lie_below_each_other() -> None:
    before, after = garment_of_materials().document(), parse(all_laid().drawing)
    for old, new in zip(before.root, after.root, strict=False):
        assert etree.tostring(old, method="c14n") == etree.tostring(new, method="c14n")
    boxes = [shapely.union_all([part.shape for part in one.parts]).bounds for one in
             read_layouts(all_laid().drawing)]  # fmt: skip
    assert [box[0] for box in boxes] == pytest.approx([boxes[0][0]] * 3, abs=0.5)
    assert boxes[0][3] < boxes[1][1] < boxes[1][3] < boxes[2][1]


def test_each_layer_keeps_its_own_options_and_its_share_of_the_rounds() -> None:
    stored = [options_of(text) for text in settings_on(all_laid().drawing)]
    assert [one.material for one in stored] == ["main", "lining", "interfacing"]
    assert [one.fabric_width for one in stored] == [900.0, 1000.0, 600.0]
    assert [one.nap for one in stored] == [True, False, False]
    assert sum(one.rounds or 0 for one in stored) == 6


def test_what_is_stored_lays_each_layout_again_to_the_last_digit() -> None:
    document = parse(all_laid().drawing)
    orders = orders_again(document, layout_layers(document), {})
    outcome = lay_out_again(document, orders, Run(no_time, later))
    results = [result_of(text) for text in settings_on(outcome.drawing)]
    assert len(results) == 6
    assert results[3:] == results[:3]
    alone = parse(all_laid().drawing)
    (order,) = orders_again(alone, layout_layers(alone)[1:2], {})
    again = lay_out_again(alone, [order], Run(no_time, later))
    found = result_of(settings_on(again.drawing)[3])
    # Alone it says that pieces of other materials are not on it.
    assert found.pop("not_laid") == "2 of another material (Back and Tab)"
    assert found == {key: value for key, value in results[1].items() if key != "not_laid"}
    assert again.to_buy == ()


def test_two_runs_give_the_same_bytes() -> None:
    assert laid().drawing == all_laid().drawing


def test_turns_change_nothing_in_what_is_found() -> None:
    now, lock = [0.0], threading.Lock()

    def hasty() -> float:
        with lock:
            now[0] += 0.3  # the turn is another's at almost every question
            return now[0]

    typed = {"fabric_width": WIDTHS, "rounds": "6", "workers": "1"}
    run = Run(hasty, later)
    outcome = lay_out_materials(garment_of_materials().document(), wishes_from_text(typed), run)
    found = [result_of(text) for text in settings_on(outcome.drawing)]
    assert found == [result_of(text) for text in settings_on(all_laid().drawing)]
    placed = [one["placements"] for one in outcome.report["layouts"]]
    assert placed == [one["placements"] for one in all_laid().report["layouts"]]


def test_a_layer_says_with_what_it_was_laid() -> None:
    notes = [one["notes"] for one in all_laid().report["layouts"]]
    assert "Laid in one run with lining and interfacing, each on cloth of its own." in notes[0]
    assert "Laid in one run with main and lining, each on cloth of its own." in notes[2]


def test_nothing_is_called_left_out_that_another_layout_has() -> None:
    assert not any("of another material" in line for line in all_laid().summary)
    some = laid(material="main, interfacing")
    assert any("1 of another material (Pocket)" in line for line in some.summary)
    assert [one.counts for one in read_layouts(some.drawing)] == [COUNTS[0], COUNTS[2]]


def test_a_drawing_of_one_material_is_laid_as_ever() -> None:
    typed = {"fabric_width": "90cm", "rounds": "2", "workers": "1"}
    wishes = wishes_from_text(typed)
    one = lay_out_materials(garment().document(), wishes, Run(no_time, later))
    other = lay_out(garment().document(), wishes.base, Run(no_time, later))
    assert (one.drawing, one.summary, one.to_buy) == (other.drawing, other.summary, ())
    assert one.report.keys() == other.report.keys()
    assert one.report["placements"] == other.report["placements"]


def test_the_report_has_each_layout_as_it_is_told_alone_and_what_to_buy() -> None:
    report = json.loads(json.dumps(laid(price="main=12.50, lining=6").report))
    assert report["format"] == "thriftlay-report"
    assert [one["material"] for one in report["layouts"]] == ["main", "lining", "interfacing"]
    assert [one["layer"] for one in report["layouts"]] == [f"thriftlay-{n}" for n in (1, 2, 3)]
    assert all(one["placements"] and one["buy"] for one in report["layouts"])
    for one, bought in zip(report["layouts"], report["to_buy"], strict=True):
        assert bought["metric_mm"] == one["buy"]["metric_mm"]
    costs = [one["cost"] for one in report["to_buy"]]
    assert costs == [one["buy"]["cost"] for one in report["layouts"]]
    assert costs == [
        pytest.approx(12.5 * report["to_buy"][0]["metric_mm"] / 1000),
        pytest.approx(6.0 * report["to_buy"][1]["metric_mm"] / 1000),
        None,
    ]


def test_the_summary_begins_with_what_to_buy_and_has_the_cautions_once() -> None:
    lines = all_laid().summary
    assert lines[0] == "To buy:"
    assert lines[1].startswith("  main, 90 cm wide: ")
    assert [line for line in lines if line.startswith("Layout ")] == [
        "Layout 1 – 90 cm, main:",
        "Layout 2 – 100 cm, lining:",
        "Layout 3 – 60 cm, interfacing:",
    ]
    assert len(set(lines[-2:])) == 2
    assert lines.count(lines[-1]) == 1


def test_cautions_of_folded_cloth_are_told_once_however_many_layouts_are_folded() -> None:
    outcome = laid(spread="main=lengthwise, lining=lengthwise")
    report = outcome.report
    folds = [line for line in report["cautions"] if line.startswith("A fold of the cloth")]
    assert len(folds) == 1
    assert list(outcome.summary[-len(report["cautions"]) :]) == report["cautions"]
    assert len(set(outcome.summary) & set(report["cautions"])) == len(report["cautions"])
    assert sum(outcome.summary.count(line) for line in folds) == 1


def test_one_width_for_all_is_said_so() -> None:
    outcome = laid(fabric_width="100cm")
    assert any("are laid on the same width, 100cm" in line for line in outcome.to_buy)


# --- limits, stops, progress --------------------------------------------------------------------


def test_a_stop_leaves_every_layout_with_the_best_so_far() -> None:
    wishes = wishes_from_text({"fabric_width": WIDTHS, "workers": "1"})
    run = Run(no_time, lambda rounds: True)
    outcome = lay_out_materials(garment_of_materials().document(), wishes, run)
    assert tuple(one.counts for one in read_layouts(outcome.drawing)) == COUNTS
    drafts = [one["first_draft"] for one in outcome.report["layouts"]]
    assert drafts[0] is True
    assert drafts == [one["first_draft"] for one in outcome.report["to_buy"]]
    assert outcome.to_buy[1].endswith("(a first draft: more time may need less)")


def test_one_time_limit_holds_for_all_and_each_keeps_its_share() -> None:
    now, lock = [0.0], threading.Lock()

    def clock() -> float:
        with lock:
            now[0] += 0.001  # every question takes a little
            return now[0]

    wishes = wishes_from_text({"fabric_width": WIDTHS, "seconds": "4", "workers": "1"})
    outcome = lay_out_materials(garment_of_materials().document(), wishes, Run(clock, later))
    assert now[0] < 6.0
    assert sum(options_of(text).seconds for text in settings_on(outcome.drawing)) == pytest.approx(
        4.0, abs=0.2
    )


def test_one_progress_line_tells_of_all_materials() -> None:
    heard: list[Progress] = []
    wishes = wishes_from_text({"fabric_width": WIDTHS, "rounds": "6", "workers": "1"})
    run = Run(no_time, later, heard.append)
    lay_out_materials(garment_of_materials().document(), wishes, run)
    last = heard[-1]
    assert isinstance(last, ProgressOfAll)
    assert [name for name, _ in last.each] == ["main", "lining", "interfacing"]
    assert last.length == pytest.approx(sum(one.length for _, one in last.each))
    one = Progress(4.0, 2, 1837.2, 0.8, 1500.0)
    two = Progress(5.0, 0, 460.0, 0.7, 400.0)
    text = progress_text(ProgressOfAll.of([("main", one), ("lining", two)], 5.0))
    assert text == "5 s: main 1.837 m; lining 0.460 m (first draft)"


# --- held parts ---------------------------------------------------------------------------------


def with_held(of: str, material: str) -> Document:
    """Return all layouts, with the parts of an original held on the layout of one material."""
    document = parse(all_laid().drawing)
    (layer,) = [one for one in layout_layers(document) if one.options.material == material]
    for part in layer.element.iter("{*}g"):
        if part.get(lay("of")) == of:
            part.set(lay("held"), "yes")
    return document


def held_on(outcome: Outcome) -> dict[str, bool]:
    """Return by material whether something was held in the new layouts."""
    return {
        one["material"]: any(note.startswith("Held where") for note in one["notes"])
        for one in outcome.report["layouts"]
    }


@pytest.mark.parametrize("material", ["main", "lining"])
def test_held_parts_stay_on_the_cloth_of_their_own_material(material: str) -> None:
    document = with_held("front", material)
    wishes = wishes_from_text({"fabric_width": WIDTHS, "rounds": "3", "workers": "1"})
    outcome = lay_out_materials(document, wishes, Run(no_time, later))
    expected = {name: name == material for name in ("main", "lining", "interfacing")}
    assert held_on(outcome) == expected
    assert tuple(one.counts for one in read_layouts(outcome.drawing)[3:]) == COUNTS


def test_parts_may_be_held_on_layouts_of_several_materials() -> None:
    document = with_held("front", "main")
    (layer,) = [one for one in layout_layers(document) if one.options.material == "lining"]
    (part, *_) = [one for one in layer.element.iter("{*}g") if one.get(lay("of")) == "pocket"]
    part.set(lay("held"), "yes")
    wishes = wishes_from_text({"fabric_width": WIDTHS, "rounds": "3", "workers": "1"})
    outcome = lay_out_materials(document, wishes, Run(no_time, later))
    assert held_on(outcome) == {"main": True, "lining": True, "interfacing": False}


def test_a_part_that_is_chosen_is_held_on_its_own_material_alone() -> None:
    document = parse(all_laid().drawing)
    (layer,) = [one for one in layout_layers(document) if one.options.material == "lining"]
    part = next(one for one in layer.element.iter("{*}g") if one.get(lay("of")) == "pocket")
    wishes = wishes_from_text({"fabric_width": WIDTHS, "rounds": "3", "workers": "1"})
    hold = HoldRequest("", (part.get("id", ""),))
    outcome = lay_out_materials(document, wishes, Run(no_time, later), hold)
    assert held_on(outcome) == {"main": False, "lining": True, "interfacing": False}


def test_a_part_on_a_material_that_is_not_laid_cannot_be_held() -> None:
    document = parse(all_laid().drawing)
    (layer,) = [one for one in layout_layers(document) if one.options.material == "interfacing"]
    part = next(one for one in layer.element.iter("{*}g") if one.get(lay("of")) == "tab")
    typed = {"fabric_width": WIDTHS, "material": "main, lining", "rounds": "1"}
    hold = HoldRequest("", (part.get("id", ""),))
    with pytest.raises(DrawingError, match="is of interfacing, which is not laid out this time"):
        lay_out_materials(document, wishes_from_text(typed), Run(no_time, later), hold)


def test_of_layouts_laid_again_together_each_keeps_its_own_parts() -> None:
    document = parse(all_laid().drawing)
    chosen = layout_layers(document)[:2]
    part = next(one for one in chosen[1].element.iter("{*}g") if one.get(lay("of")) == "pocket")
    orders = orders_again(document, chosen, {"seconds": "9"}, (), (part.get("id", ""),))
    assert [order.hold.ids for order in orders] == [(), (part.get("id"),)]
    elsewhere = layout_layers(document)[2].element
    stray = next(one for one in elsewhere.iter("{*}g") if one.get(lay("of")) == "tab")
    with pytest.raises(DrawingError, match="is not laid out again"):
        orders_again(document, chosen, {}, (), (stray.get("id", ""),))


# --- what is refused ----------------------------------------------------------------------------


def test_what_cannot_be_laid_is_told_before_any_search(monkeypatch: pytest.MonkeyPatch) -> None:
    def solve(*_: object, **__: object) -> None:
        raise AssertionError("a search was begun")

    monkeypatch.setattr(running, "solve", solve)
    document = garment_of_materials().document()
    before = etree.tostring(document.root)
    wishes = wishes_from_text({"fabric_width": "90cm, lining=8cm"})
    with pytest.raises(JobError, match=r"^Lining: .*Front.* needs fabric at least") as refused:
        lay_out_materials(document, wishes, Run(no_time, later))
    assert "\n" not in str(refused.value)
    assert etree.tostring(document.root) == before


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"fabric_width": "main=90cm"}, r"for lining \(2 pieces\) and interfacing \(1 piece\)"),
        ({"material": "felt"}, r"“felt”: .* main \(2 pieces\), lining \(2 pieces\) and"),
        ({"fabric_width": "90cm, felt=1m"}, "No piece is cut from “felt”"),
    ],
)
def test_a_material_that_is_missing_or_wrong_is_told_with_those_there_are(
    typed: dict[str, str], words: str
) -> None:
    with pytest.raises(OptionError, match=words):
        laid(**typed)


def test_a_drawing_without_pieces_is_told_plainly() -> None:
    with pytest.raises(DrawingError, match="There is no piece to lay out"):
        lay_out_materials(
            SvgBuilder().document(), wishes_from_text({"fabric_width": "1m"}), Run(no_time, later)
        )


# --- a law --------------------------------------------------------------------------------------

demands = st.dictionaries(
    st.sampled_from(("main", "lining", "interfacing", "wadding", "felt")),
    st.integers(1, 3),
    min_size=1,
    max_size=3,
)


@settings(max_examples=25)
@given(cuts=st.lists(demands, min_size=1, max_size=4), garments=st.integers(1, 2))
def test_every_demand_is_laid_once_on_its_own_cloth(
    cuts: list[dict[str, int]], garments: int
) -> None:
    drawing = SvgBuilder("900mm", "300mm", (0, 0, 900, 300))
    for number, demand in enumerate(cuts):
        x, id_ = 10 + 200 * number, f"p{number}"
        piece = drawing.add_group(id=id_, lay={"name": id_})
        set_lay(piece, cut="; ".join(f"{count} {name}" for name, count in demand.items()))
        drawing.add_path(f"M {x} 10 h 100 l -15 120 h -85 Z", piece, id=f"{id_}-outline")
        drawing.add_line((x + 40, 120), (x + 40, 30), piece, lay={"role": "grainline"})
    wishes = wishes_from_text({"fabric_width": "50cm", "garments": str(garments), "workers": "1"})
    run = Run(no_time, AfterRounds(0))
    outcome = lay_out_materials(drawing.document(), wishes, run)
    found = {options_of(one.settings).material: one.counts for one in read_layouts(outcome.drawing)}
    wanted: dict[str, Counter[str]] = {}
    for number, demand in enumerate(cuts):
        for name, count in demand.items():
            wanted.setdefault(name, Counter())[f"p{number}"] = count * garments
    assert found == wanted
