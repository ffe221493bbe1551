# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts on folded cloth, changed by hand and checked: zones, folds, sections, counts, lengths."""

from __future__ import annotations

import random
from typing import Any

import pytest

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.checked import Checked, examined
from extension.layouts.layers import layout_layers
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from nesting.judge.check import check
from nesting.judge.outlines import FIGURES
from nesting.model import OPEN, Section, Sides
from tests.helpers.cloth import between_selvedges
from tests.helpers.folded_by_hand import (
    CROSSWISE,
    DEPTH,
    LENGTHWISE,
    SPREADS,
    TURNED,
    TWICE,
    EditedFolded,
    with_a_single,
)


def looked_at(edited: EditedFolded) -> Checked:
    """Return the layout of a drawing as it lies now."""
    document = edited.document
    (layer,) = layout_layers(document)
    return examined(document, read_leaves(document, include_layouts=True), layer)


def without_nap(section: Section, sides: Sides = "together") -> EditedFolded:
    """Return a garment with a single on a folded section and an open one; no nap crosswise."""
    options = between_selvedges(900.0, workers=2, nap=section != CROSSWISE)
    return EditedFolded(section, OPEN, drawing=with_a_single(), options=options, sides=sides)


def only(edited: EditedFolded) -> dict[str, Any]:
    """Return the one violation that is found."""
    (violation,) = edited.violations()
    return violation


@pytest.mark.parametrize("sides", ["together", "apart"])
@pytest.mark.parametrize("name", SPREADS)
def test_what_was_laid_is_read_back_as_it_was_laid(name: str, sides: Sides) -> None:
    edited = without_nap(SPREADS[name], sides)
    checked = looked_at(edited)
    laid, read = edited.sheet.layout, checked.situation.layout
    assert checked.findings == ()
    assert checked.right == checked.expected == 6
    assert read.length == pytest.approx(laid.length, abs=1e-4)
    assert read.utilisation == pytest.approx(laid.utilisation, abs=1e-6)
    assert [one.length for one in read.sections] == pytest.approx(
        [one.length for one in laid.sections], abs=1e-4
    )
    by_copies = {(spot.piece, spot.copies): spot for spot in read.placements}
    for spot in laid.placements:
        found = by_copies[spot.piece, spot.copies]
        assert (found.section, found.layers, found.on_fold) == (
            spot.section,
            spot.layers,
            spot.on_fold,
        )
        assert (found.x, found.y) == pytest.approx((spot.x, spot.y), abs=1e-3)
        assert found.turn == spot.turn


def test_a_moved_part_breaks_the_rules_that_the_judge_says_it_breaks() -> None:
    """What is seen on the table and what is cut on the unfolded cloth come to the same."""
    chance = random.Random(5)
    kinds = set[str]()
    for _ in range(40):
        edited = without_nap(
            SPREADS[chance.choice(list(SPREADS))], chance.choice(["together", "apart"])
        )
        spot = chance.choice(edited.sheet.layout.placements)
        dx = chance.choice([0.0, chance.uniform(-40, 60), chance.uniform(-3, 3)])
        dy = chance.choice([chance.uniform(-300, 300), chance.uniform(-40, 40), 0.0])
        edited.move(spot.piece, " ".join(map(str, spot.copies)), dx, dy)
        checked = looked_at(edited)
        assert checked.situation.plan is not None
        found = check(checked.situation.plan.job, checked.situation.layout)
        # A part that lies off the cloth counts for no length here, as on plain cloth.
        theirs = {one.kind for one in found} - {FIGURES}
        assert {one.kind for one in checked.findings} == theirs, (spot, dx, dy)
        kinds |= theirs
    assert {"zone", "overlap", "off the cloth"} <= kinds


# --- folds and zones ----------------------------------------------------------------------------


def test_a_part_over_the_fold_is_told_with_how_far() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN)
    low = edited.box("front", "1 2")[1]
    edited.move("front", "1 2", 0.0, LENGTHWISE.lower - low - 8.0)
    found = only(edited)
    assert found["kind"] == "zone"
    assert found["parts"] == ["front #1"]
    assert found["amount"] == pytest.approx(8.0, abs=0.01)
    assert found["sentence"] == (
        "Front (1 + 2 of 2) reaches 8 mm across the fold of the cloth: move it off the fold"
    )


def test_a_part_over_the_edge_of_the_upper_layer_is_told() -> None:
    edited = EditedFolded(DEPTH, OPEN)
    high = edited.box("front", "1 2")[3]
    edited.move("front", "1 2", 0.0, 600.0 - high + 15.0)
    found = only(edited)
    assert (found["kind"], round(found["amount"], 2)) == ("zone", 15.0)
    assert "over the edge of the upper layer" in found["sentence"]


@pytest.mark.parametrize("section", [LENGTHWISE, DEPTH, TWICE])
def test_a_half_off_its_fold_says_so_with_the_remedy(section: Section) -> None:
    edited = EditedFolded(section, OPEN)
    edited.move("back", "1", 0.0, 4.0)
    found = only(edited)
    assert (found["kind"], round(found["amount"], 2)) == ("zone", 4.0)
    assert found["sentence"] == (
        "The fold edge of Back lies 4 mm off the fold of the cloth: move it exactly onto the fold"
    )


def test_a_half_on_open_cloth_is_no_whole_piece() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())
    shift = edited.sheet.start_of(2)
    edited.move("back", "1", shift + 200.0, 0.0)
    found = only(edited)
    assert found["kind"] == "zone"
    assert found["amount"] < 1e6
    assert "lay it whole" in found["sentence"]


def test_a_part_nearer_to_the_fold_than_half_the_gap_lies_too_near_to_its_own_copy() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN)
    low = edited.box("front", "1 2")[1]
    edited.move("front", "1 2", 0.0, LENGTHWISE.lower - low + 1.0)
    found = only(edited)
    assert (found["kind"], found["parts"]) == ("gap", ["front #1", "front #2"])
    assert found["amount"] == pytest.approx(1.0, abs=0.01)
    assert "lies 1 mm from the fold of the cloth" in found["sentence"]
    assert "2 mm apart, the gap is 3 mm" in found["sentence"]


# --- sections -----------------------------------------------------------------------------------


def test_a_part_that_cuts_two_cuts_one_on_open_cloth() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())
    edited.move("front", "1 2", edited.sheet.start_of(2), 0.0)
    found = only(edited)
    assert (found["kind"], found["parts"]) == ("count", ["front #2"])
    assert "lies where the cloth is single and is cut once" in found["sentence"]


def test_a_pair_may_be_laid_twice_on_open_cloth_instead() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())
    shift = edited.sheet.start_of(2)
    low_x, low_y, high_x, high_y = edited.box("front", "1 2")
    edited.move("front", "1 2", shift + 200.0, 0.0)
    first = edited.part("front", "1 2").get("transform")
    twin = edited.duplicate("front", "1 2", "")
    # Mirrored in its own middle line along the cloth, and moved down beside the other one.
    middle = edited.on_page(0.0, (low_y + high_y) / 2.0)[1]
    down = high_y - low_y + 10.0
    twin.set("transform", f"translate(0, {2.0 * middle + down}) scale(1, -1) {first}")
    assert high_x > low_x
    assert edited.violations() == []


def test_a_single_on_two_layers_would_be_cut_once_too_often() -> None:
    edited = EditedFolded(DEPTH, OPEN, drawing=with_a_single())
    _, low, _, high = edited.box("pocket", "1")
    edited.move("pocket", "1", 460.0, 600.0 - high - 20.0)
    found = only(edited)
    assert (found["kind"], found["parts"]) == ("count", ["pocket #1"])
    assert "move it to where the cloth lies single" in found["sentence"]
    assert low > 0.0


def test_a_part_off_the_table_is_told_by_the_edge_that_lies_there() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN)
    high = edited.box("front", "1 2")[3]
    edited.move("front", "1 2", 0.0, 900.0 - high + 7.0)
    found = only(edited)
    assert found["kind"] == "off the cloth"
    assert found["sentence"] == "Front (1 + 2 of 2) reaches 7 mm beyond both selvedges"


def test_a_part_left_of_a_later_section_lies_over_its_start() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())
    low_x = edited.box("pocket", "1")[0]
    edited.move("pocket", "1", -low_x - 5.0, 0.0)
    found = only(edited)
    assert found["sentence"] == "Pocket reaches 5 mm beyond the start of its section"


def test_a_part_across_two_sections_is_told() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())
    high_x = edited.box("front", "1 2")[2]
    edited.move("front", "1 2", edited.sheet.start_of(2) - high_x + 20.0, 0.0)
    (found,) = [one for one in edited.violations() if one["kind"] == "off the cloth"]
    assert found["sentence"] == (
        "Front (1 + 2 of 2) reaches 20 mm beyond the end of its section, into the next one"
    )


def test_a_part_moved_along_makes_its_own_section_longer_and_no_other() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())
    before = [one.length for one in edited.sheet.layout.sections]
    high_x = edited.box("tab", "1 2")[2]
    edited.move("tab", "1 2", before[0] - high_x + 30.0, 0.0)
    first = edited.check()
    assert first.is_clean
    assert first.report["length"] == pytest.approx(sum(before) + 30.0, abs=0.01)
    # What is drawn anew is read as it was, the second section where it lay.
    edited.root = parse(first.drawing).root
    second = edited.check()
    assert second.is_clean
    assert second.report["length"] == pytest.approx(first.report["length"], abs=0.001)
    assert second.report["utilisation"] == pytest.approx(first.report["utilisation"], abs=1e-6)


@pytest.mark.parametrize(("section", "more"), [(TURNED, 60.0), (CROSSWISE, 60.0)])
def test_a_crosswise_fold_takes_twice_as_much_cloth(section: Section, more: float) -> None:
    edited = without_nap(section)
    before = edited.sheet.layout
    spot = max(
        (one for one in before.placements if one.section == 1),
        key=lambda one: edited.box(one.piece, " ".join(map(str, one.copies)))[2],
    )
    edited.move(spot.piece, " ".join(map(str, spot.copies)), 30.0, 0.0)
    outcome = edited.check()
    assert outcome.is_clean
    assert outcome.report["length"] == pytest.approx(before.length + more, abs=0.01)


def test_cloth_of_a_fixed_length_is_too_short_for_all_sections_together() -> None:
    options = between_selvedges(900.0, workers=2, fabric_length=500.0, end_allowance=0.0)
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single(), options=options)
    found = only(edited)
    assert found["kind"] == "off the cloth"
    assert found["parts"] == []
    assert "more than there is" in found["sentence"]


def test_a_section_that_was_emptied_stays_where_it_is_drawn() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())
    shift = edited.sheet.start_of(2)
    for of, copies in (("front", "1 2"), ("back", "1"), ("tab", "1 2")):
        edited.delete(edited.part(of, copies))
    first = edited.check()
    edited.root = parse(first.drawing).root
    assert edited.violations() == first.report["violations"]
    assert any(
        "nothing lies here" in " ".join(map(str, one.itertext()))
        for one in edited.root.iter("{*}text")
    )
    # What is put there is on that section again.
    edited.move("pocket", "1", -shift, 500.0)
    (found,) = [one for one in edited.violations() if one["parts"] == ["pocket #1"]]
    assert found["kind"] == "count"
    assert "cut once too often" in found["sentence"]


def test_a_duplicate_on_two_layers_is_two_too_many() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())
    edited.duplicate("front", "1 2", "translate(0, 0)")
    outcome = edited.check()
    (found,) = [one for one in outcome.report["violations"] if one["kind"] == "count"]
    assert found["sentence"] == "Front would be cut twice too often: 2 are asked for"
    assert found["amount"] == 2.0
    assert outcome.summary[0].startswith("6 of 6 parts, 2 too many")
    assert any("Front (two too many)" in line for line in outcome.summary)


def test_a_single_on_two_layers_that_lies_off_the_grain_is_told_once() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())
    low_x, low_y, high_x, high_y = edited.box("pocket", "1")
    edited.move("pocket", "1", 200.0 - edited.sheet.start_of(2) - low_x, 700.0 - low_y)
    middle = edited.on_page(200.0 + (high_x - low_x) / 2.0, 700.0 + (high_y - low_y) / 2.0)
    edited.transform("pocket", "1", f"rotate(7, {middle[0]}, {middle[1]})")
    kinds = [one["kind"] for one in edited.violations() if "pocket #1" in one["parts"]]
    assert kinds.count("turn") == 1
    assert "count" in kinds


# --- however it was changed ---------------------------------------------------------------------


@pytest.mark.parametrize(
    "transform",
    ["translate(300, -40)", "rotate(90)", "rotate(33, 100, 100)", "rotate(180, 400, 300)"],
)
def test_a_layer_that_was_moved_or_turned_is_read_as_before(transform: str) -> None:
    edited = EditedFolded(DEPTH, OPEN, drawing=with_a_single())
    edited.layer.set("transform", f"{transform} {edited.layer.get('transform')}")
    outcome = edited.check()
    assert outcome.is_clean, outcome.summary
    assert outcome.report["length"] == pytest.approx(edited.sheet.layout.length, abs=0.01)


def test_without_its_cloth_the_settings_tell_how_it_was_folded() -> None:
    edited = EditedFolded(TWICE, OPEN, drawing=with_a_single())
    cloth = next(one for one in edited.layer if one.get(lay("holds")) == "cloth")
    edited.delete(cloth)
    outcome = edited.check()
    assert outcome.is_clean
    assert any("cloth is not drawn any more" in one for one in outcome.summary)


def test_parts_without_their_groups_and_notes_are_known_by_their_outlines() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())
    for of, copies in (("back", "1"), ("front", "1 2")):
        outline = edited.ungroup(of, copies)
        for name in list(outline.attrib):
            if str(name).startswith("{urn:thriftlay"):
                del outline.attrib[name]
    assert edited.violations() == []


@pytest.mark.parametrize(
    "flip", ["translate(3000, 0) scale(-1, 1)", "translate(0, 1500) scale(1, -1)"]
)
def test_folded_cloth_flipped_as_a_whole_is_told_for_that_alone_and_comes_back_clean(
    flip: str,
) -> None:
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())
    before = edited.layer.get("transform", "")
    edited.layer.set("transform", f"{flip} {before}")
    outcome = edited.check()
    assert [one["kind"] for one in outcome.report["violations"]] == ["flipped"]
    edited.root = parse(outcome.drawing).root
    edited.layer.set("transform", f"{flip} {edited.layer.get('transform')}")
    again = edited.check()
    assert again.is_clean
    assert again.report["length"] == pytest.approx(edited.sheet.layout.length, abs=0.01)


def test_an_edited_original_of_a_half_is_told_for_that_alone() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN, drawing=with_a_single())
    outline = edited.find("back-outline")
    outline.set("d", outline.get("d", "").replace("240", "246"))
    assert [one["kind"] for one in edited.violations()] == ["edited"]


def test_without_any_original_the_table_can_still_be_judged() -> None:
    edited = EditedFolded(TWICE, OPEN, drawing=with_a_single())
    for name in ("pieces", "pocket"):
        edited.delete(edited.find(name))
    assert {one["kind"] for one in edited.violations()} == {"original"}


def test_damaged_sections_are_told_and_nothing_else_is_guessed() -> None:
    edited = EditedFolded(LENGTHWISE, OPEN)
    text = edited.layer.get(lay("settings"), "").replace('"lower_mm": 450.0', '"lower_mm": 950.0')
    edited.layer.set(lay("settings"), text)
    with pytest.raises(DrawingError, match="gone or damaged"):
        edited.check()
