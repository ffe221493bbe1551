# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout that was flipped as a whole is told by the printed side of its parts."""

from __future__ import annotations

import pytest

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from tests.helpers.edited import SPOTS, Edited
from tests.helpers.layouts import no_time

H, V = "translate(455,0) scale(-1,1)", "translate(0,900) scale(1,-1)"
PARTS = tuple((of, number) for of, number, _, _ in SPOTS)


def flipped(edited: Edited, text: str, parts: tuple[tuple[str, int], ...] = PARTS) -> Edited:
    """Flip parts about the cloth, as the editor does with several that are selected."""
    for of, number in parts:
        edited.transform(of, number, text)
    return edited


def layer_flipped(edited: Edited, text: str) -> Edited:
    own = edited.layer.get("transform", "")
    edited.layer.set("transform", f"{own} {text}")
    return edited


@pytest.mark.parametrize("flip", [H, V])
def test_a_layer_that_was_flipped_is_not_clean(flip: str) -> None:
    edited = layer_flipped(Edited(), flip)
    assert edited.found() == [("flipped", ("front #2", "front #1"))]
    verdict, fault = edited.check().summary
    assert verdict == "5 of 5 parts, no overlap, flipped as a whole, 0.46 m."
    assert fault.startswith("1. The whole layout was flipped: what is shown printed side up now ")


@pytest.mark.parametrize("flip", [H, V])
def test_all_parts_flipped_on_their_cloth_are_told_in_one_sentence(flip: str) -> None:
    edited = flipped(Edited(), flip)
    assert edited.found() == [("flipped", ("front #2", "front #1"))]
    assert edited.violations()[0]["amount"] == 2.0


@pytest.mark.parametrize("flip", [H, V])
def test_flipped_back_all_is_well(flip: str) -> None:
    edited = flipped(flipped(Edited(), flip), flip)
    assert edited.check().summary == Edited().check().summary


def test_turned_as_a_whole_is_not_flipped() -> None:
    assert layer_flipped(Edited(), f"{H} {V}").found() == []


def test_one_part_with_a_hand_is_not_the_whole_layout() -> None:
    edited = Edited()
    edited.delete(edited.part("front", 2))
    edited.find("front").set(lay("cut"), "1")
    flipped(edited, V, tuple(part for part in PARTS if part != ("front", 2)))
    assert [kind for kind, _ in edited.found()] == ["hand"]


def test_half_of_a_pair_that_was_flipped_is_a_wrong_hand_and_nothing_else() -> None:
    edited = flipped(Edited(), V, (("front", 1),))
    assert [kind for kind, _ in edited.found()] == ["hand"]
    assert not any("Flipped since" in line for line in edited.check().summary)


def test_parts_that_swapped_sides_are_told_though_left_and_right_come_out_even() -> None:
    edited = Edited()
    for node in (edited.part("front", 1), edited.outline("front", 1)):
        node.set(lay("flipped"), "yes")
    outcome = edited.check()
    assert outcome.is_clean
    (line,) = [line for line in outcome.summary if line.startswith("Flipped since")]
    assert line.startswith("Flipped since they were drawn: Front (1 of 2). Left and right still ")


def test_without_notes_nothing_is_said_of_sides() -> None:
    edited = flipped(Edited(), V)
    for number in (1, 2):
        for node in (edited.part("front", number), edited.outline("front", number)):
            node.attrib.pop(lay("flipped"))
    assert edited.found() == []


def test_what_may_lie_either_way_tells_no_side() -> None:
    edited = Edited()
    edited.find("front").set(lay("cut"), "2 same")
    edited.find("front").set(lay("side-up"), "either")
    assert flipped(edited, V).found() == []


def test_a_flipped_layout_is_not_tightened() -> None:
    edited = layer_flipped(Edited(), H)
    with pytest.raises(DrawingError, match="The whole layout was flipped"):
        tighten_layout(edited.document, "", Run(no_time, lambda rounds: True))
