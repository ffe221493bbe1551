# SPDX-License-Identifier: GPL-2.0-or-later
"""The program behind the launcher, as a process and with a scripted command."""

from __future__ import annotations

import io
import json
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import inkex
import pytest
from lxml import etree

from extension.dialogs import hosted
from extension.dialogs.hosted import DONE, REFUSED, run_hosted
from extension.dialogs.menu_command import MenuCommand
from extension.host.pictures import AS_DRAWN, FLIPPED, fitted
from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.svg.document import serialise
from tests.helpers.launching import alive, descendants
from tests.helpers.launching import hosted as hosted_by_launcher
from tests.helpers.places import EXTENSION

DRAWING = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100">'
    b'<rect id="a" width="60" height="80"/><path id="b" d="M 80,0 h 90 l -20,70 h -40 z"/></svg>'
)

SHAPES = "".join(
    f'<path id="p{n}" d="M {n * 300},0 l {180 - 9 * n},20 l -30,{150 + 7 * n} l -90,-60 z"/>'
    for n in range(9)
)
UNEVEN = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="3000mm" height="300mm" viewBox="0 0 3000 300">'
    f"{SHAPES}</svg>"
).encode()
LONG = ("--seconds=250", "--fabric_width=45cm")
"""On cloth so narrow no layout can be proven best: a run goes on until it is stopped."""


def lines_of(stdout: bytes) -> list[dict[str, object]]:
    return [json.loads(line) for line in stdout.splitlines()]


def start(drawing: Path, output: Path, *arguments: str) -> subprocess.Popen[bytes]:
    """Start the program as the launcher does."""
    python = [sys.executable, "-I", "-X", "utf8", str(EXTENSION / "dialogs/main.py")]
    return subprocess.Popen(
        [*python, f"--output={output}", "--command=lay-out", *arguments, str(drawing)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    file = tmp_path / "ink_ext_ä.svgX7"
    file.write_bytes(DRAWING)
    return file


def test_a_run_ends_well_while_the_launcher_keeps_its_end_open(
    drawing: Path, tmp_path: Path
) -> None:
    # A thread that waits in a buffered reader makes Python abort at its end.
    with start(drawing, tmp_path / "out.svg", "--seconds=1") as program:
        assert program.stdout is not None
        assert program.stderr is not None
        lines, errors = lines_of(program.stdout.read()), program.stderr.read()
        assert program.wait(timeout=60) == DONE, errors.decode()
    assert b"lay:layout" in (tmp_path / "out.svg").read_bytes()
    *lines, done = lines
    # Under load it may be a first draft, which is told.
    assert {line["kind"] for line in lines} - {"hint"} == {"progress", "picture"}
    progress = [line for line in lines if line["kind"] == "progress"]
    assert all(0.0 <= float(str(line["done"])) <= 1.0 for line in progress)
    assert all(0.0 <= float(str(line["left"])) <= 1.0 for line in progress)
    assert done["kind"] == "done"
    assert str(done["text"]).startswith("Done: ")
    assert "to the right of your drawing" in str(done["text"])


@pytest.mark.parametrize("word", [b"stop\n", b""], ids=["stop", "end of input"])
def test_a_stop_gives_the_best_so_far(drawing: Path, tmp_path: Path, word: bytes) -> None:
    drawing.write_bytes(UNEVEN)
    with start(drawing, tmp_path / "out.svg", *LONG) as program:
        assert program.stdin is not None
        assert program.stdout is not None
        program.stdout.readline()  # there is a layout now
        time.sleep(1.0)
        assert program.poll() is None
        _, errors = program.communicate(word, timeout=120)
        assert program.returncode == DONE, errors.decode()
    assert b"lay:layout" in (tmp_path / "out.svg").read_bytes()


def test_a_stop_keeps_the_layouts_of_all_materials(drawing: Path, tmp_path: Path) -> None:
    root = etree.fromstring(UNEVEN)
    for path in root:
        path.set(lay("cut"), "1 main; 1 lining")
    drawing.write_bytes(etree.tostring(root))
    with start(drawing, tmp_path / "out.svg", *LONG) as program:
        assert program.stdin is not None
        assert program.stdout is not None
        first = program.stdout.readline()
        time.sleep(1.0)
        assert program.poll() is None
        rest, errors = program.communicate(b"stop\n", timeout=120)
        assert program.returncode == DONE, errors.decode()
    assert (tmp_path / "out.svg").read_bytes().count(b"lay:layout=") == 2
    *progress, told, done = lines_of(first + rest)
    assert {line["kind"] for line in progress} == {"progress", "picture"}
    assert (told["kind"], done["kind"]) == ("message", "done")
    assert "To buy:\n  main, 45 cm wide: " in str(told["text"])
    assert str(done["text"]).startswith("Done: 2 layouts lie to the right of your drawing")
    pictures = [line for line in progress if line["kind"] == "picture"]
    figure = fitted(pictures[-1], 440, 190)
    assert figure is not None
    assert [word for _, word in figure.words] == ["main", "lining"]
    parts = [1 for colours, _ in figure.polygons if colours in (AS_DRAWN, FLIPPED)]
    assert len(parts) == 18


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="looks processes up in /proc")
def test_when_the_editor_goes_no_process_of_the_real_program_stays(tmp_path: Path) -> None:
    host = hosted_by_launcher(tmp_path, EXTENSION.parent)
    host.drawing.write_bytes(UNEVEN)
    launcher = host.start("lay-out", *LONG)
    assert launcher.stdout is not None
    assert launcher.stderr is not None
    end = time.monotonic() + 60.0
    while not descendants(launcher.pid) and time.monotonic() < end:
        time.sleep(0.05)
    time.sleep(3.0)  # time for the workers, if there are any
    started = descendants(launcher.pid)
    assert started
    launcher.stdout.close()
    launcher.stderr.close()
    assert launcher.wait(timeout=60) == 0
    while any(map(alive, started)) and time.monotonic() < end:
        time.sleep(0.05)
    assert not any(map(alive, started))


def test_a_fault_of_the_drawing_is_a_message_and_no_result(tmp_path: Path) -> None:
    damaged = tmp_path / "ink_ext_7"
    damaged.write_bytes(DRAWING[:-20])
    with start(damaged, tmp_path / "out.svg") as program:
        out, errors = program.communicate(b"", timeout=60)
    (line,) = lines_of(out)
    assert (program.returncode, errors) == (REFUSED, b"")
    assert line["kind"] == "message"
    assert "damaged" in str(line["text"])
    assert "ink_ext" not in str(line["text"])
    assert not (tmp_path / "out.svg").exists()


def scripted(
    monkeypatch: pytest.MonkeyPatch,
    action: Callable[[MenuCommand], bytes],
    drawing: Path,
    output: Path,
    *,
    keeps: bool = True,
    after: bytes = b"",
) -> tuple[int, bytes]:
    """Let a command do what the test says; return the exit code and what was told.

    It is stopped once it has told `after`.
    """
    name = "lay-out" if keeps else "check"
    monkeypatch.setattr(hosted.command_of(name), "act", action)
    told = io.BytesIO()
    words = [f"--command={name}", f"--output={output}", "--id=a", str(drawing)]
    code = run_hosted(words, StopsAfter(told, after), told, lambda: 0.0)
    return code, told.getvalue()


class StopsAfter:
    """The launcher's end of the line: it says "stop" once it has heard some words."""

    says = b"stop\n"

    def __init__(self, heard: io.BytesIO, words: bytes) -> None:
        self._heard, self._words = heard, words

    def read(self, size: int, /) -> bytes:
        while self._words not in self._heard.getvalue():
            time.sleep(0.01)
        return self.says[:size]


def test_a_command_gets_the_dialog_the_document_and_the_host(
    monkeypatch: pytest.MonkeyPatch, drawing: Path, tmp_path: Path
) -> None:
    def action(command: MenuCommand) -> bytes:
        assert command.ids == ["a"]
        command.host.talk.tell("progress", "half", 0.5)
        while not command.host.stop(0):
            pass
        return serialise(command.drawing)

    output = tmp_path / "out.svg"
    code, told = scripted(monkeypatch, action, drawing, output, after=b"half")
    assert code == DONE
    assert lines_of(told) == [{"kind": "progress", "text": "half", "done": 0.5}]
    assert b"<rect" in (tmp_path / "out.svg").read_bytes()


@pytest.mark.parametrize(
    ("name", "tells"), [("check", False), ("lay-out", False), ("lay-out", True)]
)
def test_a_stop_leaves_the_drawing_as_it_was_as_long_as_there_is_nothing_to_keep(
    name: str, tells: bool, monkeypatch: pytest.MonkeyPatch, drawing: Path, tmp_path: Path
) -> None:
    def action(command: MenuCommand) -> bytes:
        command.msg("Look at the layer beside the drawing.")
        if tells:
            command.host.talk.tell("progress", "1 s: 1.2 m", 0.1)
        while not command.host.stop(0):
            pass
        return b"<svg/>"

    before, output = drawing.read_bytes(), tmp_path / "out.svg"
    after = b"1.2 m" if tells else b""
    code, told = scripted(
        monkeypatch, action, drawing, output, keeps=name == "lay-out", after=after
    )
    assert code == DONE
    assert output.read_bytes() == (b"<svg/>" if tells else before)
    said = [(line["kind"], line.get("cancels", False)) for line in lines_of(told)]
    # Nor is anything told of a result that is not there.
    at_work = [("progress", True)] if name == "check" else []
    assert said == ([("progress", False), ("message", False)] if tells else at_work)


def test_a_cancel_leaves_the_drawing_as_it_was_though_there_is_something_to_keep(
    monkeypatch: pytest.MonkeyPatch, drawing: Path, tmp_path: Path
) -> None:
    def action(command: MenuCommand) -> bytes:
        command.msg("Buy 1.2 m.")
        command.done("it is there")
        command.host.talk.tell("progress", "1 s: 1.2 m", 0.1)
        while not command.host.stop(0):
            pass
        return b"<svg/>"

    monkeypatch.setattr(StopsAfter, "says", b"cancel\n")
    before, output = drawing.read_bytes(), tmp_path / "out.svg"
    code, told = scripted(monkeypatch, action, drawing, output, after=b"1.2 m")
    assert (code, output.read_bytes()) == (DONE, before)
    assert [line["kind"] for line in lines_of(told)] == ["progress"]


def test_what_is_done_is_told_last(
    monkeypatch: pytest.MonkeyPatch, drawing: Path, tmp_path: Path
) -> None:
    def action(command: MenuCommand) -> bytes:
        command.done("it is there")
        command.msg("Buy 1.2 m.")
        command.host.talk.tell("progress", "1 s: 1.2 m", 0.1)
        while not command.host.stop(0):
            pass
        return b"<svg/>"

    _, told = scripted(monkeypatch, action, drawing, tmp_path / "out.svg", after=b"1 s")
    texts = [line["text"] for line in lines_of(told)]
    there = "Done: it is there (press Close here and in the dialog, then 4)."
    assert texts == ["1 s: 1.2 m", "Buy 1.2 m.", there]


def test_a_sentence_of_any_command_is_told(
    monkeypatch: pytest.MonkeyPatch, drawing: Path, tmp_path: Path
) -> None:
    def action(command: MenuCommand) -> bytes:
        raise DrawingError("Piece “Ärmel” is open: close it.")

    code, told = scripted(monkeypatch, action, drawing, tmp_path / "out.svg")
    assert code == REFUSED
    assert lines_of(told)[0]["text"] == "Piece “Ärmel” is open: close it."


def test_an_error_of_inkexs_for_a_person_is_told_as_well(
    monkeypatch: pytest.MonkeyPatch, drawing: Path, tmp_path: Path
) -> None:
    def action(command: MenuCommand) -> bytes:
        raise inkex.AbortExtension("Please select one path.")

    code, told = scripted(monkeypatch, action, drawing, tmp_path / "out.svg")
    assert code == REFUSED
    assert lines_of(told)[0]["text"] == "Please select one path."
    assert not (tmp_path / "out.svg").exists()


def test_a_fault_of_ours_is_not_swallowed(
    monkeypatch: pytest.MonkeyPatch, drawing: Path, tmp_path: Path
) -> None:
    def action(command: MenuCommand) -> bytes:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        scripted(monkeypatch, action, drawing, tmp_path / "out.svg")


HEARS_NOTHING = """
import sys, time
sys.path.insert(0, {project!r})
from extension.dialogs import hosted
def never(*_):
    while True:
        time.sleep(0.2)
hosted.command_of("check").act = never
sys.argv[0] = {main!r}
from extension.dialogs.main import main
sys.exit(main())
"""


def test_a_command_that_does_not_hear_the_stop_is_ended_and_leaves_the_drawing(
    drawing: Path, tmp_path: Path
) -> None:
    main = EXTENSION / "dialogs/main.py"
    script = HEARS_NOTHING.format(project=str(EXTENSION.parent), main=str(main))
    words = [f"--output={tmp_path / 'out.svg'}", "--command=check", str(drawing)]
    with subprocess.Popen(
        [sys.executable, "-c", script, *words],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as program:
        assert program.stdout is not None
        assert b"At work" in program.stdout.readline()
        out, errors = program.communicate(b"stop\n", timeout=60)
    assert (program.returncode, out, errors) == (DONE, b"", b"")
    assert (tmp_path / "out.svg").read_bytes() == DRAWING


@pytest.mark.parametrize("word", ["--width=140", "--seed=perhaps", "--command=an-older-one"])
def test_a_dialog_of_another_version_is_told_as_what_it_is(
    word: str, drawing: Path, tmp_path: Path
) -> None:
    """The editor shows the dialogs that were there when it was started."""
    output = tmp_path / "out.svg"
    program = start(drawing, output, word)
    stdout, stderr = program.communicate()
    assert program.returncode == REFUSED
    messages = [line["text"] for line in lines_of(stdout) if line["kind"] == "message"]
    assert len(messages) == 1
    assert "close the editor, open it again" in str(messages[0])
    assert not output.exists()
    assert stderr == b""
