# SPDX-License-Identifier: GPL-2.0-or-later
"""What a layout was made of and is gone is named: by Check, Tighten, and when it is laid again."""

from __future__ import annotations

import json
from typing import Any

import pytest

from extension.job.options import LayOutOptions
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import layout_layers
from extension.operations.lay_out import Outcome, lay_out
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.svg.document import parse
from tests.helpers.cloth import between_selvedges
from tests.helpers.edited import CLOTH, Edited
from tests.helpers.garments import garment
from tests.helpers.layouts import no_time

RUN = Run(no_time, lambda rounds: True)
GONE = "that was laid before and is no piece of the drawing any more"


def laid(options: LayOutOptions = CLOTH) -> Edited:
    """Return the garment laid by the command, with all that it stores."""
    edited = Edited()
    edited.root = parse(lay_out(garment().document(), options, RUN).drawing).root
    return edited


def again(edited: Edited, layer: str = "thriftlay-1") -> Outcome:
    (one,) = [one for one in layout_layers(edited.document) if one.id == layer]
    return lay_out(edited.document, one.options, RUN, HoldRequest(layer))


def not_laid(outcome: Outcome) -> list[str]:
    return [line for line in outcome.summary if line.startswith("Not laid")]


@pytest.mark.parametrize("with_parts", [False, True])
def test_laid_again_it_is_named(with_parts: bool) -> None:
    edited = laid()
    edited.delete(edited.find("tab"))
    if with_parts:
        for number in (1, 2):
            edited.delete(edited.part("tab", number))
    outcome = again(edited)
    assert not_laid(outcome) == [f"Not laid: 1 {GONE} (Tab × 2)."]
    assert outcome.report["left_out"] == [{"id": "tab", "label": "Tab × 2", "reason": "gone"}]
    assert GONE in " ".join(outcome.drawing.decode().split())


def test_of_several_all_are_named() -> None:
    edited = laid()
    edited.delete(edited.find("tab"))
    edited.delete(edited.find("back"))
    (line,) = not_laid(again(edited))
    assert line.startswith("Not laid: 2 that were laid before and are no pieces")
    assert "(Back, Tab × 2)" in line or "(Back and Tab × 2)" in line


def test_nothing_is_named_when_all_is_there() -> None:
    assert not_laid(again(laid())) == []


def test_without_an_earlier_layout_nothing_can_be_gone() -> None:
    edited = laid()
    edited.delete(edited.find("tab"))
    assert not_laid(lay_out(edited.document, CLOTH, RUN)) == []


@pytest.mark.parametrize(
    ("attribute", "value", "reason"),
    [("leave-out", "yes", "marked to leave out"), ("cut", "2 lining", "of another material")],
)
def test_what_is_not_laid_for_a_reason_is_named_with_that(
    attribute: str, value: str, reason: str
) -> None:
    edited = laid()
    edited.find("tab").set(lay(attribute), value)
    (line,) = not_laid(again(edited))
    assert reason in line
    assert GONE not in line


def test_what_is_hidden_is_not_gone() -> None:
    edited = laid()
    edited.find("tab").set("style", "display:none")
    (line,) = not_laid(again(edited))
    assert "hidden" in line
    assert GONE not in line


def stripped(edited: Edited) -> Edited:
    """Take away what layouts of an earlier version did not store."""
    told: dict[str, Any] = json.loads(edited.layer.get(lay("settings"), ""))
    del told["result"]["asked"]
    edited.layer.set(lay("settings"), json.dumps(told))
    return edited


def test_on_a_layout_of_an_earlier_version_it_is_named_by_its_id() -> None:
    edited = stripped(laid())
    edited.delete(edited.find("tab"))
    assert not_laid(again(edited)) == [f"Not laid: 1 {GONE} (tab)."]


@pytest.mark.parametrize("asked", [{"tab": ["tab", 3, "Tab"]}, ["tab"], {"tab": 5}, {"tab": []}])
def test_damaged_notes_are_no_obstacle(asked: object) -> None:
    edited = laid()
    told = json.loads(edited.layer.get(lay("settings"), ""))
    told["result"]["asked"] = asked
    edited.layer.set(lay("settings"), json.dumps(told))
    edited.delete(edited.find("tab"))
    assert not_laid(again(edited)) == [f"Not laid: 1 {GONE} (tab)."]


def test_check_counts_what_is_gone_and_names_it() -> None:
    edited = laid()
    edited.delete(edited.find("tab"))
    verdict, fault = edited.check().summary
    assert verdict.startswith("3 of 5 parts, no overlap, 1 original gone, ")
    assert fault == (
        "1. Tab: its original “tab” is no longer in the drawing, so grain, hand and count of "
        "2 parts cannot be checked: bring it back, or lay out again without it."
    )
    assert edited.violations()[0]["amount"] == 2.0


def test_check_misses_what_is_gone_with_all_its_parts() -> None:
    edited = laid()
    edited.delete(edited.find("tab"))
    for number in (1, 2):
        edited.delete(edited.part("tab", number))
    verdict, fault = edited.check().summary
    assert verdict.startswith("3 of 5 parts, no overlap, 1 original gone, ")
    assert fault.startswith("1. Tab was laid here, but neither its parts nor its original “tab” ")
    assert edited.found() == [("original", ())]


def test_a_layout_all_of_whose_originals_are_gone_counts_nothing() -> None:
    edited = laid()
    edited.delete(edited.find("pieces"))
    verdict, *faults = edited.check().summary
    assert verdict.startswith("no part can be counted, no overlap, 3 originals gone, ")
    assert len(faults) == 3


def test_what_was_laid_again_without_it_is_complete() -> None:
    edited = laid()
    edited.delete(edited.find("tab"))
    edited.root = parse(again(edited).drawing).root
    assert edited.found("thriftlay-2") == []


@pytest.mark.parametrize("with_parts", [False, True])
def test_tighten_names_it_instead_of_passing_it_over(with_parts: bool) -> None:
    edited = laid()
    edited.delete(edited.find("tab"))
    if with_parts:
        for number in (1, 2):
            edited.delete(edited.part("tab", number))
    with pytest.raises(
        DrawingError, match=r"cannot be tightened as it is: Tab.*its original “tab”"
    ):
        tighten_layout(edited.document, "", RUN)


def test_a_chosen_piece_that_is_gone_is_named_too() -> None:
    edited = laid(between_selvedges(900.0, select=("front", "tab")))
    edited.delete(edited.find("tab"))
    (line,) = not_laid(again(edited))
    assert f"1 {GONE} (Tab × 2)" in line


def test_a_piece_of_another_material_keeps_the_id_of_its_original() -> None:
    drawing = garment()
    edited = Edited()
    edited.root = drawing.document().root
    edited.find("tab").set(lay("cut"), "2 main; 2 lining")
    edited.root = parse(lay_out(edited.document, CLOTH, RUN).drawing).root
    edited.delete(edited.find("tab"))
    assert not_laid(again(edited)) == [f"Not laid: 1 {GONE} (Tab × 2)."]
    assert not_laid(again(stripped(edited))) == [f"Not laid: 1 {GONE} (tab)."]
