# SPDX-License-Identifier: GPL-2.0-or-later
"""A command run in this process on a drawing, and what every run must keep to."""

from __future__ import annotations

import contextlib
import io
import re
import shutil
import time
import traceback
import warnings
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from unittest import mock

from extension.commands import command_line
from extension.commands.terminal import Terminal
from tests.fuzzing.judging import same_originals, strict_json

MOST_SECONDS = 20.0
"""Of processor time a run may take; the fuzzer's drawings are small."""
THE_DRAWING = "IN.svg"
"""A word that stands for the drawing itself, given once more."""
FILES = {
    "put-together": ("out.svg", "report.json"),
    "join-lines": ("out.svg", "report.json"),
    "read-markings": ("out.svg", "report.json"),
    "details": ("out.svg",),
    "lay-out": ("out.svg", "report.json"),
    "check": ("out.svg", "report.json"),
    "tighten": ("out.svg", "report.json"),
    "hold": ("out.svg",),
    "diagram": ("out.html", "full.svg"),
    "requirements": ("out.svg", "out.csv", "out.html", "out.txt"),
}
"""What each command is asked to write."""
OPTIONS = {
    "out.svg": "--output",
    "report.json": "--report",
    "full.svg": "--full-size",
    "out.csv": "--csv",
    "out.txt": "--text",
}
MAY_WRITE_WHEN_REFUSING = {"join-lines": {"report.json"}}
_NO_WORDS = re.compile(r"\b(?:nan|inf|None|Infinity)\b|0x7f")
"""What no sentence for a person has in it; a piece may well be called `banana`."""
_NAMES = re.compile(r"“[^”]*”")
_FIGURES = re.compile(r"-?\d+(?:\.\d+)?(?:e[+-]?\d+)?|“[^”]*”", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Fault:
    """What went wrong: the command, a name that faults of one cause share, and the whole of it."""

    command: str
    kind: str
    text: str
    is_crash: bool = False

    @property
    def name(self) -> str:
        """The name by which faults are taken for the same: a crash is one in every command."""
        return self.kind if self.is_crash else f"{self.command}: {self.kind}"


@dataclass(slots=True)
class Came:
    """What came of a run: exit code, files by name, and what was said."""

    command: str
    code: int
    files: dict[str, bytes] = field(default_factory=dict)
    out: str = ""
    err: str = ""
    faults: list[Fault] = field(default_factory=list)

    @property
    def drawing(self) -> bytes | None:
        """The drawing that was written."""
        return self.files.get("out.svg")

    @property
    def report(self) -> Any:
        """The report that was written, None without one."""
        text = self.files.get("report.json")
        return None if text is None else strict_json(text)


def run_command(command: str, data: bytes, words: Sequence[str], folder: Path) -> Came:
    """Run a command on a drawing in a folder of its own; nothing is judged but how it behaved."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    source = folder / "in.svg"
    source.write_bytes(data)
    line = [command, str(source)]
    for name in FILES[command]:
        option = "--html" if (name, command) == ("out.html", "requirements") else "--output"
        line += [OPTIONS.get(name, option), str(folder / name)]
    line[2:2] = [str(source) for word in words if word == THE_DRAWING]
    line += [word for word in words if word != THE_DRAWING]
    out, err = io.StringIO(), io.StringIO()
    started, used = time.perf_counter(), time.process_time()

    def clock() -> float:
        return time.perf_counter() - started

    came = Came(command, -1)
    told: list[str] = []
    crashes: list[BaseException] = []
    with _heard(told, out, err), _met(crashes):
        try:
            came.code = command_line.run(line, Terminal(out, err), clock)
        except (Exception, SystemExit) as error:
            crashes.append(error)
    used = time.process_time() - used
    came.out, came.err = out.getvalue(), err.getvalue()
    came.files = {
        path.name: path.read_bytes() for path in folder.iterdir() if path.name != "in.svg"
    }
    came.faults += [Fault(command, f"warning {_plain(text)}", text) for text in told]
    if used > MOST_SECONDS:
        came.faults.append(Fault(command, "slow", f"{used:.0f} s"))
    came.faults += [_crash(command, error) for error in crashes]
    if not crashes:
        came.faults += [Fault(command, _plain(text), text) for text in _behaved(came, data)]
    if source.read_bytes() != data:
        came.faults.append(Fault(command, "the drawing itself was written to", ""))
    return came


@contextlib.contextmanager
def _heard(told: list[str], out: io.StringIO, err: io.StringIO) -> Iterator[None]:
    """Hear what is said to the streams of the process, and every warning."""

    def show(message: Any, category: Any, filename: str, lineno: int, *rest: Any) -> None:
        told.append(f"{category.__name__}: {message} ({Path(filename).name})")

    quiet = contextlib.redirect_stdout(out), contextlib.redirect_stderr(err)
    with quiet[0], quiet[1], warnings.catch_warnings():
        warnings.showwarning = show
        yield


@contextlib.contextmanager
def _met(crashes: list[BaseException]) -> Iterator[None]:
    """Take down what the command line only tells in a sentence."""
    plain = command_line.sentence_of

    def sentence_of(error: Exception) -> str:
        crashes.append(error)
        return plain(error)

    with mock.patch.object(command_line, "sentence_of", sentence_of):
        yield


def _crash(command: str, error: BaseException) -> Fault:
    """Return an exception as a fault, named by the last line of ours that it came through."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [one for one in frames if "/extension/" in one.filename or "/nesting/" in one.filename]
    place = f"{Path(ours[-1].filename).stem}.{ours[-1].name}" if ours else "?"
    text = "".join(traceback.format_exception(error)[-12:])
    return Fault(command, f"{type(error).__name__} in {place}", text, is_crash=True)


def _plain(text: str) -> str:
    """Return a sentence without what differs from drawing to drawing."""
    return _FIGURES.sub("…", text)[:140]


def _is_name(word: str, data: bytes) -> bool:
    """Return whether a word stands in what things are called in a drawing."""
    named = rf'(?:name|label|called|id)="[^"]*\b{word}\b'
    return re.search(named.encode(), data) is not None


def _behaved(came: Came, data: bytes) -> Iterator[str]:
    """Yield what a run must not do whatever the drawing is."""
    allowed = {"check": (0, 1, 2), "lay-out": (0, 2, 3)}.get(came.command, (0, 2))
    promised = set(FILES[came.command])
    if came.code not in allowed:
        yield f"exit code {came.code}"
    if came.code == 2:
        lines = came.err.strip().splitlines()
        if len(lines) != 1:
            yield f"{len(lines)} lines of refusal"
        if "Traceback" in came.err or " object at 0x" in came.err:
            yield "a refusal for programmers"
        if lines and not lines[0].rstrip().endswith((".", "?", "!", " more)")):
            yield f"a refusal without a full stop: {lines[0][-40:]}"
        stray = set(came.files) - MAY_WRITE_WHEN_REFUSING.get(came.command, set())
        if stray:
            yield f"refused, and yet wrote {sorted(stray)}"
        return
    if came.err:
        yield f"says on the error stream: {came.err.strip()[:100]}"
    if not came.out.strip():
        yield "says nothing"
    said = _NAMES.sub("“…”", came.out)
    for word in dict.fromkeys(_NO_WORDS.findall(said)):
        if not _is_name(word, data):
            yield f"says {word}: {came.out.strip()[:100]}"
    if set(came.files) != promised:
        yield f"wrote {sorted(came.files)} instead of {sorted(promised)}"


def judged(came: Came, before: bytes, more: Callable[[], Iterator[str]] | None = None) -> Came:
    """Add to a run's faults what is wrong with the files that it wrote."""
    if came.drawing is None or came.code not in (0, 1, 3):
        return came
    texts: list[str] = []
    try:
        texts += same_originals(before, came.drawing)
        if "report.json" in came.files:
            strict_json(came.files["report.json"])
        if more is not None:
            texts += more()
    except Exception as error:
        at = traceback.extract_tb(error.__traceback__)[-1]
        texts.append(f"cannot be read back: {type(error).__name__} in {at.name}: {error}"[:200])
    came.faults += [Fault(came.command, _plain(text), text) for text in texts]
    return came
