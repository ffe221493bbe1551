# SPDX-License-Identifier: GPL-2.0-or-later
"""The one entry for set-up, as a bare Python meets it."""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from extension.install import fitting_python
from tests.helpers.places import EXTENSION

INSTALL = EXTENSION / "install.py"


def run(
    install: Path, *arguments: str, cwd: Path, flags: tuple[str, ...] = ("-I", "-S")
) -> subprocess.CompletedProcess[str]:
    """Run the installer with the standard library alone (-S), in a home of the test's own."""
    environ = {
        **os.environ,
        "HOME": str(cwd),
        "XDG_DATA_HOME": str(cwd / "dätä"),
        "INKSCAPE_PROFILE_DIR": str(cwd / "profile"),
    }
    return subprocess.run(
        [sys.executable, *flags, "-X", "utf8", str(install), *arguments],
        cwd=cwd,
        env=environ,
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )


@pytest.mark.parametrize("version", [(2, 7), (3, 6), (3, 9), (3, 15), (4, 0)])
def test_a_python_that_will_not_do_is_told_with_the_remedy(version: tuple[int, ...]) -> None:
    told = fitting_python(version)
    assert f"this is Python {version[0]}.{version[1]}" in told
    assert "python3.10 extension/install.py" in told


@pytest.mark.parametrize("version", [(3, 10), (3, 11, 2), (3, 14, 0, "final", 0)])
def test_a_python_that_will_do_is_taken(version: tuple[int, ...]) -> None:
    assert fitting_python(version) == ""


def test_the_entry_can_be_read_by_an_old_python() -> None:
    ast.parse(INSTALL.read_text(encoding="utf-8"), feature_version=(3, 4))


def test_help_needs_the_standard_library_alone(tmp_path: Path) -> None:
    done = run(INSTALL, "--help", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    for option in ("--check", "--uninstall", "--demo", "--test", "--extensions-dir"):
        assert option in done.stdout


@pytest.mark.parametrize("flags", [(), ("-I", "-S")], ids=["plain", "isolated"])
def test_it_works_from_any_folder_under_any_name(tmp_path: Path, flags: tuple[str, ...]) -> None:
    clone = tmp_path / "mein Plätzchen & mehr"
    for name in ("extension", "nesting"):
        shutil.copytree(EXTENSION.parent / name, clone / name)
    done = run(clone / "extension/install.py", "--check", cwd=tmp_path, flags=flags)
    assert done.returncode == 1
    assert done.stderr == ""
    assert str(tmp_path / "dätä/thriftlay") in done.stdout
    assert str(tmp_path / "profile/extensions/thriftlay") in done.stdout
    assert done.stdout.rstrip().endswith("To mend it, run: python3 extension/install.py")
