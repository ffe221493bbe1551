# SPDX-License-Identifier: GPL-2.0-or-later
"""Layouts of the engine that both judges have passed."""

from __future__ import annotations

from nesting.judge.check import check
from nesting.model import Job, Layout
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.plain_judge import faults


def passed_by_both(job: Job, rounds: int) -> Layout:
    """Return a layout after so many rounds, after asserting that neither judge finds a fault."""
    layout = solve(job, stop=AfterRounds(rounds), clock=lambda: 0.0)
    assert check(job, layout) == ()
    assert faults(job, layout) == []
    return layout
