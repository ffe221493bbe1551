# SPDX-License-Identifier: GPL-2.0-or-later
"""Runs of `python -m nesting` watched from outside, as a person meets them (Linux).

A run is a process of its own, cold but for the compiled cache. All times count from its start. It
writes its progress on a pseudo-terminal, because it tells nothing to what is none.
"""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import tempfile
import threading
import time
from dataclasses import dataclass
from pathlib import Path

from nesting.jobs.jobfile import job_to_json, layout_from_json
from nesting.judge.check import check
from nesting.model import Job, Layout
from tests.helpers.places import PROJECT

POLL = 0.1
"""Seconds between two looks at the memory."""
PROGRESS = re.compile(r" s, round \d+: ([\d.]+) mm, ")
ROUNDED = 0.06
"""mm by which a length in a progress line may differ from the true one."""


@dataclass(frozen=True, slots=True)
class Watched:
    """What a run gave: its layout, seconds, most memory of all its processes together (MB).

    `steps` are (seconds, mm) of every line that told a length, in order, and `spent` the same by
    the seconds of processor time that the run had had by then.
    """

    layout: Layout
    seconds: float
    memory: float
    steps: tuple[tuple[float, float], ...]
    spent: tuple[tuple[float, float], ...]

    @property
    def first(self) -> float:
        """Seconds to the first layout."""
        return self.steps[0][0] if self.steps else self.seconds

    def length_after(self, seconds: float) -> float:
        """Return the length, mm, of the best layout told by then; infinite when there was none."""
        told = [length for at, length in self.steps if at <= seconds]
        return min(told, default=float("inf"))

    def time_to_within(self, share: float) -> float:
        """Return the seconds to the first layout longer than the last by no more than a share."""
        enough = self.layout.length * (1.0 + share) + ROUNDED
        return next((at for at, length in self.steps if length <= enough), self.seconds)


def watched(
    job: Job,
    seconds: float,
    seed: int = 0,
    workers: int = 2,
    *,
    processor: float = float("inf"),
    folder: Path = PROJECT,
) -> Watched:
    """Lay out a job in a process of its own and watch it.

    It is stopped after so many seconds, or so many of `processor` time; `folder` holds the version
    that is run.
    Raises RuntimeError when the run fails or the judge finds a fault in its layout.
    """
    with tempfile.TemporaryDirectory() as place:
        file, result = Path(place) / "job.json", Path(place) / "layout.json"
        file.write_text(job_to_json(job), encoding="utf-8")
        words = ["--seconds", seconds, "--seed", seed, "--workers", workers, "--output", result]
        terminal, inside = os.openpty()
        started, most = time.perf_counter(), 0.0
        run = subprocess.Popen(
            [sys.executable, "-m", "nesting", str(file), *map(str, words)],
            cwd=folder,
            stderr=inside,
        )
        os.close(inside)
        lines: list[tuple[float, float, str]] = []
        reader = threading.Thread(target=_read, args=(terminal, run.pid, started, lines))
        reader.start()
        while reader.is_alive():
            most = max(most, memory_of(run.pid))
            if processor_time_of(run.pid) > processor:
                run.send_signal(signal.SIGINT)
                processor = float("inf")
            reader.join(POLL)
        code = run.wait()
        taken = time.perf_counter() - started
        if code != 0:
            raise RuntimeError(f"the run ended with {code}: {[line for *_, line in lines[-3:]]}")
        layout = layout_from_json(result.read_text(encoding="utf-8"))
    if faults := check(job, layout):
        raise RuntimeError(faults[0].sentence)
    told = [(at, spent, PROGRESS.search(line)) for at, spent, line in lines]
    steps = tuple((at, float(found[1])) for at, _, found in told if found)
    spent = tuple((spent, float(found[1])) for _, spent, found in told if found)
    return Watched(layout, taken, most, steps, spent)


def processor_time_of(pid: int) -> float:
    """Return the seconds of processor time a process has had, all its threads; 0 without it."""
    try:
        words = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    except OSError:
        return 0.0
    return (int(words[11]) + int(words[12])) / os.sysconf("SC_CLK_TCK")


def memory_of(pid: int) -> float:
    """Return the resident memory of a process and its children, MB (Linux)."""
    total, waiting = 0.0, [pid]
    while waiting:
        one = waiting.pop()
        try:
            pages = int(Path(f"/proc/{one}/statm").read_text().split()[1])
            children = Path(f"/proc/{one}/task/{one}/children").read_text().split()
        except OSError:
            continue
        total += pages * os.sysconf("SC_PAGE_SIZE") / 1e6
        waiting += [int(child) for child in children]
    return total


def _read(terminal: int, pid: int, started: float, lines: list[tuple[float, float, str]]) -> None:
    """Note every line of a terminal until nobody writes on it.

    Each with the time it came, and the processor time that a process had had.
    """
    rest = b""
    while True:
        try:
            chunk = os.read(terminal, 4096)
        except OSError:  # how Linux says that the other side is closed
            break
        if not chunk:
            break
        *whole, rest = (rest + chunk).split(b"\n")
        now = time.perf_counter() - started
        spent = processor_time_of(pid)
        lines += [(now, spent, line.decode(errors="replace").strip()) for line in whole]
    os.close(terminal)
