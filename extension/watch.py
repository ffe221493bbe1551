# SPDX-License-Identifier: GPL-2.0-or-later
"""Watches over a command from a thread: a stop is answered, time and memory have a bound.

A command that is in the middle of a library's long call sees neither a signal nor a clock. The
bounds are last resorts, far above what any drawing within our limits was seen to need; they follow
from the size of the file alone, and from the time that was asked for.
"""

from __future__ import annotations

import contextlib
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

TICK = 0.1
"""Seconds between two looks."""
PATIENCE = 0.7
"""Seconds that a command has to end by itself once it was asked to."""
LEAST_SECONDS, SECONDS_PER_MB = 300.0, 60.0
LEAST_BYTES, BYTES_PER_BYTE = 4_000_000_000, 100
PER_MB = 1_000_000
OF_ALL = 0.75
"""Share of the machine's memory that a command may take at most."""

WRITING = threading.RLock()
"""Held while a file is put in its place, so that nothing is left half done beside it."""


@dataclass(frozen=True, slots=True)
class Limits:
    """What a command may use. `size` is that of its drawing, bytes; `seconds` None: no bound."""

    name: str
    size: int
    seconds: float | None
    memory: float

    def broken(self, seconds: float, memory: float) -> str:
        """Return what is told of a command that used so much, "" when that is within the limits."""
        large = f"a drawing of {max(self.size / PER_MB, 0.1):.1f} MB"
        remedy = "Divide the drawing, or simplify lines with very many nodes (Path > Simplify)."
        if self.seconds is not None and seconds > self.seconds:
            return (
                f"“{self.name}” was ended after {self.seconds / 60.0:.0f} minutes, the most that "
                f"it may take for {large}. {remedy}"
            )
        if memory > self.memory:
            return (
                f"“{self.name}” was ended at {self.memory / 1e9:.1f} GB of memory, the most that "
                f"it may take for {large}. {remedy}"
            )
        return ""


def limits_for(name: str, drawing: Path | None, asked: float | None = 0.0) -> Limits:
    """Return the limits of a command by its drawing and the seconds `asked` for (None: no end)."""
    size = 0
    if drawing is not None:
        with contextlib.suppress(OSError):
            size = drawing.stat().st_size
    allowed = LEAST_SECONDS + SECONDS_PER_MB * size / PER_MB
    memory = float(LEAST_BYTES + BYTES_PER_BYTE * size)
    with contextlib.suppress(AttributeError, ValueError, OSError):  # not told everywhere
        memory = min(memory, OF_ALL * os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE"))
    return Limits(name, size, None if asked is None else asked + allowed, memory)


@contextlib.contextmanager
def watched(
    limits: Limits, asked: Callable[[], bool], end: Callable[[str], object]
) -> Iterator[None]:
    """Watch over what is done within.

    `asked` says whether it was asked to end; when it has not within `PATIENCE`, or passes a limit,
    `end` is called from another thread, with "" or with what is to be told.
    """
    done = threading.Event()
    threading.Thread(target=_watch, args=(limits, asked, end, done), daemon=True).start()
    try:
        yield
    finally:
        done.set()


def _watch(
    limits: Limits, asked: Callable[[], bool], end: Callable[[str], object], done: threading.Event
) -> None:
    """Look again and again until it is done."""
    start = time.monotonic()
    while not done.wait(TICK):
        told = limits.broken(time.monotonic() - start, memory_used())
        if told or asked():
            if not told and done.wait(PATIENCE):
                return
            with WRITING:
                if not done.is_set():
                    end(told)
            return


def memory_used() -> float:
    """Return the memory that this process takes now, bytes; 0 where it is not told."""
    try:
        pages = Path("/proc/self/statm").read_text(encoding="ascii").split()[1]
        return float(pages) * os.sysconf("SC_PAGE_SIZE")
    except (OSError, ValueError, IndexError, AttributeError):
        return 0.0


class Signals:
    """Counts the signals that ask a process to end, also while a library works."""

    def __init__(self) -> None:
        self.count = 0
        self._read, write = os.pipe()
        os.set_blocking(self._read, False)
        os.set_blocking(write, False)
        signal.set_wakeup_fd(write, warn_on_full_buffer=False)

    def counted(self) -> int:
        """Return how many there were so far."""
        with contextlib.suppress(BlockingIOError):
            heard = os.read(self._read, 64)
            self.count += sum(one in (signal.SIGINT, signal.SIGTERM) for one in heard)
        return self.count
