# SPDX-License-Identifier: GPL-2.0-or-later
"""For one cloth there is one length to buy: both commands, with nothing but the width typed."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from tests.helpers.diagrams import SAMPLES
from tests.helpers.places import PROJECT
from tests.helpers.rebuilt import length_of
from tests.helpers.svg_builder import SvgBuilder

SIDE = 345.0
"""mm: four of these squares lie side by side on the cloths below where nothing is taken off, and
three as soon as the selvedges are."""
LENGTHS = re.compile(r"([\d.]+ m / [\d/ ]+ yd|[\d/ ]+ yd / [\d.]+ m)")


def said(*words: str) -> str:
    out, err = io.StringIO(), io.StringIO()
    code = run([*words, "--rounds", "1", "--workers", "1"], Terminal(out, err), lambda: 0.0)
    assert (code, err.getvalue()) == (0, "")
    return out.getvalue()


@pytest.fixture
def squares(tmp_path: Path) -> Path:
    made = SvgBuilder("3000mm", "1000mm", (0, 0, 3000, 1000))
    made.add_rect(10, 10, SIDE, SIDE, id="square", lay={"cut": "4 same", "name": "Square"})
    return made.write(tmp_path / "squares.svg")


def laid(drawing: Path, width: str, *words: str) -> str:
    target = str(drawing.parent / "laid.svg")
    return said("lay-out", str(drawing), "--fabric-width", width, "--output", target, *words)


def told(drawing: Path, width: str, *words: str) -> str:
    target = str(drawing.parent / "table.csv")
    return said("requirements", str(drawing), "--widths", width, "--csv", target, *words)


def to_buy(lines: str) -> str:
    """Return both lengths to buy that are told first."""
    found = LENGTHS.search(lines)
    assert found is not None, lines
    return found[1].strip()


@pytest.mark.parametrize("width", ["140cm", "55in"])
def test_with_nothing_but_the_width_typed_both_tell_the_same_length(
    squares: Path, width: str
) -> None:
    assert to_buy(laid(squares, width)) == to_buy(told(squares, width))
    # It is cloth on which the choice matters.
    between = ("--width-is", "usable")
    assert to_buy(laid(squares, width, *between)) == to_buy(told(squares, width, *between))
    assert to_buy(laid(squares, width)) != to_buy(laid(squares, width, *between))


@pytest.mark.parametrize("width", ["140cm", "55in"])
def test_a_selvedge_means_the_same_to_both(squares: Path, width: str) -> None:
    narrow = ("--selvedge", "1mm")
    assert to_buy(laid(squares, width, *narrow)) == to_buy(told(squares, width, *narrow))
    assert to_buy(laid(squares, width, *narrow)) != to_buy(laid(squares, width))


def test_a_sample_has_one_length_to_buy(tmp_path: Path) -> None:
    drawing = tmp_path / "first-apron.svg"
    drawing.write_bytes((SAMPLES / drawing.name).read_bytes())
    table = ("main=45in", "--nap", "with")
    ways = [to_buy(laid(drawing, "45in", "--spread", way)) for way in ("open", "lengthwise")]
    assert ways == [
        to_buy(told(drawing, *table, "--spread", way)) for way in ("open", "lengthwise")
    ]
    # Unless told the table tells the longer of the two.
    assert to_buy(told(drawing, *table)) == max(
        ways, key=lambda one: length_of(one.split(" / ")[0])
    )


def test_what_the_width_is_stands_beside_it_in_both(squares: Path) -> None:
    one, table = laid(squares, "140cm"), told(squares, "140cm")
    assert "Width 140 cm as on the bolt, 137.5 cm usable: 12.5 mm of selvedge off each side." in one
    assert "Widths are as on the bolt: 12.5 mm of selvedge comes off each side" in table
    between = ("--width-is", "usable")
    assert "Width 140 cm between the selvedges." in laid(squares, "140cm", *between)
    assert "Widths are between the selvedges" in told(squares, "140cm", *between)
    drawn = (squares.parent / "laid.svg").read_text(encoding="utf-8")
    assert ">140 cm between the selvedges<" in drawn
    laid(squares, "140cm")
    drawn = (squares.parent / "laid.svg").read_text(encoding="utf-8")
    assert ">137.5 cm between the selvedges (140 cm as on the bolt)<" in drawn


def test_what_is_lost_across_in_the_wash_means_the_same_to_both(squares: Path) -> None:
    """Four squares lie side by side on 1375.5 mm; 3 % less of the width has room for three."""
    wide, lost = ("--selvedge", "1mm"), ("--shrinkage-across", "3%")
    one, table = laid(squares, "140cm", *wide, *lost), told(squares, "140cm", *wide, *lost)
    assert to_buy(one) == to_buy(table) != to_buy(laid(squares, "140cm", *wide))
    assert (
        "Width 140 cm as on the bolt, 135.606 cm usable: 1 mm of selvedge off each side; 3 % of "
        "it lost across in the wash." in one
    )
    assert (
        "1 mm of selvedge comes off each side; 3 % of the width is lost in the wash, and" in table
    )
    laid(squares, "140cm", *wide, *lost)  # the layer of the run before is without
    drawn = (squares.parent / "laid.svg").read_text(encoding="utf-8")
    assert "135.606 cm between the selvedges (140 cm as on the bolt, before the wash)" in drawn
    target = squares.parent / "page.html"
    words = ["diagram", str(squares.parent / "laid.svg"), "--output", str(target)]
    assert run(words, Terminal(io.StringIO(), io.StringIO()), lambda: 0.0) == 0
    page = target.read_text(encoding="utf-8")
    assert "135.606 cm between the selvedges (140 cm as on the bolt, before the wash)" in page
    assert to_buy(one) in page
    between = ("--width-is", "usable", *lost)
    assert "Width 140 cm between the selvedges, 135.8 cm usable: 3 %" in laid(
        squares, "140cm", *between
    )
    assert "Widths are between the selvedges; 3 % of the width is" in told(
        squares, "140cm", *between
    )


def test_both_dialogs_ask_in_the_same_words() -> None:
    asked = []
    for name in ("lay_out", "requirements"):
        text = (PROJECT / f"extension/dialogs/{name}.inx").read_text(encoding="utf-8")
        start = text.index('<param name="width_is"')
        asked.append(text[start : text.index("</label>", start)])
    assert asked[0] == asked[1]
    assert 'value="booked"' in asked[0].split("<option", 2)[1]
