# SPDX-License-Identifier: GPL-2.0-or-later
"""The marks of a check: readable in black and white, each fault with its number in the list."""

from __future__ import annotations

import re

import pytest
import shapely
from lxml import etree

from extension.language.names import lay
from extension.layouts.marks import MOST_MARKED
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from extension.svg.transforms import apply
from tests.helpers.edited import INKSCAPE, Edited


def marks_of(edited: Edited) -> etree._Element:
    """Return the layer of marks after a check."""
    root = parse(edited.check().drawing).root
    return next(one for one in root if one.get(lay("review")))


def leaves_of(edited: Edited) -> list[Leaf]:
    """Return what is drawn on the layer of marks, in page mm."""
    leaves = read_leaves(parse(edited.check().drawing), include_layouts=True)
    return [leaf for leaf in leaves if any("review" in g.attributes for g in leaf.groups)]


def words_of(layer: etree._Element) -> list[str]:
    return [" ".join(span.text or "" for span in text) for text in layer.iter("{*}text")]


def overlapping() -> Edited:
    edited = Edited()
    edited.transform("tab", 1, "translate(-10,180)")
    return edited


def test_the_layer_is_called_check_and_knows_its_layout() -> None:
    layer = marks_of(overlapping())
    assert layer.get(f"{INKSCAPE}label") == "Check"
    assert layer.get(f"{INKSCAPE}groupmode") == "layer"
    assert layer.get(lay("review")) == "thriftlay-1"


def test_a_click_on_a_mark_reaches_the_part_below_it() -> None:
    assert all(leaf.locked for leaf in leaves_of(overlapping()))


def test_without_faults_the_layer_says_so() -> None:
    assert words_of(marks_of(Edited())) == ["Check", "5 of 5 parts, no overlap, 0.46 m."]


def test_each_fault_has_its_number_on_the_drawing_and_in_the_list() -> None:
    edited = overlapping()
    edited.transform("front", 1, "translate(20,-20) rotate(7,120,800)")
    words = words_of(marks_of(edited))
    assert words.count("1") == words.count("2") == 2
    assert "Front (1 of 2) lies 7° off the grain." in words


def test_a_missing_part_is_listed_and_has_no_mark() -> None:
    edited = Edited()
    edited.delete(edited.part("front", 2))
    words = words_of(marks_of(edited))
    assert words.count("1") == 1
    assert "Front: 2 of 2 is missing." in words


def test_an_overlap_is_outlined_and_hatched_where_it_is() -> None:
    edited = overlapping()
    tab, front = edited.part("tab", 1), edited.part("front", 2)
    ids = {tab.get("id"), front.get("id")}
    parts = [
        shapely.Polygon(leaf.rings[0].points)
        for leaf in read_leaves(edited.document, include_layouts=True)
        if "of" in leaf.attributes and any(group.id in ids for group in leaf.groups)
    ]
    common = parts[0].intersection(parts[1])
    outline, hatching = (
        leaf
        for leaf in leaves_of(edited)
        if any(group.label == "1 overlap" for group in leaf.groups)
        and leaf.element.tag.endswith("path")
        and leaf.style["stroke"] != "#ffffff"
    )
    assert shapely.Polygon(outline.rings[0].points).symmetric_difference(common).area < 1.0
    lines = shapely.MultiLineString([ring.points for ring in hatching.rings])
    assert common.buffer(0.1).contains(lines)
    assert lines.length > common.area / 10.0


def test_small_overlaps_are_ringed() -> None:
    edited = Edited()
    edited.transform("tab", 1, "translate(10.9,-40)")
    edited.transform("tab", 1, "translate(0,14.6)")
    edited.transform("tab", 1, "translate(0,-30)")
    assert [kind for kind, _ in edited.found()] in (["gap"], ["overlap"])
    rings = [leaf for leaf in leaves_of(edited) if leaf.element.tag.endswith("circle")]
    assert max(leaf.box[2] - leaf.box[0] for leaf in rings) > 30.0


def test_marks_are_black_and_white_only() -> None:
    edited = overlapping()
    edited.transform("front", 1, "translate(20,-20) rotate(7,120,800)")
    text = etree.tostring(marks_of(edited)).decode()
    colours = set(re.findall(r"(?:fill|stroke):(#\w+|\w+)", text))
    assert colours == {"#2b2b2b", "#ffffff", "none"}


def test_numbers_keep_off_each_other() -> None:
    edited = Edited()
    for number in (1, 2):
        edited.transform("tab", number, "translate(-30,180)")
        edited.transform("front", number, "rotate(3,120,800)")
    discs = [leaf for leaf in leaves_of(edited) if leaf.element.tag.endswith("circle")]
    centres = [apply(leaf.matrix, (_number(leaf, "cx"), _number(leaf, "cy"))) for leaf in discs]
    radius = 0.62 * 900.0 / 56.0
    numbers = [
        c
        for c, leaf in zip(centres, discs, strict=True)
        if _number(leaf, "r") == pytest.approx(radius)
    ]
    apart = [
        ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5
        for place, a in enumerate(numbers)
        for b in numbers[:place]
    ]
    assert len(numbers) > 3
    assert min(apart) >= 2.0 * radius


def _number(leaf: Leaf, name: str) -> float:
    return float(leaf.element.get(name, "nan"))


def test_a_heap_of_faults_is_marked_in_part_and_counted() -> None:
    edited = Edited()
    for number in range(14):
        edited.duplicate("front", 1, f"translate({5 * number},-10)", f"twin{number}")
    outcome = edited.check()
    more = len(outcome.report["violations"]) - MOST_MARKED
    assert more > 0
    assert f"And {more} more faults." in words_of(marks_of(edited))


@pytest.mark.parametrize("transform", ["", "translate(400,90)", "rotate(90) translate(50,10)"])
def test_marks_lie_on_a_layout_that_was_moved(transform: str) -> None:
    edited = overlapping()
    edited.layer.set("transform", transform or edited.layer.get("transform", ""))
    cloth = next(
        leaf
        for leaf in read_leaves(edited.document, include_layouts=True)
        if leaf.label == "usable cloth"
    )
    area = shapely.Polygon(cloth.rings[0].points)
    marks = [
        leaf
        for leaf in leaves_of(edited)
        if any(group.label == "1 overlap" for group in leaf.groups) and leaf.rings
    ]
    assert marks
    assert all(area.buffer(20.0).contains(shapely.box(*leaf.box)) for leaf in marks)


TURNED = ["rotate(180)", "rotate(90)", "rotate(-37)", "scale(-1,1)", "scale(1,-1)"]


@pytest.mark.parametrize("transform", TURNED)
def test_list_and_numbers_are_upright_however_the_layout_was_turned(transform: str) -> None:
    edited = overlapping()
    edited.layer.set("transform", f"{transform} {edited.layer.get('transform', '')}")
    texts = [leaf for leaf in leaves_of(edited) if leaf.text]
    assert {"Check", "1"} <= {leaf.text for leaf in texts}
    for leaf in texts:
        (a, c, _), (b, d, _) = leaf.matrix
        assert (a, b) == pytest.approx((d, -c))
        assert a > 0.0
        assert b == pytest.approx(0.0, abs=1e-9)
    drawn = read_leaves(edited.document, include_layouts=True)
    cloth = [leaf for leaf in drawn if "cloth" in {group.label for group in leaf.groups}]
    listed = [leaf for leaf in texts if leaf.groups[-1].label == "list"]
    assert min(leaf.box[0] for leaf in listed) > max(leaf.box[2] for leaf in cloth)
