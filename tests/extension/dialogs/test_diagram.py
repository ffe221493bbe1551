# SPDX-License-Identifier: GPL-2.0-or-later
"""The dialog of the cutting diagram, from what the editor passes to the files it leaves."""

from __future__ import annotations

import io
import json
import threading
from pathlib import Path

import pytest

from extension.dialogs.hosted import DONE, REFUSED, run_hosted
from tests.helpers.edited import Edited
from tests.helpers.layouts import no_time


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    file = tmp_path / "ink_ext.svg"
    file.write_bytes(Edited().data)
    return file


class Quiet:
    """The stdin of a launcher that never says "stop"."""

    def read(self, size: int, /) -> bytes:
        threading.Event().wait()
        return b""


def run(drawing: Path, *arguments: str) -> tuple[int, str]:
    """Run the dialog's command; return its exit code and what it told the person."""
    told = io.BytesIO()
    words = ["--command=diagram", *arguments, f"--output={drawing.parent / 'out.svg'}"]
    code = run_hosted([*words, str(drawing)], Quiet(), told, no_time)
    lines = [json.loads(line) for line in told.getvalue().splitlines()]
    # While it works the window offers to cancel, for there is no best so far.
    assert all(line.get("cancels") for line in lines if line["kind"] == "progress")
    return code, " ".join(line["text"] for line in lines if line["kind"] == "message")


def test_the_page_is_written_and_the_drawing_handed_back_as_it_was(drawing: Path) -> None:
    page = drawing.parent / "page.html"
    assert run(drawing, f"--page={page}") == (DONE, "")
    assert "Cutting diagram" in page.read_text(encoding="utf-8")
    assert (drawing.parent / "out.svg").read_bytes().count(b"lay:layout=") == 1


def test_after_cancel_nothing_is_written(drawing: Path) -> None:
    page, out = drawing.parent / "page.html", drawing.parent / "out.svg"
    words = ["--command=diagram", f"--page={page}", f"--output={out}", str(drawing)]
    assert run_hosted(words, io.BytesIO(b"stop"), io.BytesIO(), no_time) == REFUSED
    assert not page.exists()
    assert not out.exists()


def test_without_a_file_there_is_nothing_to_do(drawing: Path) -> None:
    code, told = run(drawing)
    assert (code, told) == (
        REFUSED,
        "There is nothing to write: choose a file for the cutting diagram.",
    )


def test_a_selected_part_stands_for_its_layout(drawing: Path) -> None:
    page = drawing.parent / "page.html"
    code, _ = run(drawing, f"--page={page}", "--id=thriftlay-1-part-1", "--id=front")
    assert code == DONE
    assert page.read_text(encoding="utf-8").count("<section") == 1


def test_a_file_in_no_folder_is_refused(drawing: Path) -> None:
    code, told = run(drawing, "--page=page.html")
    assert code == REFUSED
    assert "does not say in which folder it is" in told
