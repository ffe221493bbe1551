# SPDX-License-Identifier: GPL-2.0-or-later
"""Loops that stand twice: compiled, and with numpy for where they cannot be compiled."""

from __future__ import annotations

import pytest

from nesting.compiled import IS_COMPILED

stands_twice = pytest.mark.skipif(
    not IS_COMPILED, reason="numba is not installed: there is only one way"
)
