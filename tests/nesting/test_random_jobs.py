# SPDX-License-Identifier: GPL-2.0-or-later
"""Two hundred random jobs through the whole engine, in this process and by rounds: all clean.

Budget: two minutes for the file.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.check import check
from nesting.model import Job, Layout
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers import strategies

ROUNDS = 6
"""Enough for constructed layouts and for the search that follows them."""


def lay(job: Job, rounds: int, seed: int = 0) -> Layout:
    layout = solve(job, stop=AfterRounds(rounds), seed=seed, clock=lambda: 0.0)
    assert check(job, layout) == ()
    return layout


@pytest.mark.slow
@settings(max_examples=150)
@given(strategies.jobs(), st.integers(0, 3))
def test_random_jobs_are_laid_whole_and_clean(job: Job, seed: int) -> None:
    first, layout = lay(job, 0), lay(job, ROUNDS, seed)
    assert layout.left_over == ()
    assert layout.length <= first.length + 1e-6
    assert layout.lower_bound <= layout.length


@pytest.mark.slow
@settings(max_examples=50)
@given(strategies.jobs(), st.floats(0.2, 1.0))
def test_random_jobs_on_short_cloth_are_laid_clean(job: Job, share: float) -> None:
    """On a share of the length that the first layout needs, what is laid fits."""
    whole = lay(job, 0)
    short = replace(job, fabric=replace(job.fabric, length=share * whole.length))
    if 2 * job.fabric.edge_margin < share * whole.length:
        layout = lay(short, ROUNDS)
        assert layout.length <= share * whole.length + 1e-6
        left = sum(len(rest.copies) for rest in layout.left_over)
        assert len(layout.placements) + left == len(whole.placements)
