# SPDX-License-Identifier: GPL-2.0-or-later
"""Random drawings and jobs through every command, each result read back and judged:

`python -m tests.fuzzing --drawings 20000 --jobs 5000 --seed 0`. Prints what came of each command,
and each fault with how often it was met; the first drawings of each are written to the folder that
--keep names, made smaller. The exit code is 1 when anything was found.
"""

from __future__ import annotations

import argparse
import itertools
import re
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from tests.benchmarks.random_jobs import Row, laid_out
from tests.fuzzing.commands import Fault, judged, run_command
from tests.fuzzing.grammar import KINDS
from tests.fuzzing.running import Found, Tell, watched
from tests.fuzzing.smaller import smallest
from tests.fuzzing.workday import Day, workday
from tests.helpers.job_kinds import KINDS as JOB_KINDS

KEPT_OF_EACH = 2
"""Drawings kept of each fault."""
ENDED = ("endless", "takes all memory", "the process broke down")
"""Faults whose drawing is not run again to be made smaller."""
JOBS_AT_ONCE = 5


class Shelf:
    """Faults by name with how often each was met, and a folder for the drawings that show them."""

    def __init__(self, folder: Path | None) -> None:
        self.counts: Counter[str] = Counter()
        self._folder = folder
        self._texts: dict[str, str] = {}
        self._first: dict[Path, Found] = {}
        if folder is not None:
            folder.mkdir(parents=True, exist_ok=True)

    def add(self, found: Found) -> None:
        """Count a fault; keep its drawing when it is among the first."""
        name = found.fault.name
        self.counts[name] += 1
        self._texts.setdefault(name, found.fault.text)
        if self.counts[name] == 1:
            print(f"  new: {name}, {' '.join(found.words)[:200]}", flush=True)
        if self._folder is None or self.counts[name] > KEPT_OF_EACH:
            return
        slug = re.sub(r"[^A-Za-z0-9]+", "-", name)[:80].strip("-")
        base = self._folder / f"{slug}-{self.counts[name]}"
        base.with_suffix(".svg").write_bytes(found.drawing)
        if self.counts[name] == 1 and found.fault.kind not in ENDED:
            self._first[base] = found
        words = " ".join(found.words)
        base.with_suffix(".txt").write_text(f"{words}\n\n{name}\n\n{found.fault.text}\n", "utf-8")

    def make_smaller(self) -> None:
        """Take away from the first drawing of each fault what it does not need to show it."""
        for base, found in self._first.items():
            shows = partial(_shows, found, base.parent / "trial")
            base.with_suffix(".svg").write_bytes(smallest(found.drawing, shows))

    def say(self) -> None:
        """Print every fault, the most frequent first."""
        for name, times in self.counts.most_common():
            print(f"{times:6} {name}")
            print(f"         {' '.join(self._texts[name].split())[-300:]}", flush=True)


def _shows(found: Found, folder: Path, data: bytes) -> bool:
    """Return whether a drawing still shows a fault."""
    command, *words = found.words
    came = judged(run_command(command, data, words, folder), data)
    return found.fault.name in [fault.name for fault in came.faults]


def drawings(numbers: Sequence[int], seed: int, end: float, shelf: Shelf) -> None:
    """Run the drawings and print what came of them."""
    runs: Counter[tuple[str, int]] = Counter()
    kinds: Counter[str] = Counter()
    laid: Counter[str] = Counter()
    edits: Counter[str] = Counter()

    def task(number: int, folder: Path, tell: Tell) -> Day:
        return workday(seed, number, folder, tell)

    started, done = time.monotonic(), 0
    for number, came in watched(task, numbers):
        done += 1
        if isinstance(came, Found):
            shelf.add(came)
        elif isinstance(came, Day):
            runs += came.runs
            edits += came.edits
            kinds[came.kind] += 1
            laid[came.kind] += came.runs["lay-out", 0] > 0
            for fault, drawing, words in came.faults:
                shelf.add(Found(fault, drawing, tuple(words)))
        if done % 100 == 0:
            took = time.monotonic() - started
            print(f"  {done} drawings (to number {number}), {took:.0f} s", flush=True)
        if time.monotonic() > end:
            break
    print(f"\n{done} drawings in {time.monotonic() - started:.0f} s, seed {seed}")
    for kind, count in sorted(kinds.items()):
        print(f"  {kind:20}{count:7}, {laid[kind]:6} of them laid out")
    for command in sorted({command for command, _ in runs}):
        codes = {code: count for (name, code), count in sorted(runs.items()) if name == command}
        told = ", ".join(f"exit {code}: {count}" for code, count in codes.items())
        print(f"  {command:20}{sum(codes.values()):7} runs: {told}")
    print(f"  edits by hand: {', '.join(f'{name} {n}' for name, n in edits.most_common())}")


def jobs(count: int, seed: int, end: float, shelf: Shelf) -> None:
    """Run random jobs through the engine, judged by both judges, and print what came of them."""
    kinds = list(JOB_KINDS)

    def task(number: int, folder: Path, tell: Tell) -> Row:
        kind = kinds[number % len(kinds)]
        tell("job", (kind, f"seed {seed + number}"), b"")
        return laid_out(kind, JOBS_AT_ONCE, seed + number, rounds=4)

    rows: dict[str, list[Row]] = defaultdict(list)
    started = time.monotonic()
    for number, came in watched(task, range(max(count // JOBS_AT_ONCE, 0))):
        if isinstance(came, Found):
            shelf.add(came)
        elif isinstance(came, Row):
            rows[kinds[number % len(kinds)]].append(came)
            for job, sentence in came.failed:
                fault = Fault("job", re.sub(r"[\d.]+", "…", sentence)[:100], sentence)
                shelf.counts[fault.name] += 1
                print(f"  job: {sentence}\n    {job}", flush=True)
        if time.monotonic() > end:
            break
    total = sum(row.jobs for some in rows.values() for row in some)
    failed = sum(len(row.failed) for some in rows.values() for row in some)
    took = time.monotonic() - started
    print(f"\n{total} jobs of {len(rows)} kinds in {took:.0f} s, {failed} of them not clean")


def main() -> int:
    """Run drawings and jobs; return 1 when a fault was found."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--drawings", type=int, default=1000)
    parser.add_argument("--from", dest="start", type=int, default=0, help="number of the first one")
    parser.add_argument("--kinds", help="of drawing, with commas; all unless told")
    parser.add_argument("--jobs", type=int, default=0)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument(
        "--seconds", type=float, default=float("inf"), help="for drawings, for jobs"
    )
    parser.add_argument("--keep", type=Path, help="folder for the drawings that show a fault")
    options = parser.parse_args()
    shelf = Shelf(options.keep)
    kinds = {list(KINDS).index(kind) for kind in (options.kinds or ",".join(KINDS)).split(",")}
    wanted = (number for number in itertools.count(options.start) if number % len(KINDS) in kinds)
    numbers = list(itertools.islice(wanted, options.drawings))
    if options.drawings:
        drawings(numbers, options.seed, time.monotonic() + options.seconds, shelf)
    if options.jobs:
        jobs(options.jobs, options.seed, time.monotonic() + options.seconds, shelf)
    print(f"\n{len(shelf.counts)} kinds of fault")
    shelf.say()
    shelf.make_smaller()
    return 1 if shelf.counts else 0


if __name__ == "__main__":
    sys.exit(main())
