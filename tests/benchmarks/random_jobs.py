# SPDX-License-Identifier: GPL-2.0-or-later
"""Random jobs of every kind, judged twice: `python -m tests.benchmarks.random_jobs --jobs 500`.

Prints a table per kind: jobs, how many of them were perfect before the search began, rounds,
seconds, and how many layouts both judges passed. A job that fails is written to the folder that
--keep names, and the exit code is 1.
"""

from __future__ import annotations

import argparse
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from nesting.jobs.jobfile import job_to_json
from nesting.judge.check import check
from nesting.model import Job
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.job_kinds import KINDS
from tests.helpers.plain_judge import faults


@dataclass(slots=True)
class Row:
    """What came of the jobs of a kind."""

    jobs: int = 0
    parts: int = 0
    perfect: int = 0
    rounds: int = 0
    seconds: float = 0.0
    slowest: float = 0.0
    failed: list[tuple[Job, str]] = field(default_factory=list)

    def add(self, job: Job, rounds: int, number: int, workers: int) -> None:
        """Lay out a job and take down what came of it."""
        self.jobs += 1
        self.parts += sum(piece.cut * piece.garments for piece in job.pieces)
        started = time.perf_counter()

        def clock() -> float:
            return time.perf_counter() - started

        try:
            layout = solve(job, stop=AfterRounds(rounds), seed=number, workers=workers, clock=clock)
            taken = clock()
            found = [violation.sentence for violation in check(job, layout)] + faults(job, layout)
        except Exception as fault:  # whatever it is, it is a fault of this job
            self.failed.append((job, f"{type(fault).__name__}: {fault}"))
            return
        self.seconds += taken
        self.slowest = max(self.slowest, taken)
        self.rounds += layout.rounds
        self.perfect += layout.rounds < rounds
        if found:
            self.failed.append((job, found[0]))


def laid_out(kind: str, jobs: int, number: int, rounds: int) -> Row:
    """Lay out so many random jobs of a kind."""
    row = Row()

    @seed(number)
    @settings(
        max_examples=jobs,
        phases=[Phase.generate],
        database=None,
        deadline=None,
        derandomize=False,
        suppress_health_check=list(HealthCheck),
    )
    @given(KINDS[kind](), st.integers(0, 3), st.integers(1, 2))
    def each(job: Job, other: int, workers: int) -> None:
        row.add(job, rounds, other, workers)

    each()
    return row


def main() -> int:
    """Print the table; return 1 when a layout was not clean."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jobs", type=int, default=500, help="of all kinds together")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--rounds", type=int, default=8)
    parser.add_argument("--only", nargs="*", choices=list(KINDS), default=list(KINDS))
    parser.add_argument("--keep", type=Path, help="folder for the jobs that fail")
    options = parser.parse_args()
    print(f"{'kind':18}{'jobs':>6}{'parts':>7}{'done early':>12}{'rounds':>8}"
          f"{'seconds':>9}{'slowest':>9}{'clean':>7}", flush=True)  # fmt: skip
    total, kinds = Row(), len(options.only)
    for place, kind in enumerate(options.only):
        jobs = options.jobs // kinds + (place < options.jobs % kinds)
        row = laid_out(kind, jobs, options.seed, options.rounds)
        _say(kind, row)
        for job, sentence in row.failed:
            print(f"    {sentence}", flush=True)
            if options.keep is not None:
                options.keep.mkdir(parents=True, exist_ok=True)
                name = f"{kind.replace(' ', '-')}-{len(list(options.keep.iterdir()))}.json"
                (options.keep / name).write_text(job_to_json(job), encoding="utf-8")
        total.jobs += row.jobs
        total.parts += row.parts
        total.perfect += row.perfect
        total.rounds += row.rounds
        total.seconds += row.seconds
        total.slowest = max(total.slowest, row.slowest)
        total.failed += row.failed
    _say("all", total)
    return 1 if total.failed else 0


def _say(kind: str, row: Row) -> None:
    """Print one row."""
    print(
        f"{kind:18}{row.jobs:6}{row.parts:7}{row.perfect:12}{row.rounds:8}"
        f"{row.seconds:9.1f}{row.slowest:9.1f}{row.jobs - len(row.failed):7}",
        flush=True,
    )


if __name__ == "__main__":
    sys.exit(main())
