# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts that cannot be judged are told with the remedy; several are judged one by one."""

from __future__ import annotations

import pytest
from lxml import etree

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.layers import chosen_layers
from extension.operations.check import check_layouts, compare_layouts
from tests.helpers.edited import Edited, two_layouts
from tests.helpers.garments import garment


def test_a_drawing_without_a_layout_is_refused_with_the_remedy() -> None:
    with pytest.raises(DrawingError, match="no layout in this drawing: lay the pieces out"):
        check_layouts(garment().document())


def test_a_layout_without_fabric_is_refused_with_the_remedy() -> None:
    edited = Edited()
    edited.layer.attrib.pop(lay("settings"))
    with pytest.raises(DrawingError, match=r"its fabric is not known: lay the pieces out again"):
        edited.check()


def test_an_id_that_is_no_layout_is_refused_with_those_there_are() -> None:
    with pytest.raises(DrawingError, match=r"“front” is no layout .* \(thriftlay-1\)"):
        Edited().check("front")


def test_when_every_original_is_gone_overlaps_are_still_found() -> None:
    edited = Edited()
    edited.delete(edited.find("pieces"))
    edited.transform("tab", 1, "translate(-10,180)")
    kinds = [kind for kind, _ in edited.found()]
    assert kinds == ["overlap", "original", "original", "original"]


def test_an_original_that_cannot_be_read_is_told_as_everywhere() -> None:
    edited = Edited()
    edited.find("front-outline").set("d", "M 10 20 L 200 20 L 10 200 L 200 200 Z")
    with pytest.raises(DrawingError, match="crosses itself"):
        edited.check()


def test_cloth_of_another_width_is_told() -> None:
    edited = Edited()
    cloth = next(one for one in edited.layer.iter("{*}rect"))
    cloth.set("height", "1000")
    (violation,) = edited.violations()
    assert (violation["kind"], violation["amount"]) == ("cloth", pytest.approx(100.0))


def test_a_piece_drawn_after_the_layout_is_missing_on_it() -> None:
    edited = Edited()
    group = etree.SubElement(edited.find("pieces"), "{http://www.w3.org/2000/svg}g", id="cuff")
    group.set(lay("cut"), "2")
    rect = etree.SubElement(group, "{http://www.w3.org/2000/svg}rect", id="cuff-edge")
    for name, value in {"x": 420, "y": 20, "width": 40, "height": 90}.items():
        rect.set(name, str(value))
    line = etree.SubElement(group, "{http://www.w3.org/2000/svg}path", id="cuff-grain")
    line.set("d", "M 440 100 V 30")
    line.set(lay("role"), "grainline")
    assert edited.found() == [("count", ("cuff #1", "cuff #2"))]


def test_a_piece_that_is_not_cut_any_more_is_one_too_many() -> None:
    edited = Edited()
    edited.find("tab").set(lay("leave-out"), "yes")
    assert [kind for kind, _ in edited.found()] == ["count", "count"]


def test_every_layout_is_checked_unless_some_are_chosen() -> None:
    edited = two_layouts()
    report = edited.check().report
    assert [one["layer"] for one in report["layouts"]] == ["thriftlay-1", "thriftlay-2"]
    assert [one["layer"] for one in edited.check("thriftlay-1").report["layouts"]] == [
        "thriftlay-1"
    ]
    part = edited.part("back", 1).get("id", "")
    assert edited.check(part).report["layouts"][0]["layer"] == "thriftlay-2"


def test_a_duplicated_layer_is_a_layout_of_its_own() -> None:
    edited = Edited()
    twin = etree.fromstring(etree.tostring(edited.layer))
    for place, node in enumerate(twin.iter(etree.Element)):
        node.set("id", f"layer9-{place}")
    twin.set("transform", "translate(900,3000)")
    edited.root.append(twin)
    report = edited.check().report
    assert [one["parts"] for one in report["layouts"]] == [5, 5]
    assert report["violations"] == []


def test_a_damaged_layout_does_not_keep_the_others_from_being_checked() -> None:
    edited = two_layouts()
    edited.find("thriftlay-1").set(lay("settings"), "{}")
    outcome = edited.check()
    assert [one["layer"] for one in outcome.report["layouts"]] == ["thriftlay-2"]
    assert "(thriftlay-1) are gone or damaged" in outcome.summary[-1]
    assert outcome.summary[-1] in outcome.report["notes"]
    assert not outcome.report["violations"]
    assert not outcome.is_clean  # nobody knows whether that one is
    assert edited.check("thriftlay-2").is_clean  # it was not asked for


def test_a_damaged_layout_is_told_beside_those_that_are_compared() -> None:
    edited = two_layouts()
    edited.find("thriftlay-1").set(lay("settings"), "{}")
    lines, report = compare_layouts(edited.document)
    assert "(thriftlay-1) are gone or damaged" in lines[-1]
    assert lines[-1] in report["notes"]


def test_layouts_are_compared_in_straight_columns() -> None:
    edited = two_layouts()
    edited.transform("tab", 1, "translate(0,-900)")
    lines, report = compare_layouts(edited.document)
    assert len(lines) == 3
    assert {line.index(word) for line, word in zip(lines, ("width", "90 cm", "70 cm"), strict=True)}
    assert lines[1].split()[-1] == "clean"
    assert lines[2].split()[-2:] == ["1", "fault"]
    assert "without" in lines[2]
    assert [round(one["width"]) for one in report["layouts"]] == [900, 700]


FLAT = ("scale(1 0)", "scale(0)", "matrix(1 1 1 1 0 0)", "scale(1e200)", "scale(1e-200)")


def _carriers(edited: Edited) -> list[etree._Element]:
    """Return the layer, its sublayers, and the groups and outlines of its parts."""
    telling = (lay("layout"), lay("holds"), lay("of"))
    return [one for one in edited.layer.iter(etree.Element) if any(map(one.get, telling))]


@pytest.mark.parametrize("holds", ["", "parts", "cloth"])
def test_a_layout_that_is_moved_by_what_cannot_be_read_is_told(holds: str) -> None:
    """By every command that asks which layouts there are, before any of it is read."""
    edited = Edited()
    node = edited.layer
    if holds:
        node = next(one for one in _carriers(edited) if one.get(lay("holds"), "").startswith(holds))
    node.set("transform", "matrix(1 0 0 1 nan 0)")
    with pytest.raises(DrawingError, match=r"^The layout “.*is moved by what cannot be read"):
        chosen_layers(edited.document, ())


@pytest.mark.parametrize("transform", FLAT)
@pytest.mark.parametrize("held", [False, True])
def test_what_is_squeezed_flat_is_told_whatever_it_is(transform: str, held: bool) -> None:
    for place in range(len(_carriers(Edited()))):
        edited = Edited()
        for part in _carriers(edited):
            if held and part.get(lay("of")):
                part.set(lay("held"), "yes")
        node = _carriers(edited)[place]
        node.set("transform", f"{transform} {node.get('transform', '')}")
        holds = node.get(lay("holds"), "")
        if node is edited.layer or holds in ("parts", "cloth"):
            with pytest.raises(DrawingError, match="squeezed to a line"):
                edited.check()
        else:
            clean = edited.check().is_clean
            assert clean == (holds == "measures"), etree.tostring(node)[:200]
