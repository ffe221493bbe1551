# SPDX-License-Identifier: GPL-2.0-or-later
"""Every figure that a table prints follows from its report, by arithmetic of the test's own.

1 yd = 914.4 mm exactly (international yard and pound agreement, 1959).
"""

from __future__ import annotations

import csv
import io
import json
import math
import re
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from extension.requirements_table.block import block_of
from extension.requirements_table.drawing import draw_table
from extension.requirements_table.figures import csv_of
from extension.requirements_table.page import page_of
from extension.requirements_table.report import report_of
from extension.requirements_table.sentences import notes
from extension.requirements_table.table import Table
from extension.svg.leaves import read_leaves
from tests.helpers.graded import tunic
from tests.helpers.svg_builder import SvgBuilder
from tests.helpers.tables import table_from

XHTML = "{http://www.w3.org/1999/xhtml}"
Values = dict[str, Any]

TYPED: dict[str, dict[str, str]] = {
    "plain": {},
    "of several materials": {"widths": "main=90cm,140cm; lining=140cm; interfacing=90cm"},
    "open and folded, widths merged": {
        "widths": "main=90cm,138cm,140cm,142cm; lining=110cm,112cm",
        "spread": "each", "merge_widths": "5cm",
    },
    "the longer of two ways, in yards": {"widths": "main=45in,58in,60in", "spread": "longer",
                                         "merge_widths": "2in"},
    "too narrow for some": {"widths": "main=44cm,52cm,54cm", "merge_widths": "5cm"},
    "with a design": {"widths": "main=115cm,140cm", "spread": "longer", "nap": "both",
                      "repeat": "along=7cm,across=5cm"},
    "with a price, as in Germany": {
        "widths": "main=90cm,138cm,140cm; lining=110cm,112cm", "spread": "each",
        "merge_widths": "5cm", "locale": "de", "price": "main=12.50 EUR, lining=6 kr.",
    },
    "what all costs": {"widths": "main=140cm; lining=45in; interfacing=90cm", "nap": "both",
                       "spread": "longer", "price": "main=12.35, lining=$9.99 per yard"},
    "washed, nothing rounded": {"shrinkage": "5%", "shrinkage_across": "3%", "round_up": "none"},
}  # fmt: skip


@cache
def made(name: str) -> Table:
    drawing = tunic(("S", "L"), match="side along" if name == "with a design" else "")
    return table_from(drawing, **{"nap": "with", **TYPED[name]})


def told(table: Table) -> Values:
    """Return the report of a table as it is read from a file."""
    found: Values = json.loads(json.dumps(report_of(table)))
    return found


def metres(bought: Values) -> str:
    return f"{bought['metric_mm'] / 1000.0:.2f} m"


def yards(bought: Values) -> str:
    value = Fraction(bought["yards_mm"]).limit_denominator(1000) / Fraction("914.4")
    eighths = round(value * 8)
    if abs(value * 8 - eighths) > Fraction(1, 1000):
        return f"{float(value):.2f} yd"
    whole, rest = divmod(Fraction(eighths, 8), 1)
    words = [str(part) for part in (whole, rest) if part] or ["0"]
    return f"{' '.join(words)} yd"


def printed(report: Values, cell: Values | None) -> list[str]:
    """Return the lines of a cell, from what the report says of its length."""
    if cell is None or report["lengths"][cell["length"]]["buy"] is None:
        return ["–"]
    length = report["lengths"][cell["length"]]
    both = [metres(length["buy"]), yards(length["buy"])]
    own, other = both if length["system"] == "metric" else both[::-1]
    cost = length["buy"]["cost_text"]
    assert cost == cell["cost_text"]
    return [own + cell["marks"], other, *([cost] if cost else [])]


def rows(report: Values) -> list[list[list[str]]]:
    """Return the rows of all materials: of each cell the lines that are to be printed."""
    return [
        [[row["size"]], *(printed(report, cell) for cell in row["cells"])]
        for material in report["materials"]
        for group in material["groups"]
        for row in group["rows"]
    ]


def in_one(lines: list[str]) -> str:
    """Return the lines of a cell as they follow each other in a text."""
    return " – ".join(filter(None, [" / ".join(lines[:2]), *lines[2:]]))


def as_in(table: Table, words: str) -> str:
    """Return lengths as they are written in the country of the table."""
    is_english = table.options.locale == "en"
    return words if is_english else re.sub(r"(\d)\.(\d)", r"\1,\2", words)


@pytest.mark.parametrize("name", TYPED)
def test_what_is_printed_follows_from_the_report(name: str) -> None:
    follows(made(name))


def follows(table: Table) -> None:
    """Raise where text, page or drawn table print what the report does not say."""
    expected = rows(told(table))
    lines = [line.split("\t") for line in block_of(table).splitlines() if "\t" in line]
    assert [line for line in lines if line[0] != "Size"] == [
        [as_in(table, marks_last(cell)) for cell in row] for row in expected
    ]
    assert rows_of_page(table) == [
        [[as_in(table, bare(line)) for line in cell] for cell in row] for row in expected
    ]
    drawn = drawn_texts(table)
    for row in expected:
        flat = [as_in(table, words) for cell in row for words in (cell[0], "".join(cell[1:]))]
        wanted = [words for words in flat if words]
        at = [n for n in range(len(drawn)) if drawn[n : n + len(wanted)] == wanted]
        assert at, wanted


def two_sizes() -> SvgBuilder:
    """Return a piece in two sizes, cut from two materials, that may be cut double."""
    drawing = SvgBuilder("900mm", "900mm", (0, 0, 900, 900))
    for x, size, wide in ((10, "S", 220), (400, "L", 260)):
        said = {"name": "Panel", "size": size, "cut": "2 main; 1 lining", "grain": "up"}
        drawing.add_path(
            f"M {x} 10 h {wide} l 40 400 h {-wide - 40} z", id=f"panel-{size}", lay=said
        )
    return drawing


@settings(max_examples=6)
@given(
    st.fixed_dictionaries(
        {
            "widths": st.lists(
                st.sampled_from(("90cm", "45in", "115cm", "140cm", "142cm", "56in")),
                min_size=1, max_size=3, unique=True,
            ).map(",".join),
            "nap": st.sampled_from(("both", "with", "both; lining=without")),
            "spread": st.sampled_from(("open", "longer", "each", "main=each, lining=open")),
            "merge_widths": st.sampled_from(("", "5cm", "3in")),
            "price": st.sampled_from(("", "9.99 EUR per metre", "main=$4 per yard")),
            "locale": st.sampled_from(("en", "de", "fr")),
            "round_up": st.sampled_from(("", "5cm", "none")),
            "repeat": st.sampled_from(("", "along=8cm")),
        }
    )
)  # fmt: skip
def test_whatever_is_asked_what_is_printed_follows_from_the_report(typed: dict[str, str]) -> None:
    """Of at most three widths, since the page puts more than six columns into a further table."""
    table = table_from(two_sizes(), **typed)
    follows(table)
    report = told(table)
    for total in report["totals"]:
        costs = [report["lengths"][number]["buy"]["cost_text"] for number in total["lengths"]]
        assert len(costs) > 1 or total["text"] == costs[0]
        assert all(costs)


def marks_last(lines: list[str]) -> str:
    """Return a cell as one line, in which the marks stand behind both lengths."""
    marks = "".join(sign for sign in lines[0] if sign in "†*~")
    return in_one([bare(lines[0]), *(line + marks for line in lines[1:2]), *lines[2:]])


def drawn_texts(table: Table) -> list[str]:
    """Return every text of the drawn table, its lines joined."""
    document = tunic().document()
    layer = draw_table(document, read_leaves(document), table)
    return ["".join(one.itertext()) for one in layer.iter("{*}text")]


def rows_of_page(table: Table) -> list[list[list[str]]]:
    """Return the rows of lengths to buy on the page: of each cell the lines, without marks."""
    page = etree.fromstring(page_of(table).encode())
    bodies = page.findall(f".//{XHTML}section//{XHTML}tbody")
    found = [row for body in bodies for row in body if row[0].get("scope") == "row"]
    return [[[bare(line) for line in lines_of(cell)] for cell in row] for row in found]


def lines_of(cell: etree._Element) -> list[str]:
    """Return the lines that stand in a cell of the page."""
    return ["".join(span.itertext()) for span in cell] or [str(cell.text)]


def bare(words: str) -> str:
    """Return words without the marks of the table."""
    return "".join(sign for sign in words if sign not in "†*~")


@pytest.mark.parametrize("name", TYPED)
def test_a_cell_is_the_longest_of_what_it_stands_for(name: str) -> None:
    table = made(name)
    report = told(table)
    assert report["lengths"] != []
    for material in report["materials"]:
        each = table.options.shows_each(material["material"])
        for group in material["groups"]:
            for row in group["rows"]:
                for column, cell in zip(material["columns"], row["cells"], strict=True):
                    if cell is None:
                        continue
                    own = report["lengths"][cell["length"]]
                    alike = [
                        one
                        for one in report["lengths"]
                        if all(one[key] == own[key] for key in ("size", "material", "nap"))
                        and one["design"] == own["design"] == column["design"]
                        and (not each or one["spread"] == own["spread"])
                        and column["width_mm"] <= one["width_mm"] <= column["upto_mm"]
                    ]
                    assert own in alike
                    signs = zip(
                        "*†~", (own["jumps"], own["raised_from"], own["rough"]), strict=True
                    )
                    assert cell["marks"] == "".join(sign for sign, holds in signs if holds)
                    if any(one["buy"] is None for one in alike):
                        assert cell["text"] is None
                        assert own["why_not"]
                    else:
                        needed = [one["buy"]["needed_mm"] for one in alike]
                        assert own["buy"]["needed_mm"] == max(needed)
                        assert cell["text"] == own["buy"]["text"]
    for one in report["lengths"]:
        assert (one["buy"] is None) == (one["layout_mm"] is None)
        if one["buy"] and one["raised_from"] is None:
            assert one["buy"]["needed_mm"] == one["layout_mm"]
        if one["raised_from"]:
            assert one["buy"]["needed_mm"] > one["layout_mm"]


@pytest.mark.parametrize("name", TYPED)
def test_the_spreadsheet_has_what_the_report_has(name: str) -> None:
    table = made(name)
    report = told(table)
    for row in csv.DictReader(io.StringIO(csv_of(table), newline="")):
        (one,) = [one for one in report["lengths"] if is_of(row, one)]
        if one["buy"] is None:
            assert row["buy"] == ""
        elif row["buy_unit"] == "m":
            assert Fraction(row["buy"]) * 1000 == Fraction(one["buy"]["metric_mm"])
        else:
            assert float(row["buy"]) * 914.4 == pytest.approx(one["buy"]["yards_mm"], abs=0.5)
        cost = one["buy"] and one["buy"]["cost"]
        assert row["cost"] == ("" if cost is None else f"{cost:.2f}")


PRICED = [name for name, typed in TYPED.items() if "price" in typed]


@pytest.mark.parametrize("name", PRICED)
def test_a_cost_is_the_printed_length_times_the_printed_price(name: str) -> None:
    table = made(name)
    report = told(table)
    prices = {one["material"]: one["price_text"] for one in report["materials"]}
    for length in report["lengths"]:
        bought, price = length["buy"], prices[length["material"]]
        if price is None:
            assert bought["cost"] is None
            continue
        amount = Decimal(
            re.sub(r"[^\d.,]", "", price.rpartition(" per ")[0]).replace(",", ".").rstrip(".")
        )
        told_length = metres(bought) if price.endswith("metre") else yards(bought)
        number = sum(map(Fraction, told_length.split()[:-1]))
        cents = Fraction(amount) * number * 100
        assert bought["cost"] == float(Fraction(math.floor(cents + Fraction(1, 2)), 100))
        assert f"{bought['cost']:.2f}" in bought["cost_text"].replace(",", ".")
        assert ("," in bought["cost_text"]) == (table.options.locale == "de")


def test_what_a_size_costs_in_all_is_the_sum_of_the_printed_costs() -> None:
    table = made("what all costs")
    report = told(table)
    assert [(one["size"], one["nap"]) for one in report["totals"]] == [
        ("S", True), ("L", True), ("S", False), ("L", False)
    ]  # fmt: skip
    for total in report["totals"]:
        own = [report["lengths"][number] for number in total["lengths"]]
        assert [one["material"] for one in own] == ["main", "lining"]
        assert {one["nap"] for one in own} == {total["nap"]}
        assert total["text"] == " + ".join(one["buy"]["cost_text"] for one in own)
        assert total["without"] == ["interfacing"]
        assert any(f"{total['size']}: {total['text']}" in line for line in notes(table))
    assert told(made("with a price, as in Germany"))["totals"] == []  # which column is bought?
    same = {"widths": "main=140cm; lining=110cm", "nap": "with", "spread": "open"}
    table = table_from(tunic(("S",)), **same, price="12.35")
    (total,) = told(table)["totals"]
    costs = [one["buy"]["cost"] for one in told(table)["lengths"]]
    assert total["text"] == f"{sum(map(Fraction, map(str, costs))) * 1.0:.2f}"
    assert total["without"] == ["interfacing"]


def is_of(row: dict[str, str], one: Values) -> bool:
    """Return whether a line of the spreadsheet is about a length of the report."""
    return (
        (one["size"], one["material"]) == (row["size"], row["material"])
        and one["spread"] == (row["spread"] or one["spread"])
        and one["nap"] == (row["nap"] == "with")
        and one["design"] == (row["design"] == "with the design")
        and f"{one['usable_mm']:.10g}" == row["usable_mm"]
    )
