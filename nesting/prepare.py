# SPDX-License-Identifier: GPL-2.0-or-later
"""Compiles the search into its cache, so that the first real run need not wait for it.

Loops are compiled when they are first called, so this calls all of them: it lays out a small
invented job, once on cloth without an end and once on cloth that is too short, and then many parts
that all differ.
"""

from __future__ import annotations

from dataclasses import replace

from nesting.model import Fabric, Job, Piece
from nesting.solve import solve
from nesting.stop import AfterRounds

ROUNDS = 8
"""Enough to get from constructing to the chains, their maps and their programs."""

PIECES = (
    Piece("angle", ((0, 0), (90, 0), (90, 30), (30, 30), (30, 80), (0, 80)), cut=4),
    Piece("gore", ((0, 0), (120, 0), (20, 70)), cut=4),
    Piece("patch", ((0, 0), (50, 0), (55, 20), (50, 40), (0, 40)), cut=5, hand="same"),
)
LONG = Job(Fabric(width=200.0, gap=2.0, nap=False), PIECES)
SHORT = replace(LONG, fabric=replace(LONG.fabric, length=150.0))
MANY = Job(
    Fabric(width=400.0, gap=2.0, nap=True),
    tuple(
        Piece(f"wedge {k}", ((0, 0), (60, 0), (40 + k, 20 + k), (0, 30)), cut=2) for k in range(22)
    ),
)


def prepare() -> None:
    """Run the search just far enough that all its loops are compiled."""
    for job in (LONG, SHORT, MANY):
        solve(job, stop=AfterRounds(ROUNDS), clock=lambda: 0.0)
