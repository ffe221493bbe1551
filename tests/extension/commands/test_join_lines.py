# SPDX-License-Identifier: GPL-2.0-or-later
"""The join-lines command and its menu twin, from file to file."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from extension.commands.command_line import BAD_INPUT, run
from extension.commands.terminal import Terminal
from extension.dialogs.hosted import DONE, REFUSED, run_hosted
from extension.svg.building import path_data
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers.broken import rectangle
from tests.helpers.chopping import edge_by_edge, edges
from tests.helpers.svg_builder import SvgBuilder


def command(*words: object) -> tuple[int, str, str]:
    """Run join-lines; return its exit code and what it wrote on stdout and stderr."""
    out, err = io.StringIO(), io.StringIO()
    code = run(["join-lines", *map(str, words)], Terminal(out, err), lambda: 0.0)
    return code, out.getvalue(), err.getvalue()


def menu(drawing: Path, output: Path, *words: str) -> tuple[int, list[str]]:
    """Run the command as the launcher does; return its exit code and its messages."""
    told = io.BytesIO()
    passed = [f"--output={output}", "--command=join-lines", "--tab=lines", *words, str(drawing)]
    code = run_hosted(passed, io.BytesIO(b""), told, lambda: 0.0)
    lines = [json.loads(line) for line in told.getvalue().splitlines()]
    return code, [line["text"] for line in lines if line["kind"] == "message"]


def joined_ids(file: Path) -> list[str]:
    leaves = read_leaves(parse(file))
    return [leaf.id for leaf in leaves if any("joined" in one.attributes for one in leaf.groups)]


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    """Return a drawing of two outlines in dashes, in a file with an awkward name."""
    drawing = SvgBuilder("500mm", "500mm", (0, 0, 500, 500))
    for name, truth in (("a", rectangle(10, 10, 150, 90)), ("b", rectangle(250, 250, 99, 120))):
        for number, part in enumerate(edge_by_edge(truth, (6.0, 3.0))):
            data = path_data(part.tolist(), closed=False)
            drawing.add_path(data, id=f"{name}{number}", style="stroke:#000")
    return drawing.write(tmp_path / "Schnitt für Ada.svg")


@pytest.fixture
def strays(tmp_path: Path) -> Path:
    drawing = SvgBuilder("500mm", "500mm", (0, 0, 500, 500))
    drawing.add_line((0, 0), (50, 50), id="alone", style="stroke:#000")
    return drawing.write(tmp_path / "strays.svg")


def test_the_drawing_and_the_report_are_written_and_told(broken: Path, tmp_path: Path) -> None:
    output, report = tmp_path / "out ä.svg", tmp_path / "r.json"
    code, said, complaint = command(broken, "--output", output, "--report", report)
    assert (code, complaint) == (0, "")
    assert said.startswith("2 outlines joined from ")
    assert joined_ids(output) == ["joined-1-outline-1", "joined-1-outline-2"]
    told = json.loads(report.read_text(encoding="utf-8"))
    assert [one["id"] for one in told["outlines"]] == joined_ids(output)
    assert set(told) == {
        "format", "version", "outlines", "ambiguous", "left", "duplicates",
    }  # fmt: skip


def test_a_selection_and_a_tolerance_are_kept_to(broken: Path, tmp_path: Path) -> None:
    output = tmp_path / "out.svg"
    names = [f"b{number}" for number in range(len(edge_by_edge(rectangle(0, 0, 99, 120), (6, 3))))]
    assert command(broken, "--output", output, "--select", *names)[0] == 0
    assert len(joined_ids(output)) == 1
    code, _, complaint = command(broken, "--output", output, "--tolerance", "3 metres")
    assert code == BAD_INPUT
    assert "3 metres" in complaint


def test_what_joins_nothing_is_one_line_a_report_and_no_drawing(
    strays: Path, tmp_path: Path
) -> None:
    output, report = tmp_path / "out.svg", tmp_path / "r.json"
    code, said, complaint = command(strays, "--output", output, "--report", report)
    assert (code, said, complaint.count("\n")) == (BAD_INPUT, "", 1)
    assert complaint.startswith("No outline could be closed from 1 open stroke:")
    assert not output.exists()
    assert json.loads(report.read_text(encoding="utf-8"))["left"][0]["id"] == "alone"


def test_a_report_that_would_destroy_the_drawing_is_refused(broken: Path, tmp_path: Path) -> None:
    before = broken.read_bytes()
    code, _, complaint = command(broken, "--output", tmp_path / "o.svg", "--report", broken)
    assert code == BAD_INPUT
    assert "overwrite" in complaint
    assert broken.read_bytes() == before


def test_the_menu_command_is_silent_when_all_is_well(broken: Path, tmp_path: Path) -> None:
    output = tmp_path / "out.svg"
    assert menu(broken, output) == (DONE, [])
    assert len(joined_ids(output)) == 2


def test_the_menu_command_takes_what_is_selected(broken: Path, tmp_path: Path) -> None:
    output = tmp_path / "out.svg"
    code, _ = menu(broken, output, *(f"--id=a{number}" for number in range(60)))
    assert code == REFUSED  # there are not so many: the first that is missing is named
    own = len(edge_by_edge(rectangle(0, 0, 150, 90), (6.0, 3.0)))
    assert menu(broken, output, *(f"--id=a{number}" for number in range(own))) == (DONE, [])
    assert len(joined_ids(output)) == 1


def test_the_menu_command_says_what_needs_a_look(tmp_path: Path) -> None:
    drawing = SvgBuilder("300mm", "300mm", (0, 0, 300, 300))
    for truth in (rectangle(0, 0, 100, 100), rectangle(100, 100, 100, 100)):
        for part in edges(truth):
            drawing.add_path(path_data(part.tolist(), closed=False), style="stroke:#000")
    output = tmp_path / "out.svg"
    code, (message,) = menu(drawing.write(tmp_path / "in.svg"), output)
    assert code == DONE
    assert "could be joined in more than one way" in message
    assert len(joined_ids(output)) == 2


def test_the_menu_command_refuses_in_one_sentence(strays: Path, tmp_path: Path) -> None:
    output = tmp_path / "out.svg"
    code, (message,) = menu(strays, output)
    assert code == REFUSED
    assert message.startswith("No outline could be closed")
    assert not output.exists()
