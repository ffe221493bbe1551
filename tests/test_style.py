# SPDX-License-Identifier: GPL-2.0-or-later
"""The project's own rules of style, kept by the tools that pyproject.toml configures."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.helpers.places import PROJECT

FOLDERS = ("extension", "nesting", "tests")


@pytest.mark.parametrize(
    "tool",
    [
        ["ruff", "check", "--no-cache", *FOLDERS],
        ["ruff", "format", "--no-cache", "--check", *FOLDERS],
        ["mypy", "--no-color-output"],
    ],
    ids=["lint", "format", "types"],
)
def test_a_tool_finds_nothing(tool: list[str]) -> None:
    if tool[0] == "mypy" and sys.version_info < (3, 11):
        pytest.skip("types are checked against the numpy of Python 3.11 and later")
    command = [sys.executable, "-m", *tool]
    done = subprocess.run(command, cwd=PROJECT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_every_file_of_ours_names_its_licence_at_its_head() -> None:
    files = [file for folder in FOLDERS for file in (PROJECT / folder).rglob("*.py")]
    files += (PROJECT / "extension/dialogs").glob("*.inx")
    assert files
    for file in files:
        head = file.read_text(encoding="utf-8")[:300]
        assert "SPDX-License-Identifier: GPL-2.0-or-later" in head or not head, file
