# SPDX-License-Identifier: GPL-2.0-or-later
"""The editor as a maker of PDF files: when it is not there, fails, or takes too long."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from extension.diagram import editor
from extension.diagram.editor import editor_here, pdf_of
from extension.language.errors import OptionError
from extension.operations import diagram as publishing
from tests.helpers.edited import Edited
from tests.helpers.editor import PROJECT
from tests.helpers.launching import hosted
from tests.helpers.pdf import pages_of
from tests.helpers.screen import need

DRAWING = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="50mm" viewBox="0 0 90 50">'
    b'<text x="10" y="20" font-size="5">Hem</text></svg>'
)


def program(folder: Path, script: str) -> str:
    """Return a program that stands in for the editor."""
    file = folder / "stand-in"
    file.write_text(f"#!{sys.executable}\nimport sys, time\n{script}\n", encoding="utf-8")
    file.chmod(0o755)
    return str(file)


@pytest.mark.editor
def test_the_editor_makes_a_page_of_the_drawings_size(tmp_path: Path) -> None:
    need("inkscape")
    file = tmp_path / "made.pdf"
    file.write_bytes(pdf_of(DRAWING, editor_here()))
    (page,) = pages_of(file)
    assert (page.width, page.height) == pytest.approx((90.0, 50.0), abs=0.1)
    assert page.text == "Hem"


STANDS_IN = """
import os, pathlib
told = dict(word[2:].split("=", 1) for word in sys.argv[1:] if word.startswith("--"))
libraries = os.environ.get("LD_LIBRARY_PATH", "none")
pathlib.Path(told["export-filename"]).write_text("%PDF by the stand-in, libraries " + libraries)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="the stand-in editor is a script")
def test_the_editor_that_started_the_command_makes_the_pdf(tmp_path: Path) -> None:
    bin_, pdf = tmp_path / "portable/bin", tmp_path / "made.pdf"
    bin_.mkdir(parents=True)
    Path(program(bin_, STANDS_IN)).rename(bin_ / "inkscape")
    host = hosted(tmp_path, PROJECT)
    host.drawing.write_bytes(Edited().data)
    (tmp_path / "empty").mkdir()
    environ = {
        "PATH": str(tmp_path / "empty"),
        "PYTHONPATH": f"/profile/extensions:{tmp_path}/portable/share/inkscape/extensions",
        "LD_LIBRARY_PATH": str(tmp_path / "portable/lib"),
    }
    done = host.run("diagram", f"--pdf={pdf}", environ=environ)
    assert done.stderr == b""
    assert pdf.read_text() == f"%PDF by the stand-in, libraries {tmp_path}/portable/lib"
    del environ["PYTHONPATH"]
    done = host.run("diagram", f"--pdf={tmp_path / 'other.pdf'}", environ=environ)
    assert b"or choose the web page" in done.stderr
    assert not (tmp_path / "other.pdf").exists()


@pytest.mark.parametrize(
    ("there", "kind"), [(".var/app/org.inkscape.Inkscape", "Flatpak"), ("snap/inkscape", "Snap")]
)
def test_an_editor_in_a_box_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: str, kind: str
) -> None:
    (tmp_path / there).mkdir(parents=True)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setattr(editor.sys, "platform", "linux")
    with pytest.raises(OptionError, match=f"{kind} package.*or choose the web page"):
        editor_here()


def test_without_an_editor_the_person_is_told_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(editor.sys, "platform", "linux")
    with pytest.raises(OptionError, match="or choose the web page"):
        editor_here()


def test_an_editor_that_takes_too_long_is_ended(tmp_path: Path) -> None:
    with pytest.raises(OptionError, match="did not make the PDF within"):
        pdf_of(DRAWING, program(tmp_path, "time.sleep(60)"), seconds=0.5)


def test_an_editor_is_ended_when_the_person_cancels(tmp_path: Path) -> None:
    asked = iter([False, False, True])
    with pytest.raises(OptionError, match="nothing was written"):
        pdf_of(DRAWING, program(tmp_path, "time.sleep(60)"), lambda: next(asked))
    assert next(asked, "all asked") == "all asked"


@pytest.mark.skipif(sys.platform == "win32", reason="the stand-in editor is a script")
def test_while_the_pdf_is_made_it_is_told_and_can_be_cancelled(tmp_path: Path) -> None:
    edited, told = Edited(), []
    waits = program(tmp_path, "time.sleep(60)")
    pdf, page_ = tmp_path / "made.pdf", tmp_path / "page.html"

    def stop(rounds: int) -> bool:
        return "The editor makes the PDF…" in told

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(publishing, "editor_here", lambda _: waits)
        with pytest.raises(OptionError, match="nothing was written"):
            publishing.publish(
                edited.document,
                (),
                publishing.Look(),
                publishing.Wanted(page_, pdf),
                publishing.Watch(told.append, stop),
            )
    assert told == ["Drawing the cutting diagram…", "The editor makes the PDF…"]
    assert not pdf.exists()
    assert not page_.exists()


def test_what_the_editor_says_of_a_failure_is_passed_on(tmp_path: Path) -> None:
    with pytest.raises(OptionError, match="it said: no room"):
        pdf_of(DRAWING, program(tmp_path, "print('no room', flush=True)"))


def test_a_file_that_is_no_pdf_is_not_taken_for_one(tmp_path: Path) -> None:
    writes = "open(sys.argv[2].split('=', 1)[1], 'w').write('<svg/>')"
    with pytest.raises(OptionError, match="could not make the PDF"):
        pdf_of(DRAWING, program(tmp_path, writes))


def test_a_program_that_does_not_start_is_told(tmp_path: Path) -> None:
    with pytest.raises(OptionError, match="could not make the PDF"):
        pdf_of(DRAWING, str(tmp_path / "not there"))
