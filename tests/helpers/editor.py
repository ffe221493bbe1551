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
from collections.abc import Callable, Iterator, Mapping, Sequence
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
MENU = "org.thriftlay."
"""What the actions of our commands begin with."""
ACTION = f"{MENU}lay-out"
"""The id as an action: there, not in its preferences, the editor writes hyphens."""
SECONDS = 150
"""Longest time for one call of the editor: a message to the person would wait for ever."""
PATIENCE = 150.0
"""Longest time, s, until something is seen on a screen: far more than a busy machine takes."""
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
        """Open a drawing, carry out actions, return the drawing as the editor saves it.

        A command of the menu needs the editor's window; all else is done without one, for a fifth
        of the time.
        """
        output = self.folder / "saved.svg"
        output.unlink(missing_ok=True)
        told = [*actions, *_saving(output)]
        has_window = any(action.startswith(MENU) for action in actions)
        self._carry_out(drawing, told, has_window, window)
        # The editor's exit code proves nothing, so the content has to.
        assert output.is_file(), f"the editor saved nothing: {' '.join(actions)}"
        return output.read_bytes()

    def run_each(self, drawings: Mapping[str, tuple[Path, Sequence[str]]]) -> dict[str, bytes]:
        """Open one drawing after the other in one editor, without a window; return all as saved.

        Each comes with its own actions; none of them may be a command of the menu.
        """
        outputs = {name: self.folder / f"saved {count}.svg" for count, name in enumerate(drawings)}
        told = [
            action
            for name, (drawing, actions) in drawings.items()
            for action in (f"file-open:{drawing}", *actions, *_saving(outputs[name]))
        ]
        first = next(iter(drawings.values()))[0]
        self._carry_out(first, told, has_window=False, window=False)
        return {name: output.read_bytes() for name, output in outputs.items()}

    def _carry_out(
        self, drawing: Path, actions: Sequence[str], has_window: bool, window: bool
    ) -> None:
        """Start the editor for some actions and wait for its end."""
        need("inkscape", "Xvfb")
        alone = ["--batch-process"] if has_window else []
        command = ["inkscape", *alone, f"--actions={';'.join(actions)}", str(drawing)]
        with virtual_screen() as screen, self.started(command, screen, window) as editor:
            try:
                editor.wait(timeout=SECONDS)
            except subprocess.TimeoutExpired:
                raise AssertionError("the editor waits: did the plugin say something?") from None

    def undo(self, drawing: Path, action: str, before: Sequence[str] = ()) -> Steps:
        """Open a drawing on a screen and carry out actions; then run a command, undo it, redo it.

        By keys, as a person does it: from 1.4 on the editor has no undo where it has no window.
        """
        file = self.folder / "on screen.svg"
        shutil.copy(drawing, file)
        self.bind(action)
        with virtual_screen() as screen, self.shown(file, screen, before) as window:
            taken = []
            for key in (KEY[1], "ctrl+z", "ctrl+shift+z"):
                xdotool(screen, "key", key)
                taken.append(saved(file, window, screen))
        return Steps(*taken)

    @contextmanager
    def shown(
        self, drawing: Path, screen: str, actions: Sequence[str] = (), *, window: bool = False
    ) -> Iterator[str]:
        """Open a drawing on a screen, carry out actions and save; yield its window, ready for keys.

        The editor takes none at first; that it has saved is the sign that it takes them.
        """
        need("inkscape", "Xvfb", "xdotool")
        told = f"--actions={';'.join([*TOUCH, *actions])}"
        with self.started(["inkscape", "--with-gui", told, str(drawing)], screen, window):
            editor = window_named(drawing.name, screen)
            saved(drawing, editor, screen)
            yield editor

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


def _saving(file: Path) -> tuple[str, str]:
    return f"export-filename:{file}", "export-do"


def window_named(name: str, screen: str) -> str:
    """Wait for a window and return its number."""
    need("xdotool")
    found: list[str] = []

    def is_there() -> bool:
        found[:] = xdotool(screen, "search", "--onlyvisible", "--name", name).split()
        return bool(found)

    assert until(is_there), f"no window “{name}” has opened"
    return found[-1]


def has_changes(window: str, screen: str) -> bool:
    """Return whether the editor shows a drawing that differs from its file: it stars the title."""
    return xdotool(screen, "getwindowname", window).strip().startswith("*")


def until(condition: Callable[[], bool], seconds: float = PATIENCE) -> bool:
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

    def is_saved() -> bool:
        xdotool(screen, "windowfocus", window, "key", "ctrl+s")
        # Pressed again only where it was not heard: a busy editor saves late.
        return until(lambda: not has_changes(window, screen), 5.0)

    assert until(is_saved), "the editor has not saved"
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
