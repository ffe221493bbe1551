# SPDX-License-Identifier: GPL-2.0-or-later
"""The real editor under a virtual screen, with a throw-away profile that holds the plugin."""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from xml.sax.saxutils import quoteattr

from extension.host.launcher import PLACES_FILE
from extension.installer.plugin import BESIDE
from tests.helpers.places import PROJECT
from tests.helpers.screen import need, virtual_screen

LAY_OUT = "org.thriftlay.lay_out"
ACTION = "org.thriftlay.lay-out"
"""The id as an action: there, not in its preferences, the editor writes hyphens."""
SECONDS = 150
"""Longest time for one call of the editor: a message to the person would wait for ever."""
KEY = ("&lt;primary&gt;&lt;shift&gt;F8", "ctrl+shift+F8")
"""A key that the editor has no use for, as it is bound and as it is pressed."""
TOUCH = ("select-all", "object-set-attribute:data-touched,yes", "select-clear")
"""A change that does nothing. A drawing that is saved and then undone to its very beginning counts
as unchanged in the editor, so that what is undone could not be saved."""


@cache
def editor_version() -> tuple[int, int]:
    """Return which editor this is: (1, 2), (1, 4)."""
    need("inkscape")
    answer = subprocess.run(["inkscape", "--version"], capture_output=True, check=True).stdout
    found = re.search(rb"Inkscape (\d+)\.(\d+)", answer)
    assert found is not None, answer
    return int(found[1]), int(found[2])


@dataclass(frozen=True)
class Steps:
    """A drawing as the editor saves it after a command, after one undo, and after a redo."""

    done: bytes
    undone: bytes
    redone: bytes


@dataclass(frozen=True)
class Profile:
    """A profile of the editor's, and a folder for its files."""

    folder: Path
    program: Path = PROJECT

    def install(self) -> None:
        """Put launcher, window and dialogs where the installer puts them."""
        beside = self.folder / "extensions/thriftlay"
        beside.mkdir(parents=True)
        source = self.program / "extension"
        files = [source / "host" / name for name in BESIDE]
        for file in (*files, *(source / "dialogs").glob("*.inx")):
            shutil.copy(file, beside)
        kernels = os.environ.get("NUMBA_CACHE_DIR", str(self.folder / "kernels"))
        places = {"python": sys.executable, "program": str(self.program), "kernels": kernels}
        (beside / PLACES_FILE).write_text(json.dumps(places), encoding="utf-8")

    def prefer(self, command: str = LAY_OUT, /, **values: object) -> None:
        """Set what the dialog of a command was last left at; ticks are 0 or 1."""
        told = " ".join(
            f"{command}.{name}={quoteattr(str(value))}" for name, value in values.items()
        )
        text = f'<inkscape version="1"><group id="extensions" {told}/></inkscape>'
        (self.folder / "preferences.xml").write_text(text, encoding="utf-8")

    def bind(self, action: str = ACTION) -> None:
        """Let the key run an action: without another word, it opens the main command's dialog."""
        keys = self.folder / "keys"
        keys.mkdir(exist_ok=True)
        bind = f'<bind gaction="app.{action}" keys="{KEY[0]}"/>'
        text = f'<?xml version="1.0"?><keys name="Test">{bind}</keys>'
        (keys / "default.xml").write_text(text, encoding="utf-8")

    def environment(self, screen: str, window: bool) -> dict[str, str]:
        """Return the environment for the editor."""
        mine = {"DISPLAY": screen, "INKSCAPE_PROFILE_DIR": str(self.folder)}
        return {**os.environ, **mine, "THRIFTLAY_WINDOW": "" if window else "none"}

    def run(self, drawing: Path, actions: Sequence[str], *, window: bool = False) -> bytes:
        """Open a drawing, carry out actions, return the drawing as the editor saves it."""
        need("inkscape", "Xvfb")
        output = self.folder / "saved.svg"
        output.unlink(missing_ok=True)
        told = ";".join([*actions, f"export-filename:{output}", "export-do"])
        command = ["inkscape", "--batch-process", f"--actions={told}", str(drawing)]
        with virtual_screen() as screen, self.started(command, screen, window) as editor:
            try:
                editor.wait(timeout=SECONDS)
            except subprocess.TimeoutExpired:
                raise AssertionError("the editor waits: did the plugin say something?") from None
        # The editor's exit code proves nothing, so the content has to.
        assert output.is_file(), f"the editor saved nothing: {' '.join(actions)}"
        return output.read_bytes()

    def undo(self, drawing: Path, action: str, before: Sequence[str] = ()) -> Steps:
        """Open a drawing on a screen and carry out actions; then run a command, undo it, redo it.

        By keys, as a person does it: from 1.4 on the editor has no undo where it has no window.
        """
        need("inkscape", "Xvfb", "xdotool")
        file = self.folder / "on screen.svg"
        shutil.copy(drawing, file)
        self.bind(action)
        told = f"--actions={';'.join([*TOUCH, *before])}"
        command = ["inkscape", "--with-gui", told, str(file)]
        with virtual_screen() as screen, self.started(command, screen, window=False):
            window = window_named(file.name, screen)
            xdotool(screen, "windowfocus", "--sync", window)
            time.sleep(3.0)  # it takes no keys at first, and nothing tells when it does
            saved(file, window, screen)
            taken = []
            for key in (KEY[1], "ctrl+z", "ctrl+shift+z"):
                xdotool(screen, "key", key)
                taken.append(saved(file, window, screen))
        return Steps(*taken)

    @contextmanager
    def started(
        self, command: Sequence[str], screen: str, window: bool = True
    ) -> Iterator[subprocess.Popen[bytes]]:
        """Start the editor; end it, and all that it started, on the way out."""
        editor = subprocess.Popen(
            command,
            env=self.environment(screen, window),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        try:
            yield editor
        finally:
            if editor.poll() is None:
                os.killpg(editor.pid, signal.SIGKILL)
            editor.wait(timeout=20)


def window_named(name: str, screen: str, seconds: float = 60.0) -> str:
    """Wait for a window and return its number."""
    need("xdotool")
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = xdotool(screen, "search", "--onlyvisible", "--name", name).split()
        if found:
            return found[-1]
        time.sleep(0.2)
    raise AssertionError(f"no window “{name}” has opened")


def has_changes(window: str, screen: str) -> bool:
    """Return whether the editor shows a drawing that differs from its file: it stars the title."""
    return xdotool(screen, "getwindowname", window).strip().startswith("*")


def until(condition: Callable[[], bool], seconds: float = 90.0) -> bool:
    """Wait until something is so; return whether it is in time."""
    end = time.monotonic() + seconds
    while not condition():
        if time.monotonic() > end:
            return False
        time.sleep(0.2)
    return True


def saved(file: Path, window: str, screen: str) -> bytes:
    """Wait until the drawing on the screen has changed, save it there, return the file."""
    assert until(lambda: has_changes(window, screen)), "nothing has changed in the editor"
    xdotool(screen, "key", "ctrl+s")
    assert until(lambda: not has_changes(window, screen)), "the editor has not saved"
    return file.read_bytes()


def xdotool(screen: str, *words: str) -> str:
    """Do something with keyboard, mouse or windows; return what was answered."""
    done = subprocess.run(
        ["xdotool", *words],
        env={**os.environ, "DISPLAY": screen},
        capture_output=True,
        timeout=30,
        check=False,
    )
    return done.stdout.decode()
