# SPDX-License-Identifier: GPL-2.0-or-later
"""The program's first file: a Python that was changed under its environment is told in words."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from extension.dialogs.main import set_up_for
from extension.installer.environment import python_of
from tests.helpers.places import EXTENSION


@pytest.fixture
def bare(tmp_path: Path) -> Path:
    """Return an environment without packages, as one is for a Python it was not made with."""
    folder = tmp_path / "environment"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(folder)], check=True)
    return folder


def run(environment: Path) -> subprocess.CompletedProcess[bytes]:
    python = [str(python_of(environment)), "-I", "-X", "utf8", str(EXTENSION / "dialogs/main.py")]
    words = ["--command=hold", f"--output={environment / 'out.svg'}", "in.svg"]
    return subprocess.run([*python, *words], input=b"", capture_output=True, check=False)


def test_a_python_changed_by_a_system_update_is_told_with_the_remedy(bare: Path) -> None:
    settings = bare / "pyvenv.cfg"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(re.sub(r"(?m)^version.*$", "version = 3.9.2", text), encoding="utf-8")
    done = run(bare)
    assert (done.returncode, done.stderr) == (2, b"")
    (line,) = map(json.loads, done.stdout.splitlines())
    assert line["kind"] == "message"
    assert "was changed from 3.9 to {}.{}".format(*sys.version_info) in line["text"]
    assert line["text"].endswith("run: python3 extension/install.py")


def test_a_package_that_is_missing_otherwise_is_a_fault(bare: Path) -> None:
    done = run(bare)
    assert done.returncode not in (0, 2)
    assert b"ModuleNotFoundError" in done.stderr
    assert done.stdout == b""


@pytest.mark.parametrize(
    ("text", "version"),
    [
        ("home = /usr/bin\nversion = 3.11.2\n", "3.11"),
        ("version_info = 3.13.5.final.0\nhome = x\n", "3.13"),
        ("home = /usr/bin\n", ""),
    ],
)
def test_an_environment_says_for_which_python_it_is(
    tmp_path: Path, text: str, version: str
) -> None:
    (tmp_path / "pyvenv.cfg").write_text(text, encoding="utf-8")
    assert set_up_for(tmp_path) == version
    assert set_up_for(tmp_path / "none") == ""


LEFT_RUNNING = """
import atexit, sys, threading, time
sys.path.insert(0, {project!r})
from nesting.streams import end
atexit.register(print, "registered")
threading.Thread(target=time.sleep, args=(300,)).start()
print("said")
end(3)
"""


def test_a_process_ends_though_a_thread_of_a_stopped_search_still_runs() -> None:
    done = subprocess.run(
        [sys.executable, "-c", LEFT_RUNNING.format(project=str(EXTENSION.parent))],
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert (done.returncode, done.stdout.split()) == (3, [b"said", b"registered"])
