# SPDX-License-Identifier: GPL-2.0-or-later
"""The cutting diagram says where every part lies, and can be read by people and programs."""

from __future__ import annotations

import io
import itertools
import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from lxml import etree

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.diagram.cloth import cloths_of
from extension.diagram.page import page
from extension.diagram.places import Place, places
from extension.diagram.section import Pattern, about_text, sections
from extension.job.plan import Cut
from extension.language.cautions import SCALED_CAUTIONS
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.checked import examined, layout_now
from extension.layouts.layers import chosen_layers
from extension.svg.document import serialise
from extension.svg.leaves import read_leaves
from nesting import VERSION
from tests.helpers.cloth import typed_between_selvedges
from tests.helpers.edited import SPOTS, Edited
from tests.helpers.garments import garment
from tests.helpers.layouts import drawn_into, no_time


def page_of(edited: Edited, scale: str = "fit") -> etree._Element:
    """Return the page of a drawing, read strictly as XML."""
    layers = chosen_layers(edited.document, ())
    return etree.fromstring(page(sections(edited.document, layers, "a4", scale)).encode())


def rows(page: etree._Element, table: int) -> list[list[str]]:
    """Return the cells of a table's body."""
    body = page.findall(".//{*}tbody")[table]
    return [["".join(map(str, cell.itertext())) for cell in row] for row in body]


def test_every_part_is_in_the_placing_table_and_in_the_picture() -> None:
    page = page_of(Edited())
    assert len(rows(page, 1)) == len(page.findall(".//{*}polygon")) == len(SPOTS)
    assert sum(int(row[2].split(",")[0]) for row in rows(page, 0)) == len(SPOTS)


def test_a_note_for_cutting_stands_beside_its_piece_and_takes_no_room_without_one() -> None:
    heads = [_head(page_of(edited)) for edited in (Edited(), noted())]
    assert heads[0] == ["number", "piece", "cut", "material"]
    assert heads[1] == [*heads[0], "note"]
    told = {row[1]: row[4] for row in rows(page_of(noted()), 0)}
    assert told == {"Front": "", "Back": "", "Tab": "cut last & <slowly>"}


def test_the_length_to_buy_has_its_cost_where_a_price_was_typed() -> None:
    """Needs 46 cm and 5 cm for the ends: 60 cm, at 12.50 a metre 7.50."""
    for price, told in (
        ("", ""),
        ("12.50 EUR", ", costs 7.50 EUR (0.60 m at 12.50 EUR per metre)"),
    ):
        edited = Edited()
        settings = json.loads(str(edited.layer.get(lay("settings"))))
        settings["options"]["price"] = price
        edited.layer.set(lay("settings"), json.dumps(settings))
        (bought,) = (
            str(one.text) for one in page_of(edited).findall(".//{*}section/{*}p/{*}strong")
        )
        assert bought == f"needs 0.46 m + 5 cm end allowance – buy 0.60 m / 5/8 yd{told}"


def noted() -> Edited:
    """Return a layout of a garment whose tab carries a note, with letters that HTML escapes."""
    edited = Edited()
    edited.find("tab").set(lay("note"), "cut last & <slowly>")
    return edited


def _head(page: etree._Element) -> list[str]:
    """Return the words at the head of the first table."""
    return ["".join(map(str, cell.itertext())) for cell in page.findall(".//{*}thead")[0][0]]


def test_distances_from_the_cut_end_are_those_of_the_layout() -> None:
    told = sorted(float(row[4]) for row in rows(page_of(Edited()), 1))
    assert told == pytest.approx(sorted(x / 10.0 for _, _, x, _ in SPOTS), abs=0.051)


def test_a_part_moved_by_hand_is_told_where_it_lies_now() -> None:
    before = rows(page_of(Edited()), 1)
    edited = Edited()
    edited.transform("tab", 1, "translate(10,0)")
    after = rows(page_of(edited), 1)
    moved = [(a, b) for a, b in zip(before, after, strict=True) if a != b]
    assert [float(b[4]) - float(a[4]) for a, b in moved] == pytest.approx([1.0])


def test_the_largest_piece_comes_first() -> None:
    areas = []
    for polygon in page_of(Edited()).findall(".//{*}polygon"):
        points = [tuple(map(float, pair.split(","))) for pair in polygon.get("points", "").split()]
        turned = [*points[1:], points[0]]
        twice = sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(points, turned, strict=True))
        areas.append(abs(twice) / 2.0)
    assert all(one >= other - 1.0 for one, other in itertools.pairwise(areas))


def test_mirrored_parts_are_shaded_and_named() -> None:
    page = page_of(Edited())
    shaded = [one for one in page.findall(".//{*}polygon") if one.get("class") == "down"]
    named = [row for row in rows(page, 1) if row[2].startswith("printed side down")]
    assert len(shaded) == len(named) == 1  # of the tabs, which are symmetric, none


def test_a_page_to_scale_speaks_of_no_test_square() -> None:
    said = " ".join("".join(map(str, page_of(Edited()).itertext())).split())
    assert "test square" not in said.lower()
    assert all(caution in said for caution in SCALED_CAUTIONS)


def test_the_picture_is_named_and_described() -> None:
    picture = page_of(Edited()).find(".//{*}svg")
    assert picture is not None
    assert picture.get("role") == "img"
    ids = [one.get("id") for one in (*picture.iter("{*}title"), *picture.iter("{*}desc"))]
    assert picture.get("aria-labelledby") == " ".join(map(str, ids))


def test_names_are_text_and_never_markup() -> None:
    edited = Edited()
    label = "{http://www.inkscape.org/namespaces/inkscape}label"
    edited.layer.set(label, "<b>Coat & hat</b>")
    title = page_of(edited).findtext(".//{*}h1")
    assert title == "Cutting diagram: <b>Coat & hat</b>"


def test_a_layout_that_breaks_a_rule_is_not_published() -> None:
    edited = Edited()
    edited.transform("tab", 1, "translate(-10,180)")
    with pytest.raises(DrawingError, match="put right what Check Layout tells"):
        page_of(edited)


def test_the_command_writes_the_page_and_never_over_the_drawing(tmp_path: Path) -> None:
    drawing, page = tmp_path / "laid.svg", tmp_path / "page.html"
    drawing.write_bytes(Edited().data)
    out, err = io.StringIO(), io.StringIO()
    words = ["diagram", str(drawing), "--paper", "letter", "--output"]
    assert run([*words, str(page)], Terminal(out, err), no_time) == 0
    assert "size: letter portrait" in page.read_text(encoding="utf-8")
    assert run([*words, str(drawing)], Terminal(out, err), no_time) == 2
    assert drawing.read_bytes() == Edited().data


def test_the_page_says_which_pattern_it_is_and_when_it_was_made() -> None:
    document = noted().document
    layers = chosen_layers(document, ())
    day = date(2026, 11, 30)
    told = page(sections(replace(document, path=Path("Tunic.svg")), layers, "a4", "fit", day))
    (about, *_) = etree.fromstring(told.encode()).findall(".//{*}section/{*}p")
    assert about.text == f"Tunic – 1 garment – 2026-11-30 – Thriftlay {VERSION}"


@pytest.mark.parametrize(
    ("sizes", "garments", "told"),
    [
        ((), 1, "Coat – 1 garment"),
        ((), 3, "Coat – 3 garments"),
        ((("38", 1),), 1, "Coat – size 38 – 1 garment"),
        ((("38", 2), ("40", 1)), 1, "Coat – size 38: 2, size 40: 1 – 3 garments"),
    ],
)
def test_sizes_and_garments_are_told_as_they_were_chosen(
    sizes: tuple[tuple[str, int], ...], garments: int, told: str
) -> None:
    edited = Edited()
    (layer,) = chosen_layers(edited.document, ())
    options = replace(layer.options, sizes=sizes, garments=garments)
    laid = checked_places(edited)
    if len(sizes) == 1:
        laid = [replace(one, cut=of_size(one.cut, sizes[0][0])) for one in laid]
    assert about_text(Pattern("Coat"), laid, options) == f"{told} – Thriftlay {VERSION}"


def checked_places(edited: Edited) -> list[Place]:
    """Return the parts of the layout of a drawing."""
    document = edited.document
    leaves = read_leaves(document, include_layouts=True)
    checked = examined(document, leaves, chosen_layers(document, ())[0])
    return list(places(checked, cloths_of(checked.layer.options, layout_now(checked))))


def of_size(cut: Cut, size: str) -> Cut:
    """Return a cut of a piece of a size."""
    return replace(cut, drawn=replace(cut.drawn, size=size))


def test_every_row_of_the_placing_table_has_a_box_to_tick_with_a_name() -> None:
    body = page_of(Edited()).findall(".//{*}tbody")[1]
    boxes = body.findall(".//{*}input")
    assert len(boxes) == len(body) == len(SPOTS)
    names = [one.get("aria-label", "") for one in boxes]
    assert len(set(names)) == len(names)
    assert names[0] == "done: 1 Back"


def test_a_layout_that_breaks_a_rule_does_not_keep_others_from_being_published(
    tmp_path: Path,
) -> None:
    document = garment().document()
    drawn_into(document, typed_between_selvedges({"fabric_width": "90cm"}))
    _, layer = drawn_into(document, typed_between_selvedges({"fabric_width": "140cm"}))
    part = next(one for one in layer.iter("{*}g") if one.get(lay("of")) == "tab")
    part.set("transform", "translate(-10,180)")
    drawing, made = tmp_path / "two.svg", tmp_path / "page.html"
    drawing.write_bytes(serialise(document))
    out, err = io.StringIO(), io.StringIO()
    words = ["diagram", str(drawing), "--output", str(made)]
    assert run(words, Terminal(out, err), no_time) == 0
    assert made.read_text(encoding="utf-8").count("<section") == 1
    assert "140 cm, main” (thriftlay-2) cannot be published as it is" in out.getvalue()
    # One that was chosen is not left out in silence, nor is the only one.
    made.unlink()
    assert run([*words, "--layout", "2"], Terminal(out, err), no_time) == 2
    assert not made.exists()
    assert run([*words, "--layout", "1"], Terminal(out, err), no_time) == 0


@pytest.mark.parametrize(("typed", "ending"), [("plan", ".html"), ("plan 2.1", ".html")])
def test_a_name_without_an_ending_is_given_one(tmp_path: Path, typed: str, ending: str) -> None:
    drawing = tmp_path / "laid.svg"
    drawing.write_bytes(Edited().data)
    out = io.StringIO()
    words = ["diagram", str(drawing), "--output", str(tmp_path / typed)]
    assert run(words, Terminal(out, io.StringIO()), no_time) == 0
    assert (tmp_path / f"{typed}{ending}").is_file()
    assert f"{typed}{ending}" in out.getvalue()
