# SPDX-License-Identifier: GPL-2.0-or-later
"""The progress window: its words everywhere, its toolkits under a virtual screen."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from extension.host import window
from tests.helpers.places import EXTENSION
from tests.helpers.screen import absent, virtual_screen

DRIVER = """
import json, sys
sys.path.insert(0, {folder!r})
import window
{only}
progress = [{{}}, {{"text": "Best so far: 1.84 m", "done": 0.4}}]
progress += [{{"text": "More", "done": None}}] * 3
seen, stops = [], []
def step():
    seen.append(1)
    {during}
    return progress.pop(0) if progress else None
def stop():
    stops.append(1)
window.show(step, stop)
print(json.dumps([len(progress), len(stops), len(seen)]))
"""

ONLY_GTK = "window._show_tk = window._show_gtk"
ONLY_TK = "window._show_gtk = window._show_tk"

PRESS_GTK = """
    from gi.repository import Gtk
    def press(widget):
        if isinstance(widget, Gtk.Button): widget.clicked()
        if isinstance(widget, Gtk.Container): widget.forall(press)
    if len(seen) == 3: [press(one) for one in Gtk.Window.list_toplevels()]
"""
CLOSE_GTK = """
    from gi.repository import Gtk
    if len(seen) in (3, 4): [one.close() for one in Gtk.Window.list_toplevels()]
"""
PRESS_TK = """
    import tkinter
    def press(widget):
        if widget.winfo_class() == "TButton": widget.invoke()
        for child in widget.winfo_children(): press(child)
    if len(seen) == 3: press(tkinter._default_root)
"""
KEY_TK = """
    import tkinter
    has_keys = tkinter._default_root.focus_lastfor()
    if len(seen) == 3: has_keys.event_generate("<KeyPress-space>")
    if len(seen) == 4: has_keys.event_generate("<KeyRelease-space>")
"""


def editors_python(module: str) -> str:
    """Return the Python that the editor would take, when it has this toolkit."""
    python = shutil.which("python3", path="/usr/bin") or sys.executable
    if subprocess.run([python, "-c", module], capture_output=True, check=False).returncode != 0:
        absent(f"{python} cannot: {module}")
    return python


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with the window alone, as the editor has it: no other module of ours."""
    shutil.copy(EXTENSION / "host/window.py", tmp_path)
    return tmp_path


def shown(python: str, screen: str, folder: Path, during: str, only: str = "") -> list[int]:
    """Run the window with scripted progress; return what is left of it, stops and looks."""
    code = DRIVER.format(folder=str(folder), during=during.strip() or "pass", only=only)
    done = subprocess.run(
        [python, "-c", code],
        env={"DISPLAY": screen, "PATH": "/usr/bin:/bin", "NO_AT_BRIDGE": "1"},
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr.decode()
    return list(json.loads(done.stdout))


@pytest.mark.parametrize(
    ("progress", "stopping", "expected"),
    [
        ({}, False, (window.FIRST, None)),
        ({"text": "a", "done": 0.5}, False, ("a", 0.5)),
        ({"text": "a", "done": 7}, False, ("a", 1.0)),
        ({"text": "a", "done": -1}, False, ("a", 0.0)),
        ({"text": "a", "done": "half"}, False, ("a", None)),
        ({"text": "a", "done": 0.5}, True, (window.STOPPING, 0.5)),
        ({"text": "a", "cancels": True}, True, (window.CANCELLING, None)),
    ],
)
def test_words_of_the_window(
    progress: dict[str, object], stopping: bool, expected: tuple[str, float | None]
) -> None:
    assert window.words(progress, stopping) == expected


@pytest.mark.parametrize(
    ("progress", "expected"),
    [
        ({}, window.UNKNOWN),
        ({"text": "a"}, window.STOP),
        ({"cancels": False}, window.STOP),
        ({"cancels": True}, window.CANCEL),
    ],
)
def test_the_button_says_what_a_stop_leaves(progress: dict[str, object], expected: str) -> None:
    assert window.button_words(progress) == expected


def toolkit(fault: type[Exception] | None, calls: list[str], name: str) -> Callable[..., None]:
    def show(step: object, stop: object) -> None:
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
    window.show(dict, lambda: None)
    assert calls == expected


def test_without_a_toolkit_the_caller_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("_show_gtk", "_show_tk"):
        monkeypatch.setattr(window, name, toolkit(ImportError, [], name))
    with pytest.raises(ImportError):
        window.show(dict, lambda: None)


GTK = "import gi; gi.require_version('Gtk', '3.0'); from gi.repository import Gtk"


@pytest.mark.editor
def test_gtk_shows_until_the_run_has_ended(folder: Path) -> None:
    python = editors_python(GTK)
    with virtual_screen() as screen:
        assert shown(python, screen, folder, "", ONLY_GTK) == [0, 0, 6]


@pytest.mark.editor
@pytest.mark.parametrize("during", [PRESS_GTK, CLOSE_GTK], ids=["button", "closing"])
def test_gtk_asks_to_stop_once_and_stays_until_the_end(during: str, folder: Path) -> None:
    python = editors_python(GTK)
    with virtual_screen() as screen:
        assert shown(python, screen, folder, during, ONLY_GTK) == [0, 1, 6]


@pytest.mark.editor
@pytest.mark.parametrize(
    ("during", "stops"),
    [("", 0), (PRESS_TK, 1), (KEY_TK, 1)],
    ids=["watch", "button", "space bar"],
)
def test_tk_does_the_same(during: str, stops: int, folder: Path) -> None:
    python = editors_python("import tkinter")
    with virtual_screen() as screen:
        assert shown(python, screen, folder, during, ONLY_TK) == [0, stops, 6]


@pytest.mark.editor
@pytest.mark.parametrize("only", [ONLY_GTK, ONLY_TK], ids=["gtk", "tk"])
def test_without_a_screen_no_window_opens(only: str, folder: Path) -> None:
    python = editors_python("import tkinter")
    code = f"import sys; sys.path.insert(0, {str(folder)!r}); import window\n{only}\n"
    code += "try: window.show(dict, print)\nexcept ImportError: print('no window')"
    done = subprocess.run(
        [python, "-c", code],
        env={"PATH": "/usr/bin:/bin"},
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert done.stdout == b"no window\n"
