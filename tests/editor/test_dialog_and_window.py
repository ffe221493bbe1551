# SPDX-License-Identifier: GPL-2.0-or-later
"""The dialog as the editor builds it, and our own window over the waiting editor."""

from __future__ import annotations

import shutil
import subprocess
import time
from pathlib import Path

import pytest

from tests.helpers.editor import (
    ACTION,
    KEY,
    Profile,
    has_changes,
    saved,
    until,
    window_named,
    xdotool,
)
from tests.helpers.laid import read_layouts
from tests.helpers.screen import need, virtual_screen

pytestmark = [pytest.mark.editor, pytest.mark.timeout(400)]

DIALOG = "Lay Out on Fabric"
OURS = "^Thriftlay$"
SMALL = (1024, 600)
"""A small laptop's screen, px: the dialog must fit with room for its title bar."""


def size_of(window: str, screen: str) -> tuple[int, int]:
    """Return width and height of a window, 0 for one that is gone."""
    lines = xdotool(screen, "getwindowgeometry", "--shell", window).split()
    told = dict(line.split("=") for line in lines if "=" in line)
    return int(told.get("WIDTH", 0)), int(told.get("HEIGHT", 0))


DIALOGS = {
    "put-together": "Put Pages Together",
    "join-lines": "Join Broken Lines",
    "read-markings": "Read Pattern Markings",
    "details": "Set Cutting Details",
    "lay-out": DIALOG,
    "tighten": "Tighten Layout",
    "diagram": "Cutting Diagram",
    "requirements": "Fabric Requirements",
}
"""The commands that ask something, and what their dialogs are called."""


def picture(screen: str, file: Path) -> None:
    """Leave a screenshot beside the test's files for a person to look at, where it can be made."""
    if shutil.which("import"):
        subprocess.run(["import", "-display", screen, "-window", "root", str(file)], check=False)


def close_note(screen: str, file: Path) -> None:
    """Close the window that says what is done, when it has come; leave a picture of it."""
    time.sleep(1.0)  # that of the run may still be going
    note = window_named(OURS, screen)
    picture(screen, file)
    xdotool(screen, "windowfocus", note, "key", "Return")
    assert until(lambda: not xdotool(screen, "search", "--onlyvisible", "--name", OURS).strip())


def test_every_dialog_fits_a_small_screen(tmp_path: Path, samples: Path) -> None:
    need("inkscape", "xdotool")
    profile = Profile(tmp_path / "profile")
    profile.install()
    keys = {name: f"F{number}" for number, name in enumerate(DIALOGS, start=1)}
    binds = "".join(
        f'<bind gaction="app.org.thriftlay.{name}" keys="&lt;primary&gt;&lt;shift&gt;{key}"/>'
        for name, key in keys.items()
    )
    folder = profile.folder / "keys"
    folder.mkdir()
    text = f'<?xml version="1.0"?><keys name="Test">{binds}</keys>'
    (folder / "default.xml").write_text(text, encoding="utf-8")
    drawing = samples / "first-apron.svg"
    with (
        virtual_screen(f"{SMALL[0]}x{SMALL[1]}") as screen,
        profile.started(["inkscape", str(drawing)], screen),
    ):
        editor = window_named(drawing.name, screen)
        for name, key in keys.items():
            assert _opened(DIALOGS[name], key, editor, screen), name
            dialog = window_named(DIALOGS[name], screen)
            width, height = size_of(dialog, screen)
            assert 0 < width <= 640, (name, width)
            # Room for a title bar and a panel of the desktop.
            assert 0 < height <= SMALL[1] - 60, (name, height)
            xdotool(screen, "windowfocus", "--sync", dialog)
            xdotool(screen, "key", "Escape")
            assert until(lambda title=DIALOGS[name]: not _is_open(title, screen)), name


def _opened(title: str, key: str, editor: str, screen: str) -> bool:
    """Press the key of a dialog until it is there: the first may come before keys are heard."""
    for _ in range(8):
        xdotool(screen, "windowfocus", "--sync", editor)
        xdotool(screen, "key", f"ctrl+shift+{key}")
        if until(lambda: _is_open(title, screen), 10.0):
            return True
    return False


def _is_open(title: str, screen: str) -> bool:
    """Return whether a window of a title is seen."""
    return bool(xdotool(screen, "search", "--onlyvisible", "--name", title).strip())


def test_dialog_window_stop_and_undo_as_a_person_meets_them(tmp_path: Path, samples: Path) -> None:
    need("inkscape", "xdotool")
    profile = Profile(tmp_path / "profile")
    profile.install()
    profile.prefer(seconds=120, material="main")
    profile.bind()
    drawing = tmp_path / "lined-jacket.svg"
    shutil.copy(samples / drawing.name, drawing)

    with (
        virtual_screen(f"{SMALL[0]}x{SMALL[1]}") as screen,
        profile.shown(drawing, screen, window=True) as editor,
    ):
        xdotool(screen, "key", KEY[1])
        dialog = window_named(DIALOG, screen)
        width, height = size_of(dialog, screen)
        assert width <= 640
        assert height <= SMALL[1] - 100
        picture(screen, tmp_path / "dialog.png")

        xdotool(screen, "windowfocus", "--sync", dialog)
        xdotool(screen, "key", "alt+a")
        ours = window_named(OURS, screen)
        time.sleep(3)
        picture(screen, tmp_path / "window.png")
        xdotool(screen, "windowfocus", "--sync", ours)
        xdotool(screen, "key", "space")
        assert until(lambda: has_changes(editor, screen))
        close_note(screen, tmp_path / "done.png")

        xdotool(screen, "windowfocus", "--sync", editor)
        xdotool(screen, "key", "ctrl+z")
        assert until(lambda: not has_changes(editor, screen))
        xdotool(screen, "key", "ctrl+shift+z")
        assert len(read_layouts(saved(drawing, editor, screen))) == 1


def test_all_materials_are_laid_and_the_list_to_buy_is_shown(tmp_path: Path, samples: Path) -> None:
    """The list comes in a window of ours, and the editor has the layouts before it is closed."""
    need("inkscape", "xdotool")
    profile = Profile(tmp_path / "profile")
    profile.install()
    prices, widths = "main = 12.50, lining = 6", "main = 140 cm, lining = 150 cm"
    profile.prefer(seconds=3, fabric_width=widths, price=prices)
    profile.bind(f"{ACTION}.noprefs")
    drawing = tmp_path / "lined-jacket.svg"
    shutil.copy(samples / drawing.name, drawing)

    with (
        virtual_screen(f"{SMALL[0]}x{SMALL[1]}") as screen,
        profile.shown(drawing, screen, window=True) as editor,
    ):
        xdotool(screen, "key", KEY[1])
        window_named(OURS, screen)
        assert until(lambda: has_changes(editor, screen))
        close_note(screen, tmp_path / "told.png")
        saved(drawing, editor, screen)
    main, lining = read_layouts(drawing.read_bytes())
    assert (sum(main.counts.values()), sum(lining.counts.values())) == (19, 9)
