# SPDX-License-Identifier: GPL-2.0-or-later
"""Held parts stay where they are, number for number; the rest is laid round them."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace

import pytest
import shapely
from lxml import etree

from extension.job.options import LayOutOptions
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.holding import HoldRequest
from extension.operations.lay_out import Outcome, lay_out
from extension.operations.running import Run
from extension.svg.document import parse
from nesting.errors import JobError
from tests.helpers.edited import CLOTH, Edited
from tests.helpers.laid import Laid, LaidPart, read_layouts
from tests.helpers.layouts import no_time

ROUNDS = replace(CLOTH, rounds=1)


def content(rounds: int) -> bool:
    return rounds >= 1


def laid(edited: Edited, *ids: str, options: LayOutOptions = ROUNDS, layer: str = "") -> Outcome:
    return lay_out(edited.document, options, Run(no_time, content), HoldRequest(layer, ids))


def after(edited: Edited, *ids: str, options: LayOutOptions = ROUNDS, layer: str = "") -> Edited:
    """Return the drawing after another layout has been added."""
    done = Edited()
    done.root = parse(laid(edited, *ids, options=options, layer=layer).drawing).root
    return done


def geometry(outline: etree._Element, layer: etree._Element) -> list[str]:
    """Return all numbers that say where an outline lies on its layer, as they are written."""
    names = ("d", "x", "y", "width", "height", "points", "transform")
    found = [f"{name}={outline.get(name)}" for name in names if outline.get(name) is not None]
    for one in outline.iterancestors():
        if one is layer:
            return found
        found += [one.get("transform", "")] if one.get("transform") else []
    raise AssertionError("the outline lies on another layer")


def id_of(edited: Edited, of: str, number: int) -> str:
    return str(edited.part(of, number).get("id"))


def grouped(edited: Edited) -> None:
    edited.layer[1].set("transform", "translate(7,-30)")


HANDS: dict[str, Callable[[Edited], object]] = {
    "as it was laid": lambda edited: None,
    "dragged": lambda edited: edited.transform("front", 2, "translate(20,31.25)"),
    "in groups": grouped,
    "ungrouped": lambda edited: edited.ungroup("front", 2),
}


@pytest.mark.parametrize("hand", HANDS.values(), ids=HANDS.keys())
def test_a_held_part_keeps_every_number(hand: Callable[[Edited], object]) -> None:
    edited = Edited()
    name = str(edited.outline("front", 2).get("id"))
    hand(edited)
    before = geometry(edited.find(name), edited.layer)
    done = after(edited, name)
    assert done.layer.get("id") == "thriftlay-2"
    assert geometry(done.outline("front", 2), done.layer) == before
    assert done.found("thriftlay-2") == []


def test_the_rest_is_laid_round_what_is_held() -> None:
    edited = Edited()
    done = after(edited, id_of(edited, "front", 2), id_of(edited, "back", 1))
    # Read by an independent reader.
    old, new = read_layouts(done.data)
    moved = [
        (part.of, part.copy)
        for part, before in zip(
            sorted(new.parts, key=_name), sorted(old.parts, key=_name), strict=True
        )
        if _corner(part.shape, new) != pytest.approx(_corner(before.shape, old), abs=0.01)
    ]
    assert moved == [("front", "1"), ("tab", "1"), ("tab", "2")]
    assert new.least_gap() >= 3.0 - 1e-3


def _name(part: LaidPart) -> tuple[str, str]:
    return part.of, part.copy


def _corner(shape: shapely.Polygon, layout: Laid) -> tuple[float, float]:
    """Return where a part lies from the back, which is held in both layouts."""
    back = next(part.shape for part in layout.parts if part.of == "back")
    return shape.bounds[0] - back.bounds[0], shape.bounds[1] - back.bounds[1]


def test_held_parts_say_so_on_the_new_layer_and_are_held_again() -> None:
    edited = Edited()
    once = after(edited, id_of(edited, "front", 2))
    assert once.part("front", 2).get(lay("held")) == "yes"
    assert once.outline("front", 2).get(lay("held")) == "yes"
    assert once.part("front", 1).get(lay("held")) is None
    before = geometry(once.outline("front", 2), once.layer)
    twice = after(once, layer="thriftlay-2")
    assert geometry(twice.outline("front", 2), twice.layer) == before


def test_parts_marked_by_hand_are_held_when_one_layout_has_such() -> None:
    edited = Edited()
    edited.part("back", 1).set(lay("held"), "yes")
    outcome = laid(edited)
    assert any(
        line == "Held where they lay on “Layout 1 – 90 cm, main” (thriftlay-1): Back."
        for line in outcome.summary
    )


def test_held_parts_on_several_layouts_need_a_choice() -> None:
    edited = Edited()
    edited.part("back", 1).set(lay("held"), "yes")
    done = after(edited)
    with pytest.raises(DrawingError, match="held on several layouts"):
        laid(done)
    assert laid(done, layer="thriftlay-2").report["placements"]


def test_all_parts_of_a_layout_are_held_by_its_id_and_new_pieces_go_into_the_gaps() -> None:
    edited = Edited()
    line = "{http://www.w3.org/2000/svg}path"
    group = etree.SubElement(edited.find("pieces"), "{http://www.w3.org/2000/svg}g", id="cuff")
    group.set(lay("cut"), "2")
    etree.SubElement(group, line, id="cuff-edge", d="M 420,20 h 40 v 90 h -40 z")
    grain = etree.SubElement(group, line, id="cuff-grain", d="M 440,100 V 30")
    grain.set(lay("role"), "grainline")
    done = after(edited, "thriftlay-1")
    assert len(read_layouts(done.data)[1].parts) == 7
    assert done.check("thriftlay-2").report["length"] == pytest.approx(455.0, abs=0.1)
    held = [one.get(lay("of")) for one in done.layer.iter("{*}g") if one.get(lay("held"))]
    assert sorted(str(of) for of in held) == ["back", "front", "front", "tab", "tab"]


def test_only_selected_pieces_are_laid_beside_what_is_held() -> None:
    edited = Edited()
    options = replace(ROUNDS, select=("tab",))
    report = laid(edited, id_of(edited, "back", 1), options=options).report
    assert sorted({spot["piece"] for spot in report["placements"]}) == ["back", "tab"]


def test_when_everything_is_held_the_layout_is_the_same() -> None:
    edited = Edited()
    before = edited.check().report["length"]
    assert laid(edited, "thriftlay-1").report["length"] == pytest.approx(before)


def test_on_cloth_of_another_width_parts_keep_to_the_upper_selvedge() -> None:
    edited = Edited()
    done = after(edited, id_of(edited, "back", 1), options=replace(ROUNDS, fabric_width=1200.0))
    before = geometry(edited.outline("back", 1), edited.layer)
    assert geometry(done.outline("back", 1), done.layer) == before
    assert done.found("thriftlay-2") == []


def test_held_parts_of_a_layer_that_was_moved_and_turned_stay_where_they_are() -> None:
    edited = Edited()
    edited.layer.set("transform", "translate(2500,40) rotate(90)")
    done = after(edited, "thriftlay-1")
    assert done.found("thriftlay-2") == []
    lengths = [one["length"] for one in done.check().report["layouts"]]
    assert lengths[0] == pytest.approx(lengths[1], abs=1e-4)


def test_the_sizes_of_a_run_reach_the_held_parts() -> None:
    edited = Edited()
    report = laid(edited, id_of(edited, "tab", 1), options=replace(ROUNDS, garments=2)).report
    assert len(report["placements"]) == 10


# --- what cannot be held ------------------------------------------------------------------------


def refused(edited: Edited, *ids: str, match: str) -> None:
    with pytest.raises(DrawingError, match=match):
        laid(edited, *ids)


def test_an_edited_original_cannot_be_held() -> None:
    edited = Edited()
    edited.find("front-outline").set("d", "M 10 20 H 120 C 150 60 150 100 130 210 H 10 Z")
    refused(edited, id_of(edited, "front", 1), match="edited after the layout")


def test_a_resized_part_cannot_be_held() -> None:
    edited = Edited()
    edited.transform("front", 1, "scale(1.1)")
    refused(edited, id_of(edited, "front", 1), match="“Front” .* has been resized")


def test_a_part_without_original_cannot_be_held() -> None:
    edited = Edited()
    edited.delete(edited.find("tab"))
    refused(edited, id_of(edited, "tab", 1), match="original is no longer in the drawing")


def test_one_copy_too_many_cannot_be_held() -> None:
    edited = Edited()
    edited.duplicate("front", 1, "translate(0,-230)")
    refused(edited, "thriftlay-1", match="more of it lie there than are cut")


def test_a_clone_cannot_be_held() -> None:
    edited = Edited()
    clone = etree.SubElement(edited.layer[1], "{http://www.w3.org/2000/svg}use", id="use1")
    clone.set("{http://www.w3.org/1999/xlink}href", f"#{id_of(edited, 'front', 1)}")
    clone.set("transform", "translate(0,-230)")
    refused(edited, "thriftlay-1", match="unlink it first")


@pytest.mark.parametrize(
    ("id_", "match"),
    [("nothing", "Nothing in the drawing is called"), ("front", "is no part of a layout")],
)
def test_what_is_no_part_cannot_be_held(id_: str, match: str) -> None:
    refused(Edited(), id_, match=match)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("translate(-10,180)", "overlap"),
        ("translate(-700,0)", "beyond the cloth"),
        ("rotate(5,300,700)", "lies turned by"),
    ],
)
def test_held_parts_that_break_a_rule_are_told_before_the_work(text: str, said: str) -> None:
    edited = Edited()
    edited.transform("tab", 1, text)
    # A strap that is the same both ways may lie head to foot, but not at a slant.
    with pytest.raises(JobError, match=f"Among the held parts: .*{said}"):
        laid(edited, "thriftlay-1")


def test_the_report_lists_what_is_held() -> None:
    edited = Edited()
    report = json.loads(json.dumps(laid(edited, id_of(edited, "back", 1)).report))
    assert any("Held where they lay" in note for note in report["notes"])
