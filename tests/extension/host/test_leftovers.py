# SPDX-License-Identifier: GPL-2.0-or-later
"""What a killed run left behind is taken away by the next one; nothing of anybody else's is."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from extension.host.launcher import FOLDER
from extension.host.leftovers import OLD, clear
from tests.helpers.launching import hosted


def folder(shelf: Path, name: str, age: float = 0.0) -> Path:
    made = shelf / name
    made.mkdir()
    (made / "result.svg").write_text("her drawing")
    then = time.time() - age
    os.utime(made, (then, then))
    return made


@pytest.fixture
def ended() -> int:
    """Return the number of a process that has ended."""
    process = subprocess.Popen([sys.executable, "-c", ""])
    process.wait()
    return process.pid


def test_only_folders_of_ours_of_runs_that_have_ended_are_taken_away(
    tmp_path: Path, ended: int
) -> None:
    gone = [
        folder(tmp_path, f"{FOLDER}{ended}-abc"),
        folder(tmp_path, f"{FOLDER}{os.getpid()}-old", 2.0 * OLD),
        folder(tmp_path, f"{FOLDER}abc_old", 2.0 * OLD),
    ]
    hers = folder(tmp_path, "hers", 9.0 * OLD)
    kept = [
        hers,
        folder(tmp_path, f"{FOLDER}{os.getpid()}-abc"),
        folder(tmp_path, f"{FOLDER}abcdefgh"),
        folder(tmp_path, f"my-{FOLDER}{ended}-abc", 9.0 * OLD),
        folder(tmp_path, f"{FOLDER}{'9' * 30}-abc"),
    ]
    (tmp_path / f"{FOLDER}{ended}-file").write_text("hers")
    (tmp_path / f"{FOLDER}{ended}-link").symlink_to(hers)
    clear(tmp_path, FOLDER)
    assert not any(one.exists() for one in gone)
    assert all((one / "result.svg").read_text() == "her drawing" for one in kept)
    assert (tmp_path / f"{FOLDER}{ended}-file").exists()
    assert (tmp_path / f"{FOLDER}{ended}-link").is_symlink()


@pytest.mark.skipif(os.name != "posix", reason="a process is ended without a word")
def test_a_copy_of_the_drawing_does_not_outlive_the_next_run(tmp_path: Path) -> None:
    shelf = tmp_path / "tmp"
    shelf.mkdir()
    host = hosted(tmp_path)
    launcher = subprocess.Popen(
        host.command("until_stop"),
        cwd=host.folder,
        env=host.environment({"TMPDIR": str(shelf)}),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    end = time.monotonic() + 60.0
    while not list(shelf.glob(f"{FOLDER}*")) and time.monotonic() < end:
        time.sleep(0.02)
    launcher.kill()
    launcher.communicate()
    assert len(list(shelf.glob(f"{FOLDER}{launcher.pid}-*"))) == 1
    host.run("echo", environ={"TMPDIR": str(shelf)})
    assert list(shelf.iterdir()) == []
