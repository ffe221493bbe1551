# SPDX-License-Identifier: GPL-2.0-or-later
"""The window for what is to be said: open beside the editor, closed by a key or by itself."""

from __future__ import annotations

import importlib.util
import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest

from extension.host import notes
from tests.helpers.editor import until, xdotool
from tests.helpers.places import HOST
from tests.helpers.screen import need, virtual_screen

LONG = "Look at the sleeve.\n" * 80
KITS = ["gtk", "tk"]


@pytest.fixture(scope="module")
def screen() -> Iterator[str]:
    need("xdotool")
    with virtual_screen("800x600") as name:
        yield name


def copied(folder: Path, kit: str, **values: float) -> ModuleType:
    """Return the module as it is run beside the launcher, with one toolkit alone."""
    text = (HOST / "notes.py").read_text(encoding="utf-8")
    text = text.replace("(_show_gtk, _show_tk)", f"(_show_{kit},)")
    for name, value in values.items():
        text = text.replace(f"\n{name} = ", f"\n{name} = {value}  # ")
    file = folder / "notes.py"
    file.write_text(text, encoding="utf-8")
    spec = importlib.util.spec_from_file_location("notes_beside", file)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def windows(screen: str) -> list[str]:
    return xdotool(screen, "search", "--onlyvisible", "--name", "^Thriftlay$").split()


@pytest.fixture
def telling(tmp_path: Path, screen: str, monkeypatch: pytest.MonkeyPatch) -> Callable[..., bool]:
    monkeypatch.setenv("DISPLAY", screen)
    monkeypatch.setattr(sys, "executable", shutil.which("python3", path="/usr/bin"))

    def tell(kit: str, messages: list[str], done: str, **values: float) -> bool:
        return bool(copied(tmp_path, kit, **values).tell(messages, done))

    return tell


@pytest.mark.editor
@pytest.mark.parametrize("kit", KITS)
@pytest.mark.parametrize("sign", ["Return", "Escape", "space"])
def test_a_message_stays_until_it_is_closed_by_a_key(
    kit: str, sign: str, telling: Callable[..., bool], screen: str
) -> None:
    assert telling(kit, ["Pièce “Ärmel” <b>&", LONG], "Done: it is there", SECONDS=0.1)
    time.sleep(0.5)
    (window,) = windows(screen)
    xdotool(screen, "windowfocus", "--sync", window)
    xdotool(screen, "key", sign)
    assert until(lambda: not windows(screen), 10.0)


@pytest.mark.editor
@pytest.mark.parametrize("kit", KITS)
def test_what_only_says_that_all_is_done_closes_by_itself(
    kit: str, telling: Callable[..., bool], screen: str
) -> None:
    assert telling(kit, [], "Done: it is there", SECONDS=0.5)
    assert until(lambda: not windows(screen), 10.0)


@pytest.mark.parametrize("kit", KITS)
def test_without_a_screen_the_caller_is_told(
    kit: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    assert copied(tmp_path, kit).tell(["a"], "b") is False


@pytest.mark.parametrize("python", ["", "/nonexistent/python", "/bin/true"])
def test_without_a_python_the_caller_is_told(
    python: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "executable", python)
    assert copied(tmp_path, "tk").tell(["a" * 200_000], "b") is False


def test_a_window_that_does_not_open_is_ended(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    module = copied(tmp_path, "tk", PATIENCE=0.3)
    pid = tmp_path / "pid"
    stuck = f"import os, time\nopen({str(pid)!r}, 'w').write(str(os.getpid()))\ntime.sleep(60)\n"
    (tmp_path / "notes.py").write_text(stuck, encoding="utf-8")
    assert module.tell(["a"], "") is False
    if pid.exists():
        assert until(lambda: not Path(f"/proc/{pid.read_text()}").exists() or _is_ended(pid), 10.0)


def _is_ended(pid: Path) -> bool:
    state = Path(f"/proc/{pid.read_text()}/stat").read_text(encoding="ascii", errors="replace")
    return state.rpartition(")")[2].split()[0] in ("Z", "X")


def test_gtk_comes_first_then_tk(monkeypatch: pytest.MonkeyPatch) -> None:
    calls: list[str] = []

    def gtk(*_: object) -> None:
        calls.append("gtk")
        raise ValueError("Namespace Gtk not available")

    monkeypatch.setattr(notes, "_show_gtk", gtk)
    monkeypatch.setattr(notes, "_show_tk", lambda *told: calls.append(json.dumps(told[:2])))
    notes.show(["a", "b"], "c", lambda: None)
    assert calls == ["gtk", '["a\\n\\nb", "c"]']


def test_as_a_program_it_ends_without_a_screen(tmp_path: Path) -> None:
    told = json.dumps({"messages": ["a"], "done": ""}).encode()
    done = subprocess.run(
        [sys.executable, str(HOST / "notes.py")],
        input=told,
        env={"PATH": os.environ["PATH"]},
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert done.returncode != 0
    assert done.stdout == b""
