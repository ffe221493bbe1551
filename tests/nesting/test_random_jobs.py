# SPDX-License-Identifier: GPL-2.0-or-later
"""A hundred and fifty random jobs of every kind through the whole engine, by rounds: all clean.

Each layout passes the judge, and a second judge that shares nothing with it. More of them, by any
seed: `python -m tests.benchmarks.random_jobs`. Budget: half a minute for the file.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.judge.check import check
from nesting.model import Job, Layout
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.job_kinds import KINDS
from tests.helpers.plain_judge import faults
from tests.helpers.strategies import area

ROUNDS = 5
"""Enough for constructed layouts and for the search that follows them."""
EACH = 8
"""Jobs of each kind."""
FEWER = {
    "folded and flawed": 5,
    "folded and bordered": 5,
    "several remnants": 6,
    "edges": 8,
}
"""Of some kinds, which take longer."""


def lay(job: Job, rounds: int, seed: int = 0, workers: int = 1) -> Layout:
    layout = solve(job, stop=AfterRounds(rounds), seed=seed, workers=workers, clock=lambda: 0.0)
    assert check(job, layout) == ()
    assert faults(job, layout) == []
    return layout


def area_left(layout: Layout) -> float:
    """Return the area, in mm2, of the parts that were left over."""
    return sum(area(layout.outlines[rest.piece]) * len(rest.copies) for rest in layout.left_over)


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
def test_random_jobs_are_laid_clean_and_the_search_makes_none_worse(kind: str) -> None:
    @settings(max_examples=FEWER.get(kind, EACH))
    @given(KINDS[kind](), st.integers(0, 3), st.integers(1, 2))
    def holds(job: Job, seed: int, workers: int) -> None:
        first, layout = lay(job, 0), lay(job, ROUNDS, seed, workers)
        left, left_first = area_left(layout), area_left(first)
        assert left <= left_first
        if left == left_first and not job.fabrics:
            assert layout.length <= first.length + 1e-6
        if job.fabric.length is None:
            assert layout.left_over == ()

    holds()
