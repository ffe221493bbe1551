# SPDX-License-Identifier: GPL-2.0-or-later
"""The put-together command and its menu twin, from file to file."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from extension.commands.command_line import BAD_INPUT, run
from extension.commands.terminal import Terminal
from extension.dialogs.hosted import DONE, REFUSED, run_hosted
from extension.svg.document import parse
from extension.svg.leaves import read_leaves
from tests.helpers.paged import LETTER, Paging, as_drawing, as_files, cut
from tests.helpers.truths import pieces

PAGING = Paging(overlap=(10.0, 10.0))
TRUTH = pieces(2, 300.0, 250.0, 3)


def command(*words: object) -> tuple[int, str, str]:
    """Run put-together; return its exit code and what it wrote on stdout and stderr."""
    out, err = io.StringIO(), io.StringIO()
    code = run(["put-together", *map(str, words)], Terminal(out, err), lambda: 0.0)
    return code, out.getvalue(), err.getvalue()


def menu(drawing: Path, output: Path, *words: str) -> tuple[int, list[str]]:
    """Run the command as the launcher does; return its exit code and its messages."""
    told = io.BytesIO()
    passed = [f"--output={output}", "--command=put-together", "--tab=pages", *words, str(drawing)]
    code = run_hosted(passed, io.BytesIO(b""), told, lambda: 0.0)
    lines = [json.loads(line) for line in told.getvalue().splitlines()]
    return code, [line["text"] for line in lines if line["kind"] == "message"]


def closed_lines(file: Path) -> int:
    """Return how many closed lines a sheet has."""
    leaves = read_leaves(parse(file))
    on_sheet = [x for x in leaves if any("sheet" in group.attributes for group in x.groups)]
    return sum(ring.closed and x.style["fill"] == "none" for x in on_sheet for ring in x.rings)


@pytest.fixture
def pages(tmp_path: Path) -> Path:
    file = tmp_path / "Schnitt für Ada.svg"
    file.write_bytes(as_drawing(cut(TRUTH, PAGING), PAGING))
    return file


def test_from_file_to_file_with_a_report(pages: Path, tmp_path: Path) -> None:
    before = pages.read_bytes()
    output, report = tmp_path / "out.svg", tmp_path / "r.json"
    code, out, err = command(pages, "--output", output, "--report", report)
    assert (code, err) == (0, "")
    assert out.splitlines()[0] == (
        "2 pages put together in 1 row and 2 columns, by the numbers on the pages."
    )
    assert closed_lines(output) == 6
    assert pages.read_bytes() == before
    told = json.loads(report.read_text(encoding="utf-8"))
    assert [(page["row"], page["column"]) for page in told["pages"]] == [(1, 1), (1, 2)]
    assert told["overlap_mm"][0] == pytest.approx(10.0, abs=0.05)


def test_a_drawing_for_each_page_of_which_the_first_gets_the_sheet(tmp_path: Path) -> None:
    files = []
    for number, data in enumerate(as_files(cut(TRUTH, PAGING), PAGING), start=1):
        files.append(tmp_path / f"page{number}.svg")
        files[-1].write_bytes(data)
    output = tmp_path / "out.svg"
    code, _, err = command(*files, "--output", output)
    assert (code, err) == (0, "")
    assert closed_lines(output) == 6


def test_by_hand(pages: Path, tmp_path: Path) -> None:
    words = ("--rows", "1", "--columns", "2", "--overlap", "1cm")
    assert command(pages, *words, "--output", tmp_path / "out.svg")[0] == 0
    code, out, err = command(pages, "--rows", "many", "--output", tmp_path / "no.svg")
    assert (code, out) == (BAD_INPUT, "")
    assert err.count("\n") == 1
    assert "“many” is no number of rows" in err
    assert not (tmp_path / "no.svg").exists()


def test_the_menu_does_the_same_and_is_silent_when_all_is_well(pages: Path, tmp_path: Path) -> None:
    output, other = tmp_path / "menu.svg", tmp_path / "command.svg"
    assert menu(pages, output) == (DONE, [])
    assert command(pages, "--output", other)[0] == 0
    assert output.read_bytes() == other.read_bytes()


def test_the_menu_tells_what_cannot_be_decided(tmp_path: Path) -> None:
    paging = Paging(LETTER, overlap=(12.7, 12.7), clip=False, frame="", numbers="")
    file = tmp_path / "whole.svg"
    file.write_bytes(as_drawing(cut(pieces(0, 360.0, 500.0, 4), paging), paging))
    code, messages = menu(file, tmp_path / "out.svg")
    assert code == REFUSED
    assert len(messages) == 1
    assert messages[0].startswith("It cannot be told how the pages go together")
    assert menu(file, tmp_path / "out.svg", "--rows=2", "--columns=2")[0] == DONE
