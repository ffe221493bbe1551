# SPDX-License-Identifier: GPL-2.0-or-later
"""The requirements command from file to file."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest

from extension.commands.command_line import BAD_INPUT, run
from extension.commands.terminal import Terminal
from tests.helpers.graded import tunic


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    return tunic(("S", "M")).write(tmp_path / "tunic.svg")


def command(*words: str) -> tuple[int, str, str]:
    """Run the command; return its exit code, what it said and what it complained of."""
    out, err = io.StringIO(), io.StringIO()
    code = run(["requirements", *words], Terminal(out, err), lambda: 0.0)
    return code, out.getvalue(), err.getvalue()


QUICK = ("--rounds", "1", "--workers", "1")


def test_the_three_results_are_written(drawing: Path, tmp_path: Path) -> None:
    page, table, output = (tmp_path / name for name in ("t.html", "t.csv", "t.svg"))
    code, said, complaint = command(
        str(drawing),
        *("--widths", "main=110cm,140cm", "--widths", "interfacing=90cm"),
        *("--nap", "both", "--nap", "interfacing=without", "--sizes", "all"),
        *("--csv", str(table), "--html", str(page), "--output", str(output)),
        *QUICK,
    )
    assert (code, complaint) == (0, "")
    with table.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [(row["size"], row["material"]) for row in rows].count(("M", "main")) == 4
    assert {row["nap"] for row in rows if row["material"] == "interfacing"} == {"without"}
    assert len(rows) == 2 * 2 * 2 + 2
    assert "Size M, main, without nap, 140 cm wide: " in said
    assert b"lay:table" in output.read_bytes()
    assert "<title>Fabric requirements: tunic</title>" in page.read_text(encoding="utf-8")


def test_a_design_adds_a_column_to_each_width(tmp_path: Path) -> None:
    striped = tunic(("S",), match="side along").write(tmp_path / "striped.svg")
    table = tmp_path / "t.csv"
    design = ("--repeat", "along=8cm,across=6cm", "--half-drop", "--first-line", "2cm")
    words = ("--widths", "main=115cm,140cm", "--nap", "with", "--spread", "open", *design)
    code, said, complaint = command(str(striped), *words, "--csv", str(table), *QUICK)
    assert (code, complaint) == (0, "")
    with table.open(newline="", encoding="utf-8") as file:
        found = [(row["usable_mm"], row["design"]) for row in csv.DictReader(file)]
    kinds = ("plain", "with the design")
    assert found == [(width, kind) for kind in kinds for width in ("1125", "1375")]
    assert "Design: repeat 8 cm along and 6 cm across, even, half-drop, its first line 2 cm" in said


def test_numbers_in_the_terminal_are_those_of_the_country(drawing: Path, tmp_path: Path) -> None:
    words = ("--widths", "main=110cm", "--nap", "with", "--sizes", "S", "--spread", "open")
    price = ("--price", "12.50 EUR", "--locale", "de", "--csv", str(tmp_path / "t.csv"))
    code, said, _ = command(str(drawing), *words, *price, *QUICK)
    assert code == 0
    first = said.splitlines()[0]
    assert re.fullmatch(r"Size S, main, with nap, 110 cm wide: \d,\d0 m / .* – \d+,\d\d EUR", first)
    assert "12,5 mm of selvedge" in said
    assert "main 12,50 EUR per metre" in said


def test_a_table_is_taken_up_where_it_was(drawing: Path, tmp_path: Path) -> None:
    words = (str(drawing), "--widths", "main=110cm", *QUICK, "--resume", str(tmp_path / "kept"))
    first = command(*words, "--csv", str(tmp_path / "one.csv"))
    kept = {file.name: file.stat().st_mtime_ns for file in (tmp_path / "kept").glob("cell-*")}
    again = command(*words, "--csv", str(tmp_path / "two.csv"))
    assert first == again
    assert len(kept) == 8  # two sizes, with and without nap, open and folded lengthwise
    assert (tmp_path / "one.csv").read_bytes() == (tmp_path / "two.csv").read_bytes()
    assert kept == {f.name: f.stat().st_mtime_ns for f in (tmp_path / "kept").glob("cell-*")}


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["--widths", "110cm"], "There is nothing to write"),
        (["--csv", "t.csv"], "required: --widths"),
        (["--widths", "110cm", "--csv", "IN"], "The table would overwrite"),
        (["--widths", "110cm", "--csv", "t.csv", "--html", "t.csv"], "The table would overwrite"),
        (["--widths", "110cm", "--csv", "no/t.csv"], "Cannot write"),
        (["--widths", "110", "--csv", "t.csv"], "“110” has no unit"),
        (["--widths", "110cm", "--csv", "t.csv", "--sizes", "XL"], "no size “XL”"),
        (["--widths", "110cm", "--csv", "t.csv", "--nap", "some"], "not known for the nap"),
        (["--widths", "felt=1m", "--csv", "t.csv"], "No piece is cut from “felt”"),
        (["--widths", "main=20cm", "--csv", "t.csv"], "needs fabric at least"),
        (["--widths", "110cm", "--csv", "t.csv", "--rounds", "1", "--seconds", "9"], "not allowed"),
        (["--widths", "110cm", "--csv", "t.csv", "--resume", "IN"], "cannot be kept"),
        (["--widths", "110cm", "--csv", "t.csv", "--repeat", "8cm"], "write it like “along=8cm"),
        (["--widths", "110cm", "--csv", "t.csv", "--half-drop"], "says nothing of cloth without"),
    ],
)
def test_bad_input_is_one_line_and_nothing_is_written(
    drawing: Path, tmp_path: Path, words: list[str], complaint: str
) -> None:
    before = drawing.read_bytes()
    full = [str(drawing) if w == "IN" else str(tmp_path / w) if "t.csv" in w else w for w in words]
    code, said, told = command(str(drawing), *full)
    assert (code, said) == (BAD_INPUT, "")
    assert complaint in told
    assert told.count("\n") == 1
    assert drawing.read_bytes() == before
    assert not (tmp_path / "t.csv").exists()
