# SPDX-License-Identifier: GPL-2.0-or-later
"""Every figure that a table prints follows from its report, by arithmetic of the test's own.

1 yd = 914.4 mm exactly (international yard and pound agreement, 1959).
"""

from __future__ import annotations

import csv
import io
import json
from fractions import Fraction
from functools import cache
from typing import Any

import pytest
from lxml import etree

from extension.requirements_table.block import block_of
from extension.requirements_table.figures import csv_of
from extension.requirements_table.page import page_of
from extension.requirements_table.report import report_of
from extension.requirements_table.table import Table
from tests.helpers.graded import tunic
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


def printed(report: Values, cell: Values | None, *, metric: bool) -> str:
    """Return what stands in a cell of the report, marks and all."""
    if cell is None or report["lengths"][cell["length"]]["buy"] is None:
        return "–"
    bought = report["lengths"][cell["length"]]["buy"]
    both = [metres(bought), yards(bought)]
    return " / ".join(both if metric else both[::-1]) + cell["marks"]


def rows(report: Values, *, metric: bool) -> list[list[str]]:
    """Return the rows of all materials as they are to be printed."""
    return [
        [row["size"], *(printed(report, cell, metric=metric) for cell in row["cells"])]
        for material in report["materials"]
        for group in material["groups"]
        for row in group["rows"]
    ]


@pytest.mark.parametrize("name", TYPED)
def test_what_is_printed_follows_from_the_report(name: str) -> None:
    table = made(name)
    report, metric = told(table), table.options.system == "metric"
    expected = rows(report, metric=metric)
    lines = [line.split("\t") for line in block_of(table).splitlines() if "\t" in line]
    assert [line for line in lines if line[0] != "Size"] == expected
    # On the page the marks stand behind the first of the two lengths.
    assert rows_of_page(table) == [[bare(word) for word in row] for row in expected]


def rows_of_page(table: Table) -> list[list[str]]:
    """Return the rows of lengths to buy on the page, without the marks."""
    page = etree.fromstring(page_of(table).encode())
    bodies = page.findall(f".//{XHTML}section//{XHTML}tbody")
    found = [row for body in bodies for row in body if row[0].get("scope") == "row"]
    return [[bare(" / ".join(lines_of(cell))) for cell in row] for row in found]


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


def is_of(row: dict[str, str], one: Values) -> bool:
    """Return whether a line of the spreadsheet is about a length of the report."""
    return (
        (one["size"], one["material"]) == (row["size"], row["material"])
        and one["spread"] == (row["spread"] or one["spread"])
        and one["nap"] == (row["nap"] == "with")
        and one["design"] == (row["design"] == "with the design")
        and f"{one['usable_mm']:.10g}" == row["usable_mm"]
    )
