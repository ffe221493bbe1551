# SPDX-License-Identifier: GPL-2.0-or-later
"""What a layout says about itself is complete, and honest about what is not known."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from extension.job.options import LayOutOptions
from extension.job.plan import Plan
from extension.job.summary import NapTrial, left_out_text, summary
from extension.language.cautions import CAUTIONS
from extension.language.rounding import purchase
from extension.language.words import counted
from extension.svg.model import LeftOut
from nesting.model import LeftOver, Placement
from tests.helpers.cloth import between_selvedges, typed_between_selvedges
from tests.helpers.garments import garment
from tests.helpers.layouts import layout_of, plan_of

WIDE = between_selvedges(1400.0)


def lines(
    options: LayOutOptions = WIDE,
    *,
    trial: NapTrial = "",
    plan: Plan | None = None,
    left_over: tuple[LeftOver, ...] = (),
) -> tuple[str, ...]:
    plan = plan or plan_of(garment().document(), options)
    spots = [Placement("front", (copy,), 1, 0.0, copy == 2, 0.0, 0.0) for copy in (1, 2)]
    layout = replace(layout_of(plan, spots, 1837.2), left_over=left_over)
    return summary(plan, options, layout, options.bought(layout.length), trial)


def test_the_usual_run_says_all_that_is_to_be_known() -> None:
    assert lines() == (
        "Needs 1.84 m + 5 cm end allowance – buy 1.90 m / 2 1/8 yd (rounded up to 10 cm and "
        "1/8 yd).",
        "Width 140 cm between the selvedges.",
        "Single layer, cloth open, right side up. With nap: all tops one way.",
        "2 parts from 3 pieces of main, for 1 garment.",
        "Parts cover 1.8% of the usable cloth; 0.03 m is needed at the very least. "
        "Gap between parts 3 mm.",
        "Seam allowance: included in the drawing.",
        "Dash-dot line: centre of a piece drawn on the fold, do not cut.",
        "Seed 7, 3 rounds, 2 workers, engine by hand.",
        *CAUTIONS,
    )


def test_a_booked_width_tells_both_and_imperial_choices_are_told_in_inches() -> None:
    options = typed_between_selvedges(
        {
            "fabric_width": "60in",
            "width_is": "booked",
            "end_allowance": "2in",
            "allowance": "5/8in",
            "garments": "2",
        }
    )
    said = " ".join(lines(options))
    assert "Width 60 in as on the bolt, 59 in usable: 1/2 in of selvedge off each side." in said
    assert "Needs 72 3/8 in + 2 in end allowance – buy 2 1/8 yd / 1.90 m" in said
    assert "Seam allowance: 5/8 in added on every edge but the fold" in said
    assert "for 2 garments." in said


@pytest.mark.parametrize(
    ("rounding", "words"),
    [
        ("none", "not rounded up to a step"),
        ("5cm", "rounded up to 5 cm and 1/8 yd"),
        ("1/8yd", "rounded up to 10 cm and 1/8 yd"),
    ],
)
def test_the_step_of_rounding_is_told(rounding: str, words: str) -> None:
    options = typed_between_selvedges({"fabric_width": "140cm", "round_up": rounding})
    assert words in lines(options)[0]


@pytest.mark.parametrize(
    ("trial", "words"),
    [
        (1700.0, "With nap: all tops one way. Without nap 1.70 m would do, 14 cm less."),
        (1837.2, "Without nap a short run found nothing shorter."),
        (1830.5, "Without nap a short run saved less than 10 mm."),
        (1830.0, "Without nap 1.83 m would do, 10 mm less."),
        (1801.0, "Without nap 1.81 m would do, 3 cm less."),
        ("Not tried.", "With nap: all tops one way. Not tried."),
    ],
)
def test_what_no_nap_would_save_is_told_as_far_as_it_is_known(trial: NapTrial, words: str) -> None:
    assert words in " ".join(lines(trial=trial))


def test_without_nap_parts_may_lie_head_to_foot() -> None:
    assert "No nap: parts may lie head to foot." in lines(between_selvedges(1400.0, nap=False))[2]


def test_sizes_are_told_with_their_garments() -> None:
    drawing = garment()
    for node in drawing.root.iter("{*}g"):
        if node.get("id") == "front":
            node.set("{urn:thriftlay:1}size", "38")
    options = between_selvedges(1400.0, sizes=(("38", 2),))
    plan = plan_of(drawing.document(), options)
    assert "2 parts from 3 pieces of main, for size 38 × 2." in lines(options, plan=plan)


def test_pieces_with_an_allowance_of_their_own_are_named() -> None:
    drawing = garment()
    for node in drawing.root.iter("{*}g"):
        if node.get("id") == "front":
            node.set("{urn:thriftlay:1}allowance", "15mm")
    plan = plan_of(drawing.document())
    assert (
        "Seam allowance: 15 mm added on Front; included in the drawing on the others "
        "(dashed: stitching line)."
    ) in lines(plan=plan)


def test_what_the_designer_notes_for_whoever_cuts_is_told_once() -> None:
    drawing = garment()
    notes = {
        "front": "cut last, from what is left",
        "back": " mind  the dart ",
        "tab": "mind the dart",
    }
    for node in drawing.root.iter("{*}g"):
        if node.get("id") in notes:
            node.set("{urn:thriftlay:1}note", notes[str(node.get("id"))])
    said = lines(plan=plan_of(drawing.document()))
    assert [line for line in said if line.startswith("Note")] == [
        "Note on Front: “cut last, from what is left”.",
        "Note on Back and Tab: “mind the dart”.",
    ]


def test_a_layout_that_no_other_can_beat_says_so() -> None:
    plan = plan_of(garment().document())
    layout = layout_of(plan, [], 500.0)
    bought = purchase(500.0, system="metric", rounding="10cm")
    best = summary(plan, WIDE, replace(layout, lower_bound=500.0), bought)
    assert "no layout of them can be shorter." in " ".join(best)
    near = summary(plan, WIDE, replace(layout, lower_bound=499.0), bought)
    assert "0.49 m is needed at the very least." in " ".join(near)


def test_what_did_not_fit_is_never_passed_over() -> None:
    said = lines(left_over=(LeftOver("tab", (1, 2)),))
    assert "Did not fit: Tab × 2." in said
    assert "2 of 4 parts from 3 pieces of main, for 1 garment." in said


def test_what_was_not_laid_is_counted_and_named_by_reason() -> None:
    left_out = [
        LeftOut("lid", "hidden"),
        LeftOut("rect12", "unmarked"),
        LeftOut("path3", "hidden", "Back"),
        LeftOut("path4", "other material", "Lining"),
    ]
    assert left_out_text(left_out) == (
        "2 hidden (lid and Back), 1 unmarked (rect12), 1 of another material (Lining)"
    )


@pytest.mark.parametrize(
    ("reason", "one", "two"),
    [
        ("frame", "1 frame (a)", "2 frames (a and b)"),
        (
            "mark of no piece",
            "1 mark that belongs to no piece (a)",
            "2 marks that belong to no piece (a and b)",
        ),
        ("no grainline", "1 without grainline (a)", "2 without grainline (a and b)"),
        ("locked", "1 locked (a)", "2 locked (a and b)"),
    ],
)
def test_reasons_agree_with_their_counts(reason: Any, one: str, two: str) -> None:
    left = [LeftOut("a", reason), LeftOut("b", reason)]
    assert (left_out_text(left[:1]), left_out_text(left)) == (one, two)


def test_not_laid_stands_among_the_lines() -> None:
    plan = replace(plan_of(garment().document()), left_out=(LeftOut("rect12", "unmarked"),))
    assert "Not laid: 1 unmarked (rect12)." in lines(plan=plan)


def test_counts_agree_with_their_nouns() -> None:
    assert (counted(1, "part"), counted(2, "part")) == ("1 part", "2 parts")
