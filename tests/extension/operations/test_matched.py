# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts on checks: what is marked to match lies alike in the repeat, by plain arithmetic."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.operations.check import check_layouts
from extension.operations.details import changes_from, set_details
from extension.operations.lay_out import Outcome, lay_out
from extension.operations.running import Run
from extension.svg.building import inkscape
from extension.svg.decoration import decoration_of
from extension.svg.document import parse
from nesting.errors import JobError
from tests.helpers.cloth import between_selvedges
from tests.helpers.drawn import sheet
from tests.helpers.layouts import no_time
from tests.helpers.svg_builder import SvgBuilder

CHECKS = "along 80mm, across 60mm"
FRONT, BACK = (30.0, 140.0), (300.0, 90.0)
"""Where the side notches are, mm from the left and from the top of the drawing."""


def shirt(front: str = "side along", back: str = "side along", cut: str = "2") -> SvgBuilder:
    """Return two pieces of a garment that is made up, each with a notch at its side."""
    made = sheet()
    for name, (x, y), said, count in (("front", FRONT, front, cut), ("back", BACK, back, "1")):
        group = made.add_group(id=name)
        made.add_path(
            f"M {x} 20 h 190 v 330 h -190 z", group, id=f"{name}-line", lay={"cut": count}
        )
        made.add_path(
            f"M {x + 90} 300 V 60",
            group,
            id=f"{name}-grain",
            lay={"role": "grainline", "top": "end"},
        )
        made.add_path(f"M {x} {y} h 8", group, id=f"{name}-notch", lay={"match": said})
    return made


def laid(drawing: SvgBuilder, rounds: int = 2, **options: Any) -> Outcome:
    """Return a layout on checked cloth 500 mm wide."""
    chosen = replace(between_selvedges(500.0, rounds=rounds, workers=1), **options)
    return lay_out(drawing.document(), chosen, Run(no_time, lambda rounds: False))


def heights(outcome: Outcome) -> list[float]:
    """Return how far along the cloth the notch of every part is from its far end, mm.

    Tops lie one way, towards the cut end or away from it; a flip keeps what is along.
    """
    grain_up = {"front-line": -FRONT[1], "back-line": -BACK[1]}
    return [spot["x"] + grain_up[spot["piece"]] for spot in outcome.report["placements"]]


def test_notches_of_one_group_lie_whole_repeats_apart() -> None:
    found = heights(laid(shirt(), repeat=CHECKS))
    assert len(found) == 3
    for one in found:
        off = (one - found[0]) / 80.0
        assert off == pytest.approx(round(off), abs=0.5 / 80.0)


def test_plain_cloth_needs_no_more_than_checks_and_says_that_it_matches_nothing() -> None:
    plain, checked = laid(shirt()), laid(shirt(), repeat=CHECKS)
    assert plain.report["length"] <= checked.report["length"] + 1e-6
    assert any("this cloth has no repeat" in line for line in plain.summary)
    assert not any("this cloth has no repeat" in line for line in checked.summary)
    assert any("Matched at the cutting line" in line for line in checked.summary)


def test_where_a_label_names_the_allowance_the_seam_matches_and_it_is_said() -> None:
    drawing = shirt()
    drawing.add_text("All pieces: seam allowance 1.5 cm included", 30, 400, id="note")
    (told,) = [line for line in laid(drawing, repeat=CHECKS).summary if "Matched at" in line]
    assert told.startswith("Matched at the stitching line, 15.0 mm inside the cutting line, by")
    (plain,) = [line for line in laid(shirt(), repeat=CHECKS).summary if "Matched at" in line]
    assert "no label says how much seam allowance is included" in plain


def test_what_matching_costs_is_told_beside_rules_of_thumb() -> None:
    outcome = laid(shirt(), repeat=CHECKS)
    assert outcome.report["plain_mm"] <= outcome.report["length"]
    assert any("short run" in line and "on plain cloth" in line.lower() for line in outcome.summary)
    assert any(line.startswith("Published rules of thumb") for line in outcome.summary)
    without = laid(shirt())
    assert without.report["plain_mm"] is None
    assert not any("Published rules" in line for line in without.summary)


def test_pieces_one_behind_the_other_need_whole_repeats() -> None:
    """Pieces 330 mm long on a repeat of 80 mm take ceil(330 / 80) = 5 repeats each, 400 mm along.

    So does the published rule, which adds one repeat for each piece stacked along the length (Gala
    Fabrics, 2010), at its least: 330 + 80 mm are enough for each.
    """
    made = sheet()
    group = made.add_group(id="front")
    outline = "M 30 20 h 190 v 330 h -190 z"
    made.add_path(outline, group, id="line", lay={"cut": "3", "hand": "same"})
    grain = {"role": "grainline", "top": "end"}
    made.add_path("M 120 300 V 60", group, id="grain", lay=grain)
    made.add_path("M 30 140 h 8", group, id="notch", lay={"match": "side along"})
    chosen = replace(between_selvedges(200.0, rounds=2), gap=0.0, repeat="along 80mm")
    found = lay_out(made.document(), chosen, Run(no_time, lambda rounds: False))
    assert found.report["length"] == pytest.approx(400.0 + 400.0 + 330.0, abs=1.0)
    assert found.report["length"] <= 3 * (330.0 + 80.0)
    assert found.report["plain_mm"] == pytest.approx(3 * 330.0, abs=1.0)
    assert any("Matching takes 14 cm (14 %) more" in line for line in found.summary)


def test_one_repeat_is_added_to_what_is_bought_and_every_text_says_so() -> None:
    plain, checked = laid(shirt()), laid(shirt(), repeat=CHECKS)
    assert plain.report["buy"]["repeat_mm"] == 0.0
    buy = checked.report["buy"]
    assert buy["repeat_mm"] == 80.0
    assert buy["metric_mm"] >= buy["needed_mm"] + buy["end_allowance_mm"] + 80.0
    assert "+ 8 cm for one repeat" in checked.summary[0]
    assert any("one repeat is added to the length to buy" in line for line in checked.summary)
    there = laid(shirt(), repeat=CHECKS, fabric_length=2000.0)
    assert there.report["buy"]["repeat_mm"] == 0.0
    assert any("measure the length of the cloth from such a line" in x for x in there.summary)
    across = laid(shirt("side across", "side across"), repeat="across 60mm")
    assert across.report["buy"]["repeat_mm"] == 0.0


def test_a_half_drop_is_laid_and_says_that_it_matches_both_ways() -> None:
    found = laid(shirt("side along", "side along"), repeat=CHECKS, half_drop=True)
    assert any("half-drop, its first line" in line for line in found.summary)
    words = "In a half-drop all points match along and across alike: “side” of front"
    assert any(line.startswith(words) for line in found.summary)


def test_the_design_is_told() -> None:
    lines = laid(shirt(), repeat=CHECKS, first_line=20.0).summary
    words = "Design: repeat 8 cm along and 6 cm across, even, its first line 2 cm above"
    assert any(line.startswith(words) for line in lines)


@pytest.mark.parametrize(
    ("drawing", "options", "words"),
    [
        (shirt(back="other", cut="1"), {}, "alone in its group"),
        (shirt("side on line", "side between lines"), {}, "cannot lie on its line"),
    ],
)
def test_what_cannot_match_is_one_sentence(
    drawing: SvgBuilder, options: dict[str, Any], words: str
) -> None:
    with pytest.raises(JobError, match=words):
        laid(drawing, repeat=CHECKS, **options)


def test_a_part_that_was_moved_off_the_design_is_told_by_how_many_mm() -> None:
    drawing = parse(laid(shirt("side along", "side along"), repeat=CHECKS).drawing)
    assert not [x for x in check_layouts(drawing).summary if "off the design" in x]
    (part,) = [
        node
        for node in drawing.root.iter("{*}g")
        if node.get(lay("of")) == "back-line" and node.get(lay("called"))
    ]
    part.set("transform", "translate(-7,0)")
    told = [line for line in check_layouts(drawing).summary if "match point" in line]
    assert len(told) == 1
    assert "7 mm off the design along the cloth at its match point “side”" in told[0]


def test_lines_of_the_repeat_and_match_points_are_drawn_and_are_ours() -> None:
    drawn = parse(laid(shirt(), repeat=CHECKS).drawing).root
    (along,) = [n for n in drawn.iter("{*}path") if n.get(inkscape("label")) == "repeat along"]
    (across,) = [n for n in drawn.iter("{*}path") if n.get(inkscape("label")) == "repeat across"]
    assert all(decoration_of(one) == "cloth" for one in (along, across))
    assert across.get("d", "").count("M") == 9  # at 0, 60 .. 480 mm of 500
    circles = [n for n in drawn.iter("{*}circle") if decoration_of(n) == "part"]
    assert len(circles) == 3
    plain = parse(laid(shirt()).drawing).root
    assert not [n for n in plain.iter("{*}path") if "repeat" in n.get(inkscape("label"), "")]
    assert not list(plain.iter("{*}circle"))


def test_a_point_whose_partner_is_cut_from_another_cloth_is_let_go_in_a_sentence() -> None:
    drawing = shirt(front="side", cut="1")
    for node in drawing.root.iter("{*}path"):
        if node.get("id") == "back-line":
            node.set(lay("cut"), "1 lining")
    (told,) = [x for x in laid(drawing, repeat=CHECKS).summary if x.startswith("Not matched")]
    assert told.startswith(
        "Not matched: “side” of front-line, since nothing else of its group is laid"
    )
    assert not [x for x in laid(drawing, repeat=CHECKS).summary if "Matched at" in x]
    # So is one whose partner may not have been selected; a lone one in all of a drawing is a slip.
    chosen = laid(shirt(cut="1"), repeat=CHECKS, select=("front",))
    assert any(x.startswith("Not matched: “side” of front-line") for x in chosen.summary)
    assert not [x for x in check_layouts(parse(chosen.drawing)).summary if "off the design" in x]


def test_a_point_whose_partner_is_left_over_is_told() -> None:
    made = laid(shirt(cut="1"), repeat=CHECKS, fabric_length=400.0, rounds=4)
    assert made.report["left_over"] == []  # side by side they fit
    narrow = replace(between_selvedges(200.0, rounds=20), repeat=CHECKS, fabric_length=400.0)
    short = lay_out(shirt(cut="1").document(), narrow, Run(no_time, lambda rounds: False))
    assert len(short.report["left_over"]) == 1
    (told,) = [x for x in short.summary if "meets nothing on this cloth" in x]
    assert told.endswith("what it would have to match is left over.")


def test_what_lies_behind_a_fold_begins_on_a_line_and_checks_clean() -> None:
    """The fronts are cut double, 330 mm and a gap long; the back goes on at the fifth line."""
    made = laid(shirt(), repeat="along 80mm", spread="lengthwise")
    folded, opened = made.report["sections"]
    assert folded["length"] == pytest.approx(400.0)
    assert made.report["length"] == pytest.approx(400.0 + opened["length"])
    (rest,) = [line for line in made.summary if line.startswith("Open out the rest")]
    assert "right side up, beginning on a dominant line; lay and cut back" in rest
    checked = check_layouts(parse(made.drawing)).summary
    assert not [line for line in checked if "off the design" in line]
    assert any("3 of 3 parts" in line for line in checked)
    plain = laid(shirt(), spread="lengthwise")
    assert not [line for line in plain.summary if "dominant line;" in line]
    assert plain.report["sections"][0]["length"] < 335.0


def test_set_cutting_details_makes_match_points_of_selected_marks(tmp_path: Path) -> None:
    drawing = shirt()
    for node in drawing.root.iter("{*}path"):
        for name in [key for key in node.attrib if str(key).endswith("}match")]:
            del node.attrib[name]
    made = set_details(
        drawing.document(),
        ["front-notch", "back-notch", "back"],
        changes_from(["match=side along"]),
    )
    assert made.summary[0].startswith("Set match on the straight line")
    assert "(front-notch) and the straight line" in made.summary[0]
    again = set_details(
        parse(made.drawing), ["front", "front-notch"], changes_from(["cut=4", "match="])
    )
    assert [line.split(" the ")[0] for line in again.summary] == ["Set cut on", "Took match from"]
    assert "(front-line)" in again.summary[0]
    assert "(front-notch)" in again.summary[1]
    marks = {
        node.get("id"): [value for key, value in node.attrib.items() if str(key).endswith("}match")]
        for node in parse(again.drawing).root.iter("{*}path")
        if str(node.get("id")).endswith("notch")
    }
    assert marks == {"front-notch": [], "back-notch": ["side along"]}


@pytest.mark.parametrize(
    ("selected", "typed", "words"),
    [
        (["front"], "match=side", "No mark of a piece is selected"),
        (["nothing"], "match=side", "No mark of a piece is selected"),
        (["front-notch"], "match=on line", "names no group"),
    ],
)
def test_what_makes_no_match_point_is_refused_and_nothing_changes(
    selected: list[str], typed: str, words: str
) -> None:
    document = shirt("side", "side").document()
    before = [dict(node.attrib) for node in document.root.iter("{*}path")]
    with pytest.raises(DrawingError, match=words):
        set_details(document, selected, changes_from([typed]))
    assert [dict(node.attrib) for node in document.root.iter("{*}path")] == before
