# SPDX-License-Identifier: GPL-2.0-or-later
"""Loops compiled by numba where it is there, and numpy or plain Python where it is not.

Whatever would take too long in plain Python stands beside its loop a second time, with numpy: the
same input gives the same output, which is also how the tests see that the loops are right.

Compiled code is kept in the folder that the environment variable NUMBA_CACHE_DIR names. Nothing is
relaxed (no fast-math), so a loop gives the same numbers either way.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ParamSpec, TypeVar

import numpy as np

Index = np.uint64
"""An index that is never negative. In the innermost loops it saves the question whether an index
counts from the end, and then they are done in wide steps: a third faster in all."""

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


def compiled_or(plain: Callable[P, R]) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Return a decorator: a function compiled if that is possible, and otherwise `plain`.

    `plain` must give the same.
    """

    def chosen(function: Callable[P, R]) -> Callable[P, R]:
        return compiled(function) if IS_COMPILED else plain

    return chosen
