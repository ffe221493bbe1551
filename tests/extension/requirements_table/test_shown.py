# SPDX-License-Identifier: GPL-2.0-or-later
"""How a table is shown: near widths as one, open beside folded, commas, text, paper, a phone."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from extension.language.decimals import written
from extension.language.errors import OptionError
from extension.requirements_table.block import block_of
from extension.requirements_table.drawing import draw_table
from extension.requirements_table.figures import csv_of
from extension.requirements_table.groups import groups_of
from extension.requirements_table.matching import columns_of
from extension.requirements_table.merging import shown
from extension.requirements_table.options import table_options
from extension.requirements_table.page import page_of
from extension.requirements_table.sentences import EACH_WAY, notes, rows_text, width_text
from extension.svg.leaves import read_leaves
from tests.helpers.browser import overflow, print_page
from tests.helpers.graded import tunic
from tests.helpers.pdf import pages_of
from tests.helpers.tables import table_from

NEAR = "main=90cm,135cm,140cm,145cm,152cm"


def test_near_widths_share_a_column_that_is_enough_on_each() -> None:
    table = table_from(widths=NEAR, merge_widths="10 cm", nap="with")
    columns = shown(table, "main")
    widths = list(dict.fromkeys(one.cell.width for one in columns))
    assert [width_text(one) for one in widths] == ["90 cm", "135 to 145 cm", "152 cm"]
    for one in columns:
        most = one.cell.width.upto or one.cell.width.typed
        own = [
            other.bought.metric
            for other in table.entries
            if other.cell.sizes == one.cell.sizes
            and one.cell.width.typed <= other.cell.width.typed <= most
            and other.bought is not None
        ]
        assert one.bought is not None
        assert one.bought.metric == max(own)
    assert any("enough on each of them" in line for line in notes(table))
    # A spreadsheet keeps them apart, and so does a table that was not asked.
    assert csv_of(table).count("1350") == csv_of(table).count("1400") == 3
    assert len(shown(table_from(widths=NEAR, nap="with"), "main")) == 15


def test_a_width_on_which_less_can_be_laid_keeps_its_column() -> None:
    table = table_from(widths="main=44cm,52cm", sizes="all", nap="with", merge_widths="10cm")
    laid = [one.bought is not None for one in table.entries]
    assert not all(laid)
    assert all(not one.cell.width.upto for one in shown(table, "main"))


def test_widths_in_other_units_are_not_merged() -> None:
    table = table_from(widths="main=114cm,45in", nap="with", merge_widths="5cm")
    assert all(not one.cell.width.upto for one in shown(table, "main"))


def test_open_and_folded_stand_side_by_side_where_asked() -> None:
    table = table_from(widths="main=115cm", nap="with", spread="each")
    (opened, folded) = groups_of(shown(table, "main"), table.options)
    assert opened.title == "With nap, cloth open"
    assert folded.title == "With nap, cloth folded lengthwise"
    (column,) = columns_of(table.entries)
    longer = table_from(widths="main=115cm", nap="with", spread="longer")
    for one in longer.entries:
        both = [group.entry(one.cell.sizes, column) for group in (opened, folded)]
        lengths = [each.bought.metric for each in both if each is not None and each.bought]
        assert len(lengths) == 2
        assert one.bought is not None
        assert max(lengths) == one.bought.metric
    assert EACH_WAY in page_of(table)
    assert sum(", lengthwise, 115 cm wide" in line for line in rows_text(table)) == 3


def test_what_cannot_be_folded_needs_as_much_in_both_rows() -> None:
    table = table_from(widths="main=115cm; interfacing=90cm", nap="with", spread="each")
    entries = shown(table, "interfacing")
    (column,) = columns_of(entries)
    for group in groups_of(entries, table.options):
        assert all(group.entry(row, column) for row in group.rows)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("1.90 m / 2 1/8 yd", "1,90 m / 2 1/8 yd"),
        ("12.5 mm of selvedge, 71.3%", "12,5 mm of selvedge, 71,3%"),
        ("2.02 yd.", "2,02 yd."),
        ("thriftlay 1.1.0, size 38.5 and Model 3.5", "thriftlay 1.1.0, size 38.5 and Model 3.5"),
        ("38.5 mice", "38.5 mice"),
    ],
)
def test_measures_have_commas_and_names_do_not(text: str, told: str) -> None:
    assert written(text, "de") == written(text, "fr") == told
    assert written(text, "en") == text


def test_page_and_text_are_written_as_in_the_country_and_the_spreadsheet_as_ever() -> None:
    tables = {name: table_from(sizes="S", widths="main=90cm", locale=name) for name in ("en", "de")}
    for write in (page_of, block_of):
        english, german = write(tables["en"]), write(tables["de"])
        assert "87.5 cm" in english
        assert "87,5 cm" in german
        assert written(english, "de").partition("<body>")[2] == german.partition("<body>")[2]
        assert "line-height: 1.2;" in german or "<" not in german  # the style sheet stays
    assert csv_of(tables["de"]) == csv_of(tables["en"])


def test_the_drawn_table_is_written_as_in_the_country_but_for_its_title() -> None:
    texts = {}
    for locale in ("en", "de"):
        document = tunic().document()
        table = replace(
            table_from(sizes="S", widths="main=90cm", locale=locale, price="main=12.50 EUR"),
            title="Model 3.5 m",
        )
        layer = draw_table(document, read_leaves(document), table)
        texts[locale] = ["".join(one.itertext()) for one in layer.iter("{*}text")]
    assert texts["de"][0] == texts["en"][0] == "Fabric requirements: Model 3.5 m"
    assert {"(87.5 cm)"} <= set(texts["en"])
    assert {"(87,5 cm)"} <= set(texts["de"])
    said = "".join(texts["de"][1:])
    assert not re.search(r"\d\.\d+ (m|cm|mm|yd|EUR)\b", said)
    assert [one.replace(",", ".") for one in texts["de"]] == [
        one.replace(",", ".") for one in texts["en"]
    ]


def test_the_text_for_the_envelope_has_every_length_and_note() -> None:
    table = table_from(widths="main=90cm,140cm; lining=140cm", nap="with", sizes="S,L")
    lines = block_of(table).splitlines()
    assert lines[0] == "Tunic: fabric requirements"
    rows = [line.split("\t") for line in lines if "\t" in line]
    assert [len(row) for row in rows] == [3, 3, 3, 2, 2, 2]
    assert rows[0] == ["Size", "90 cm (87.5 cm)", "140 cm (137.5 cm)"]
    assert rows[1][0] == "S"
    assert " m / " in rows[1][1]
    assert set(notes(table)) <= set(lines)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"paper": "a5"}, "choose a4 or letter"),
        ({"locale": "es"}, "choose en"),
        ({"merge_widths": "5"}, "Widths that are shown as one"),
    ],
)
def test_what_is_not_known_is_answered_with_the_remedy(typed: dict[str, str], told: str) -> None:
    with pytest.raises(OptionError, match=told):
        table_options({"widths": "90cm", **typed})


@pytest.mark.browser
@pytest.mark.parametrize(("paper", "size"), [("a4", (210.0, 297.0)), ("letter", (215.9, 279.4))])
def test_a_printed_table_keeps_its_heads_and_notes(
    tmp_path: Path, paper: str, size: tuple[float, float]
) -> None:
    """Paper: ISO 216; ANSI/ASME Y14.1, size A."""
    file, pdf = tmp_path / "table.html", tmp_path / "table.pdf"
    widths = "main=90cm,115cm,138cm,140cm; lining=90cm,115cm; interfacing=90cm"
    asked = {"spread": "each", "merge_widths": "5cm", "repeat": "along=7cm", "locale": "de"}
    priced = {"price": "main=12.50 EUR, lining=6 EUR", "paper": paper}
    drawing = tunic(("S", "L"), match="side along")
    text = page_of(table_from(drawing, widths=widths, rounds=10, **asked, **priced))
    file.write_text(text, encoding="utf-8")
    print_page(file, pdf)
    pages = pages_of(pdf)
    assert len(pages) > 1
    for page in pages:
        assert (page.width, page.height) == pytest.approx(size, abs=0.2)
        assert page.outside(10.0) == []
        lowest = max(word.box[3] for word in page.words)
        last = " ".join(word.text for word in page.words if word.box[3] > lowest - 1.0)
        assert last not in ("How to read the table", "The pattern", "Before you cut", "Size")
        assert "nap, cloth" not in last
    # On a phone, and on a screen of 1280 px at 200 %, only the tables themselves scroll.
    assert overflow(file, 390) <= 0
    assert overflow(file, 640) <= 0
