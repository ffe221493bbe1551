# SPDX-License-Identifier: GPL-2.0-or-later
"""The table as CSV, as a page and on the drawing."""

from __future__ import annotations

import csv
import io
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from lxml import etree

from extension.language.cautions import CAUTIONS
from extension.language.names import lay
from extension.requirements_table.drawing import draw_table
from extension.requirements_table.figures import COLUMNS, csv_of
from extension.requirements_table.look import LARGEST, SMALLEST, look_of
from extension.requirements_table.page import ACROSS, page_of
from extension.requirements_table.sentences import SINGLE_LAYER
from extension.svg.document import parse, serialise
from extension.svg.leaves import read_leaves
from tests.helpers.garments import PAGES, garment
from tests.helpers.graded import tunic
from tests.helpers.svg_builder import SvgBuilder
from tests.helpers.tables import table_from

XHTML = "{http://www.w3.org/1999/xhtml}"
VOID = {"meta"}


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_the_csv_has_its_columns_first_and_a_line_for_every_length() -> None:
    table = table_from()
    text = csv_of(table)
    assert text.startswith(
        "size,material,booked_mm,usable_mm,nap,needed_mm,buy,buy_unit,utilisation,"
    )
    found = rows(text)
    assert len(found) == len(table.entries) == 18
    assert all(None not in row and set(row) == set(COLUMNS) for row in found)
    first = found[0]
    assert (first["size"], first["material"], first["nap"]) == ("S", "main", "with")
    assert (first["booked_mm"], first["usable_mm"]) == ("900", "875")
    assert (first["buy_unit"], first["rounds"], first["seed"]) == ("m", "200", "0")
    assert float(first["buy"]) * 1000 >= float(first["needed_mm"]) + 50
    assert 0.0 < float(first["utilisation"]) < 1.0
    assert first["note"] == SINGLE_LAYER


def test_widths_in_inches_are_bought_in_yards() -> None:
    (row,) = rows(csv_of(table_from(sizes="S", nap="with", widths="main=45in")))
    assert (row["buy_unit"], row["booked_mm"]) == ("yd", "1143")
    assert (float(row["buy"]) * 8).is_integer()


def test_a_hole_in_the_csv_says_why() -> None:
    row = rows(csv_of(table_from(sizes="S", nap="with", widths="main=40cm,140cm")))[0]
    assert (row["needed_mm"], row["buy"], row["utilisation"]) == ("", "", "")
    assert "needs fabric at least" in row["note"]


class Balance(HTMLParser):
    """Reads a page as a browser does, and notes whether its tags nest."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.faults: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: object) -> None:
        assert tag in VOID  # a browser takes no other tag for closed

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.faults.append(tag)


def page(**typed: str) -> etree._Element:
    text = page_of(table_from(**typed))
    reader = Balance()
    reader.feed(text)
    assert (reader.faults, reader.open) == ([], [])
    return etree.fromstring(text.encode())


def words(element: etree._Element) -> str:
    return " ".join("".join(element.itertext()).split())


def test_the_page_is_well_formed_and_stands_alone() -> None:
    root = page()
    assert root.get("lang") == "en"
    assert words(next(root.iter(f"{XHTML}title"))) == "Fabric requirements: Tunic"
    for element in root.iter(etree.Element):
        assert not {"src", "href", "onclick"} & set(element.attrib)
        assert element.tag not in (f"{XHTML}script", f"{XHTML}link")
    style = next(root.iter(f"{XHTML}style")).text or ""
    assert "url(" not in style
    assert "@import" not in style
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))


def test_headings_descend_without_a_gap() -> None:
    levels = [int(e.tag[-1]) for e in page().iter() if e.tag in {f"{XHTML}h{n}" for n in range(7)}]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))


def test_how_the_cloth_lies_is_said_once_before_all_tables() -> None:
    root = page(widths="main=90cm,140cm; lining=140cm")
    (block,) = root.iter(f"{XHTML}pre")
    assert words(block).count(SINGLE_LAYER) == 1  # once more in the text to be pasted
    assert words(root).count(SINGLE_LAYER) == 2
    (lead,) = root.xpath("//*[@class='lead']")
    assert SINGLE_LAYER in words(lead)


def test_every_heading_cell_says_what_it_heads_and_every_table_has_its_caption() -> None:
    root = page()
    tables = list(root.iter(f"{XHTML}table"))
    assert len(tables) == 2  # one material, and all lengths in figures
    for table in tables:
        assert words(next(table.iter(f"{XHTML}caption")))
    for head in root.iter(f"{XHTML}th"):
        assert head.get("scope") in ("col", "row", "rowgroup")
    for region in root.iter(f"{XHTML}div"):
        assert (region.get("role"), region.get("tabindex")) == ("region", "0")
        for name in str(region.get("aria-labelledby")).split():
            (said,) = root.xpath(f"//*[@id='{name}']")
            assert words(said)


def test_every_row_of_the_page_is_as_long_as_its_heads() -> None:
    for table in page(widths="main=90cm,140cm; lining=140cm").iter(f"{XHTML}table"):
        counts = {
            sum(int(cell.get("colspan", "1")) for cell in row) for row in table.iter(f"{XHTML}tr")
        }
        assert len(counts) == 1


def test_the_page_has_the_lengths_and_the_cautions() -> None:
    table = table_from(sizes="S,S+L", nap="with", widths="main=90cm")
    text = words(etree.fromstring(page_of(table).encode()))
    for entry in table.entries:
        assert entry.bought is not None
        assert f"{float(entry.bought.metric) / 1000:.2f} m" in text
    assert "S + L" in text
    assert all(caution in text for caution in CAUTIONS)


def test_many_widths_go_into_further_tables() -> None:
    widths = ",".join(f"{width}cm" for width in range(90, 90 + 5 * (ACROSS + 1), 5))
    tables = list(page(sizes="S", nap="with", widths=f"main={widths}").iter(f"{XHTML}table"))
    heads = [len(next(table.iter(f"{XHTML}thead"))[0]) for table in tables[:-1]]
    assert heads == [ACROSS + 1, 2]


def test_a_name_with_signs_is_shown_as_it_is() -> None:
    drawing = SvgBuilder("600mm", "400mm", (0, 0, 600, 400))
    drawing.add_rect(10, 10, 200, 300, id="a", lay={"size": "<b>&38", "cut": "1"})
    root = etree.fromstring(page_of(table_from(drawing, widths="90cm", nap="with")).encode())
    assert "<b>&38" in words(root)


def drawn(drawing: SvgBuilder, **typed: str) -> etree._Element:
    """Return the layer of a table as it is read back from the file."""
    document = drawing.document()
    before = etree.tostring(document.root, method="c14n")
    everything = read_leaves(document, include_layouts=True)
    layer = draw_table(document, everything, table_from(drawing, **typed))
    again = parse(serialise(document))
    document.root.remove(layer)
    assert etree.tostring(document.root, method="c14n") == before
    return again.root[-1]


def test_the_drawn_table_is_text_on_a_layer_of_its_own() -> None:
    layer = drawn(tunic(), sizes="S", nap="with")
    assert layer.get(lay("table")) == "1"
    texts = ["".join(each.itertext()) for each in layer.iter("{*}text")]
    assert texts[0] == "Fabric requirements: Tunic"
    assert texts[1] == SINGLE_LAYER
    assert {"Size", "90 cm", "(87.5 cm)", "With nap", "S"} <= set(texts)
    assert {etree.QName(each).localname for each in layer.iter(etree.Element)} == {
        "g",
        "text",
        "tspan",
        "path",
    }


def test_a_table_is_never_read_as_pieces_and_the_next_one_is_counted_and_put_beside_it() -> None:
    drawing = tunic()
    document = drawing.document()
    table = table_from(drawing, sizes="S", nap="with")
    pieces = {leaf.id for leaf in read_leaves(document)}
    for number in ("1", "2"):
        layer = draw_table(document, read_leaves(document, include_layouts=True), table)
        assert layer.get(lay("table")) == number
        assert {leaf.id for leaf in read_leaves(document)} == pieces
    boxes = [
        leaf.box
        for leaf in read_leaves(document, include_layouts=True)
        if leaf.id not in pieces and any("table" in group.attributes for group in leaf.groups)
    ]
    drawn_right = max(leaf.box[2] for leaf in read_leaves(document))
    assert min(box[0] for box in boxes) > drawn_right
    ids = [node.get("id") for node in document.root.iter(etree.Element) if node.get("id")]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("kind", PAGES)
def test_on_every_kind_of_page_the_letters_have_the_size_of_the_drawings_own(kind: str) -> None:
    drawing = garment(PAGES[kind])
    document = drawing.document()
    look = look_of(read_leaves(document))
    layer = draw_table(
        document, read_leaves(document), table_from(drawing, widths="140cm", nap="with")
    )
    assert SMALLEST <= look.size <= LARGEST
    heads = [
        leaf
        for leaf in read_leaves(document, include_layouts=True)
        if leaf.text == "Size" and any(group.id == layer.get("id") for group in leaf.groups)
    ]
    low, high = heads[0].box[1], heads[0].box[3]
    assert high - low == pytest.approx(1.05 * look.size, rel=0.01)  # letters reach 1.05 sizes


def test_the_look_is_that_of_most_texts() -> None:
    drawing = SvgBuilder("600mm", "400mm", (0, 0, 600, 400))
    for number in range(3):
        drawing.add_text("Label", 10, 20 * number, font_size=9, style="font-family:serif;fill:#008")
    drawing.add_text("Title", 10, 200, font_size=60, style="font-family:cursive")
    look = look_of(read_leaves(drawing.document()))
    assert (look.family, look.colour, look.size) == ("serif", "#008", 9.0)


def test_light_letters_are_drawn_in_ink_and_a_drawing_without_text_in_ours() -> None:
    drawing = SvgBuilder()
    assert look_of(read_leaves(drawing.document())).family == "sans-serif"
    drawing.add_text("Label", 10, 20, font_size=1, style="fill:#ffffcc")
    look = look_of(read_leaves(drawing.document()))
    assert (look.colour, look.size) == ("#2b2b2b", SMALLEST)
