# SPDX-License-Identifier: GPL-2.0-or-later
"""A launcher in a folder of its own with a tiny program behind it, run as the editor runs it."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from extension.host.launcher import PLACES_FILE
from extension.installer.plugin import BESIDE
from tests.helpers.places import HOST

PROGRAM = """
import json, os, pathlib, subprocess, sys, time

options = dict(one[2:].split("=", 1) for one in sys.argv[1:] if one.startswith("--"))
files = [one for one in sys.argv[1:] if not one.startswith("--")]
output = pathlib.Path(options["output"])
notes = pathlib.Path(options.get("notes", os.devnull))

def tell(**line):
    print(json.dumps(line), flush=True)

def wait_for_stop():
    return sys.stdin.readline().strip()

def echo():
    output.write_bytes(pathlib.Path(files[0]).read_bytes())

def noisy():
    print("a library says hello")
    print("<not json>", file=sys.stderr)
    echo()

def slow():
    time.sleep(1.5)  # past the time after which a window opens
    echo()

def facts():
    output.write_text(json.dumps({
        "argv": sys.argv[1:], "environ": dict(os.environ), "cwd": os.getcwd(), "path": sys.path,
        "utf8": sys.flags.utf8_mode, "isolated": sys.flags.isolated,
    }))

def message():
    tell(kind="message", text="Piece “Ärmel” is open: close it.")

def both():
    echo()
    message()

def crash():
    raise RuntimeError("deep inside")

def vanish():
    os._exit(7)

def done():
    echo()
    tell(kind="done", text="Done: it is there")

def done_and_more():
    tell(kind="message", text="Buy 1 m.")
    done()

def done_and_hint():
    tell(kind="hint", text="It is a first draft.")
    done()

def garbage():
    tell(kind="progress", text="At work")
    lines = [b"null", b"[1, 2]", b"7", b'{"kind": {}}', b'{"kind": "message"', b"[" * 100000]
    lines += [bytes([255, 254]), b'{"kind": "picture", "cloths": 7}', b'{"kind": "picture"}']
    lines += [b'{"kind": "progress", "text": ["x"], "left": 1e999, "done": NaN, "limit": "y"}']
    lines += [json.dumps({"kind": "progress", "text": chr(0xD800) + chr(0) + "half"}).encode()]
    for line in lines:
        sys.stdout.buffer.write(line + bytes([10]))
    sys.stdout.flush()
    time.sleep(2.0)
    echo()

def until_stop():
    worker = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(300)"])
    notes.write_text(json.dumps([os.getpid(), worker.pid]))
    tell(kind="progress", text="Best so far: 1.84 m", done=0.25)
    said = wait_for_stop()
    output.write_text("stopped by " + repr(said))

def deaf():
    notes.write_text(json.dumps([os.getpid()]))
    time.sleep(300)

globals()[options["command"]]()
"""


WINDOW = """
import json, pathlib, time
def show(session, *_):
    for deed in {deeds}:
        if deed == "look":
            time.sleep(0.5)
        seen = session.look()
        getattr(session, deed)()
    file = pathlib.Path(__file__).with_name("looked")
    file.write_text(json.dumps(session._progress))
"""


@dataclass(frozen=True)
class Hosted:
    """A launcher with a program behind it."""

    folder: Path
    program: Path
    drawing: Path

    def window(self, *deeds: str) -> None:
        """Put a window there that does some things one after the other, and leaves what it saw."""
        text = WINDOW.format(deeds=deeds)
        (self.folder / "window.py").write_text(text, encoding="utf-8")

    def command(self, command: str, *arguments: str) -> list[str]:
        """Return the command line that the editor would use."""
        # -E: the editor's own Python copes with its variables; they are meant for it.
        start = [sys.executable, "-E", "launcher.py", f"--command={command}"]
        return [*start, *arguments, str(self.drawing)]

    def environment(self, more: Mapping[str, str] = {}) -> dict[str, str]:
        """Return the environment that the editor would give, without a window."""
        return {**os.environ, "THRIFTLAY_WINDOW": "none", **more}

    def run(
        self, command: str, *arguments: str, environ: Mapping[str, str] = {}
    ) -> subprocess.CompletedProcess[bytes]:
        """Run a command to its end."""
        return subprocess.run(
            self.command(command, *arguments),
            cwd=self.folder,
            env=self.environment(environ),
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=60,
            check=False,
        )

    def start(self, command: str, *arguments: str) -> subprocess.Popen[bytes]:
        """Start a command whose stdout and stderr are pipes."""
        return subprocess.Popen(
            self.command(command, *arguments),
            cwd=self.folder,
            env=self.environment(),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )


def hosted(folder: Path, program: Path | None = None) -> Hosted:
    """Put the launcher into a folder, before the tiny program or the one that is given."""
    beside = folder / "extensions/thriftlay"
    beside.mkdir(parents=True)
    if program is None:
        program = folder / "own files/ünicode/program"
        (program / "extension/dialogs").mkdir(parents=True)
        (program / "extension/dialogs/main.py").write_text(PROGRAM, encoding="utf-8")
    for name in BESIDE:
        shutil.copy(HOST / name, beside / name)
    places = {"python": sys.executable, "program": str(program), "kernels": str(folder / "cache")}
    (beside / PLACES_FILE).write_text(json.dumps(places), encoding="utf-8")
    drawing = folder / "ink ext_Ä7.svgXZMDZ3"
    drawing.write_text("<svg>ü</svg>", encoding="utf-8")
    return Hosted(beside, program, drawing)


def descendants(process: int) -> list[int]:
    """Return every process that a process has started, and that those have (Linux)."""
    parents: dict[int, list[int]] = {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = stat.read_text(encoding="ascii", errors="replace").rpartition(")")[2].split()
        except OSError:
            continue  # it ended meanwhile
        parents.setdefault(int(fields[1]), []).append(int(stat.parent.name))
    found = list(parents.get(process, []))
    for one in found:  # grows while we look
        found += parents.get(one, [])
    return found


def alive(process: int) -> bool:
    """Return whether a process runs (one that has ended and was not yet collected does not)."""
    try:
        state = Path(f"/proc/{process}/stat").read_text(encoding="ascii", errors="replace")
    except OSError:
        return False
    return state.rpartition(")")[2].split()[0] not in ("Z", "X")
