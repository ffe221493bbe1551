# SPDX-License-Identifier: GPL-2.0-or-later
"""A stop is answered soon, also where much is prepared: hundreds of different, finely drawn pieces.

What is counted is the work of the calling thread, not the time on the wall, so that a busy machine
changes nothing. Budget: half a minute.
"""

from __future__ import annotations

import time

import numpy as np
import pytest

from nesting.cloth.problem import build_problem
from nesting.construct.first import first_layout
from nesting.judge.check import check
from nesting.model import Fabric, Job, Piece
from nesting.prepare import prepare
from nesting.search import team
from nesting.search.table import build_table
from nesting.solve import solve
from nesting.stop import Stopped

SOON = 0.5
"""Seconds of work between two questions to the stop rule, and from a stop to the answer."""
BEFORE = 1.5
"""Seconds of work from a job to its first, judged layout."""
PARTS, POINTS = 150, 200
AT_LATEST = 5.0
"""Seconds on the wall after which a run is stopped that works in other threads."""


def curved(number: int) -> Piece:
    """Return a piece with a wavy outline of its own."""
    generator = np.random.default_rng(number)
    angles = np.linspace(0.0, 2.0 * np.pi, POINTS, endpoint=False)
    waves = [
        generator.uniform(-0.1, 0.1) * np.cos(k * angles + generator.uniform(0.0, 6.0))
        for k in range(2, 6)
    ]
    radius = generator.uniform(40.0, 160.0) * (1.0 + np.sum(waves, axis=0))
    points = np.column_stack([1.3 * radius * np.cos(angles), radius * np.sin(angles)])
    return Piece(f"p{number}", tuple((float(x), float(y)) for x, y in points))


JOB = Job(Fabric(1400.0, gap=3.0, nap=False), tuple(curved(number) for number in range(PARTS)))


class Watch:
    """A stop rule that says stop after so much work, and notes when it was asked."""

    def __init__(self, work: float) -> None:
        self._began, self._started = time.thread_time(), time.monotonic()
        self._work = work
        self.asked = [0.0]

    @property
    def now(self) -> float:
        """Seconds this thread has worked."""
        return time.thread_time() - self._began

    def __call__(self, rounds: int) -> bool:
        self.asked.append(self.now)
        return self.asked[-1] >= self._work or time.monotonic() > self._started + AT_LATEST

    @property
    def longest(self) -> float:
        """Seconds of work in the longest stretch without a question, that to the end included."""
        return float(np.diff([*self.asked, self.now]).max())


@pytest.fixture(scope="module", autouse=True)
def _compiled() -> None:
    prepare()


@pytest.mark.slow
@pytest.mark.parametrize("work", [0.0, 1.0])
def test_solving_is_stopped_soon(work: float) -> None:
    watch = Watch(work)
    layout = solve(JOB, stop=watch, workers=2, clock=lambda: 0.0)
    assert check(JOB, layout) == ()
    # Before the first question a layout has to be made and judged: without it there is nothing.
    assert watch.asked[1] < BEFORE
    assert max(np.diff([*watch.asked[1:], watch.now])) < SOON


@pytest.mark.slow
@pytest.mark.parametrize("work", [0.0, 1.0])
def test_the_search_is_stopped_soon(work: float) -> None:
    problem = build_problem(JOB)
    start = first_layout(problem)
    watch = Watch(work)
    team.Search()(
        problem, start, seed=0, workers=2, should_stop=watch, on_better=lambda spots, rounds: None
    )
    assert watch.longest < SOON


@pytest.mark.slow
def test_a_cancelled_table_is_given_up_soon() -> None:
    """The process waits for the thread that makes it, so it must look at the event often."""
    problem = build_problem(JOB)
    watch = Watch(0.0)
    with pytest.raises(Stopped):
        build_table(problem, lambda: watch(0))
    assert watch.longest < SOON
