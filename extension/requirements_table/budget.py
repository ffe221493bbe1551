# SPDX-License-Identifier: GPL-2.0-or-later
"""How many rounds every cell gets, so that all of them end within a stated time.

All cells are laid out for very few rounds first, which tells what rounds cost; then anew for
more, and so on while the time that is left allows. So whatever is finished was given the same
number of rounds in every cell, and the table can be made again without a clock.
"""

from __future__ import annotations

from collections.abc import Sequence

FIRST_ROUNDS = 2
"""Rounds of the first pass, which gives every cell a layout at once."""
WORTH_IT = 1.3
"""By which factor rounds must grow for another pass."""
MOST_GROWTH = 4
"""By which factor at most: few rounds are mostly preparation, and tell little of what many cost."""
SAFE = 0.85
"""Share of what is left that is planned for: other programs want the cores, too."""
MOST_ROUNDS = 1_000_000


def makespan(costs: Sequence[float], rounds: int, workers: int) -> float:
    """Return a bound, in seconds, on all cells on so many workers.

    `costs` are the seconds that a round of each cell takes.
    Source: list scheduling, Graham, "Bounds on multiprocessing timing anomalies", SIAM Journal on
    Applied Mathematics 17(2), 1969: sum / m + (1 - 1 / m) longest.
    """
    share = sum(costs) / workers + (1.0 - 1.0 / workers) * max(costs, default=0.0)
    return rounds * share


def next_rounds(rounds: int, costs: Sequence[float], seconds: float, workers: int) -> int:
    """Return the rounds of another pass after one of `rounds`; 0 when it is not worth while.

    As many as fit into the seconds, but no more than can be told from so few; in two digits, so
    that they are easily typed.
    """
    share = makespan(costs, 1, workers)
    if share <= 0.0:
        return 0
    fit = min(int(SAFE * max(seconds, 0.0) / share), MOST_GROWTH * rounds, MOST_ROUNDS)
    more = _two_digits(fit)
    return more if more >= WORTH_IT * rounds else 0


def _two_digits(number: int) -> int:
    """Return a number rounded down to two digits and noughts."""
    unit = int("1" + "0" * max(len(str(number)) - 2, 0))
    return number // unit * unit
