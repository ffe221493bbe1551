# SPDX-License-Identifier: GPL-2.0-or-later
"""Drawings run one after the other in a process that is watched, and ended when it does not end.

The watcher hears of every run before it begins. What takes too much time or memory is ended and
counted as a fault, and a new process goes on with the next drawing.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path

from tests.fuzzing.commands import Fault

SECONDS = 60.0
"""Processor time within which a run must be done."""
MEGABYTES = 2000
"""Memory that the process may take."""
_TICKS = os.sysconf("SC_CLK_TCK")


@dataclass(frozen=True, slots=True)
class Found:
    """A fault with the drawing and the words it came of."""

    fault: Fault
    drawing: bytes
    words: tuple[str, ...]


Tell = Callable[[str, Sequence[str], bytes], None]
"""Hears of each run before it begins: the command, its words, the drawing."""
Task = Callable[[int, Path, Tell], object]
"""Does what a number stands for in a folder, tells of each run, returns what came of it."""


def watched(task: Task, numbers: Sequence[int]) -> Iterator[tuple[int, object | Found]]:
    """Yield what came of each number, or the fault by which it was ended."""
    context = multiprocessing.get_context("fork")
    place = 0
    while place < len(numbers):
        here, there = context.Pipe(duplex=False)
        child = context.Process(target=_work, args=(task, numbers[place:], here, there))
        child.start()
        there.close()
        try:
            for number, came in _heard(here, child.pid or 0, numbers[place:]):
                yield number, came
                place += 1
        finally:
            child.kill()
            child.join()
            here.close()


def _work(task: Task, numbers: Sequence[int], here: Connection, out: Connection) -> None:
    """Do the tasks, one after the other; a watcher that has gone breaks the pipe."""
    here.close()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with tempfile.TemporaryDirectory(prefix="fuzzing-") as folder:

        def tell(command: str, words: Sequence[str], data: bytes) -> None:
            out.send(("run", (command, tuple(words), data)))

        for number in numbers:
            out.send(("came", task(number, Path(folder) / "here", tell)))


def _heard(
    here: Connection, child: int, numbers: Sequence[int]
) -> Iterator[tuple[int, object | Found]]:
    """Yield what a process tells, to its end or to the first fault that ends it."""
    place, since = 0, _seconds_of(child)
    last: tuple[str, tuple[str, ...], bytes] = ("?", (), b"")
    while place < len(numbers):
        fault = ""
        if here.poll(0.5):
            try:
                kind, value = here.recv()
            except (EOFError, OSError):
                fault = "the process broke down"
            else:
                since = _seconds_of(child)
                if kind == "run":
                    last = value
                else:
                    yield numbers[place], value
                    place += 1
                continue
        elif _seconds_of(child) - since > SECONDS:
            fault = "endless"
        elif _megabytes_of(child) > MEGABYTES:
            fault = "takes all memory"
        if fault:
            command, words, data = last
            text = f"{_seconds_of(child) - since:.0f} s, {_megabytes_of(child)} MB"
            yield numbers[place], Found(Fault(command, fault, text), data, (command, *words))
            return


def _seconds_of(process: int) -> float:
    """Return the processor time of a process, 0 when it is gone."""
    try:
        words = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    except OSError:
        return time.monotonic()
    return (int(words[11]) + int(words[12])) / _TICKS


def _megabytes_of(process: int) -> int:
    """Return the memory of a process, 0 when it is gone."""
    try:
        pages = int(Path(f"/proc/{process}/statm").read_text().split()[1])
    except OSError:
        return 0
    return pages * os.sysconf("SC_PAGE_SIZE") // 1_000_000
