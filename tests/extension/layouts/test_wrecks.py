# SPDX-License-Identifier: GPL-2.0-or-later
"""Parts that are none any more: outline deleted, several combined or united, broken apart again.

What the editor's path operations write was measured with Inkscape 1.2: the result is one path in
the group of one of the parts, and our attributes on it are gone.
"""

from __future__ import annotations

import pytest
from lxml import etree

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.holding import HoldRequest
from extension.layouts.wrecks import Wreck, claimed
from extension.operations.lay_out import lay_out
from extension.operations.running import Run
from extension.svg.document import parse
from tests.helpers.cloth import between_selvedges
from tests.helpers.edited import CLOTH, Edited
from tests.helpers.garments import garment
from tests.helpers.layouts import no_time, plan_of

KEPT = "thriftlay-1-part-4"
EMPTIED = "thriftlay-1-part-5"


def combined(edited: Edited, *, union: bool = False) -> etree._Element:
    """Put the outlines of both tabs into one path of the first, as the editor does."""
    one, two = edited.outline("tab", 1), edited.outline("tab", 2)
    subpaths = [rectangle(one), rectangle(two)]
    path = etree.SubElement(edited.part("tab", 1), "{http://www.w3.org/2000/svg}path")
    path.set("id", "path900")
    path.set("d", " ".join(subpaths) if not union else rectangle(one, longer=20.0))
    path.set("transform", one.get("transform", ""))
    edited.delete(one)
    edited.delete(two)
    return path


def rectangle(outline: etree._Element, longer: float = 0.0) -> str:
    """Return a rectangle as a path; the second tab's is moved aside so that both are seen."""
    aside = 60.0 if outline.get(lay("copy")) == "2" else 0.0
    x, y, width, height = (float(outline.get(name, "0")) for name in ("x", "y", "width", "height"))
    return f"M {x + aside},{y} h {width} v {height + longer} h {-width} Z"


def sentences(edited: Edited) -> list[str]:
    return [one["sentence"] for one in edited.violations()]


def test_a_part_without_its_outline_is_missing_and_nobody_is_blamed() -> None:
    edited = Edited()
    edited.delete(edited.outline("front", 2))
    assert edited.found() == [("outline", ("front #2",))]
    assert sentences(edited) == [
        "Front (2 of 2) has lost its outline, so it is missing: undo that, or delete what is left "
        "of it (thriftlay-1-part-2) and lay out again"
    ]
    assert edited.check().summary[0].startswith("4 of 5 parts, 1 outline not recognised, ")


def test_a_mark_of_a_part_is_not_taken_for_its_outline() -> None:
    edited = Edited()
    edited.delete(edited.outline("back", 1))  # which leaves circles, closed outlines
    assert edited.found() == [("outline", ("back #1",))]
    assert "Back has lost its outline" in sentences(edited)[0]


def test_marks_without_an_outline_need_no_cloth() -> None:
    edited, bare = Edited(), Edited()
    edited.delete(edited.outline("front", 2))
    bare.delete(bare.part("front", 2))
    for one in (edited, bare):
        assert one.check().report["parts"] == 4
    assert edited.check().report["length"] == bare.check().report["length"]
    assert edited.check().report["utilisation"] == bare.check().report["utilisation"]


def test_two_parts_in_one_path_are_named_and_neither_is_counted() -> None:
    edited = Edited()
    combined(edited)
    assert edited.found() == [("outline", ("tab #1", "tab #2"))]
    (sentence,) = sentences(edited)
    assert sentence.startswith("Tab (1 of 2) and Tab (2 of 2) are in one outline (path900)")
    assert edited.check().report["parts"] == 3
    assert edited.check().summary[0].startswith("3 of 5 parts, 1 outline not recognised, ")
    assert len(edited.check().summary) == 2


def test_two_parts_in_one_path_that_lost_its_group_are_seen_as_well() -> None:
    edited = Edited()
    path = combined(edited)
    edited.layer[1].append(path)
    for number in (1, 2):
        edited.delete(edited.part("tab", number))
    assert edited.found() == [("outline", ("tab #1", "tab #2"))]


def test_two_parts_in_one_path_need_the_cloth_that_they_lie_on() -> None:
    edited = Edited()
    path = combined(edited)
    first, second = path.get("d", "").split(" M ")
    corner, rest = second.split(" ", 1)
    x, y = map(float, corner.split(","))
    path.set("d", f"{first} M {x},{y - 900} {rest}")
    assert edited.check().report["length"] > 1100.0


def test_broken_apart_again_both_are_counted() -> None:
    edited = Edited()
    path = combined(edited)
    one, two = path.get("d", "").split(" M")
    path.set("d", one)
    twin = etree.SubElement(edited.part("tab", 1), path.tag, {"id": "path901", "d": f"M{two}"})
    twin.set("transform", path.get("transform", ""))
    outcome = edited.check()
    assert outcome.report["parts"] == 5
    assert "outline" not in [kind for kind, _ in edited.found()]
    assert any(f"({EMPTIED}) is no part: delete it." in line for line in outcome.summary)


def in_a_label(edited: Edited) -> etree._Element:
    """Combine both tabs by their groups: the path is put where a label's text was, now a group."""
    path = combined(edited)
    words = next(one for one in edited.part("tab", 2).iter("{*}text"))
    letters = etree.Element("{http://www.w3.org/2000/svg}g", dict(words.attrib))
    words.addnext(letters)
    edited.delete(words)
    letters.append(path)
    return path


def test_whole_parts_in_one_path_are_named() -> None:
    edited = Edited()
    in_a_label(edited)
    assert edited.found() == [("outline", ("tab #1", "tab #2"))]


def test_whole_parts_broken_apart_again_are_both_counted() -> None:
    edited = Edited()
    path = in_a_label(edited)
    one, two = path.get("d", "").split(" M")
    path.set("d", one)
    twin = etree.Element(path.tag, {"id": "path901", "d": f"M{two}"})
    twin.set("transform", path.get("transform", ""))
    path.addnext(twin)
    outcome = edited.check()
    assert outcome.report["parts"] == 5
    assert not {"outline", "count"} & {kind for kind, _ in edited.found()}


def test_marks_that_were_combined_with_their_parts_cover_no_cloth_of_their_own() -> None:
    edited = Edited()
    path = combined(edited)
    bare = edited.check().report["utilisation"]
    first, second = path.get("d", "").split(" M ")
    x, y = map(float, second.split(" ", 1)[0].split(","))
    path.set("d", f"{first} M {second} M {x + 2},{y + 2} h 12 v 26 h -12 Z")
    assert edited.check().report["utilisation"] == bare


def test_united_parts_are_not_recognised_and_not_called_resized() -> None:
    edited = Edited()
    combined(edited, union=True)
    assert edited.found() == [("outline", ("tab #1",)), ("outline", ("tab #2",))]
    changed, lost = sentences(edited)
    assert "Tab (1 of 2) is not recognised: another outline stands in its place" in changed
    assert "Tab (2 of 2) has lost its outline" in lost


def test_a_resized_part_is_still_called_resized() -> None:
    edited = Edited()
    edited.transform("front", 1, "translate(5,0) scale(1.03)")
    assert edited.found() == [("resized", ("front #1",))]


def test_what_is_left_of_a_part_that_was_replaced_is_a_note() -> None:
    edited = Edited()
    edited.duplicate("front", 2, "translate(0,0)")
    edited.delete(edited.outline("front", 2))
    outcome = edited.check()
    assert outcome.is_clean
    assert "What is left of Front (thriftlay-1-part-2) is no part: delete it." in outcome.summary


def test_a_drawing_of_hers_beside_a_parts_outline_in_one_path_is_none_of_our_business() -> None:
    edited = Edited()
    outline = edited.outline("front", 1)
    outline.set("d", outline.get("d", "") + " M 700 20 h 33 v 44 h -20 Z")
    assert "outline" not in [kind for kind, _ in edited.found()]


@pytest.mark.parametrize(
    ("wreck", "words"),
    [
        (lambda e: e.delete(e.outline("tab", 1)), "it has lost its outline"),
        (lambda e: combined(e), "holds several parts"),
        (lambda e: combined(e, union=True), "another outline stands in its place"),
    ],
)
def test_a_wreck_cannot_be_held(wreck: object, words: str) -> None:
    edited = Edited()
    edited.part("tab", 1).set(lay("held"), "yes")
    marks = edited.part("tab", 1)
    etree.SubElement(marks, "{http://www.w3.org/2000/svg}rect", width="4", height="4", x="1", y="1")
    wreck(edited)  # type: ignore[operator]
    with pytest.raises(DrawingError, match=words):
        lay_out(edited.document, CLOTH, Run(no_time, lambda rounds: True), HoldRequest())


def wreck_of(kind: str, *names: str, copies: tuple[int, ...] = ()) -> Wreck:
    cuts = plan_of(garment().document(), between_selvedges(900.0)).cuts
    return Wreck("g1", kind, tuple(cuts[name] for name in names), copies, ())  # type: ignore[arg-type]


def test_wrecks_claim_what_is_missing_and_no_more() -> None:
    lost = wreck_of("lost", "front", copies=(2,))
    assert claimed([lost], {"front": (1, 2)}) == ((("front", 2),),)
    assert claimed([lost], {"front": (1,)}) == ((("front", 1),),)
    assert claimed([lost], {"tab": (1,)}) == ((),)
    assert claimed([wreck_of("lost", "front")], {"front": (1, 2)}) == ((("front", 1),),)
    assert claimed([lost, lost], {"front": (2,)})[0] == (("front", 2),)


def test_what_holds_several_claims_first() -> None:
    lost, both = wreck_of("lost", "front"), wreck_of("several", "front", "tab")
    assert claimed([lost, both], {"front": (1,), "tab": (2,)}) == ((), (("front", 1), ("tab", 2)))


def test_a_check_that_names_wrecks_leaves_them_where_they_are() -> None:
    edited = Edited()
    combined(edited)
    again = parse(edited.check().drawing).root
    ids = {node.get("id") for node in again.iter(etree.Element)}
    assert {"path900", KEPT, EMPTIED} <= ids
