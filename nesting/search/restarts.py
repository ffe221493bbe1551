# SPDX-License-Identifier: GPL-2.0-or-later
"""How long a chain goes on before each step back, when nobody knows how long success takes.

Some jobs ask for other ideas soon, some for patience. A patient chain waits ever longer. Any other
waits mostly a short time, now and then a long one: every length comes up so often that about as
much time is spent on it as on any other. Source: Luby, Sinclair, Zuckerman, "Optimal speedup of Las
Vegas algorithms", Information Processing Letters 47(4), 1993.
"""

from __future__ import annotations

STUCK = 60
"""Targets that are given up one after the other before the first step back."""
STUCK_MORE, STUCK_MOST = 30, 300
"""How many more before each further one, and at most, for a patient chain."""


def targets(step: int, *, is_patient: bool) -> int:
    """Return how many targets are given up before step back 1, 2, 3, ... of a chain.

    Raises ValueError below 1.
    """
    if not is_patient:
        return STUCK * units(step)
    _count_from_one(step)
    return min(STUCK + STUCK_MORE * (step - 1), STUCK_MOST)


def units(beginning: int) -> int:
    """Return for how many units of time beginning 1, 2, 3, ... lasts: 1, 1, 2, 1, 1, 2, 4, 1, ...

    A beginning that ends a block of 2^k - 1 lasts half of 2^k; the next block begins as all before
    it did. Raises ValueError below 1.
    """
    _count_from_one(beginning)
    while beginning & (beginning + 1):
        beginning -= (1 << (beginning.bit_length() - 1)) - 1
    return (beginning + 1) >> 1


def _count_from_one(number: int) -> None:
    """Raise ValueError below 1."""
    if number < 1:
        raise ValueError(f"counted from 1, not {number}")
