# SPDX-License-Identifier: GPL-2.0-or-later
"""How the time of a table is dealt out among its cells, so that all of it is used.

All cells are laid out for very few rounds first, which tells what they cost. Then each goes on for
a slice of the time that is left, and whoever is pulled most goes on again, until there is no time
for one more. A slice ends with a round, so every cell is known by its number of rounds, and the
table can be made again without a clock. Times are measured, not guessed: on a busy computer the
slices are as long, and hold fewer rounds.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from nesting.model import Job, Layout

PREPARING = 3
"""Rounds in which the search may construct and prepare: they do not tell what later ones cost."""
FIRST_ROUNDS, QUICK_ROUNDS = 4, 2
"""Rounds of the first pass, which gives every cell a layout at once; and when time is short."""
AMPLE = 10.0
"""Seconds of one worker for each cell from which on time is not short."""
MOST_ROUNDS = 1_000_000
LEAST_SLICE = 3.0
"""Times what it costs to take a cell up again and do one round: a shorter slice is not worth it."""
FOR_ALL = 0.75
"""Share of the time left that all cells get alike; the rest goes where it pulls most."""
CONTRADICTION = 20.0
"""How much a contradiction pulls: with 5 % a cell gets twice the rounds of others.

Chosen so that it hardly matters but for plain failures: on recorded runs rounds for the cells that
look worst gained nothing over as many for all (tests/benchmarks/RESULTS.md).
"""

PLAIN_FAILURE = 0.3
"""Above its bound by more than this share, a cell that was only constructed may lie in two rows
of what fits in one. What is beyond pulls like a contradiction until the first rounds of a search
(measured: such cells stayed 44 to 73 % too long while others had 300 rounds)."""


@dataclass(frozen=True, slots=True)
class Cost:
    """What a cell costs, in seconds: what is prepared, in every slice, and each round."""

    prepared: float
    per_round: float

    def of(self, rounds: int) -> float:
        """Return the seconds of so many rounds."""
        return self.prepared + rounds * self.per_round


FREE = Cost(0.0, 0.0)


def first_rounds(cells: int, seconds: float, workers: int) -> int:
    """Return the rounds of the first pass of a table that may take so many seconds."""
    return FIRST_ROUNDS if seconds * workers >= AMPLE * cells else QUICK_ROUNDS


def slices(
    costs: Mapping[int, Cost], pulls: Mapping[int, float], seconds: float, workers: int
) -> dict[int, float]:
    """Return which cells go on for how many seconds each; none when nothing is worth it any more.

    `costs` and `pulls` are those of the cells that can go on, by their numbers; `seconds` are left
    until the end. Where there is time for all of them, all get the same share of it. Else those
    that are pulled most go on, as many as there is time for.
    """
    least = {number: LEAST_SLICE * cost.of(1) for number, cost in costs.items()}
    fitting = [number for number in costs if costs[number].of(1) <= seconds]
    if not fitting:
        return {}
    each = FOR_ALL * seconds * workers / len(costs)
    if all(each >= least[number] for number in costs):
        return dict.fromkeys(costs, each)
    chosen: dict[int, float] = {}
    free = seconds * workers
    for number in sorted(fitting, key=lambda number: -pulls[number]):
        if free <= 0.0:
            break
        chosen[number] = min(least[number], seconds)
        free -= chosen[number]
    return chosen


def pulls(
    jobs: Sequence[Job], layouts: Sequence[Layout | None], rounds: Sequence[int]
) -> list[float]:
    """Return how much each cell asks for more rounds: contradictions and the bound, by its rounds.

    `rounds` are those that each has had; a cell without a layout does not pull.
    """
    contradictions = [
        0.0 if layout is None else contradiction(number, jobs, layouts)
        for number, layout in enumerate(layouts)
    ]
    return [
        0.0
        if layout is None
        else (1.0 + CONTRADICTION * against + _towards(layout, had)) / max(had, 1)
        for layout, against, had in zip(layouts, contradictions, rounds, strict=True)
    ]


def contradiction(number: int, jobs: Sequence[Job], layouts: Sequence[Layout | None]) -> float:
    """Return by what share of a neighbour's length a cell is longer that should not be longer.

    The same pieces on wider cloth, or on cloth without nap, never need more; nor do as many parts
    that by their bound need less on the same cloth.
    """
    own = layouts[number]
    if own is None:
        return 0.0
    lengths = [
        other.length
        for job, other in zip(jobs, layouts, strict=True)
        if other is not None and _no_longer_than(jobs[number], own, job, other)
    ]
    return max(0.0, own.length / min(lengths, default=own.length) - 1.0)


def _no_longer_than(job: Job, own: Layout, other_job: Job, other: Layout) -> bool:
    """Return whether a cell should need no more than another."""
    mine, theirs = job.fabric, other_job.fabric
    if (mine.is_plain, mine.repeat) != (theirs.is_plain, theirs.repeat):
        return False
    if job.pieces == other_job.pieces:
        return mine.width >= theirs.width and mine.nap <= theirs.nap
    return (
        (mine.width, mine.nap) == (theirs.width, theirs.nap)
        and len(job.pieces) == len(other_job.pieces)
        and len(own.placements) == len(other.placements)
        and own.lower_bound <= other.lower_bound
    )


def _towards(layout: Layout, had: int) -> float:
    """Return how much its bound pulls a cell that has had so many rounds."""
    above = layout.length / layout.lower_bound - 1.0 if layout.lower_bound > 0.0 else 0.0
    failed = max(0.0, above - PLAIN_FAILURE) if had <= PREPARING else 0.0
    return above + CONTRADICTION * failed
