# SPDX-License-Identifier: GPL-2.0-or-later
"""When the cloth is too short for all parts: lay as much of their area as it takes.

The search only shortens layouts of all its parts, so it is asked about choices of parts: first
all of them, then, largest first, as much area as the last attempt makes likely to fit. What fits
raises the floor, what does not lowers the ceiling, until no other choice lies between them; then
all is tried again with more patience. What an attempt leaves beyond the end of the cloth is laid
into its holes, so every attempt gives a layout.

Where pieces have priorities, this is done rank by rank: first with the parts of the first rank
alone, then with those that were laid of it and the parts of the next, and so on.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from nesting.cloth.problem import Problem, Spot, needed_length
from nesting.cloth.remnant import cloth_area
from nesting.cloth.rooms import FIT_TOLERANCE
from nesting.construct.first import first_layout
from nesting.search.choosing import choices
from nesting.search.improver import Improver

TRIES = 100
"""Choices of parts of which layouts are constructed in a round."""
PATIENCE = 2
"""Rounds the search may spend on a choice of parts before another is tried; doubles each time."""


class Shortage:
    """Tries choices of parts on one problem of fixed length.

    `bound` is a length, mm, that no layout of all parts is below; layouts are handed to `offer`,
    and `kept` gives the best of them so far.
    """

    def __init__(
        self,
        problem: Problem,
        *,
        bound: float,
        search: Improver,
        seed: int,
        workers: int,
        offer: Callable[[Sequence[Spot | None], int], None],
        kept: Callable[[], Sequence[Spot | None]],
        should_stop: Callable[[int], bool],
    ) -> None:
        from nesting.construct.bottomleft import (
            Constructor,  # compiled: not loaded for the first layout
        )

        self._problem = problem
        self._bound = bound
        self._search = search
        self._seed = seed
        self._workers = workers
        self._offer = offer
        self._kept = kept
        self._should_stop = should_stop
        self._constructor = Constructor(problem)
        self._areas = [part.area for part in problem.parts]
        self._ranks = [part.rank for part in problem.parts]
        self._tried = Counter[tuple[int, ...]]()
        self._floors: dict[tuple[int, tuple[int, ...]], float] = {}
        length = problem.fabric.length
        self._cloth = math.inf if length is None else length + FIT_TOLERANCE
        self._room = self._area_of_cloth()

    def _area_of_cloth(self) -> float:
        """Return the area, mm2, on which parts may lie; a hair more, which the judge lets pass."""
        fabric = self._problem.fabric
        if fabric.outline:
            return 1.005 * cloth_area(fabric)
        return 1.005 * self._cloth * fabric.width

    def lay(self) -> int:
        """Lay as much area as possible until told to stop, or all fits; return the rounds done."""
        rounds, patience, all_fit = 0, PATIENCE, False
        while not all_fit and not self._should_stop(rounds):
            before = rounds
            for rank in sorted(set(self._ranks)):
                all_fit, rounds = self._close_in(rank, rounds, patience)
                rounds = rounds if all_fit else self._construct(rank, rounds)
            if rounds == before:
                # Nothing is left to search for: asking again would give the same answer.
                break
            patience *= 2
        return rounds

    def _close_in(self, rank: int, rounds: int, patience: int) -> tuple[bool, int]:
        """Try choices of one rank between floor and ceiling, beside what is laid of those before.

        Return whether all parts up to that rank fit, and the rounds.
        """
        laid = self._laid_before(rank)
        own = [index for index, each in enumerate(self._ranks) if each == rank]
        kept = sum(self._areas[index] for index in laid)
        total, ceiling = sum(self._areas[index] for index in sorted((*laid, *own))), math.inf
        floor = self._floors.get((rank, laid), kept)
        target = total
        if self._bound > 0.0:
            target = min(total, sum(self._areas) * (self._cloth / self._bound))
        while not self._should_stop(rounds) and floor < total:
            areas = [self._areas[index] for index in own]
            more = [own[index] for index in largest_first(areas, target - kept)]
            chosen = tuple(sorted((*laid, *more)))
            area = sum(self._areas[index] for index in chosen)
            if not floor < area < ceiling:
                break
            reached, done = self._attempt(chosen, rounds, patience)
            rounds += done
            if reached <= self._cloth:
                floor = area
                target = 0.5 * (floor + min(ceiling, total))
            else:
                ceiling = area
                target = max(area * self._cloth / reached, 0.5 * (floor + ceiling))
        self._floors[rank, laid] = floor
        return floor >= sum(self._areas), rounds

    def _construct(self, rank: int, rounds: int) -> int:
        """Construct layouts of choices of a rank that cover more than the best; return the rounds.

        What was tried least comes first, and of that what covers most: at first in descending order
        of size, later in orders by chance. What is missing then is laid into the holes. All that
        are tried at a time are one round.
        """
        laid = self._laid_before(rank)
        if self._should_stop(rounds):
            return rounds
        open_ones = sorted(self._choices(rank), key=lambda one: self._tried[one])
        for chosen in open_ones[:TRIES]:
            if self._should_stop(rounds):
                break
            chance = np.random.default_rng((self._seed, self._tried[chosen], *chosen))
            self._tried[chosen] += 1
            first = [*laid, *chosen]
            rest = [index for index in range(len(self._areas)) if index not in set(first)]
            ordered = sorted(first, key=self._order_of)
            if self._tried[chosen] > 1:
                ordered = [ordered[k] for k in chance.permutation(len(ordered))]
            filled = self._constructor.lay(
                (*ordered, *sorted(rest, key=self._order_of)),
                should_stop=lambda: self._should_stop(rounds),
            )
            if filled is not None:
                self._offer(filled, rounds + 1)
        return rounds + 1 if open_ones else rounds

    def _order_of(self, index: int) -> tuple[int, float, int]:
        """Return what puts urgent parts before others, and large before small."""
        return self._ranks[index], -self._areas[index], index

    def _choices(self, rank: int) -> list[tuple[int, ...]]:
        """Return choices of parts of a rank that cover more than the best layout does of it."""
        alike: dict[tuple[int, ...], list[int]] = {}
        for index, part in enumerate(self._problem.parts):
            if part.rank == rank:
                alike.setdefault(part.shapes, []).append(index)
        own = sum(
            self._areas[index]
            for index, spot in enumerate(self._kept())
            if spot is not None and self._ranks[index] == rank
        )
        earlier = sum(self._areas[index] for index in self._laid_before(rank))
        return choices(list(alike.values()), self._areas, own + 1.0, self._room - earlier)

    def _laid_before(self, rank: int) -> tuple[int, ...]:
        """Return the parts of earlier ranks that the best layout so far has on the cloth."""
        spots = self._kept()
        return tuple(
            index
            for index, each in enumerate(self._ranks)
            if each < rank and spots[index] is not None
        )

    def _attempt(self, chosen: Sequence[int], before: int, patience: int) -> tuple[float, int]:
        """Search for a layout of the chosen parts; return its length and the rounds it took."""
        parts = tuple(self._problem.parts[index] for index in chosen)
        fabric = replace(self._problem.fabric, length=None)
        open_ended = replace(self._problem, parts=parts, fabric=fabric)
        best: tuple[Spot | None, ...] = first_layout(open_ended)
        reached = needed_length(open_ended, best)

        def take(spots: Sequence[Spot | None], rounds: int) -> None:
            nonlocal best, reached
            length = needed_length(open_ended, spots)
            if length < reached:
                best, reached = tuple(spots), length
                self._offer(self._on_cloth(chosen, best), before + rounds)

        def enough(rounds: int) -> bool:
            fits = reached <= self._cloth
            return self._should_stop(before + rounds) or fits or rounds >= patience

        done = 0
        if not enough(0):
            # Other rounds, other seed: asked the same twice, the search must not answer the same.
            done = self._search(
                open_ended,
                best,
                seed=self._seed + before,
                workers=self._workers,
                should_stop=enough,
                on_better=take,
            )
        self._fill(self._on_cloth(chosen, best), before + done)
        return reached, done

    def _on_cloth(
        self, chosen: Sequence[int], spots: Sequence[Spot | None]
    ) -> tuple[Spot | None, ...]:
        """Return a layout of chosen parts as one of all, cut off at the end of the cloth."""
        whole: list[Spot | None] = [None] * len(self._areas)
        for index, spot in zip(chosen, spots, strict=True):
            if spot and needed_length(self._problem, [spot]) <= self._cloth:
                whole[index] = spot
        return tuple(whole)

    def _fill(self, spots: Sequence[Spot | None], rounds: int) -> None:
        """Hand over a layout, and the same with what is missing laid into its holes."""
        self._offer(spots, rounds)
        placed = [index for index, spot in enumerate(spots) if spot is not None]
        missing = [index for index, spot in enumerate(spots) if spot is None]
        missing.sort(key=lambda index: (self._ranks[index], -self._areas[index], index))
        filled = self._constructor.lay(
            (*placed, *missing),
            [spots[index] for index in placed],
            lambda: self._should_stop(rounds),
        )
        if filled is not None:
            self._offer(filled, rounds)


def largest_first(areas: Sequence[float], target: float) -> tuple[int, ...]:
    """Return indices of parts whose area is at most `target` in all, large parts first."""
    room, chosen = target * (1.0 + 1e-12), []
    for index in sorted(range(len(areas)), key=lambda index: (-areas[index], index)):
        if areas[index] <= room:
            room -= areas[index]
            chosen.append(index)
    return tuple(sorted(chosen))
