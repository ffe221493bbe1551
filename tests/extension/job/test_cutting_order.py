# SPDX-License-Identifier: GPL-2.0-or-later
"""Folded cloth in the summary and the report: how it lies, what is cut of it in which order."""

from __future__ import annotations

import json
from dataclasses import replace

from extension.job.cutting_order import working_order
from extension.job.plan import Plan
from extension.job.report import report_of
from extension.job.summary import summary
from extension.language.cautions import CAUTIONS
from nesting.model import LaidSection, Layout, Placement
from tests.helpers.cloth import between_selvedges
from tests.helpers.drawn import read
from tests.helpers.garments import garment
from tests.helpers.layouts import layout_of, plan_of

FOLDED = between_selvedges(1400.0, spread="lengthwise")
HALF, PAIR, ALONE = (
    Placement("back", (1,), 1, 0.0, False, 0.0, 700.0, on_fold=True),
    Placement("front", (1, 2), 1, 0.0, False, 400.0, 700.0, layers=2),
    Placement("sleeve", (1,), 1, 0.0, False, 0.0, 0.0, section=2),
)


def laid(*placements: Placement, sections: tuple[LaidSection, ...]) -> tuple[Plan, Layout]:
    """Return a plan with pieces called by their ids, and a layout of it."""
    plan = plan_of(garment().document(), FOLDED)
    length = sum(one.length for one in sections)
    return plan, replace(layout_of(plan, placements, length), sections=sections)


def told(plan: Plan, layout: Layout) -> tuple[str, ...]:
    """Return the summary of a layout."""
    return summary(plan, FOLDED, layout, FOLDED.bought(layout.length))


def names(plan: Plan) -> dict[str, str]:
    """Return what the pieces of a plan are called, by id."""
    return {id_: cut.title for id_, cut in plan.cuts.items()}


def test_a_folded_layout_tells_in_working_order_what_is_cut() -> None:
    sections = LaidSection(700.0, length=952.2), LaidSection(length=400.0)
    ids = list(plan_of(garment().document(), FOLDED).cuts)
    spots = [replace(one, piece=id_) for one, id_ in zip((PAIR, HALF, ALONE), ids, strict=True)]
    plan, layout = laid(*spots, sections=sections)
    called = names(plan)
    said = told(plan, layout)
    assert said[2:5] == (
        "Cloth folded lengthwise, right sides together; then open, right side up. With nap: all "
        "tops one way.",
        "Fold the cloth lengthwise, selvedge to selvedge, right sides together, for 95.3 cm; lay "
        f"and cut on the fold of the cloth: {called[ids[1]]}; through both layers: "
        f"{called[ids[0]]}.",
        f"Open out the rest, 40.0 cm, right side up; lay and cut {called[ids[2]]}.",
    )
    assert (
        "4 parts from 3 pieces of main, for 1 garment: 3 outlines to cut, since what lies on two "
        "layers is cut once."
    ) in said
    assert said[-len(CAUTIONS) :] == CAUTIONS
    assert "true to the grain" in said[-len(CAUTIONS) - 2]
    assert "mirror image" in said[-len(CAUTIONS) - 1]


def test_what_occurs_more_than_once_is_counted_and_empty_sections_are_not_told() -> None:
    sections = LaidSection(700.0), LaidSection(length=400.0), LaidSection(300.0, length=90.0)
    again = [replace(ALONE, piece="front", copies=(number,), x=9.0 * number) for number in (1, 2)]
    plan, layout = laid(*again, replace(PAIR, piece="tab", section=3), sections=sections)
    assert working_order(plan, FOLDED, layout) == (
        f"Lay 40.0 cm of it open, right side up; lay and cut {names(plan)['front']} (2 times).",
        "Fold the rest in by 30 cm from the lower selvedge, right sides together, for 9.0 cm; lay "
        f"and cut through both layers: {names(plan)['tab']}.",
    )


def test_where_all_came_to_lie_on_open_cloth_that_is_said() -> None:
    spot = replace(ALONE, piece="front")
    plan, layout = laid(spot, sections=(LaidSection(700.0), LaidSection(length=400.0)))
    assert working_order(plan, FOLDED, layout) == (
        "Cloth folded lengthwise was asked for, but no part came to lie there: all of it lies "
        "open.",
    )
    assert "Single layer, cloth open, right side up." in " ".join(told(plan, layout))


def test_open_cloth_has_no_order_and_no_cautions_of_folds() -> None:
    plan, layout = laid(replace(ALONE, section=1, piece="front"), sections=())
    assert working_order(plan, FOLDED, layout) == ()
    said = " ".join(told(plan, layout))
    assert "Single layer, cloth open, right side up." in said
    assert "true to the grain" not in said


def test_a_dash_dot_line_is_told_only_where_a_piece_is_opened_out() -> None:
    sections = (LaidSection(700.0, length=952.2),)
    (half,) = [id_ for id_, cut in laid(sections=())[0].cuts.items() if cut.drawn.fold]
    spot = replace(HALF, piece=half)
    assert not any("Dash-dot" in line for line in told(*laid(spot, sections=sections)))
    opened = replace(spot, on_fold=False)
    assert any("Dash-dot" in line for line in told(*laid(opened, sections=sections)))


def test_the_report_has_the_order_and_the_cautions() -> None:
    sections = (LaidSection(700.0, length=952.2),)
    plan, layout = laid(replace(PAIR, piece="front"), sections=sections)
    bought, lines = FOLDED.bought(layout.length), told(plan, layout)
    report = report_of(
        read(garment()), plan, FOLDED, layout, bought, lines, layer="", without_nap_mm=None
    )
    report = json.loads(json.dumps(report))
    assert report["lies"] == "Cloth folded lengthwise, right sides together."
    assert report["working_order"] == list(working_order(plan, FOLDED, layout))
    assert report["options"]["spread"] == "lengthwise"
    assert [*report["summary"], *report["cautions"]] == list(lines)
    assert report["sections"][0]["length"] == 952.2
