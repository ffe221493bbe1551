# SPDX-License-Identifier: GPL-2.0-or-later
"""Loops that stand twice: compiled, and with numpy for where they cannot be compiled."""

from __future__ import annotations

import subprocess
import sys

import pytest

from nesting.compiled import IS_COMPILED
from tests.helpers.places import PROJECT

stands_twice = pytest.mark.skipif(
    not IS_COMPILED, reason="numba is not installed: there is only one way"
)


def printed_without_numba(imports: str, expression: str) -> str:
    """Return what a process that has no numba prints of an expression."""
    code = f"import sys; sys.modules['numba'] = None; {imports}; print({expression})"
    done = subprocess.run(
        [sys.executable, "-c", code],
        check=True,
        capture_output=True,
        text=True,
        timeout=250,
        cwd=PROJECT,
    )
    return done.stdout.strip()
