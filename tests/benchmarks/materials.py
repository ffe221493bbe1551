# SPDX-License-Identifier: GPL-2.0-or-later
"""What several materials lose when a run is stopped early: `python -m tests.benchmarks.materials`.

Lays the samples with a lining in one run and stops it after some seconds of processor time, with
the searches in turns as they are, and one after the other as they might be. Prints length and
rounds of each material, and the cloth in all.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from extension.job.wishes import Wishes, wishes_from_text
from extension.operations import running
from extension.operations.lay_out import lay_out_materials
from extension.operations.running import Run
from extension.operations.turns import in_turns
from extension.svg.document import parse
from nesting.model import Layout
from nesting.stop import AfterSeconds, Clock, StopRule
from tests.helpers.places import SAMPLES

JOBS = {
    "lined-jacket.svg": {"fabric_width": "main=140cm, lining=110cm"},
    "wrap-skirt.svg": {
        "fabric_width": "main=140cm, lining=110cm, interfacing=90cm",
        "allowance": "15mm",
    },
}


def one_by_one(
    searches: Sequence[Callable[[StopRule], Layout]],
    shares: Sequence[float],
    rules: Sequence[StopRule],
    clock: Clock,
) -> list[Layout]:
    """Run each search to its end before the next."""
    return [search(rule) for search, rule in zip(searches, rules, strict=True)]


@contextmanager
def searching(way: Callable[..., list[Layout]]) -> Iterator[None]:
    """Let runs search in one way or the other."""
    running.in_turns = way  # type: ignore[assignment]
    try:
        yield
    finally:
        running.in_turns = in_turns


def stopped_after(sample: str, wishes: Wishes, seconds: float) -> str:
    """Return in words what a run has after so many seconds of processor time."""
    started = time.process_time()

    def clock() -> float:
        return time.process_time() - started

    run = Run(clock, AfterSeconds(seconds, clock))
    report = lay_out_materials(parse(SAMPLES / sample), wishes, run).report
    layouts = report["layouts"]
    each = ", ".join(f"{one['material']} {one['length']:.0f} ({one['rounds']})" for one in layouts)
    area = sum(one["length"] * one["width"] for one in layouts) / 1e6
    return f"{each}: {area:.3f} m2"


def main() -> None:
    """Print the figures of each sample."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=24.0, help="the limit of the whole run")
    parser.add_argument("--stops", type=float, nargs="+", default=[4.0, 8.0])
    options = parser.parse_args()
    ways: dict[str, Callable[..., list[Layout]]] = {"in turns": in_turns, "one by one": one_by_one}
    for sample, typed in JOBS.items():
        given = {**typed, "seconds": str(options.seconds), "workers": "1"}
        wishes = wishes_from_text(given)
        for stop in options.stops:
            for name, way in ways.items():
                with searching(way):
                    told = stopped_after(sample, wishes, stop)
                print(f"{sample:17} {stop:5.0f} s  {name:10}  {told}", flush=True)


if __name__ == "__main__":
    main()
