# SPDX-License-Identifier: GPL-2.0-or-later
"""The progress window: its words everywhere, its toolkits under a virtual screen."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from extension.host import window
from tests.helpers.places import HOST
from tests.helpers.screen import absent, virtual_screen

DRIVER = """
import json, sys
sys.path.insert(0, {folder!r})
import pictures, session, window
{only}
cloth = {{"name": "main", "length": 800.0, "first": 1000.0, "width": 400.0,
         "sections": [[0, 0, 800, 400, 1]],
         "parts": [{{"points": [0, 0, 200, 0, 200, 100], "flipped": 1}}]}}
picture = {{"cloths": [cloth, cloth]}}
best = {{"text": "Best so far: 1.84 m\\nä", "done": 0.4, "left": 5.0, "limit": 9.0,
        "picture": picture, "cancels": {cancels}}}
progress = [{{}}, best, best, best, {{"text": None, "picture": "garbage", "left": "x"}}]
progress += [{{**best, "picture": {{"cloths": [{{"name": 7}}]}}}}] * 2
seen, asked = [], []
session.CALM = 0.0
def step():
    seen.append(1)
    {during}
    return progress.pop(0) if progress else None
begun = session.Session(step, lambda: asked.append("stop"), lambda: asked.append("cancel"))
window.show(begun, ("At work", "Stop", "Cancel"), pictures.fitted, pictures.svg_of)
print(json.dumps([len(progress), asked]))
"""

ONLY_GTK = "window._show_tk = window._show_gtk"
ONLY_TK = "window._show_gtk = window._show_tk"

PRESS_GTK = """
    from gi.repository import Gtk
    def press(widget):
        if isinstance(widget, Gtk.Button) and widget.get_label() == "BUTTON": widget.clicked()
        if isinstance(widget, Gtk.Container): widget.forall(press)
    if len(seen) == 4: [press(one) for one in Gtk.Window.list_toplevels()]
"""
CLOSE_GTK = """
    from gi.repository import Gtk
    if len(seen) in (4, 5): [one.close() for one in Gtk.Window.list_toplevels()]
"""
KEY_GTK = """
    from gi.repository import Gdk, Gtk
    def press():
        for one in Gtk.Window.list_toplevels():
            event = Gdk.Event.new(Gdk.EventType.KEY_PRESS)
            event.window, event.keyval, event.send_event = one.get_window(), Gdk.KEY_NAME, True
            event.set_device(Gdk.Display.get_default().get_default_seat().get_keyboard())
            one.event(event)
    if len(seen) in WHEN: press()
"""
PRESS_TK = """
    import tkinter
    def press(widget):
        if widget.winfo_class() == "TButton" and widget["text"] == "BUTTON": widget.invoke()
        for child in widget.winfo_children(): press(child)
    if len(seen) == 4: press(tkinter._default_root)
"""
KEY_TK = """
    import tkinter
    has_keys = tkinter._default_root.focus_lastfor()
    if len(seen) in WHEN: has_keys.event_generate("<KeyPress-NAME>")
    if len(seen) in WHEN: has_keys.event_generate("<KeyRelease-NAME>")
"""


def key(script: str, name: str, *when: int) -> str:
    """Return a script that presses a key at some looks at the run."""
    return script.replace("NAME", name).replace("WHEN", str(when))


def editors_python(module: str) -> str:
    """Return the Python that the editor would take, when it has this toolkit."""
    python = shutil.which("python3", path="/usr/bin") or sys.executable
    if subprocess.run([python, "-c", module], capture_output=True, check=False).returncode != 0:
        absent(f"{python} cannot: {module}")
    return python


@pytest.fixture(scope="module")
def screen() -> Iterator[str]:
    with virtual_screen() as name:
        yield name


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with the window as the editor has it: no other module of ours."""
    for name in ("pictures.py", "session.py", "window.py"):
        shutil.copy(HOST / name, tmp_path)
    return tmp_path


def shown(
    python: str, screen: str, folder: Path, during: str, only: str, cancels: bool = False
) -> list[object]:
    """Run the window with scripted progress; return what is left of it, and what was asked."""
    code = DRIVER.format(
        folder=str(folder), during=during.strip() or "pass", only=only, cancels=cancels
    )
    done = subprocess.run(
        [python, "-c", code],
        env={"DISPLAY": screen, "PATH": "/usr/bin:/bin", "NO_AT_BRIDGE": "1"},
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr.decode()
    return list(json.loads(done.stdout))


NOBODY: Any = (None, ("", "", ""), None, None)


def toolkit(fault: type[Exception] | None, calls: list[str], name: str) -> Callable[..., None]:
    def show(*_: object) -> None:
        calls.append(name)
        if fault is not None:
            raise fault

    return show


@pytest.mark.parametrize(
    ("gtk", "tk", "expected"),
    [
        (None, None, ["gtk"]),
        (ImportError, None, ["gtk", "tk"]),
        (ValueError, None, ["gtk", "tk"]),
    ],
)
def test_gtk_comes_first_then_tk(
    monkeypatch: pytest.MonkeyPatch,
    gtk: type[Exception] | None,
    tk: type[Exception] | None,
    expected: list[str],
) -> None:
    calls: list[str] = []
    monkeypatch.setattr(window, "_show_gtk", toolkit(gtk, calls, "gtk"))
    monkeypatch.setattr(window, "_show_tk", toolkit(tk, calls, "tk"))
    window.show(*NOBODY)
    assert calls == expected


def test_without_a_toolkit_the_caller_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("_show_gtk", "_show_tk"):
        monkeypatch.setattr(window, name, toolkit(ImportError, [], name))
    with pytest.raises(ImportError):
        window.show(*NOBODY)


GTK = "import gi; gi.require_version('Gtk', '3.0'); from gi.repository import Gtk"


TK = "import tkinter"
TOOLKITS = {"gtk": (GTK, ONLY_GTK), "tk": (TK, ONLY_TK)}


def deeds(kit: str) -> dict[str, tuple[str, bool, list[str]]]:
    """Return what a person may do, whether there is nothing to keep, and what that asks for."""
    if kit == "gtk":
        pressing, keying = PRESS_GTK, KEY_GTK
        own = {"closing": (CLOSE_GTK, False, ["stop"])}
    else:
        pressing, keying = PRESS_TK, KEY_TK
        own = {"space bar, nothing to keep": (key(keying, "space", 4, 5), True, [])}
        own["space bar"] = (key(keying, "space", 4), False, ["stop"])
    escape_enter = key(keying, "Escape", 3) + key(keying, "Return", 4, 5)
    return {
        "watch": ("", False, []),
        "stop": (pressing.replace("BUTTON", "Stop"), False, ["stop"]),
        "cancel": (pressing.replace("BUTTON", "Cancel"), False, ["cancel"]),
        "escape, then enter": (escape_enter, False, ["stop"]),
        "enter, nothing to keep": (key(keying, "Return", 4, 5), True, []),
        "escape twice": (key(keying, "Escape", 4, 5), False, ["cancel"]),
        **own,
    }


@pytest.mark.editor
@pytest.mark.parametrize(("kit", "deed"), [(kit, deed) for kit in TOOLKITS for deed in deeds(kit)])
def test_the_window_stays_to_the_end_and_asks_for_what_was_done(
    kit: str, deed: str, folder: Path, screen: str
) -> None:
    module, only = TOOLKITS[kit]
    during, cancels, asked = deeds(kit)[deed]
    assert shown(editors_python(module), screen, folder, during, only, cancels) == [0, asked]


@pytest.mark.editor
@pytest.mark.parametrize("only", [ONLY_GTK, ONLY_TK], ids=["gtk", "tk"])
def test_without_a_screen_no_window_opens(only: str, folder: Path) -> None:
    python = editors_python("import tkinter")
    code = f"import sys; sys.path.insert(0, {str(folder)!r}); import window\n{only}\n"
    code += "try: window.show(0, (), 0, 0)\nexcept ImportError: print('no window')"
    done = subprocess.run(
        [python, "-c", code],
        env={"PATH": "/usr/bin:/bin"},
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert done.stdout == b"no window\n"
