# SPDX-License-Identifier: GPL-2.0-or-later
"""A search run on a problem from its first layout, with all that it handed over."""

from __future__ import annotations

from collections.abc import Callable

from nesting.cloth.problem import Problem, Spot
from nesting.construct.first import first_layout
from nesting.search.improver import Improver
from nesting.stop import AfterRounds

Better = list[tuple[tuple[Spot, ...], int]]
"""Layouts in the order in which they were handed over, each with the rounds done by then."""


def searched(
    search: Improver,
    problem: Problem,
    rounds: int,
    seed: int = 1,
    workers: int = 1,
    stop: Callable[[int], bool] | None = None,
) -> tuple[int, Better]:
    """Return the rounds done and what was handed over; `stop` instead of after some rounds."""
    better: Better = []
    done = search(
        problem,
        first_layout(problem),
        seed=seed,
        workers=workers,
        should_stop=stop or AfterRounds(rounds),
        on_better=lambda spots, number: better.append((spots, number)),
    )
    return done, better
