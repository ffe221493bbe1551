# SPDX-License-Identifier: GPL-2.0-or-later
"""Small pieces with match points, and their layouts, judged."""

from __future__ import annotations

from typing import Any

from nesting.judge.check import check
from nesting.model import Job, Layout, Match, Outline, Piece
from nesting.solve import solve
from nesting.stop import AfterRounds

TRIANGLE: Outline = ((0.0, 0.0), (100.0, 0.0), (0.0, 80.0))


def rectangle(length: float, across: float) -> Outline:
    return ((0.0, 0.0), (length, 0.0), (length, across), (0.0, across))


def matched(name: str, outline: Outline, *points: Match, **more: Any) -> Piece:
    return Piece(name, outline, match=points, **more)


def laid(job: Job, rounds: int = 12) -> Layout:
    layout = solve(job, stop=AfterRounds(rounds), clock=lambda: 0.0)
    assert not check(job, layout)
    return layout
