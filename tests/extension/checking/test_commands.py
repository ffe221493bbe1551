# SPDX-License-Identifier: GPL-2.0-or-later
"""The commands check and compare: files, words, exit codes."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from extension.command_line import run
from extension.terminal import Terminal
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
