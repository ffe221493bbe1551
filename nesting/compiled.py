# SPDX-License-Identifier: GPL-2.0-or-later
"""Loops compiled by numba where it is there, and plain Python where it is not.

Compiled code is kept in the folder that the environment variable NUMBA_CACHE_DIR names. Nothing is
relaxed (no fast-math), so a loop gives the same numbers either way.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

try:
    import numba
except ImportError:
    IS_COMPILED = False
else:
    IS_COMPILED = True


def compiled(function: Callable[P, R]) -> Callable[P, R]:
    """Return a function of arrays and numbers compiled at its first call, if that is possible."""
    if not IS_COMPILED:
        return function
    faster: Callable[P, R] = numba.njit(cache=True, nogil=True)(function)
    return faster
