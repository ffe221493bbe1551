# SPDX-License-Identifier: GPL-2.0-or-later
"""What the editor starts: runs Thriftlay's program in its own Python and hands back the drawing.

The editor's Python may lack every package, so this file and those beside it use the standard
library alone and run on Python 3.7 and later. The editor shows a modal dialog for any byte on
stderr and waits for the end of stdout; so a run is silent unless there is something to say in plain
words.

With the program we speak lines of JSON. On its stdout it writes {"kind": "progress", "text": ...}
(see `session`; with "cancels": true a stop leaves nothing), {"kind": "picture", ...} of the best
layout so far (see `pictures`), {"kind": "message", "text": ...}, and what is shown where a window
can be and else left out: {"kind": "hint", ...}, {"kind": "done", ...}. On its stdin it reads
"stop", which its end means as well, or "cancel".
"""

from __future__ import annotations

import contextlib
import importlib
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from extension.host.editor import Editor

HERE = Path(__file__).resolve().parent
PLACES_FILE = "thriftlay.json"
"""Written by the installer beside this file: where the private Python and the program are."""

STEP = 0.05
"""Seconds between two looks at the program."""
WINDOW_AFTER = 0.7
"""Seconds before the progress window opens: a run that ends sooner needs none."""
GRACE = 20.0
"""Seconds that the program has to finish after "stop": it still judges and writes the best."""
GRACE_ALONE = 3.0
"""The same when the editor has gone and nobody waits for the result."""
FOLDER = "thriftlay-"
"""How the folder of a run is called, before the number of its process."""
ERROR_BYTES = 20000
"""How much of what the program writes on stderr is kept for the problem file."""

NOT_SET_UP = (
    "Thriftlay is not set up on this computer, or has been moved or removed since. "
    "Nothing was changed. Please open a terminal in Thriftlay's folder and run: "
    "python3 extension/install.py"
)
STOPPED_SHORT = (
    "Thriftlay did not finish in time after it was asked to stop, so it was ended. "
    "Nothing was changed. Please try again with a shorter time limit or fewer pieces."
)
UNEXPECTED = (
    "Thriftlay met a fault of its own and stopped. Nothing was changed. "
    "What is known about it was written to {file}: please send that file with your report."
)
UNEXPECTED_NO_FILE = "Thriftlay met a fault of its own and stopped. Nothing was changed."

FOREIGN = ("PYTHON", "LD_", "DYLD_", "GI_", "GTK_", "GDK_", "GIO_", "FONTCONFIG", "PANGO")
"""Prefixes of variables that make another Python load the editor's libraries, not its own."""
KEPT = "THRIFTLAY_KEPT_"
"""Put before the names of such variables: the program restores them when it asks the editor."""


def clean_environment(environ: Mapping[str, str]) -> dict[str, str]:
    """Return the environment without what would lead another Python astray."""
    clean = {}
    for name, value in environ.items():
        is_foreign = name.upper().startswith(FOREIGN) or name.upper() == "__PYVENV_LAUNCHER__"
        clean[KEPT + name if is_foreign else name] = value
    return clean


class Places:
    """Where the private Python, the program and the kernel cache are."""

    def __init__(self, python: str, program: str, kernels: str) -> None:
        self.python = python
        self.program = program
        self.kernels = kernels

    @classmethod
    def read(cls, file: Path) -> Places | None:
        """Return what the installer wrote, or None when it is missing, damaged or out of date."""
        try:
            places = cls(**json.loads(file.read_text(encoding="utf-8")))
        except (OSError, ValueError, TypeError):
            return None
        there = Path(places.python).is_file() and places.main.is_file()
        return places if there else None

    @property
    def main(self) -> Path:
        """The program's first file."""
        return Path(self.program) / "extension" / "dialogs" / "main.py"

    def command(self, arguments: Sequence[str], output: Path) -> list[str]:
        """Return the command line of the program for one run."""
        # -I keeps the editor's folders out of sys.path; it also ignores PYTHONUTF8, hence -X.
        start = [self.python, "-I", "-X", "utf8", str(self.main)]
        return [*start, "--output=" + str(output), *arguments]

    def environment(self) -> dict[str, str]:
        """Return the environment of the program."""
        environment = clean_environment(os.environ)
        environment["NUMBA_CACHE_DIR"] = self.kernels
        for library in ("OMP", "OPENBLAS", "MKL"):
            # More threads would fight the search's own, and could add up in another order.
            environment[library + "_NUM_THREADS"] = "1"
        return environment


class Run:
    """One run of the program, with every process that it starts."""

    def __init__(self, command: Sequence[str], folder: str, environment: Mapping[str, str]) -> None:
        self.progress: dict[str, object] = {}
        self.messages: list[str] = []
        self.hints: list[str] = []
        self.done = ""
        self.cancelled = False
        self.errors = b""
        self.killed = False
        self._deadline: float | None = None
        self.process = subprocess.Popen(
            command,
            cwd=folder,
            env=dict(environment),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            # A group of its own, so that its workers can be ended with it.
            start_new_session=os.name == "posix",
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
        )
        self._readers = [
            threading.Thread(target=target, daemon=True)
            for target in (self._read_lines, self._read_errors)
        ]
        for reader in self._readers:
            reader.start()

    def _read_lines(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.hear(line)

    def hear(self, line: bytes) -> None:
        """Take a line of the program's; one that is none of ours is passed over."""
        try:
            said = json.loads(line.decode("utf-8"))
            kind = said["kind"]
            text = str(said.get("text", "")).encode("utf-8", "replace").decode("utf-8")
        except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
            return  # a library's print, not for us
        picture = self.progress.get("picture")
        if kind == "progress":
            self.progress = {**said, "text": text, "at": time.monotonic(), "picture": picture}
        elif kind == "picture" and self.progress:
            self.progress = {**self.progress, "picture": said}
        elif kind == "message":
            self.messages.append(text)
        elif kind == "hint":
            self.hints.append(text)
        elif kind == "done":
            self.done = text

    def _read_errors(self) -> None:
        assert self.process.stderr is not None
        for line in self.process.stderr:
            self.errors = (self.errors + line)[-ERROR_BYTES:]

    def ended(self) -> bool:
        """Return whether the program has ended, ending it when its grace is over."""
        if self.process.poll() is not None:
            return True
        if self._deadline is not None and time.monotonic() > self._deadline:
            self.kill()
            return True
        return False

    def stop(self, grace: float = GRACE) -> None:
        """Ask the program to finish with the best so far within `grace` seconds."""
        self._ask(b"stop\n", grace)

    def cancel(self) -> None:
        """Ask the program to end without a result, whatever it was asked before."""
        self.cancelled = True
        self._ask(b"cancel\n", GRACE_ALONE)

    def _ask(self, word: bytes, grace: float) -> None:
        deadline = time.monotonic() + grace
        self._deadline = deadline if self._deadline is None else min(deadline, self._deadline)
        stdin = self.process.stdin
        assert stdin is not None
        if not stdin.closed:
            with contextlib.suppress(OSError):  # it may have ended meanwhile
                stdin.write(word)
            with contextlib.suppress(OSError):
                stdin.close()

    def kill(self) -> None:
        """End the program and all that it started."""
        self.killed = True
        end_all(self.process.pid)
        self.process.wait()

    def finish(self) -> int:
        """Wait for the last lines, end workers that were left over, return the exit code."""
        code = self.process.wait()
        if os.name == "posix":  # elsewhere a tree is only found from its living root
            end_all(self.process.pid)
        for reader in self._readers:
            reader.join(timeout=5.0)
        for pipe in (self.process.stdin, self.process.stdout, self.process.stderr):
            assert pipe is not None
            with contextlib.suppress(OSError):
                pipe.close()
        return code


def end_all(leader: int) -> None:
    """End a process that leads its group, and every process of the group."""
    if os.name == "posix":
        with contextlib.suppress(ProcessLookupError, PermissionError):  # all ended before
            os.killpg(leader, signal.SIGKILL)
    else:
        subprocess.run(
            ["taskkill", "/T", "/F", "/PID", str(leader)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
            check=False,
        )


def stepper(run: Run, editor: Editor) -> Callable[[], dict[str, object] | None]:
    """Return a function that looks after the run: what it says last, or None once it has ended."""

    def step() -> dict[str, object] | None:
        if run.ended():
            return None
        if editor.gone():
            run.stop(GRACE_ALONE)
        return run.progress

    return step


def wait_for(step: Callable[[], dict[str, object] | None], seconds: float) -> bool:
    """Look after a run for so many seconds; return whether it has ended."""
    until = time.monotonic() + seconds
    while step() is not None:
        if time.monotonic() > until:
            return False
        time.sleep(STEP)
    return True


def watch(run: Run, editor: Editor) -> None:
    """Wait for the end of a run, with a window that can stop it where a toolkit exists."""
    step = stepper(run, editor)
    if wait_for(step, WINDOW_AFTER):
        return
    if has_window():
        with contextlib.suppress(Exception):  # no window is no error: the time limit ends the run
            session, pictures = beside("session"), beside("pictures")
            words = session.HEADING, session.STOP, session.CANCEL
            begun = session.Session(step, run.stop, run.cancel)
            beside("window").show(begun, words, pictures.fitted, pictures.svg_of)
    wait_for(step, float("inf"))


def problem_file(places: Places, run: Run, code: int) -> str:
    """Write what is known about a fault of ours; return the file, or "" when it cannot be."""
    file = Path(places.program).parent / "problem.txt"
    text = "exit code {}\n{}".format(code, run.errors.decode("utf-8", "replace"))
    try:
        file.write_text(text, encoding="utf-8")
    except OSError:
        return ""
    return str(file)


def conclude(places: Places, run: Run, editor: Editor, output: Path) -> None:
    """Hand over the drawing and the messages of a run that has ended."""
    code = run.finish()
    if editor.gone() or run.cancelled:
        return
    if run.killed:
        # Where nothing was to be kept, it is just what was asked for.
        tell(editor, [] if run.progress.get("cancels") else [STOPPED_SHORT])
        return
    if code != 0 and not run.messages:
        file = problem_file(places, run, code)
        tell(editor, [UNEXPECTED.format(file=file) if file else UNEXPECTED_NO_FILE])
        return
    if code == 0 and output.is_file():
        editor.show(output.read_bytes())
    tell(editor, run.messages, run.hints, run.done if code == 0 else "")


def tell(
    editor: Editor, messages: Sequence[str], hints: Sequence[str] = (), done: str = ""
) -> None:
    """Say something to the person: in a window of ours, or else in the editor's.

    The editor's says above it that something may be wrong: so no hints are said there, and that all
    is done only above messages.
    """
    if not (messages or hints or done):
        return
    if has_window():
        with contextlib.suppress(Exception):  # then the editor says it
            if beside("notes").tell([*messages, *hints], done):
                return
    editor.say([done, *messages] if messages and done else messages)


def has_window() -> bool:
    """Return whether windows of ours are wanted."""
    return os.environ.get("THRIFTLAY_WINDOW", "") != "none"


def run_program(places: Places, arguments: Sequence[str], editor: Editor) -> None:
    """Run the program once and hand its result to the editor."""
    with contextlib.suppress(Exception):  # no run depends on it
        beside("leftovers").clear(Path(tempfile.gettempdir()), FOLDER)
    folder = Path(tempfile.mkdtemp(prefix=f"{FOLDER}{os.getpid()}-"))
    output = folder / "result.svg"
    try:
        run = start(places, arguments, output)
        if run is None:
            tell(editor, [NOT_SET_UP])
            return
        try:
            watch(run, editor)
            conclude(places, run, editor, output)
        finally:
            if run.process.poll() is None:
                run.kill()
    finally:
        shutil.rmtree(str(folder), ignore_errors=True)


def beside(name: str) -> Any:
    """Return a module of ours that lies beside this file."""
    # Into the editor's folder goes what set-up puts there, and nothing that Python keeps.
    sys.dont_write_bytecode = True
    if str(HERE) not in sys.path:
        sys.path.insert(0, str(HERE))
    return importlib.import_module(name)


def start(places: Places, arguments: Sequence[str], output: Path) -> Run | None:
    """Start the program; return None when its Python does not start at all."""
    try:
        return Run(places.command(arguments, output), places.program, places.environment())
    except OSError:
        return None


def main() -> None:
    """Run the command that the editor asks for. The editor ignores exit codes: always 0."""
    editor = beside("editor").Editor()
    signal.signal(signal.SIGTERM, editor.leave)
    signal.signal(signal.SIGINT, editor.leave)
    places = Places.read(HERE / PLACES_FILE)
    if places is None:
        tell(editor, [NOT_SET_UP])
        return
    # The editor's working folder is ours, but it does not promise an absolute path.
    arguments = [one if one.startswith("--") else str(Path(one).resolve()) for one in sys.argv[1:]]
    try:
        run_program(places, arguments, editor)
    except Exception:  # a full disk, say: stderr leads nowhere now, so it is told here
        tell(editor, [UNEXPECTED_NO_FILE])


if __name__ == "__main__":
    main()
