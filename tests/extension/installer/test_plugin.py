# SPDX-License-Identifier: GPL-2.0-or-later
"""The plugin put into a profile, looked after and taken away; its packages are the tests' own."""

from __future__ import annotations

import json
import os
import shutil
import stat
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from extension.installer import plugin
from extension.installer.environment import PLUGIN, READY, key_of, python_of
from extension.installer.inx import default_arguments
from extension.installer.places import PROJECT, Editor
from extension.installer.report import SetupError
from tests.helpers.places import EXTENSION

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="the stand-in Python is a script")

SELF_CHECK = plugin.self_check


@dataclass
class Computer:
    """A person's folders, and what was said to her."""

    root: Path
    said: list[str] = field(default_factory=list)

    @property
    def data(self) -> Path:
        return self.root / "home/.local/share/thriftlay"

    @property
    def editor(self) -> Editor:
        return Editor(self.root / "home/.config/ink scape ä/extensions", "inkscape", "Inkscape 9.9")

    def install(self) -> None:
        plugin.install(self.editor, self.data, self.said.append)

    def check(self) -> bool:
        self.said.clear()
        return plugin.check(self.editor, self.data, self.said.append)

    def uninstall(self) -> None:
        plugin.uninstall(self.editor, self.data, self.said.append)

    def tree(self) -> set[str]:
        return {str(path.relative_to(self.root)) for path in self.root.rglob("*")}


def stand_in_environment(kind: object, data: Path, say: object) -> Path:
    """Make an environment whose Python is the one that runs the tests."""
    folder = data / "environments" / key_of(PLUGIN)
    python = python_of(folder)
    python.parent.mkdir(parents=True, exist_ok=True)
    python.write_text(f'#!/bin/sh\nexec "{sys.executable}" "$@"\n', encoding="utf-8")
    python.chmod(0o755)
    (folder / READY).touch()
    return python


@pytest.fixture
def computer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Computer:
    """Return a computer without the plugin, on which packages and self-checks cost nothing."""
    monkeypatch.setattr(plugin, "ensure", stand_in_environment)
    monkeypatch.setattr(plugin, "prepare", lambda *_: None)
    monkeypatch.setattr(plugin, "self_check", lambda _: "")
    (tmp_path / "home").mkdir()
    return Computer(tmp_path)


@pytest.mark.timeout(400)
def test_a_whole_life_with_the_real_program(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(plugin, "ensure", stand_in_environment)
    (tmp_path / "home").mkdir()
    computer = Computer(tmp_path)
    before = computer.tree()
    computer.install()
    assert any("Self-check" in line for line in computer.said)
    assert stat.S_IMODE((computer.data / "kernels").stat().st_mode) == 0o700
    assert_nothing_is_left_to_compile(computer)
    assert computer.check(), computer.said
    computer.uninstall()
    assert computer.tree() == before


def assert_nothing_is_left_to_compile(computer: Computer) -> None:
    """Lay out 38 parts as the editor does, and as the terminal does: the compiled code is there."""
    compiled = kernels_of(computer)
    assert len(compiled) > 80  # code and index of each loop
    folder, program = computer.editor.folder, computer.data / "program"
    sample = PROJECT / "sample_svgs/lined-jacket.svg"
    words = [*default_arguments(folder / "lay_out.inx"), "--seconds=5", "--garments=2"]
    done = plugin.launched(folder, [*words, str(sample)])
    # Of several materials the editor shows one list of what to buy, and nothing else.
    assert done.stderr.startswith(b"Done: 2 layouts lie to the right of your drawing")
    assert b"38 parts" in done.stdout
    done = subprocess.run(
        [sys.executable, "-m", "extension", "lay-out", str(sample), "--fabric-width", "140cm",
         "--garments", "2", "--material", "main", "--rounds", "2",
         "--output", str(computer.root / "out.svg")],
        cwd=program,
        env={**os.environ, "NUMBA_CACHE_DIR": str(computer.data / "kernels")},
        capture_output=True,
        check=True,
    )  # fmt: skip
    (computer.root / "out.svg").unlink()
    assert b", 2 rounds," in done.stdout
    assert b"First draft" not in done.stdout
    assert kernels_of(computer) == compiled


def kernels_of(computer: Computer) -> dict[str, int]:
    """Return the files of compiled code, with when they were written."""
    found = (computer.data / "kernels").rglob("*.nb*")
    return {str(file): file.stat().st_mtime_ns for file in found}


def test_compiled_code_that_nothing_uses_goes_after_a_month(tmp_path: Path) -> None:
    used, older = tmp_path / "loops-new", tmp_path / "loops-old"
    for folder, days in ((used, 29), (older, 31)):
        folder.mkdir()
        (folder / "loop.nbc").touch()
        then = time.time() - days * 24 * 3600
        os.utime(folder, (then, then))
    plugin.remove_unused(tmp_path)
    assert list(tmp_path.iterdir()) == [used]


def test_installing_twice_is_as_good_as_once(computer: Computer) -> None:
    computer.install()
    first = computer.tree()
    computer.install()
    assert computer.tree() - {"home/.local/share/thriftlay/problem.txt"} == first
    computer.uninstall()
    assert computer.tree() == {"home"}


def test_the_editor_gets_dialogs_launcher_window_and_directions_only(computer: Computer) -> None:
    computer.install()
    there = {path.name for path in computer.editor.folder.iterdir()}
    dialogs = {path.name for path in (EXTENSION / "dialogs").glob("*.inx")}
    assert there == {*dialogs, *plugin.BESIDE, "thriftlay.json"}
    places = json.loads((computer.editor.folder / "thriftlay.json").read_text(encoding="utf-8"))
    assert Path(places["program"]).is_relative_to(computer.data)


def test_files_of_an_older_version_go(computer: Computer) -> None:
    computer.install()
    (computer.editor.folder / "old.inx").touch()
    (computer.editor.folder / "__pycache__").mkdir()
    computer.install()
    assert not (computer.editor.folder / "old.inx").exists()
    assert not (computer.editor.folder / "__pycache__").exists()


def test_a_folder_of_our_name_that_is_not_ours_is_left_alone(computer: Computer) -> None:
    stranger = computer.editor.folder / "precious.txt"
    stranger.parent.mkdir(parents=True)
    stranger.touch()
    with pytest.raises(SetupError, match="was not made by Thriftlay"):
        computer.install()
    computer.uninstall()
    assert stranger.exists()


def test_other_extensions_stay(computer: Computer) -> None:
    computer.install()
    other = computer.editor.extensions / "other.inx"
    other.touch()
    computer.uninstall()
    assert other.exists()
    assert not computer.editor.folder.exists()


def test_taking_away_works_after_the_editor_has_gone(computer: Computer) -> None:
    computer.install()
    plugin.uninstall(None, computer.data, computer.said.append)
    assert computer.tree() == {"home"}


def test_taking_away_nothing_is_said(computer: Computer) -> None:
    computer.uninstall()
    assert computer.said == ["Nothing of Thriftlay was found here."]


@pytest.mark.parametrize(
    ("spoil", "expected"),
    [
        (lambda one: shutil.rmtree(one.editor.folder), "MISSING: launcher and dialogs"),
        (lambda one: shutil.rmtree(one.data / "environments"), "MISSING: packages"),
        (lambda one: (one.data / "program/nesting/solve.py").write_text(""), "MISSING: program"),
        (lambda one: (one.editor.folder / "launcher.py").write_text("1/0"), "MISSING: self-check"),
    ],
    ids=["folder", "packages", "program", "launcher"],
)
def test_a_check_names_what_is_missing(
    computer: Computer, spoil: object, expected: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if "self-check" in expected:
        monkeypatch.setattr(plugin, "self_check", SELF_CHECK)
    computer.install()
    assert computer.check(), computer.said
    spoil(computer)  # type: ignore[operator]
    assert not computer.check()
    assert any(expected in line for line in computer.said)
    assert computer.said[-1].endswith("python3 extension/install.py")


def test_a_plugin_that_does_not_run_is_told(
    computer: Computer, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(plugin, "self_check", lambda folder: "no layout came out")
    with pytest.raises(SetupError, match="does not run: no layout came out"):
        computer.install()


def test_an_engine_that_cannot_be_compiled_is_told(tmp_path: Path) -> None:
    broken = tmp_path / "python"
    broken.write_text("#!/bin/sh\necho first\necho the last word\nexit 1\n", encoding="utf-8")
    broken.chmod(0o755)
    with pytest.raises(SetupError, match="the last word was: the last word"):
        plugin.prepare(broken, tmp_path, tmp_path, lambda _: None)


def test_a_damaged_record_is_no_obstacle(computer: Computer) -> None:
    computer.install()
    (computer.data / "installed.json").write_text("{", encoding="utf-8")
    computer.uninstall()
    assert not computer.data.exists()
    assert not computer.editor.folder.exists()
