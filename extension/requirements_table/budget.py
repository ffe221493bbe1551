# SPDX-License-Identifier: GPL-2.0-or-later
"""How many rounds every cell gets, so that all of them end within a stated time.

All cells are laid out for very few rounds first, which tells what they cost; then each goes on to
more, and so on while the time that is left allows. So whatever is finished was given the same
number of rounds in every cell, and the table can be made again without a clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

PREPARING = 3
"""Rounds in which the search may construct and prepare: they do not tell what later ones cost."""
FIRST_ROUNDS, QUICK_ROUNDS = 4, 2
"""Rounds of the first pass, which gives every cell a layout at once; and when time is short."""
AMPLE = 10.0
"""Seconds of one worker for each cell from which on time is not short."""
WORTH_IT = 1.05
"""By which factor rounds must grow for another pass, in which all is prepared once more."""
MOST_GROWTH = 32
"""By which factor at most: few rounds do not tell what very many cost."""
SAFE = 0.9
"""Share of what is left that is planned for: other programs want the cores, too."""
MOST_ROUNDS = 1_000_000


@dataclass(frozen=True, slots=True)
class Cost:
    """What a cell costs, in seconds: what is prepared, in every pass, and each round."""

    prepared: float
    per_round: float

    def of(self, rounds: int) -> float:
        """Return the seconds of so many rounds."""
        return self.prepared + rounds * self.per_round


FREE = Cost(0.0, 0.0)


def first_rounds(cells: int, seconds: float, workers: int) -> int:
    """Return the rounds of the first pass of a table that may take so many seconds."""
    return FIRST_ROUNDS if seconds * workers >= AMPLE * cells else QUICK_ROUNDS


def makespan(seconds: Sequence[float], workers: int) -> float:
    """Return a bound, in seconds, on doing all cells on so many workers; each takes `seconds`.

    Source: list scheduling, Graham, "Bounds on multiprocessing timing anomalies", SIAM Journal on
    Applied Mathematics 17(2), 1969: sum / m + (1 - 1 / m) longest.
    """
    return sum(seconds) / workers + (1.0 - 1.0 / workers) * max(seconds, default=0.0)


def next_rounds(rounds: int, costs: Sequence[Cost], seconds: float, workers: int) -> int:
    """Return to how many rounds in all another pass goes on from `rounds`; 0: it is not worth it.

    As many as fit into the seconds, but no more than can be told from so few; in two digits, so
    that they are easily typed.
    """
    left = SAFE * seconds - makespan([cost.prepared for cost in costs], workers)
    each = makespan([cost.per_round for cost in costs], workers)
    if each <= 0.0 or left <= 0.0:
        return 0
    more = _two_digits(int(min(rounds + left / each, MOST_GROWTH * rounds, MOST_ROUNDS)))
    return more if more >= WORTH_IT * rounds else 0


def _two_digits(number: int) -> int:
    """Return a number rounded down to two digits and noughts."""
    unit = int("1" + "0" * max(len(str(number)) - 2, 0))
    return number // unit * unit
