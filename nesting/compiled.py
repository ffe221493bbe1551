# SPDX-License-Identifier: GPL-2.0-or-later
"""Loops compiled by numba where it is there, and numpy or plain Python where it is not.

Whatever would take too long in plain Python stands beside its loop a second time, with numpy: the
same input gives the same output, which is also how the tests see that the loops are right.

Compiled code is kept in the folder that the environment variable NUMBA_CACHE_DIR names, or beside
this module; where neither can be written, loops are compiled in every process anew. Nothing is
relaxed (no fast-math), so a loop gives the same numbers either way.
"""

from __future__ import annotations

import hashlib
import os
import re
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import ParamSpec, TypeVar

import numpy as np

Index = np.uint64
"""An index that is never negative. In the innermost loops it saves the question whether an index
counts from the end, and then they are done in wide steps: a third faster in all."""

P = ParamSpec("P")
R = TypeVar("R")

_HERE = Path(__file__).resolve().parent
_TAKES_FROM = re.compile(rb"^ *from nesting\.([\w.]+) import", re.MULTILINE)


def _fingerprint() -> str:
    """Return a name for what compiled loops are made of.

    numba looks at the file of a loop alone, but loops and numbers of other files are built into
    it, and those may have changed: so every file counts that a file with loops takes from.
    """
    texts = {
        ".".join(file.relative_to(_HERE).with_suffix("").parts): file.read_bytes()
        for file in sorted(_HERE.rglob("*.py"))
    }
    taken = {name: {found.decode() for found in _TAKES_FROM.findall(texts[name])} for name in texts}
    counted: set[str] = set()
    asked = {name for name, sources in taken.items() if "compiled" in sources}
    while asked:
        counted |= asked
        asked = {one for name in asked for one in taken.get(name, ())} - counted
    digest = hashlib.sha256()
    for name in sorted(counted & set(texts)):
        digest.update(f"{name} {len(texts[name])} ".encode() + texts[name])
    return digest.hexdigest()[:16]


def _kernels() -> str:
    """Return the folder for the compiled code of this very engine, "" where nothing can be kept."""
    named = os.environ.get("NUMBA_CACHE_DIR", "")
    folder = Path(named or _HERE / "__pycache__") / f"loops-{_fingerprint()}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        tempfile.TemporaryFile(dir=folder).close()
    except OSError:
        return ""
    return str(folder)


try:
    import numba
except ImportError:
    IS_COMPILED = False
    KERNELS = ""
else:
    IS_COMPILED = True
    KERNELS = _kernels()
    numba.config.CACHE_DIR = KERNELS  # type: ignore[attr-defined]  # made at run time


def compiled(function: Callable[P, R]) -> Callable[P, R]:
    """Return a function of arrays and numbers compiled at its first call, if that is possible."""
    if not IS_COMPILED:
        return function
    faster: Callable[P, R] = numba.njit(cache=bool(KERNELS), nogil=True)(function)
    return faster


def compiled_or(plain: Callable[P, R]) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Return a decorator: a function compiled if that is possible, and otherwise `plain`.

    `plain` must give the same.
    """

    def chosen(function: Callable[P, R]) -> Callable[P, R]:
        return compiled(function) if IS_COMPILED else plain

    return chosen
