# SPDX-License-Identifier: GPL-2.0-or-later
"""Job files that once were, or could be, trouble: each is laid, judged, and must be no longer.

A file that shows a fault is added here with the length it must reach. Lengths are only lowered.
The pieces are invented.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from nesting.jobs.jobfile import job_from_json, job_to_json, layout_from_json, layout_to_json
from nesting.judge.check import check
from nesting.solve import solve
from nesting.stop import AfterRounds

FOLDER = Path(__file__).parent / "jobs"
ROUNDS = 20

AT_MOST = {
    "drawn-far-away": 272.0,
    "fold-and-pairs": 700.0,  # the optimum: the belt is as long
    "held-in-the-middle": 878.0,  # the optimum: with the gap no two yokes lie side by side
    "jigsaw-strip": 400.0,  # the optimum: all cloth is used
    "needles": 250.0,  # the optimum: a needle is as long
    "piece-as-wide-as-the-cloth": 500.0,  # the optimum: all cloth is used
    "quarter-turns-on-nap": 240.0,  # the optimum: the lower bound
    "short-cloth": 600.0,
    "slot-and-tongue": 300.0,  # the optimum: all cloth is used
    "spiral-and-scraps": 220.0,  # the optimum: the spiral is as long
    "two-garments-with-gap": 730.0,
    "words-of-any-script": 104.3,
}
"""Longest length allowed for each file, mm."""


def test_every_file_has_a_length_and_every_length_a_file() -> None:
    assert sorted(path.stem for path in FOLDER.glob("*.json")) == sorted(AT_MOST)


@pytest.mark.parametrize("name", sorted(AT_MOST))
def test_the_job_is_laid_clean_and_no_longer_than_before(name: str) -> None:
    job = job_from_json((FOLDER / f"{name}.json").read_bytes())
    assert job_from_json(job_to_json(job)) == job
    layout = solve(job, stop=AfterRounds(ROUNDS), clock=lambda: 0.0)
    assert check(job, layout) == ()
    assert bool(layout.left_over) == (name == "short-cloth")
    assert layout.length <= AT_MOST[name] + 1e-3
    assert layout_from_json(layout_to_json(layout)) == layout
