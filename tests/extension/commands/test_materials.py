# SPDX-License-Identifier: GPL-2.0-or-later
"""All materials from a terminal: laid in one go, and every later command on each of the layers."""

from __future__ import annotations

import io
import json
import tempfile
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from extension.commands.command_line import BAD_INPUT, run
from extension.commands.terminal import Terminal
from nesting.command import DOES_NOT_FIT
from tests.helpers.garments import garment, garment_of_materials
from tests.helpers.laid import read_layouts
from tests.helpers.layouts import no_time

WIDTHS = ("--fabric-width", "main=90cm,lining=100cm,interfacing=60cm")
ROUNDS = ("--rounds", "3", "--workers", "1")
MATERIALS = ["main", "lining", "interfacing"]


def call(*words: object) -> tuple[int, str, str]:
    """Run a command line; return its exit code, and what it said on both streams."""
    out, err = io.StringIO(), io.StringIO()
    code = run([str(word) for word in words], Terminal(out, err), no_time)
    return code, out.getvalue(), err.getvalue()


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    return garment_of_materials().write(tmp_path / "pieces.svg")


@cache
def laid_once() -> bytes:
    """Return the garment with its three layouts."""
    folder = Path(tempfile.mkdtemp())
    source = garment_of_materials().write(folder / "in.svg")
    assert call("lay-out", source, *WIDTHS, *ROUNDS, "--output", folder / "out.svg")[0] == 0
    return (folder / "out.svg").read_bytes()


@pytest.fixture
def laid(tmp_path: Path) -> Path:
    file = tmp_path / "laid.svg"
    file.write_bytes(laid_once())
    return file


def lay_out(drawing: Path, *words: object) -> tuple[dict[str, Any], str]:
    """Lay out; return the report and what was said."""
    report = drawing.with_name("r.json")
    targets = ("--output", drawing.with_name("out.svg"), "--report", report)
    code, out, err = call("lay-out", drawing, *ROUNDS, *targets, *words)
    assert (code, err) == (0, "")
    return json.loads(report.read_text(encoding="utf-8")), out


def test_what_to_buy_stands_first_and_each_layout_below(drawing: Path) -> None:
    report, out = lay_out(drawing, *WIDTHS, "--price", "main=12.50,lining=6")
    lines = out.splitlines()
    assert lines[0] == "To buy:"
    assert lines[1].startswith("  main, 90 cm wide: ")
    assert lines[4].startswith("Cost in all: ")
    assert lines[4].endswith("without interfacing (no price was typed): plain arithmetic on the "
                             "lengths to buy.")  # fmt: skip
    assert [one["material"] for one in report["layouts"]] == MATERIALS
    assert report["summary"] == lines[:5]


@pytest.mark.parametrize(
    ("words", "naps"),
    [
        ((), [True, False, False]),
        (("--nap",), [True, True, True]),
        (("--nap", "main,lining"), [True, True, False]),
        (("--nap", "lining=yes"), [True, True, False]),
        (("--no-nap",), [False, False, False]),
        (("--nap", "--no-nap"), [False, False, False]),
    ],
    ids=str,
)
def test_a_nap_is_told_for_all_or_by_name(
    drawing: Path, words: tuple[str, ...], naps: list[bool]
) -> None:
    report, _ = lay_out(drawing, *WIDTHS, *words)
    assert [one["options"]["nap"] for one in report["layouts"]] == naps


def test_a_drawing_behind_nap_is_not_taken_for_a_material(drawing: Path) -> None:
    output = drawing.with_name("out.svg")
    words = ("lay-out", "--fabric-width", "1m", *ROUNDS, "--output", output, "--nap", drawing)
    assert call(*words)[0] == 0


def test_rounds_of_a_timed_run_can_be_typed_for_each_material(drawing: Path) -> None:
    report, _ = lay_out(drawing, *WIDTHS, "--rounds", "main=3,lining=2,interfacing=1")
    assert [one["options"]["rounds"] for one in report["layouts"]] == [3, 2, 1]


def test_a_length_of_cloth_may_be_there_for_one_material(drawing: Path) -> None:
    output = drawing.with_name("out.svg")
    words = ("--fabric-width", "90cm,lining=30cm", "--fabric-length", "lining=25cm", *ROUNDS)
    code, out, _ = call("lay-out", drawing, *words, "--output", output)
    assert code == DOES_NOT_FIT
    assert "lining, 30 cm wide: 0.25 m in hand – not all parts fit on it" in out.splitlines()[2]
    main, lining, interfacing = (
        sum(one.counts.values()) for one in read_layouts(output.read_bytes())
    )
    assert (main, interfacing) == (3, 2)
    assert 0 < lining < 4


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--fabric-width", "main=90cm"), "for lining (2 pieces) and interfacing (1 piece)"),
        (("--fabric-width", "90cm,felt=1m"), "No piece is cut from “felt”"),
        (("--fabric-width", "90cm", "--material", "wool"), "No piece is cut from “wool”"),
        (("--fabric-width", "90cm", "--nap", "velvet"), "No piece is cut from “velvet”"),
        (("--fabric-width", "90cm", "--price", "lining=much"), "“much” is not a price"),
        (("--fabric-width", "90cm,lining=5cm"), "Lining: "),
    ],
)
def test_bad_input_is_one_line_and_nothing_is_written(
    drawing: Path, words: tuple[str, ...], said: str
) -> None:
    output = drawing.with_name("out.svg")
    code, out, err = call("lay-out", drawing, *ROUNDS, "--output", output, *words)
    assert (code, out, err.count("\n")) == (BAD_INPUT, "", 1)
    assert said in err
    assert not output.exists()


# --- later commands -----------------------------------------------------------------------------


def test_all_layouts_are_checked_and_compared_together(laid: Path) -> None:
    code, out, _ = call("check", laid)
    assert (code, len(out.splitlines())) == (0, 3)
    _, out, _ = call("compare", laid)
    assert [line.split(",")[1].split()[0] for line in out.splitlines()[1:]] == MATERIALS
    assert out.count("clean") == 3


@pytest.mark.parametrize("number", [1, 2, 3])
def test_each_layout_is_tightened_by_itself(laid: Path, tmp_path: Path, number: int) -> None:
    report = tmp_path / "r.json"
    words = ("--layer", number, "--report", report, "--seconds", "5")
    code, _, err = call("tighten", laid, "--output", tmp_path / "out.svg", *words)
    assert (code, err) == (0, "")
    told = json.loads(report.read_text(encoding="utf-8"))
    assert told["from_layer"] == f"thriftlay-{number}"
    assert told["length"] <= told["length_before"] + 0.01


def test_without_a_name_no_one_of_several_layouts_is_tightened(laid: Path, tmp_path: Path) -> None:
    code, _, err = call("tighten", laid, "--output", tmp_path / "out.svg")
    assert code == BAD_INPUT
    assert "There are 3 layouts" in err


def test_parts_of_each_layout_are_held_and_released(laid: Path, tmp_path: Path) -> None:
    output = tmp_path / "held.svg"
    for number in (1, 2, 3):
        code, out, _ = call("hold", laid, "--select", f"thriftlay-{number}", "--output", output)
        assert code == 0, out
        code, out, _ = call(
            "hold", output, "--select", f"thriftlay-{number}", "--release", "--output", output
        )
        assert code == 0, out


def test_the_diagram_has_a_section_for_each_layout(laid: Path, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    assert call("diagram", laid, "--output", page)[0] == 0
    text = page.read_text(encoding="utf-8")
    for words in ("90 cm, main", "100 cm, lining", "60 cm, interfacing"):
        assert f"Layout {('90', '100', '60').index(words.split()[0]) + 1} – {words}" in text


def test_one_layout_is_laid_again_with_its_own_settings(laid: Path) -> None:
    report, _ = lay_out(laid, "--again", "2")
    assert (report["material"], report["width"]) == ("lining", 975.0)
    counts = [one.counts for one in read_layouts(laid.with_name("out.svg").read_bytes())]
    assert len(counts) == 4
    assert counts[3] == counts[1] == Counter({"front": 2, "pocket": 2})


def test_all_of_a_run_are_laid_again_and_share_what_is_typed(laid: Path) -> None:
    words = [word for number in (1, 2, 3) for word in ("--again", number)]
    report, out = lay_out(laid, *words, "--fabric-width", "main=80cm", "--rounds", "9")
    assert [one["width"] for one in report["layouts"]] == [775.0, 975.0, 575.0]
    assert sum(one["options"]["rounds"] for one in report["layouts"]) == 9
    assert out.startswith("To buy:\n  main, 80 cm wide")


def test_what_is_typed_for_a_material_that_is_not_laid_again_is_refused(laid: Path) -> None:
    words = ("--again", "2", "--fabric-width", "main=80cm")
    code, _, err = call("lay-out", laid, *words, "--output", laid.with_name("out.svg"))
    assert code == BAD_INPUT
    assert "“main” is not laid out again" in err


def test_a_drawing_of_one_material_says_what_it_always_said(tmp_path: Path) -> None:
    drawing = garment().write(tmp_path / "one.svg")
    report, out = lay_out(drawing, "--fabric-width", "90cm")
    assert out.startswith("Needs ")
    assert {"placements", "material", "layer"} <= report.keys()
    assert "layouts" not in report
