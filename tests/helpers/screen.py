# SPDX-License-Identifier: GPL-2.0-or-later
"""A screen that nobody sees, and the rule for tests that need the real editor."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

REQUIRED = "THRIFTLAY_REQUIRE_EDITOR"
"""Set to 1 where the editor has to be there: then a missing tool fails the test."""


def need(*programs: str) -> None:
    """Skip the test, with the reason, unless these programs are here; fail where they must be."""
    missing = [program for program in programs if shutil.which(program) is None]
    if missing:
        absent(f"not on this computer: {', '.join(missing)}")


def absent(reason: str) -> None:
    """Skip the test for something that is missing, or fail where it must be there."""
    if os.environ.get(REQUIRED) == "1":
        pytest.fail(reason)
    pytest.skip(reason)


@contextmanager
def virtual_screen(size: str = "1280x800") -> Iterator[str]:
    """Open a screen under Xvfb and yield its name for DISPLAY."""
    need("Xvfb")
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", f"{size}x24", "-nolisten", "tcp"],
        pass_fds=[write],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    os.close(write)
    try:
        with os.fdopen(read) as answer:
            number = answer.readline().strip()
        assert number, "Xvfb did not open a screen"
        yield f":{number}"
    finally:
        server.terminate()
        server.wait(timeout=20)
