# SPDX-License-Identifier: GPL-2.0-or-later
"""What found no room when a layout was laid is told by a check and no fault; what was lost is."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable

import pytest
from lxml import etree

from extension.diagram.lacking import lacking_text
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.checked import examined
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import chosen_layers, layout_layers
from extension.operations.again import orders_again
from extension.operations.check import Outcome as Judged
from extension.operations.check import check_layouts, compare_layouts
from extension.operations.lay_out import Outcome, lay_out, lay_out_again
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.svg.document import Document, parse, serialise
from extension.svg.leaves import read_leaves
from nesting.stop import AfterRounds
from tests.extension.operations.test_short_cloth import laid as laid_on_length
from tests.helpers.cloth import typed_between_selvedges
from tests.helpers.garments import garment
from tests.helpers.layouts import no_time
from tests.helpers.remnants import cloths, drawing_of, laid, never, strips

FLAPS = strips(100).replace("/>", ' lay:cut="9 same"/>', 1)
"""Nine copies of one strip."""


def on_a_length() -> Outcome:
    return laid_on_length(170.0, 1)


def of_copies() -> Outcome:
    return laid(drawing_of(cloths(420), FLAPS), "Rest 420", rounds="2")


def on_two_remnants() -> Outcome:
    return laid(drawing_of(cloths(400, 200), strips(350, 300, 150)), "Rest 400", "Rest 200")


def of_garments() -> Outcome:
    drawing = drawing_of(cloths(310, 120), strips(100, 150))
    return laid(drawing, "Rest 310", "Rest 120", one_lot="garment", garments="2", rounds="2")


def on_folded_cloth() -> Outcome:
    typed = {"fabric_width": "50cm", "fabric_length": "32cm", "spread": "crosswise", "rounds": "2"}
    options = typed_between_selvedges(typed)
    return lay_out(garment().document(), options, Run(no_time, AfterRounds(3)))


KINDS = pytest.mark.parametrize(
    "made", [on_a_length, of_copies, on_two_remnants, of_garments, on_folded_cloth]
)


def copies(entries: list[dict[str, object]]) -> dict[str, list[int]]:
    return {str(one["piece"]): list(one["copies"]) for one in entries}  # type: ignore[call-overload]


def left_over(outcome: Outcome) -> list[dict[str, list[int]]]:
    """Return what a run left over, layout by layout."""
    return [copies(one["left_over"]) for one in outcome.report.get("layouts", [outcome.report])]


def told(judged: Judged) -> list[dict[str, list[int]]]:
    """Return what a check says was left over, layout by layout."""
    return [copies(one["left_over"]) for one in judged.report["layouts"]]


def part(document: Document, of: str, number: int = 1) -> etree._Element:
    groups = (node for node in document.root.iter("{*}g") if node.get(lay("of")) == of)
    return next(node for node in groups if node.get(lay("copy")) == str(number))


def without(document: Document, of: str, number: int = 1) -> Document:
    """Return a drawing without one part of a layout."""
    lost = part(document, of, number)
    lost.getparent().remove(lost)  # type: ignore[union-attr]
    return parse(serialise(document))


def as_before(document: Document) -> Document:
    """Return a drawing whose layouts do not say what was left over, as they did not once."""
    for layer in layout_layers(document):
        stored = json.loads(layer.element.get(lay("settings"), ""))
        del stored["result"]["left_over"]
        layer.element.set(lay("settings"), json.dumps(stored))
    return parse(serialise(document))


@KINDS
def test_a_layout_as_it_was_laid_is_clean_and_says_what_was_left_over(
    made: Callable[[], Outcome],
) -> None:
    outcome = made()
    assert any(left_over(outcome)), "something must be left over"
    document = parse(outcome.drawing)
    judged = check_layouts(document)
    assert (judged.is_clean, judged.report["violations"]) == (True, [])
    assert told(judged) == left_over(outcome)
    # A check brings the stored figures up to date, and does not forget.
    again = check_layouts(parse(judged.drawing))
    assert (again.is_clean, told(again)) == (True, left_over(outcome))


def test_it_is_named_with_how_many_copies_and_counted_in_the_table() -> None:
    judged = check_layouts(parse(of_copies().drawing))
    (entry,) = judged.report["layouts"]
    assert (entry["parts"], entry["expected"]) == (4, 4)
    assert entry["verdict"] == "4 of 4 parts, 5 left over, no overlap, 0.40 m"
    assert (
        "Left over when it was laid, since no room was found: Strip 100 × 5. Cut them from other "
        "cloth."
    ) in judged.summary
    lines, report = compare_layouts(parse(of_copies().drawing))
    assert "4 of 4, 5 left over" in lines[1]
    assert lines[1].endswith("clean")
    assert report["layouts"][0]["left_over"] == entry["left_over"]


def test_what_the_layer_says_after_a_check_is_true_still() -> None:
    document = parse(laid_on_length(110.0, 1, cuff="1", belt="2").drawing)
    drawing = check_layouts(document).drawing
    (layer,) = layout_layers(parse(drawing))
    words = " ".join("".join(layer.sublayer("measures").itertext()).split())  # type: ignore[union-attr]
    assert "Did not fit: Body × 1." in words
    assert "All parts fit" not in words
    assert "not tried" not in words


@pytest.mark.parametrize("number", [1, 4])
def test_a_part_that_lay_there_and_is_gone_is_a_fault_and_no_other(number: int) -> None:
    document = without(parse(of_copies().drawing), "p100", number)
    judged = check_layouts(document)
    (fault,) = judged.report["violations"]
    assert (fault["kind"], fault["parts"], fault["amount"]) == ("count", [f"p100 #{number}"], 1.0)
    assert told(judged) == [{"p100": [5, 6, 7, 8, 9]}]
    (entry,) = judged.report["layouts"]
    assert (entry["parts"], entry["expected"]) == (3, 4)
    assert entry["verdict"].startswith("3 of 4 parts, 5 left over")


def test_a_part_that_found_its_place_by_hand_is_left_over_no_more() -> None:
    """Copies of a hand are as good as each other, whatever number a duplicate has."""
    document = parse(of_copies().drawing)
    more = copy.deepcopy(part(document, "p100", 2))
    part(document, "p100", 2).getparent().append(more)  # type: ignore[union-attr]
    judged = check_layouts(parse(serialise(document)))
    (entry,) = judged.report["layouts"]
    assert told(judged) == [{"p100": [6, 7, 8, 9]}]
    assert (entry["parts"], entry["expected"]) == (5, 5)
    assert {fault["kind"] for fault in entry["violations"]} == {"overlap"}
    # Then one that lay there before is lost: as many are there as when it was laid.
    judged = check_layouts(without(document, "p100", 4))
    (entry,) = judged.report["layouts"]
    assert (entry["parts"], entry["expected"]) == (4, 4)
    assert sum(map(len, told(judged)[0].values())) == 5
    assert {fault["kind"] for fault in entry["violations"]} == {"overlap"}


def test_layouts_that_do_not_say_are_judged_as_they_were() -> None:
    judged = check_layouts(as_before(parse(of_copies().drawing)))
    (fault,) = judged.report["violations"]
    assert (fault["kind"], fault["amount"]) == ("count", 5.0)
    assert told(judged) == [{}]
    document = as_before(parse(of_copies().drawing))
    one = examined(document, read_leaves(document, include_layouts=True), *layout_layers(document))
    assert lacking_text(one).startswith("NOT on this layout: Strip 100 × 5 (of 9).")


def test_what_was_left_over_and_whose_original_is_gone_was_not_laid_here() -> None:
    document = parse(on_a_length().drawing)
    (original,) = (node for node in document.root.iter("{*}rect") if node.get("id") == "cuff")
    original.getparent().remove(original)  # type: ignore[union-attr]
    judged = check_layouts(parse(serialise(document)))
    (fault,) = judged.report["violations"]
    assert fault["kind"] == "original"
    assert fault["sentence"].startswith("Cuff was left over when this was laid, and its original")
    assert judged.report["expected"] == 2


@KINDS
def test_it_is_kept_when_the_layout_is_laid_again_and_tightened(
    made: Callable[[], Outcome],
) -> None:
    outcome = made()
    document = parse(outcome.drawing)
    layers = chosen_layers(document, [])
    for layer, left in zip(layers, left_over(outcome), strict=True):
        number = next(n for n, one in enumerate(layers) if one.id == layer.id)
        fresh = parse(outcome.drawing)
        if layer.result["parts"]:
            shifted(fresh, layer.id)
            tight = tighten_layout(fresh, layer.id, Run(no_time, AfterRounds(4)))
            assert tight.drawing is not None
            judged = check_layouts(parse(tight.drawing), [tight.report["layer"]])
            assert judged.is_clean, judged.summary
            assert told(judged) == [left]
            assert copies(tight.report["left_over"]) == left
            assert any(line.startswith("Did not fit: ") for line in tight.summary) == bool(left)
        fresh = parse(outcome.drawing)
        orders = orders_again(fresh, [chosen_layers(fresh, [])[number]], {"rounds": "2"})
        again = lay_out_again(fresh, orders, Run(no_time, never))
        judged = check_layouts(parse(again.drawing), [again.report["layer"]])
        assert judged.is_clean, judged.summary
        assert told(judged) == left_over(again)
        assert sum(map(len, left_over(again)[0].values())) == sum(map(len, left.values()))


def shifted(document: Document, layer: str) -> None:
    """Move the part of a layout that lies farthest from the cut end by a little more."""
    (one,) = chosen_layers(document, [layer])
    group = [node for node in one.element.iter("{*}g") if node.get(lay("of"))][-1]
    group.set("transform", f"translate(3 0) {group.get('transform', '')}")


def test_a_part_that_was_lost_is_refused_by_tightening_as_ever() -> None:
    document = without(parse(of_copies().drawing), "p100", 2)
    with pytest.raises(DrawingError, match="is missing"):
        tighten_layout(document, "", Run(no_time, AfterRounds(4)))


def test_where_all_was_left_over_there_is_nothing_to_tighten() -> None:
    document = parse(laid_on_length(30.0, 1).drawing)
    judged = check_layouts(document)
    assert judged.is_clean
    assert judged.report["verdict"] == "no part laid, 3 left over, no overlap, 0.00 m"
    with pytest.raises(DrawingError, match=r"No part lies on .*, so there is nothing to tighten"):
        tighten_layout(parse(judged.drawing), "", Run(no_time, AfterRounds(4)))


def test_held_parts_may_lie_on_cloth_that_is_too_short_for_the_others() -> None:
    document = parse(of_copies().drawing)
    (layer,) = chosen_layers(document, [])
    held = part(document, "p100", 1).get("id", "")
    (order,) = orders_again(document, [layer], {"rounds": "2"}, held=[held])
    assert isinstance(order.hold, HoldRequest)
    again = lay_out_again(document, [order], Run(no_time, never))
    judged = check_layouts(parse(again.drawing), [again.report["layer"]])
    assert (judged.is_clean, told(judged)) == (True, left_over(again))
