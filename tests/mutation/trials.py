# SPDX-License-Identifier: GPL-2.0-or-later
"""A trial of a mutant: tests run in a fork of this process, which finds the mutant for the module.

The fork has what the tests load besides already, so that a trial takes the time of the tests alone.
"""

from __future__ import annotations

import importlib.abc
import importlib.machinery
import importlib.util
import os
import resource
import signal
import sys
import time
import warnings
from collections.abc import Sequence
from pathlib import Path
from types import CodeType, ModuleType

import pytest

KILLED, SURVIVED, ENDLESS = "killed", "survived", "endless"
WAITING = 30.0
"""How many times its processor time a trial may take on the clock."""


class InItsPlace(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Finds a module's mutant where the module is asked for."""

    def __init__(self, module: str, code: CodeType, file: Path) -> None:
        self._module, self._code, self._file = module, code, file

    def find_spec(
        self, name: str, path: object = None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        """Return where the mutant is, nothing for other modules."""
        if name != self._module:
            return None
        return importlib.util.spec_from_file_location(name, self._file, loader=self)

    def exec_module(self, module: ModuleType) -> None:
        """Run the mutant's code."""
        exec(self._code, module.__dict__)


def verdict(module: str, code: CodeType, file: Path, tests: Sequence[str], seconds: float) -> str:
    """Return what came of a mutant: killed by the tests, survived them, or did not end.

    `seconds` are of processor time, so that a busy machine makes nothing endless.
    """
    assert module not in sys.modules, f"{module} was loaded before its mutant"
    with warnings.catch_warnings():
        # Later Pythons warn of forks beside threads; the threads of the tests' own runner are idle.
        warnings.simplefilter("ignore", DeprecationWarning)
        child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (int(seconds) + 1, int(seconds) + 2))
        os._exit(_tried(module, code, file, tests))
    end = time.monotonic() + WAITING * seconds
    while time.monotonic() < end:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            ended = os.waitstatus_to_exitcode(status)
            if ended in (-signal.SIGXCPU, -signal.SIGKILL):
                return ENDLESS
            return SURVIVED if ended == 0 else KILLED
        time.sleep(0.01)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return ENDLESS


def _tried(module: str, code: CodeType, file: Path, tests: Sequence[str]) -> int:
    """Run the tests in this process, silently; return pytest's exit code, 99 when it broke down."""
    sys.meta_path.insert(0, InItsPlace(module, code, file))
    words = ["-x", "-q", "--assert=plain", "-p", "no:cacheprovider", "-p", "no:xdist"]
    silence = os.open(os.devnull, os.O_WRONLY)
    for stream in (1, 2):
        os.dup2(silence, stream)
    try:
        return int(pytest.main([*words, "--override-ini=timeout=0", *tests]))
    except BaseException:
        return 99
