# SPDX-License-Identifier: GPL-2.0-or-later
"""The commands check and compare: files, words, exit codes."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest

from extension.commands.command_line import run
from extension.commands.terminal import Terminal
from extension.language.names import lay
from tests.helpers.edited import Edited
from tests.helpers.garments import garment
from tests.helpers.layouts import no_time


def call(*words: object) -> tuple[int, str, str]:
    """Run a command line; return its exit code, and what it said on both streams."""
    out, err = io.StringIO(), io.StringIO()
    code = run([str(word) for word in words], Terminal(out, err), no_time)
    return code, out.getvalue(), err.getvalue()


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    file = tmp_path / "laid.svg"
    file.write_bytes(Edited().data)
    return file


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    edited = Edited()
    edited.transform("tab", 1, "translate(-10,180)")
    file = tmp_path / "broken.svg"
    file.write_bytes(edited.data)
    return file


def test_a_clean_layout_exits_with_0_and_says_so(drawing: Path) -> None:
    assert call("check", drawing) == (0, "5 of 5 parts, no overlap, 0.46 m.\n", "")


def test_a_broken_layout_exits_with_1_and_writes_its_report(broken: Path, tmp_path: Path) -> None:
    report = tmp_path / "r.json"
    code, out, err = call("check", broken, "--report", report)
    found = json.loads(report.read_text(encoding="utf-8"))
    assert (code, err) == (1, "")
    assert out.splitlines()[0] == "5 of 5 parts, 1 overlap, 0.46 m."
    assert found["length"] == pytest.approx(455.0, abs=0.1)
    assert found["parts"] == 5
    (violation,) = found["violations"]
    assert (violation["kind"], violation["parts"]) == ("overlap", ["front #2", "tab #1"])
    assert violation["amount"] == pytest.approx(480.0)


def test_the_input_stays_and_the_output_has_the_marks(broken: Path, tmp_path: Path) -> None:
    before = broken.read_bytes()
    call("check", broken, "--output", tmp_path / "out.svg")
    assert broken.read_bytes() == before
    assert b"lay:review" in (tmp_path / "out.svg").read_bytes()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--layer", "nowhere"], "“nowhere” is no layout"),
        (["--report", "missing/r.json"], "Cannot write"),
    ],
)
def test_bad_input_exits_with_2_and_one_line(drawing: Path, words: list[str], said: str) -> None:
    code, out, err = call("check", drawing, *words)
    assert (code, out) == (2, "")
    assert said in err
    assert err.count("\n") == 1


def test_a_drawing_without_layout_exits_with_2(tmp_path: Path) -> None:
    file = garment().write(tmp_path / "plain.svg")
    for command in ("check", "compare"):
        code, _, err = call(command, file)
        assert code == 2
        assert "There is no layout in this drawing" in err


def test_a_report_never_overwrites_the_drawing(drawing: Path) -> None:
    code, _, err = call("check", drawing, "--report", drawing)
    assert code == 2
    assert "would overwrite" in err


def test_compare_prints_a_table_and_writes_it(drawing: Path, tmp_path: Path) -> None:
    report = tmp_path / "r.json"
    code, out, _ = call("compare", drawing, "--report", report)
    assert code == 0
    assert out.splitlines()[0].split()[:3] == ["layout", "width", "needs"]
    assert json.loads(report.read_text(encoding="utf-8"))["layouts"][0]["width"] == 900.0


# --- lay-out with an earlier layout -------------------------------------------------------------


def again(drawing: Path, *words: object) -> tuple[Path, dict[str, Any]]:
    """Run lay-out for one round; return the drawing and the report."""
    output, report = drawing.with_name("again.svg"), drawing.with_name("again.json")
    targets = ("--output", output, "--report", report, "--rounds", 1)
    code, _, err = call("lay-out", drawing, *words, *targets)
    assert (code, err) == (0, "")
    return output, json.loads(report.read_text(encoding="utf-8"))


def test_again_uses_the_stored_settings_and_what_is_typed_takes_their_place(drawing: Path) -> None:
    _, report = again(drawing, "--again", "thriftlay-1")
    assert (report["width"], report["options"]["nap"]) == (900.0, True)
    _, report = again(drawing, "--again", "thriftlay-1", "--fabric-width", "70cm", "--no-nap")
    assert (report["width"], report["options"]["nap"]) == (700.0, False)
    assert report["options"]["gap_mm"] == 3.0


def test_again_keeps_held_parts_after_a_correction(tmp_path: Path) -> None:
    edited = Edited()
    edited.part("back", 1).set(lay("held"), "yes")
    edited.find("front-outline").set("d", "M 10 20 H 120 C 150 60 150 100 130 210 H 10 Z")
    file = tmp_path / "corrected.svg"
    file.write_bytes(edited.data)
    output, report = again(file, "--again", "thriftlay-1")
    assert "Back" in next(note for note in report["notes"] if note.startswith("Held"))
    assert call("check", output, "--layer", "thriftlay-2")[0] == 0


def test_hold_takes_parts_and_whole_layouts(drawing: Path) -> None:
    part = Edited().part("back", 1).get("id")
    cloth = ("--fabric-width", "90cm", "--width-is", "usable")
    _, report = again(drawing, *cloth, "--hold", part)
    assert any(note.endswith(": Back.") for note in report["notes"])
    _, report = again(drawing, *cloth, "--hold", "thriftlay-1")
    assert report["length"] == pytest.approx(455.0, abs=0.1)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--again", "thriftlay-9"], "“thriftlay-9” is no layout"),
        (["--fabric-width", "90cm", "--hold", "front"], "is no part of a layout"),
        (["--again", "thriftlay-1", "--gap", "wide"], "The gap between parts"),
        (["--again", "thriftlay-1", "--fabric-width", "20cm", "--hold", "thriftlay-1"], "held"),
    ],
)
def test_what_cannot_be_laid_again_is_told(drawing: Path, words: list[str], said: str) -> None:
    code, out, err = call("lay-out", drawing, *words, "--output", drawing.with_name("no.svg"))
    assert (code, out) == (2, "")
    assert said in err
    assert not drawing.with_name("no.svg").exists()


def test_tighten_writes_a_clean_shorter_layout(broken: Path, tmp_path: Path) -> None:
    output, report = tmp_path / "tight.svg", tmp_path / "tight.json"
    code, out, err = call("tighten", broken, "--output", output, "--report", report)
    assert (code, err) == (0, "")
    assert "Put right: 1 overlap." in out
    found = json.loads(report.read_text(encoding="utf-8"))
    assert found["length"] < found["length_before"]
    assert call("check", output, "--layer", "thriftlay-2")[0] == 0


def test_tighten_refuses_bad_input_in_one_line(drawing: Path, tmp_path: Path) -> None:
    output = tmp_path / "no.svg"
    for words in (["--seconds", "soon"], ["--layer", "nowhere"]):
        code, _, err = call("tighten", drawing, "--output", output, *words)
        assert (code, err.count("\n")) == (2, 1)
        assert not output.exists()
