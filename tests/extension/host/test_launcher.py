# SPDX-License-Identifier: GPL-2.0-or-later
"""The launcher, run as the editor runs it, with a tiny program behind it."""

from __future__ import annotations

import ast
import json
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from extension.host.editor import Editor
from extension.host.launcher import (
    GRACE,
    KEPT,
    NOT_SET_UP,
    STOPPED_SHORT,
    UNEXPECTED_NO_FILE,
    Run,
    clean_environment,
    conclude,
    watch,
)
from extension.host.launcher import Places as LauncherPlaces
from extension.installer.plugin import BESIDE
from tests.helpers.launching import Hosted, alive, hosted
from tests.helpers.places import HOST

posix_only = pytest.mark.skipif(sys.platform == "win32", reason="signals and poll are of POSIX")


@pytest.fixture
def host(tmp_path: Path) -> Hosted:
    return hosted(tmp_path)


def until(condition: Callable[[], bool], seconds: float = 20.0) -> bool:
    """Wait for something that other processes bring about; the limit only bounds a failure."""
    end = time.monotonic() + seconds
    while not condition():
        if time.monotonic() > end:
            return False
        time.sleep(0.02)
    return True


def pids_in(notes: Path) -> list[int]:
    assert until(lambda: notes.is_file() and bool(notes.read_text()))
    return list(json.loads(notes.read_text()))


def test_a_result_goes_to_stdout_byte_for_byte_and_stderr_stays_silent(host: Hosted) -> None:
    done = host.run("echo")
    assert (done.returncode, done.stdout, done.stderr) == (0, host.drawing.read_bytes(), b"")


def test_chatter_of_libraries_reaches_neither_the_drawing_nor_the_editor(host: Hosted) -> None:
    done = host.run("noisy")
    assert (done.stdout, done.stderr) == (host.drawing.read_bytes(), b"")


def test_a_message_alone_leaves_the_drawing_unchanged(host: Hosted) -> None:
    done = host.run("message")
    assert done.stdout == b""
    assert done.stderr.decode("utf-8") == "Piece “Ärmel” is open: close it.\n"


def test_a_result_and_a_message_are_both_handed_over(host: Hosted) -> None:
    done = host.run("both")
    assert done.stdout == host.drawing.read_bytes()
    assert b"close it" in done.stderr


@pytest.mark.parametrize("command", ["crash", "vanish"])
def test_a_fault_of_ours_is_one_plain_sentence_and_a_file(host: Hosted, command: str) -> None:
    done = host.run(command)
    told = done.stderr.decode("utf-8")
    file = host.program.parent / "problem.txt"
    assert done.stdout == b""
    assert "Traceback" not in told
    assert str(file) in told
    assert told.count("\n") == 1
    assert ("deep inside" in file.read_text(encoding="utf-8")) == (command == "crash")


@pytest.mark.parametrize(
    "spoil",
    [
        lambda host: (host.folder / "thriftlay.json").unlink(),
        lambda host: (host.folder / "thriftlay.json").write_text("{", encoding="utf-8"),
        lambda host: (host.folder / "thriftlay.json").write_text('{"python": 1}'),
        lambda host: (host.program / "extension/dialogs/main.py").unlink(),
    ],
    ids=["no file", "damaged", "other keys", "program gone"],
)
def test_a_missing_set_up_is_told_once_with_the_command(
    host: Hosted, spoil: Callable[[Hosted], object]
) -> None:
    spoil(host)
    done = host.run("echo")
    assert (done.returncode, done.stdout) == (0, b"")
    assert done.stderr.decode("utf-8") == NOT_SET_UP + "\n"


def test_a_python_that_cannot_start_is_a_missing_set_up(host: Hosted) -> None:
    places = json.loads((host.folder / "thriftlay.json").read_text(encoding="utf-8"))
    broken = host.folder / "python"
    broken.write_text("not a program", encoding="utf-8")
    places["python"] = str(broken)
    (host.folder / "thriftlay.json").write_text(json.dumps(places), encoding="utf-8")
    assert host.run("echo").stderr.decode("utf-8") == NOT_SET_UP + "\n"


def test_the_program_starts_clean_in_a_hostile_environment(host: Hosted, tmp_path: Path) -> None:
    poison = tmp_path / "poison"
    poison.mkdir()
    (poison / "json.py").write_text("raise SystemExit('the wrong json')", encoding="utf-8")
    hostile = {
        "PYTHONHOME": "/nonexistent",
        "PYTHONPATH": str(poison),
        "PYTHONSTARTUP": str(poison / "json.py"),
        "LD_LIBRARY_PATH": str(poison),
        "GTK_THEME": "none",
        "HTTPS_PROXY": "http://127.0.0.1:9",
        "DOCUMENT_PATH": "/home/ä/in.svg",
    }
    done = host.run("facts", "--id=p1", "--id=p2", environ=hostile)
    facts = json.loads(done.stdout)
    kept = {name for name in hostile if name in facts["environ"]}
    assert done.stderr == b""
    assert kept == {"HTTPS_PROXY", "DOCUMENT_PATH"}
    assert str(poison) not in facts["path"]
    assert (facts["isolated"], facts["utf8"]) == (1, 1)
    assert facts["argv"][1:] == ["--command=facts", "--id=p1", "--id=p2", str(host.drawing)]
    assert Path(facts["cwd"]) == host.program
    assert facts["environ"]["NUMBA_CACHE_DIR"].endswith("cache")


def test_scrubbing_keeps_proxies_certificates_and_settings_of_pip() -> None:
    kept = {"HTTP_PROXY": "a", "no_proxy": "b", "SSL_CERT_FILE": "c", "PIP_CERT": "d", "PATH": "e"}
    dropped = {"PYTHONPATH": "1", "__PYVENV_LAUNCHER__": "2", "GI_TYPELIB_PATH": "3", "pythonx": ""}
    put_by = {KEPT + name: value for name, value in dropped.items()}
    assert clean_environment({**kept, **dropped}) == {**kept, **put_by}


@posix_only
def test_when_the_editor_goes_everything_ends(host: Hosted, tmp_path: Path) -> None:
    notes = tmp_path / "notes"
    launcher = host.start("until_stop", f"--notes={notes}")
    processes = pids_in(notes)
    assert all(alive(one) for one in processes)
    assert launcher.stdout is not None
    assert launcher.stderr is not None
    launcher.stdout.close()
    launcher.stderr.close()
    assert launcher.wait(timeout=30) == 0
    assert until(lambda: not any(alive(one) for one in processes))


@posix_only
def test_when_the_launcher_is_asked_to_end_everything_ends(host: Hosted, tmp_path: Path) -> None:
    notes = tmp_path / "notes"
    launcher = host.start("deaf", f"--notes={notes}")
    processes = pids_in(notes)
    launcher.send_signal(signal.SIGTERM)
    out, err = launcher.communicate(timeout=30)
    assert (out, err) == (b"", b"")
    assert until(lambda: not any(alive(one) for one in processes))


@posix_only
def test_when_the_launcher_is_killed_the_program_sees_the_end_of_its_input(
    host: Hosted, tmp_path: Path
) -> None:
    notes = tmp_path / "notes"
    launcher = host.start("until_stop", f"--notes={notes}")
    program, worker = pids_in(notes)
    launcher.kill()
    launcher.communicate(timeout=30)
    assert until(lambda: not alive(program))
    # Nobody is left to end the tiny program's worker: the real program's end with it.
    subprocess.run(["kill", "-9", str(worker)], check=False)


def test_a_computer_without_room_for_the_drawing_is_no_silence(
    host: Hosted, tmp_path: Path
) -> None:
    (tmp_path / "file").touch()
    gone = str(tmp_path / "file/tmp")
    # tempfile falls back to other folders unless it is told this one by its own module.
    text = (host.folder / "launcher.py").read_text(encoding="utf-8")
    spoilt = text.replace("tempfile.mkdtemp(", f"tempfile.mkdtemp(dir={gone!r}, ")
    assert spoilt != text
    (host.folder / "launcher.py").write_text(spoilt, encoding="utf-8")
    done = host.run("echo")
    assert done.stdout == b""
    assert done.stderr.decode("utf-8") == UNEXPECTED_NO_FILE + "\n"


def test_no_temporary_file_is_left(host: Hosted, tmp_path: Path) -> None:
    temporary = tmp_path / "tmp"
    temporary.mkdir()
    host.run("echo", environ={"TMPDIR": str(temporary)})
    host.run("crash", environ={"TMPDIR": str(temporary)})
    assert list(temporary.iterdir()) == []


def test_a_window_that_stops_gets_the_best_so_far(host: Hosted) -> None:
    host.window("look", "stop", "stop")
    done = host.run("until_stop", environ={"THRIFTLAY_WINDOW": ""})
    assert (done.stdout, done.stderr) == (b"stopped by 'stop'", b"")


@pytest.mark.parametrize("first", ["look", "stop"])
@pytest.mark.parametrize("command", ["until_stop", "deaf", "both"])
def test_a_window_that_cancels_leaves_everything_and_says_nothing(
    first: str, command: str, host: Hosted
) -> None:
    host.window(first, "cancel", "cancel")
    (host.folder / "launcher.py").write_text(
        (HOST / "launcher.py")
        .read_text(encoding="utf-8")
        .replace("WINDOW_AFTER = 0.7", "WINDOW_AFTER = 0.0")
        .replace("GRACE_ALONE = 3.0", "GRACE_ALONE = 0.3"),
        encoding="utf-8",
    )
    done = host.run(command, environ={"THRIFTLAY_WINDOW": ""})
    assert (done.stdout, done.stderr) == (b"", b"")


NOTES = """
import json, pathlib
def tell(messages, done):
    pathlib.Path(__file__).with_name("told").write_text(json.dumps([messages, done]))
    {end}
"""


@pytest.mark.parametrize(
    ("command", "told"),
    [
        ("echo", None),
        ("message", [["Piece “Ärmel” is open: close it."], ""]),
        ("both", [["Piece “Ärmel” is open: close it."], ""]),
        ("done", [[], "Done: it is there"]),
        ("done_and_more", [["Buy 1 m."], "Done: it is there"]),
        ("done_and_hint", [["It is a first draft."], "Done: it is there"]),
    ],
)
@pytest.mark.parametrize("there", [True, False])
def test_what_is_to_be_said_comes_in_our_window_or_else_in_the_editors(
    command: str, told: object, there: bool, host: Hosted
) -> None:
    end = "return True" if there else "raise ImportError"
    (host.folder / "notes.py").write_text(NOTES.format(end=end), encoding="utf-8")
    done = host.run(command, environ={"THRIFTLAY_WINDOW": ""})
    file = host.folder / "told"
    assert (json.loads(file.read_text()) if file.exists() else None) == told
    assert done.stdout == (b"" if command == "message" else host.drawing.read_bytes())
    # That all is done is never said alone in the editor's own.
    said = {
        "message": "Piece “Ärmel” is open: close it.\n",
        "both": "Piece “Ärmel” is open: close it.\n",
        "done_and_more": "Done: it is there\n\nBuy 1 m.\n",
    }
    assert done.stderr.decode("utf-8") == ("" if there else said.get(command, ""))


def test_garbage_from_the_program_reaches_neither_the_window_nor_the_editor(host: Hosted) -> None:
    host.window("look")
    done = host.run("garbage", environ={"THRIFTLAY_WINDOW": ""})
    assert (done.stdout, done.stderr) == (host.drawing.read_bytes(), b"")
    looked = json.loads((host.folder / "looked").read_text())
    assert looked["text"] == "?\x00half"
    assert set(looked["picture"]) == {"kind"}


@pytest.mark.parametrize(
    "window", ["raise ImportError", "def show(*_):\n    1 / 0", "import gi_of_nobody"]
)
def test_no_window_is_no_error(host: Hosted, window: str) -> None:
    (host.folder / "window.py").write_text(window, encoding="utf-8")
    done = host.run("slow", environ={"THRIFTLAY_WINDOW": ""})
    assert (done.stdout, done.stderr) == (host.drawing.read_bytes(), b"")


class HeardEditor(Editor):
    """An editor's end that only listens."""

    def __init__(self) -> None:
        self.shown: list[bytes] = []
        self.said: list[str] = []

    def gone(self) -> bool:
        return False

    def show(self, drawing: bytes) -> None:
        self.shown.append(drawing)

    def say(self, messages: object) -> None:
        self.said += list(messages)  # type: ignore[call-overload]


@pytest.mark.parametrize("cancels", [False, True])
def test_a_program_that_does_not_stop_in_its_grace_is_ended_and_told_unless_it_keeps_nothing(
    cancels: bool, host: Hosted, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("THRIFTLAY_WINDOW", "none")
    places = LauncherPlaces.read(host.folder / "thriftlay.json")
    assert places is not None
    notes, output, editor = tmp_path / "notes", tmp_path / "out.svg", HeardEditor()
    run = Run(
        places.command(["--command=deaf", f"--notes={notes}"], output),
        places.program,
        places.environment(),
    )
    (process,) = pids_in(notes)
    run.progress = {"text": "At work", "cancels": cancels}
    run.stop(0.2)
    run.stop(GRACE)  # a second, later request does not lengthen the grace
    watch(run, editor)
    conclude(places, run, editor, output)
    assert (editor.shown, editor.said) == ([], [] if cancels else [STOPPED_SHORT])
    assert not alive(process)


@pytest.mark.parametrize("name", BESIDE)
def test_what_the_editors_python_runs_is_old_and_plain(name: str) -> None:
    tree = ast.parse((HOST / name).read_text(encoding="utf-8"), feature_version=(3, 7))
    for node in tree.body:
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            node.body = [ast.Pass()]  # not run there
    imported = {
        (node.module or "") if isinstance(node, ast.ImportFrom) else alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for alias in node.names
    }
    roots = {module.partition(".")[0] for module in imported}
    assert roots <= set(sys.stdlib_module_names) | {"gi"}


def test_the_output_lies_in_a_folder_that_others_cannot_read(host: Hosted) -> None:
    facts = json.loads(host.run("facts").stdout)
    output = Path(next(one for one in facts["argv"] if one.startswith("--output="))[9:])
    assert output.parent.parent == Path(tempfile.gettempdir())
    assert output.parent.name.startswith("thriftlay-")  # made by mkdtemp: mode 0700
    assert not output.parent.exists()
