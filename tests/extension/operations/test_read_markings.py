# SPDX-License-Identifier: GPL-2.0-or-later
"""Reading and writing together: what is written, kept, renewed."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from lxml import etree

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.job.reading import ReadRequest, read_pieces
from extension.language.names import lay
from extension.markings.proposing import propose
from extension.operations.read_markings import read_markings
from extension.svg.document import Document, parse, serialise
from extension.svg.leaves import read_leaves
from tests.helpers.marked import ARROW, LOOK, read, sheet, value
from tests.helpers.svg_builder import SvgBuilder


def test_details_and_roles_are_written() -> None:
    outcome = read(sheet())
    assert value(outcome, "front", "cut") == "2"
    assert value(outcome, "front", "name") == "Front"
    assert value(outcome, "grain", "role") == "grainline"


def test_what_is_written_has_our_prefix_in_a_drawing_that_did_not_know_it() -> None:
    data = (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" '
        b'viewBox="0 0 400 400"><path id="front" d="M 20 20 H 220 V 320 H 20 Z"/>'
        b'<text x="60" y="120" font-size="12">Front - cut 2</text></svg>'
    )
    written = read_markings(parse(data)).drawing
    assert b'<path xmlns:lay="urn:thriftlay:1" id="front"' in written
    assert b'lay:name="Front" lay:cut="2"' in written
    assert b"ns0:" not in written


def test_the_report_has_the_agreed_keys() -> None:
    report = read(sheet()).report
    assert list(report) == [
        "format", "version", "pieces", "unread", "questions", "matches", "of_notches",
    ]  # fmt: skip
    assert report["pieces"] == [
        {
            "id": "front",
            "name": "Front",
            "size": None,
            "grain": 90.0,
            "fold": False,
            "top": "certain",
            "turns": "two-way",
            "stitching_mm": None,
            "demands": [{"cut": 2, "hand": "mirrored", "material": "main"}],
            "from": ["Front / cut 2", "grain"],
        }
    ]


def test_what_was_set_by_hand_is_kept_unless_it_may_be_overwritten() -> None:
    drawing = sheet()
    drawing.root.find(".//*[@id='front']").set(lay("cut"), "4")  # type: ignore[union-attr]
    assert value(read(drawing), "front", "cut") == "4"
    assert value(read(drawing, overwrite=True), "front", "cut") == "2"


HERS = (
    {},
    {"hand": "same"},
    {"turns": "Four way", "off-grain": "2deg"},
    {"cut": "3 lining", "side-up": "either"},
    {"priority": "2", "allowance": "1cm", "turns-on-nap": "allow"},
    {"note": "cut last", "name": "Back"},
)


@pytest.mark.parametrize("overwrite", [False, True])
@pytest.mark.parametrize("hers", HERS, ids=str)
def test_what_is_proposed_is_what_a_layout_reads_afterwards(
    hers: dict[str, str], overwrite: bool
) -> None:
    """All of it: what she had set before, and what was read beside it."""
    drawing = sheet("Front\ncut 2 mirrored, with nap")
    for name, text in hers.items():
        drawing.root.find(".//*[@id='front']").set(lay(name), text)  # type: ignore[union-attr]
    (proposed,) = propose(drawing.document(), overwrite=overwrite).pieces
    report = read(drawing, overwrite).report["pieces"][0]
    written = parse(read(drawing, overwrite).drawing)
    (drawn,) = read_pieces(read_leaves(written), ReadRequest()).pieces
    assert drawn.details == proposed.details
    assert report["turns"] == ("four-way" if "turns" in hers and not overwrite else "one-way")
    told = [(each["cut"], each["material"], each["hand"]) for each in report["demands"]]
    assert told == [(each.cut, each.material, each.hand) for each in drawn.demands]


def test_a_second_reading_renews_what_the_first_wrote_but_not_what_was_changed_since() -> None:
    document = parse(read(sheet()).drawing)
    label, front = (
        next(each for each in document.root.iter("{*}*") if each.get("id") == name)
        for name in ("label", "front")
    )
    label[1].text = "cut 3"
    front.set(lay("name"), "Left front")
    outcome = read_markings(document)
    assert value(outcome, "front", "cut") == "3"
    assert value(outcome, "front", "name") == "Left front"


def test_reading_twice_gives_the_same_drawing() -> None:
    drawing = sheet("Front\ncut 1 on fold")
    drawing.add_path("M 63 80 H 74 V 300 H 63", style=ARROW)
    once = read(drawing).drawing
    assert read_markings(parse(once)).drawing == once


def folded() -> SvgBuilder:
    """A front whose fold is only shown by a bracket: reading draws the line."""
    drawing = sheet("Front\ncut 1 on fold")
    drawing.add_path("M 63 80 H 74 V 300 H 63", style=ARROW)
    return drawing


def drawn_line(document: Document) -> etree._Element:
    return next(one for one in document.root.iter("{*}path") if one.get(lay("read")) == "{}")


@pytest.mark.parametrize(
    ("name", "text"), [("d", "M 60,360 L 60,40.5"), ("transform", "translate(0,1)")]
)
@pytest.mark.parametrize("overwrite", [False, True])
def test_a_line_that_reading_drew_and_she_corrected_is_hers(
    name: str, text: str, overwrite: bool
) -> None:
    document = parse(read(folded()).drawing)
    line = drawn_line(document)
    line.set(name, text)
    again = parse(read_markings(document, overwrite=overwrite).drawing)
    lines = [one for one in again.root.iter("{*}path") if one.get(lay("role")) == "fold"]
    assert [(one.get("id"), one.get(name)) for one in lines] == [(line.get("id"), text)]
    once_more = parse(read_markings(again, overwrite=overwrite).drawing)
    assert serialise(once_more) == serialise(again)


def test_a_line_that_an_earlier_version_drew_stays_and_is_used() -> None:
    document = parse(read(folded()).drawing)
    line = drawn_line(document)
    del line.attrib[lay("decoration")]
    again = read_markings(document)
    assert value(again, str(line.get("id")), "role") == "fold"
    assert again.report["pieces"][0]["fold"] is True


def test_a_second_reading_leaves_what_she_put_on_the_review() -> None:
    document = parse(read(sheet()).drawing)
    (review,) = [one for one in document.root if one.get(lay("review"))]
    etree.SubElement(review[0], "{http://www.w3.org/2000/svg}text", id="mine").text = "ask Ada"
    again = parse(read_markings(document).drawing)
    (mine,) = [one for one in again.root.iter("{*}text") if one.get("id") == "mine"]
    assert mine.text == "ask Ada"
    texts = ["".join(one.itertext()) for one in again.root.iter("{*}text")]
    assert texts.count("Read from the drawing") == 1


ODD = {
    "large": "M 0 0 H 1e7 V 1e7 H 0 Z",
    "far larger": "M 0 0 H 1e12 V 1e12 H 0 Z",
    "a sliver": "M 0 0 H 1e9 V 1 H 0 Z",
    "crossed": "M 0 0 L 100 100 L 100 0 L 0 100 Z",
    "a star": "M 50 0 L 80 90 L 0 35 L 100 35 L 20 90 Z",
    "flat": "M 0 0 H 100 H 0 Z",
    "a spike": "M 0 0 H 100 V 100 H 50 V 1e6 V 100 H 0 Z",
    "thin": "M 0 0 H 300 V 0.004 H 0 Z",
    "far away": "M 1e16 1e16 h 100 v 100 h -100 Z",
    "small": "M 30 30 h 2 v 2 h -2 Z",
}


@pytest.mark.parametrize("label", ["Front", "Front\ncut 2"])
@pytest.mark.parametrize("data", ODD.values(), ids=ODD.keys())
def test_the_review_of_an_odd_outline_can_be_read_itself(data: str, label: str) -> None:
    drawing = sheet(label)
    drawing.add_path(data, id="odd", style=LOOK, lay={"cut": "1"})
    outcome = read(drawing)
    document = parse(outcome.drawing)
    for node in document.root.iter("{*}g"):
        # As if it were hers, so that nothing is passed over.
        node.attrib.pop(lay("review"), "")
    leaves = read_leaves(document)
    assert all(leaf.rings or leaf.text for leaf in leaves if leaf.style.get("stroke") == "#e0a030")


def test_there_is_one_review_layer_and_it_is_no_piece() -> None:
    document = parse(read(sheet()).drawing)
    read_markings(document)
    assert sum(each.get(lay("review")) == "markings" for each in document.root.iter()) == 1
    assert [piece.id for piece in read_pieces(read_leaves(document), ReadRequest()).pieces] == [
        "front"
    ]


def test_the_review_of_a_layout_is_left_alone() -> None:
    drawing = sheet()
    drawing.add_layer("Check", id="check", lay={"review": "thriftlay-1"})
    assert value(read(drawing), "check", "review") == "thriftlay-1"


def test_the_state_shows_without_colour() -> None:
    complete, unsure = (read(sheet(label)).drawing.decode() for label in ("Front\ncut 2", ""))
    assert ">?<" in unsure
    assert ">?<" not in complete


# --- the command line ---


def test_the_command_writes_drawing_and_report(tmp_path: Path) -> None:
    source, target, report = (tmp_path / name for name in ("in.svg", "out.svg", "r.json"))
    sheet().write(source)
    out, err = io.StringIO(), io.StringIO()
    words = ["read-markings", str(source), "--output", str(target), "--report", str(report)]
    assert run(words, Terminal(out, err), lambda: 0.0) == 0  # type: ignore[arg-type]
    assert json.loads(report.read_text(encoding="utf-8"))["pieces"][0]["name"] == "Front"
    assert "1 complete" in out.getvalue()
    assert not err.getvalue()
    assert parse(target).root.find(f".//*[@{lay('cut')}='2']") is not None


@pytest.mark.parametrize("data", ["", "<svg", "<html/>"])
def test_a_file_that_is_no_drawing_is_one_plain_sentence(data: str, tmp_path: Path) -> None:
    source, target = tmp_path / "in.svg", tmp_path / "out.svg"
    source.write_text(data, encoding="utf-8")
    out, err = io.StringIO(), io.StringIO()
    words = ["read-markings", str(source), "--output", str(target)]
    assert run(words, Terminal(out, err), lambda: 0.0) == 2  # type: ignore[arg-type]
    assert err.getvalue().count("\n") == 1
    assert not target.exists()


ALLOWANCE_LABELS = {
    "Add 1.5 cm seam allowance": "15mm",
    "zzgl. 1 cm Nahtzugabe": "10mm",
    "Seam allowance included": "0mm",
    "No seam allowance included": None,
    "Nessun margine di cucitura compreso": None,
    "Seam allowance 1 cm": None,
}


@pytest.mark.parametrize(("label", "written"), ALLOWANCE_LABELS.items())
def test_an_allowance_on_a_label_is_written_or_asked(label: str, written: str | None) -> None:
    drawing = SvgBuilder("500mm", "500mm", (0, 0, 500, 500))
    drawing.add_path("M 60 40 H 260 V 360 H 60 Z", id="back", style="fill:none;stroke:#000")
    drawing.add_text(f"Back\ncut 2\n{label}", 90, 150, font_size=10)
    document = drawing.document()
    outcome = read_markings(document)
    (node,) = document.root.iterfind(".//{*}path[@id='back']")
    assert node.get(lay("allowance")) == written
    asked = [line for line in outcome.summary if line.startswith("“Back” (back): ")]
    assert any("seam allowance" in line for line in asked) == (written is None)
    assert not any("llowance" in words for words in outcome.report["unread"])
    listed = " ".join(str(words) for words in document.root.itertext())
    assert (f"{written} seam allowance to add" in listed) == (written in ("15mm", "10mm"))


def test_an_allowance_is_not_written_beside_a_stitching_line() -> None:
    drawing = SvgBuilder("500mm", "500mm", (0, 0, 500, 500))
    drawing.add_path("M 60 40 H 260 V 360 H 60 Z", id="back", style="fill:none;stroke:#000")
    stitching = "M 75 55 H 245 V 345 H 75 Z"
    drawing.add_path(stitching, id="seam", style="fill:none", lay={"role": "stitching"})
    drawing.add_text("Back\ncut 2\nAdd 1.5 cm seam allowance", 90, 150, font_size=10)
    summary = read_markings(drawing.document()).summary
    assert any("a stitching line is drawn" in line for line in summary)


def test_a_fold_that_is_known_or_denied_is_not_asked_about() -> None:
    for fold in ("left", "none"):
        drawing = SvgBuilder("500mm", "500mm", (0, 0, 500, 500))
        back = drawing.add_path("M 60 40 H 260 V 360 H 60 Z", id="back", lay={"fold": fold})
        drawing.add_path("M 60 80 H 74 V 300 H 60", id="bracket", style="fill:none")
        drawing.add_text("Back\ncut 1 on fold", 90, 150, font_size=10)
        outcome = read_markings(drawing.document())
        told = " ".join(outcome.summary)
        assert not any(words in told for words in ("which edge", "bracket")), fold
        assert back.get(lay("fold")) == fold
