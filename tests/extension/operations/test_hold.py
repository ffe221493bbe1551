# SPDX-License-Identifier: GPL-2.0-or-later
"""Hold or Release Parts: what it writes, the sign on what is held, and who keeps the sign true."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
import shapely
from lxml import etree

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.dialogs.hosted import DONE, REFUSED, run_hosted
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.found import FoundPart, found_on, leaves_on
from extension.layouts.holding import HoldRequest
from extension.layouts.layers import layout_layers
from extension.operations.check import check_layouts
from extension.operations.hold import NO_PART, hold_parts
from extension.operations.lay_out import lay_out
from extension.operations.running import Run
from extension.operations.tighten import tighten_layout
from extension.svg.document import Document, parse
from extension.svg.leaves import read_leaves
from nesting.stop import AfterRounds
from tests.helpers.edited import CLOTH, Edited
from tests.helpers.layouts import no_time
from tests.helpers.places import PROJECT

FRONT, BACK, TAB = "thriftlay-1-part-1", "thriftlay-1-part-3", "thriftlay-1-part-4"


def edited_from(data: bytes) -> Edited:
    """Return a drawing that can be changed further."""
    made = Edited()
    made.root = parse(data).root
    return made


def held(edited: Edited, *ids: str, hold: bool | None = True) -> Edited:
    return edited_from(hold_parts(edited.document, ids, hold).drawing)


def parts_on(document: Document, number: int = 0) -> tuple[FoundPart, ...]:
    leaves = read_leaves(document, include_layouts=True)
    return found_on(leaves_on(leaves, layout_layers(document)[number])).parts


def held_ids(edited: Edited, number: int = 0) -> list[str]:
    return [part.id for part in parts_on(edited.document, number) if part.held]


def signs(element: etree._Element) -> list[etree._Element]:
    """Return the groups of all signs."""
    return [one for one in element.iter("{*}g") if one.get(lay("sign"))]


def signed_ids(edited: Edited) -> list[str]:
    """Return the ids of the groups that a sign stands in."""
    return [str(next(one.iterancestors()).get("id")) for one in signs(edited.root)]


def test_held_parts_say_so_on_group_and_outline_and_carry_the_sign() -> None:
    before = Edited()
    after = held(before, FRONT, TAB)
    assert held_ids(after) == signed_ids(after) == [FRONT, TAB]
    for of in ("front", "tab"):
        assert after.part(of).get(lay("held")) == after.outline(of).get(lay("held")) == "yes"
    # Nothing but that has changed.
    for one in signs(after.root):
        after.delete(one)
    for node in after.root.iter(etree.Element):
        node.attrib.pop(lay("held"), "")
    assert etree.tostring(after.root) == etree.tostring(before.root)


def test_releasing_leaves_the_drawing_as_it_was() -> None:
    after = held(held(Edited(), FRONT, BACK), FRONT, BACK, hold=False)
    assert etree.tostring(after.root) == etree.tostring(Edited().root)


def test_without_a_word_all_are_held_first_and_released_then() -> None:
    one = held(Edited(), FRONT)
    both = held(one, FRONT, TAB, hold=None)
    assert held_ids(both) == [FRONT, TAB]
    assert held_ids(held(both, FRONT, TAB, hold=None)) == []
    assert held_ids(held(both, TAB, hold=None)) == [FRONT]


def test_a_layout_stands_for_all_its_parts() -> None:
    assert len(held_ids(held(Edited(), "thriftlay-1"))) == 5


def test_a_sign_lies_in_its_part_off_words_and_lines_and_is_upright() -> None:
    edited = Edited()
    edited.transform("front", 1, "rotate(30,100,700)")
    document = held(edited, FRONT, BACK).document
    leaves = read_leaves(document, include_layouts=True)
    signed = 0
    for part in (part for part in parts_on(document) if part.held):
        own = [leaf for leaf in leaves if any(group.id == part.id for group in leaf.groups)]
        sign = [leaf for leaf in own if any("sign" in group.attributes for group in leaf.groups)]
        (word,) = [leaf for leaf in sign if leaf.text]
        boxes = [shapely.box(*leaf.box) for leaf in sign]
        assert word.text == "held"
        assert word.matrix[1][0] == pytest.approx(0.0, abs=1e-9)
        assert all(part.shape.polygon.contains(box) for box in boxes)
        others = [leaf for leaf in own if leaf not in sign and leaf is not part.shape.leaf]
        lines = [shapely.LineString(ring.points) for leaf in others for ring in leaf.rings]
        words = [shapely.box(*leaf.box) for leaf in others if leaf.text]
        assert not shapely.union_all([*lines, *words]).intersects(shapely.union_all(boxes))
        signed += 1
    assert signed == 2


def test_where_there_is_room_a_sign_stands_well_off_the_words_and_lines_beside_it() -> None:
    """On the pocket of the first sample, whose widest place is close above its name."""
    drawing = (PROJECT / "sample_svgs/first-apron.svg").read_bytes()
    laid = lay_out(parse(drawing), CLOTH, Run(no_time, AfterRounds(0), lambda _: None))
    document = parse(hold_parts(parse(laid.drawing), ["thriftlay-1"], True).drawing)
    leaves = read_leaves(document, include_layouts=True)
    pockets = [part for part in parts_on(document) if part.of == "apron-pocket"]
    for part in pockets:
        own = [leaf for leaf in leaves if any(group.id == part.id for group in leaf.groups)]
        sign = [leaf for leaf in own if any("sign" in group.attributes for group in leaf.groups)]
        others = [leaf for leaf in own if leaf not in sign and "of" not in leaf.attributes]
        boxes = shapely.union_all([shapely.box(*leaf.box) for leaf in sign])
        assert min(boxes.distance(shapely.box(*leaf.box)) for leaf in others) >= 6.0
    assert len(pockets) == 2


def test_a_check_puts_the_signs_right_and_finds_no_fault_in_them() -> None:
    edited = held(Edited(), FRONT, TAB)
    edited.part("back").set(lay("held"), "yes")  # typed by hand
    for node in (edited.part("tab"), edited.outline("tab")):
        del node.attrib[lay("held")]
    outcome = edited.check()
    assert outcome.is_clean
    assert signed_ids(edited_from(outcome.drawing)) == [FRONT, BACK]
    again = edited_from(check_layouts(parse(outcome.drawing)).drawing)
    assert signed_ids(again) == [FRONT, BACK]


def test_an_ungrouped_part_is_held_and_released_too() -> None:
    edited = Edited()
    outline = edited.ungroup("front", 1)
    name = str(outline.get("id"))
    after = held(edited, name)
    assert held_ids(after) == [name]
    assert len(signs(after.layer)) == 1
    assert after.check().is_clean
    released = held(after, name, hold=False)
    assert not signs(released.root)
    assert etree.tostring(released.root) == etree.tostring(edited.root)


def test_the_next_layout_and_a_tightened_one_keep_part_and_sign() -> None:
    edited = held(Edited(), FRONT)
    told = Run(no_time, lambda rounds: rounds >= 1)
    laid = lay_out(edited.document, CLOTH, told, HoldRequest("thriftlay-1")).drawing
    outcome = tighten_layout(edited.document, "thriftlay-1", told)
    assert outcome.drawing is not None
    for data in (laid, outcome.drawing):
        after = edited_from(data)
        (part,) = [one for one in parts_on(after.document, 1) if one.held]
        assert part.of == "front"
        (old, new) = signs(after.root)
        assert new.getparent() is after.part("front")
        # Drawn once more it would be there twice.
        assert len(signs(held(after, "thriftlay-2", hold=False).layer)) == 0
        assert old.getparent() is not new.getparent()


def test_what_is_no_part_is_passed_over_but_not_alone() -> None:
    assert held_ids(held(Edited(), FRONT, "front")) == [FRONT]
    with pytest.raises(DrawingError, match=NO_PART):
        held(Edited(), "front")
    with pytest.raises(DrawingError, match="Nothing in the drawing is called “nobody”"):
        held(Edited(), FRONT, "nobody")


def test_a_clone_is_refused_with_the_remedy_and_nothing_changes() -> None:
    document = cloned().document
    before = etree.tostring(document.root)
    assert "twin" in {part.id for part in parts_on(document)}
    with pytest.raises(DrawingError, match="is a clone: unlink it first"):
        hold_parts(document, [TAB, "twin"], True)
    assert etree.tostring(document.root) == before


def pins(edited: Edited) -> list[etree._Element]:
    """Return the words of all signs, also of broken ones."""
    return [
        one for one in edited.root.iter("{*}text") if "".join(map(str, one.itertext())) == "held"
    ]


def cloned() -> Edited:
    """Return a drawing with a clone of a part below the cloth."""
    edited = Edited()
    clone = etree.SubElement(edited.layer[1], "{http://www.w3.org/2000/svg}use")
    clone.set("{http://www.w3.org/1999/xlink}href", f"#{FRONT}")
    clone.set("id", "twin")
    clone.set("transform", "translate(0,900)")
    return edited


def test_a_part_that_is_cloned_is_held_and_released_and_has_one_sign() -> None:
    before = cloned()
    after = held(before, FRONT)
    assert signed_ids(after) == [FRONT]
    checked = edited_from(after.check().drawing)
    assert signed_ids(checked) == [FRONT]
    assert held_ids(held(checked, FRONT, hold=False)) == []
    layer = str(before.layer.get("id"))
    with pytest.raises(DrawingError, match="is a clone"):
        held(before, layer)


def test_a_sign_that_was_ungrouped_goes_with_the_others() -> None:
    edited = held(Edited(), FRONT)
    name = str(edited.ungroup("front", 1).get("id"))
    (sign,) = signs(edited.root)
    for child in reversed(list(sign)):
        child.set("transform", f"{sign.get('transform')} {child.get('transform', '')}".strip())
        sign.addnext(child)
    edited.delete(sign)
    outcome = edited.check()
    assert outcome.is_clean
    checked = edited_from(outcome.drawing)
    assert len(pins(checked)) == len(signs(checked.root)) == 1
    assert not pins(held(edited, name, hold=False))


def test_the_command_line_holds_and_releases(tmp_path: Path) -> None:
    drawing, once, twice = (tmp_path / f"{name}.svg" for name in ("laid", "held", "released"))
    drawing.write_bytes(Edited().data)
    out, err = io.StringIO(), io.StringIO()
    words = ["hold", str(drawing), "--select", FRONT, "--output", str(once)]
    assert run(words, Terminal(out, err), no_time) == 0
    assert out.getvalue() == "Held: “Front, 1 of 2”.\n"
    assert held_ids(edited_from(once.read_bytes())) == [FRONT]
    words = ["hold", str(once), "--release", "--select", FRONT, "--output", str(twice)]
    assert run(words, Terminal(out, err), no_time) == 0
    assert out.getvalue().endswith("Released: “Front, 1 of 2”.\n")
    assert held_ids(edited_from(twice.read_bytes())) == []
    assert run([*words[:3], "--select", "front", "--output", "x"], Terminal(out, err), no_time) == 2
    assert err.getvalue() == f"{NO_PART}\n"


def hosted(folder: Path, *ids: str) -> tuple[int, bytes]:
    """Run the menu command; return its exit code and what it told."""
    told = io.BytesIO()
    (folder / "in.svg").write_bytes(Edited().data)
    words = ["--command=hold", *(f"--id={one}" for one in ids), f"--output={folder / 'out.svg'}"]
    code = run_hosted([*words, str(folder / "in.svg")], io.BytesIO(b""), told, no_time)
    return code, told.getvalue()


def test_the_menu_command_is_silent_and_takes_a_mixed_selection(tmp_path: Path) -> None:
    code, told = hosted(tmp_path, "front", FRONT)
    assert code == DONE
    assert b"message" not in told
    assert held_ids(edited_from((tmp_path / "out.svg").read_bytes())) == [FRONT]


@pytest.mark.parametrize("ids", [(), ("front",)])
def test_the_menu_command_asks_for_parts(tmp_path: Path, ids: tuple[str, ...]) -> None:
    code, told = hosted(tmp_path, *ids)
    assert code == REFUSED
    assert b"Select the parts on a layout" in told
