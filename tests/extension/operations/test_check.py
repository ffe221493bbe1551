# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout is judged as it lies: what hands can do to it, and what is said about it."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable

import pytest
from lxml import etree

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.operations.check import check_layouts
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers.cloth import between_selvedges
from tests.helpers.drawn import sheet
from tests.helpers.edited import Edited, two_layouts
from tests.helpers.garments import PAGES, Page, garment
from tests.helpers.svg_builder import SvgBuilder

CLEAN: list[tuple[str, tuple[str, ...]]] = []


def nested(edited: Edited) -> None:
    """Put a part into groups of groups whose transforms cancel out."""
    part = edited.part("front", 1)
    parent = part.getparent()
    assert parent is not None
    outer = etree.SubElement(parent, part.tag, {"id": "g1", "transform": "rotate(30, 11, 22)"})
    inner = etree.SubElement(outer, part.tag, {"id": "g2", "transform": "rotate(-30, 11, 22)"})
    inner.append(part)


def baked(edited: Edited) -> None:
    """Move an ungrouped outline as the editor does: by its nodes."""
    outline = edited.ungroup("tab", 1)
    outline.set("x", str(float(outline.get("x", "0")) + 3.0))


def cloth_doubled(edited: Edited) -> None:
    cloth = next(one for one in edited.layer.iter("{*}rect"))
    cloth.addnext(etree.fromstring(etree.tostring(cloth)))


def cloth_unlocked(edited: Edited) -> None:
    sublayer = next(iter(edited.layer))
    sublayer.attrib.pop("{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}insensitive")


def replaced_by_a_duplicate(edited: Edited) -> None:
    edited.duplicate("tab", 1, "translate(0,-50)")
    edited.delete(edited.part("tab", 2))


def renumbered(edited: Edited) -> None:
    for node in (edited.part("front", 1), edited.outline("front", 1)):
        node.set(lay("copy"), "2")


HARMLESS: dict[str, Callable[[Edited], object]] = {
    "nothing": lambda edited: None,
    "a drag": lambda edited: edited.transform("front", 1, "translate(4,-9)"),
    "a matrix": lambda edited: edited.transform("front", 1, "matrix(1,0,0,1,7.5,-3)"),
    "turned there and back": lambda edited: edited.transform(
        "front", 2, "rotate(180,300,700) rotate(-180,300,700)"
    ),
    "nested groups": nested,
    "ungrouped": lambda edited: edited.ungroup("front", 2),
    "moved by its nodes": baked,
    "a part of another hand in place of a symmetric one": replaced_by_a_duplicate,
    "a copy number that is not its own": renumbered,
    "the layer moved": lambda edited: edited.layer.set("transform", "translate(1500,40)"),
    "the layer turned": lambda edited: edited.layer.set("transform", "rotate(90) translate(99,9)"),
    "cloth twice": cloth_doubled,
    "cloth unlocked": cloth_unlocked,
    "measures deleted": lambda edited: edited.delete(edited.layer[2]),
    "cloth deleted": lambda edited: edited.delete(edited.layer[0]),
    "original moved": lambda edited: edited.find("front").set("transform", "rotate(33)"),
    "turned notes": lambda edited: edited.part("front", 1).set(lay("turned"), "90"),
}


@pytest.mark.parametrize("edit", HARMLESS.values(), ids=HARMLESS.keys())
def test_what_changes_no_rule_is_no_fault(edit: Callable[[Edited], object]) -> None:
    edited = Edited()
    edit(edited)
    assert edited.found() == CLEAN
    assert edited.check().is_clean


def resized(edited: Edited) -> None:
    edited.transform("front", 1, "translate(5,0) scale(1.03)")


def test_of_two_pieces_of_one_name_the_one_that_is_missing_is_told_by_its_id() -> None:
    edited = Edited()
    twin = copy.deepcopy(edited.find("tab"))
    for number, node in enumerate(twin.iter("*")):
        node.set("id", f"twin-{number}" if number else "twin")
    parent = edited.find("tab").getparent()
    assert parent is not None
    parent.append(twin)
    (found,) = [one for one in edited.violations() if one["kind"] == "count"]
    assert found["sentence"] == "Tab (twin) is not on this layout (cut 2)"


def stretched(edited: Edited) -> None:
    edited.transform("front", 1, "translate(5,0) scale(1.03,1)")


def shown_twice(edited: Edited) -> None:
    edited.duplicate("front", 1, "translate(0,-230)")


def original_redrawn(edited: Edited) -> None:
    edited.find("front-outline").set("d", "M 10 20 H 120 C 150 60 150 100 130 210 H 10 Z")


def original_moved_away(edited: Edited) -> None:
    edited.delete(edited.find("tab"))


def both_flipped_and_turned(edited: Edited) -> None:
    edited.transform("front", 2, "translate(640,0) scale(-1,1)")


FAULTS: dict[str, tuple[Callable[[Edited], object], list[tuple[str, tuple[str, ...]]], float]] = {
    "overlap": (
        lambda edited: edited.transform("tab", 1, "translate(-10,180)"),
        [("overlap", ("front #2", "tab #1"))],
        30.0 * 16.0,
    ),
    "gap": (
        lambda edited: edited.transform("tab", 1, "translate(8,-40)"),
        [("gap", ("tab #1", "tab #2"))],
        1.0,
    ),
    "beyond the cut end": (
        lambda edited: edited.transform("front", 1, "translate(-12,0)"),
        [("off the cloth", ("front #1",))],
        7.0,
    ),
    "beyond a selvedge": (
        lambda edited: edited.transform("front", 1, "translate(0,33)"),
        [("off the cloth", ("front #1",))],
        3.0,
    ),
    "off the grain": (
        lambda edited: edited.transform("front", 1, "translate(20,-20) rotate(7.25,120,800)"),
        [("turn", ("front #1",))],
        7.25,
    ),
    "against the nap": (
        lambda edited: edited.transform("front", 1, "rotate(180,120,800)"),
        [("nap", ("front #1",))],
        180.0,
    ),
    "wrong hand": (
        lambda edited: edited.transform("front", 2, "translate(0,1300) scale(1,-1)"),
        [("hand", ("front #2",))],
        1.0,
    ),
    "wrong hand and head to foot": (
        both_flipped_and_turned,
        [("hand", ("front #2",)), ("nap", ("front #2",))],
        1.0,
    ),
    "missing": (
        lambda edited: edited.delete(edited.part("front", 2)),
        [("count", ("front #2",))],
        1.0,
    ),
    "one too many": (shown_twice, [("count", ("front #1",))], 1.0),
    "resized": (resized, [("resized", ("front #1",))], 3.0),
    "stretched": (stretched, [("resized", ("front #1",))], 1.7),
    "original edited": (original_redrawn, [("edited", ("front #1", "front #2"))], 5.4),
    "original deleted": (
        original_moved_away,
        [("original", ("thriftlay-1-part-4", "thriftlay-1-part-5"))],
        2.0,
    ),
    "hidden": (
        lambda edited: edited.part("front", 2).set("style", "display:none"),
        [("count", ("front #2",))],
        1.0,
    ),
}


@pytest.mark.parametrize(("edit", "kinds", "amount"), FAULTS.values(), ids=FAULTS.keys())
def test_each_fault_is_found_by_its_name_and_amount(
    edit: Callable[[Edited], object], kinds: list[tuple[str, tuple[str, ...]]], amount: float
) -> None:
    edited = Edited()
    edit(edited)
    assert edited.found() == kinds
    assert edited.violations()[0]["amount"] == pytest.approx(amount, rel=0.1)
    assert not edited.check().is_clean


@pytest.mark.parametrize("either", [False, True])
def test_a_part_may_lie_flipped_where_its_piece_may_lie_with_either_side_up(either: bool) -> None:
    edited = Edited()
    front = edited.find("front")
    front.set(lay("cut"), "2 same")  # its second part lies mirrored
    if either:
        front.set(lay("side-up"), "either")
    assert edited.found() == (CLEAN if either else [("hand", ("front #2",))])


def test_the_verdict_tells_no_news_too() -> None:
    assert Edited().check().summary == ("5 of 5 parts, no overlap, 0.46 m.",)


def test_the_verdict_counts_the_faults_and_each_is_told() -> None:
    edited = Edited()
    edited.transform("tab", 1, "translate(-10,180)")
    edited.transform("front", 1, "translate(20,-20) rotate(7,120,800)")
    verdict, *faults = edited.check().summary
    assert verdict == "5 of 5 parts, 1 overlap, 1 part off the grain, 0.46 m."
    assert faults[0] == "1. Front (2 of 2) and Tab (1 of 2) overlap: 4.8 cm², 16 mm deep."
    assert faults[1] == "2. Front (1 of 2) lies 7° off the grain."


def test_the_report_tells_length_parts_and_violations() -> None:
    edited = Edited()
    edited.transform("back", 1, "translate(100,0)")
    report = json.loads(json.dumps(edited.check().report))
    assert report["length"] == pytest.approx(555.0, abs=0.1)
    assert (report["parts"], report["expected"], report["violations"]) == (5, 5, [])


def test_a_part_parked_beside_the_cloth_does_not_make_it_longer() -> None:
    edited = Edited()
    edited.transform("tab", 1, "translate(2000,-900)")
    outcome = edited.check()
    assert outcome.report["length"] == pytest.approx(455.0, abs=0.1)
    assert "does not lie on the cloth" in outcome.summary[1]


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES.keys())
@pytest.mark.parametrize("transform", ["", "rotate(33)", "translate(50 20) rotate(-90) scale(0.8)"])
def test_what_was_just_laid_is_clean_on_every_page(page: Page, transform: str) -> None:
    edited = Edited(garment(page, transform), between_selvedges(700.0))
    assert edited.found() == CLEAN
    assert edited.check().report["parts"] == 5


def test_seam_allowance_and_other_materials_are_judged_as_they_were_laid() -> None:
    options = between_selvedges(700.0, allowance=12.0, garments=2)
    edited = Edited(garment(), options)
    assert edited.found() == CLEAN
    assert edited.check().report["parts"] == 10


def test_originals_and_parts_stay_as_they_are() -> None:
    edited = Edited()
    edited.transform("front", 1, "translate(20,-20) rotate(7.25,120,800)")
    after = parse(edited.check().drawing).root
    for id_ in ("pieces", "thriftlay-1-parts"):
        one = next(node for node in after.iter(etree.Element) if node.get("id") == id_)
        assert etree.tostring(one, method="c14n") == etree.tostring(edited.find(id_), method="c14n")


def test_a_second_check_changes_nothing() -> None:
    edited = Edited()
    edited.transform("tab", 1, "translate(-10,180)")
    once = edited.check().drawing
    again = check_layouts(parse(once)).drawing
    assert etree.canonicalize(again.decode()) == etree.canonicalize(once.decode())


def test_marks_are_replaced_and_go_with_their_layout() -> None:
    edited = two_layouts()
    edited.root = parse(edited.check().drawing).root
    reviews = [one.get(lay("review")) for one in edited.root if one.get(lay("review"))]
    assert reviews == ["thriftlay-1", "thriftlay-2"]
    edited.delete(edited.find("thriftlay-1"))
    edited.root = parse(edited.check().drawing).root
    reviews = [one.get(lay("review")) for one in edited.root if one.get(lay("review"))]
    assert reviews == ["thriftlay-2"]


def test_marks_are_never_read_as_pieces() -> None:
    edited = Edited()
    edited.transform("tab", 1, "translate(-10,180)")
    marked = parse(edited.check().drawing)
    names = {leaf.id for leaf in read_leaves(marked)}
    assert names == {leaf.id for leaf in read_leaves(edited.document)}


def test_a_drawing_of_many_parts_is_checked_whole() -> None:
    drawing = sheet()
    for number in range(12):
        x, y = 30.0 + 150.0 * (number % 6), 40.0 + 300.0 * (number // 6)
        drawing.add_path(
            f"m {x},{y} c 40,-20 90,-20 120,0 l 10,{200 + number} c -50,15 -90,15 -140,0 z",
            id=f"p{number}",
            lay={"cut": "10"},
        )
    edited = Edited(drawing, between_selvedges(1400.0))
    assert edited.check().report["parts"] == 120


def test_an_empty_layer_tells_what_is_missing() -> None:
    edited = Edited()
    for part in list(edited.layer[1]):
        edited.delete(part)
    assert [kind for kind, _ in edited.found()] == ["count", "count", "count"]
    assert edited.check().report["length"] == 0.0


def test_a_builder_without_pieces_has_nothing_to_check() -> None:
    with pytest.raises(DrawingError, match="no layout"):
        check_layouts(SvgBuilder().document())
