# SPDX-License-Identifier: GPL-2.0-or-later
"""Set Cutting Details: what is named is set on every selected piece, all else stays."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.dialogs.details import Details
from extension.job.reading import ReadRequest, read_pieces
from extension.language.errors import DrawingError, OptionError
from extension.language.names import lay
from extension.operations.details import changes_from, set_details
from extension.operations.read_markings import read_markings
from extension.pieces.attributes import DIRECTIONS, SETTABLE
from extension.pieces.model import DrawnPiece
from extension.svg.document import Document, parse, serialise
from extension.svg.leaves import read_leaves
from tests.helpers.menu import opened
from tests.helpers.svg_builder import SvgBuilder

LOOK = "fill:none;stroke:#000000;stroke-width:0.5"


def sheet(group: bool = False, transform: str = "") -> SvgBuilder:
    drawing = SvgBuilder("900mm", "600mm", (0, 0, 900, 600))
    parent = drawing.add_group(id="group", lay={"cut": "2"}) if group else None
    shape = drawing.add_path("M 60 40 H 260 L 280 360 H 60 Z", parent, id="front", style=LOOK)
    if transform:
        shape.set("transform", transform)
    if group:
        drawing.add_line((100, 100), (100, 300), parent, style=LOOK)
    drawing.add_rect(400, 40, 100, 200, id="pocket", style=LOOK, lay={"name": "Pocket"})
    return drawing


def after(drawing: SvgBuilder, ids: list[str], *changes: str) -> Document:
    return parse(set_details(drawing.document(), ids, changes_from(changes)).drawing)


def value(document: Document, object_id: str, name: str) -> str | None:
    (element,) = [each for each in document.root.iter("{*}*") if each.get("id") == object_id]
    return element.get(lay(name))


def piece(document: Document, object_id: str = "front") -> DrawnPiece:
    return read_pieces(read_leaves(document), ReadRequest(selected=(object_id,))).pieces[0]


def test_a_piece_that_is_drawn_whole_says_so_and_has_no_fold_line() -> None:
    folded = after(sheet(), ["front"], "fold=left", "cut=1")
    whole = parse(set_details(folded, ["front"], {"fold": "none"}).drawing)
    assert value(whole, "front", "fold") == "none"
    assert value(whole, "front", "drawn") is None
    assert piece(whole).fold is None
    assert not whole.root.findall(f".//*[@{lay('role')}='fold']")
    again = parse(set_details(whole, ["front"], {"fold": "left"}).drawing)
    assert value(again, "front", "fold") is None
    assert piece(again).fold is not None


def test_what_is_named_is_set_on_all_and_the_rest_of_each_stays() -> None:
    document = after(sheet(), ["front", "pocket"], "cut=2 main; 1 lining")
    assert value(document, "front", "cut") == value(document, "pocket", "cut") == "2 main; 1 lining"
    assert value(document, "front", "name") is None
    assert value(document, "pocket", "name") == "Pocket"


def test_a_detail_is_taken_away() -> None:
    assert value(after(sheet(), ["pocket"], "name=", "cut=1"), "pocket", "name") is None


@pytest.mark.parametrize("word", list(DIRECTIONS))
@pytest.mark.parametrize("transform", ["", "rotate(30 160 200)", "scale(-1,1) translate(-400,0)"])
def test_a_grain_is_a_drawn_line_as_seen(word: str, transform: str) -> None:
    document = after(sheet(transform=transform), ["front"], f"grain={word}")
    found = piece(document)
    assert found.grain_from == "grainline"
    assert found.grain == pytest.approx(DIRECTIONS[word], abs=0.01)
    assert found.top_certain
    assert value(document, "front", "grain") is None


@pytest.mark.parametrize("degrees", [12.0, 45.0, 133.0, 271.5])
def test_an_angle_is_drawn_as_it_is_typed(degrees: float) -> None:
    found = piece(after(sheet(), ["front"], f"grain={degrees}deg"))
    assert found.grain == pytest.approx(degrees, abs=0.01)


def test_the_line_turns_with_its_piece() -> None:
    document = after(sheet(), ["front"], "grain=up", "name=Front")
    (group,) = [each for each in document.root.iter() if each.get("id") == "front-piece"]
    group.set("transform", "rotate(-90 160 200)")
    assert piece(document).grain == pytest.approx(180.0, abs=0.01)


def test_a_second_grain_replaces_the_first() -> None:
    once = after(sheet(), ["front"], "grain=up")
    document = parse(set_details(once, ["front"], {"grain": "left"}).drawing)
    assert piece(document).grain == pytest.approx(180.0, abs=0.01)


def test_a_fold_is_a_drawn_line_on_its_edge() -> None:
    document = after(sheet(), ["front"], "fold=left", "cut=1")
    fold = piece(document).fold
    assert fold is not None
    assert {round(x) for x, _ in fold} == {60}
    assert piece(parse(set_details(document, ["front"], {"fold": "-"}).drawing)).fold is None


@pytest.mark.parametrize("word", ["up", "30"])
def test_an_outline_without_area_takes_no_grainline(word: str) -> None:
    drawing = sheet()
    drawing.add_rect(10, 600, 5, 5e-324, id="stray")
    with pytest.raises(DrawingError, match=r"\(stray\) is closed but encloses no area"):
        set_details(drawing.document(), ["stray"], {"grain": word})


def test_a_selected_line_becomes_the_grainline() -> None:
    drawing = sheet()
    drawing.add_line((100, 100), (140, 300), id="line", style=LOOK)
    document = after(drawing, ["front", "line"], "grain=line")
    assert value(document, "line", "role") == "grainline"
    assert piece(document).grain_from == "grainline"


def test_details_survive_ungrouping() -> None:
    document = after(sheet(group=True), ["front"], "size=38")
    (group,) = [each for each in document.root.iter() if each.get("id") == "group"]
    for child in list(group):
        group.addprevious(child)
    assert value(document, "front", "cut") == "2"
    assert value(document, "front", "size") == "38"


def test_what_was_set_by_hand_is_kept_when_read_again() -> None:
    drawing = sheet()
    drawing.add_text("Front\ncut 2", 120, 150, font_size=10)
    document = drawing.document()
    read_markings(document)
    set_details(document, ["front"], {"cut": "2"})
    read_markings(document)
    set_details(document, ["front"], {"cut": "4"})
    read_markings(document)
    assert value(document, "front", "cut") == "4"


@pytest.mark.parametrize(
    ("ids", "changes", "words"),
    [
        ([], ["cut=2"], "nothing is selected"),
        (["front"], [], "nothing to set"),
        (["nowhere"], ["cut=2"], "Nothing that is drawn is called “nowhere”"),
        (["front"], ["cut=many"], "lay:cut=“many”"),
        (["front"], ["colour=red"], "is no detail to set"),
        (["front"], ["cut"], "is no detail to set"),
        (["front"], ["grain=line99"], "No line called “line99”"),
        (["front"], ["fold=30deg"], "needs the side"),
        (["front"], ["turns=sideways"], "lay:turns"),
    ],
)
def test_what_cannot_be_set_is_one_plain_sentence(
    ids: list[str], changes: list[str], words: str
) -> None:
    document = sheet().document()
    with pytest.raises((DrawingError, OptionError), match=words):
        set_details(document, ids, changes_from(changes))
    assert value(document, "front", "cut") is None


def test_a_bad_value_for_one_piece_changes_none() -> None:
    drawing = sheet()
    drawing.add("circle", id="round", cx=700, cy=300, r=80, style=LOOK)
    document = drawing.document()
    with pytest.raises(DrawingError, match="no straight edge"):
        set_details(document, ["front", "round"], {"fold": "left", "cut": "1"})
    assert value(document, "front", "cut") is None


def test_the_dialog_passes_only_what_was_filled_in() -> None:
    fields = "--cut=2", "--off_grain= 2deg ", "--hand=", "--edge=4 cm"
    changes = opened(Details, *fields).changes()
    assert changes == {"cut": "2", "off-grain": "2deg", "edge": "4 cm"}
    assert set(changes) <= {*SETTABLE, "edge"}


def test_the_command_line(tmp_path: Path) -> None:
    source, target = tmp_path / "in.svg", tmp_path / "out.svg"
    sheet().write(source)
    words = ["details", str(source), "--select", "front", "--set", "cut=2", "grain=up"]
    out, err = io.StringIO(), io.StringIO()
    assert run([*words, "--output", str(target)], Terminal(out, err), lambda: 0.0) == 0  # type: ignore[arg-type]
    assert piece(parse(target)).demands[0].cut == 2
    assert "front" in out.getvalue()


def typed_grain() -> SvgBuilder:
    drawing = SvgBuilder("900mm", "600mm", (0, 0, 900, 600))
    drawing.add_path("M 60 40 H 260 L 280 360 H 60 Z", id="front", lay={"grain": "up"})
    return drawing


def test_a_typed_direction_is_refused_once_the_outline_was_turned_without_a_trace() -> None:
    document = after(typed_grain(), ["front"], "cut=2")
    assert piece(document).grain == 90.0
    (front,) = [each for each in document.root.iter("{*}path") if each.get("id") == "front"]
    front.set("d", "M 60 40 V 240 L 380 260 V 40 Z")
    with pytest.raises(DrawingError, match="may have turned: mark it as a line"):
        piece(parse(serialise(document)))


def test_a_typed_direction_turns_with_a_transform() -> None:
    document = after(typed_grain(), ["front"], "cut=2")
    (front,) = [each for each in document.root.iter("{*}path") if each.get("id") == "front"]
    front.set("transform", "rotate(90 150 200)")
    assert piece(parse(serialise(document))).grain == 0.0


def test_setting_another_detail_does_not_vouch_for_a_turned_outline() -> None:
    document = after(typed_grain(), ["front"], "cut=2")
    (front,) = [each for each in document.root.iter("{*}path") if each.get("id") == "front"]
    front.set("d", "M 60 40 V 240 L 380 260 V 40 Z")
    again = set_details(parse(serialise(document)), ["front"], {"cut": "1"})
    with pytest.raises(DrawingError, match="may have turned"):
        piece(parse(again.drawing))
