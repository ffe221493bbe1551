# SPDX-License-Identifier: GPL-2.0-or-later
"""The cutting diagram says where every part lies, and can be read by people and programs."""

from __future__ import annotations

import io
import itertools
from pathlib import Path

import pytest
from lxml import etree

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.diagram.page import page
from extension.diagram.section import sections
from extension.language.cautions import SCALED_CAUTIONS
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.layouts.layers import chosen_layers
from tests.helpers.edited import SPOTS, Edited
from tests.helpers.layouts import no_time


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
    with pytest.raises(DrawingError, match="until Check Layout finds nothing"):
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
