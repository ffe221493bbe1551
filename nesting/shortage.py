# SPDX-License-Identifier: GPL-2.0-or-later
"""When the cloth is too short for all parts: lay as much of their area as it takes.

The search only shortens layouts of all its parts, so it is asked about choices of parts: first
all of them, then, largest first, as much area as the last attempt makes likely to fit. What fits
raises the floor, what does not lowers the ceiling, until no other choice lies between them; then
all is tried again with more patience. What an attempt leaves beyond the end of the cloth is laid
into its holes, so every attempt gives a layout.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from nesting.first import first_layout
from nesting.improver import Improver
from nesting.problem import FIT_TOLERANCE, Problem, Spot, needed_length

PATIENCE = 2
"""Rounds the search may spend on a choice of parts before another is tried; doubles each time."""

Offer = Callable[[Sequence[Spot | None], int], None]


@dataclass(frozen=True, slots=True)
class Shortage:
    """What all attempts share: parts and cloth, the search, and where layouts are handed over.

    `bound` is a length, mm, that no layout of all parts is below.
    """

    problem: Problem
    bound: float
    search: Improver
    seed: int
    workers: int
    offer: Offer
    should_stop: Callable[[int], bool]

    @property
    def cloth(self) -> float:
        """Length of the cloth, mm, with what rounding may add."""
        length = self.problem.fabric.length
        return math.inf if length is None else length + FIT_TOLERANCE

    def lay(self) -> int:
        """Lay as much area as possible until told to stop, or all fits; return the rounds done."""
        areas = [part.area for part in self.problem.parts]
        floor, rounds, patience = 0.0, 0, PATIENCE
        while floor < sum(areas) and not self.should_stop(rounds):
            floor, done = self._close_in(areas, floor, rounds, patience)
            if done == rounds:
                # Nothing is left to search for: asking again would give the same answer.
                break
            rounds, patience = done, 2 * patience
        return rounds

    def _close_in(
        self, areas: Sequence[float], floor: float, rounds: int, patience: int
    ) -> tuple[float, int]:
        """Try choices between floor and ceiling; return the area that fits, and the rounds."""
        total, ceiling = sum(areas), math.inf
        target = total * min(1.0, self.cloth / self.bound) if self.bound > 0.0 else total
        while not self.should_stop(rounds):
            chosen = largest_first(areas, target)
            area = sum(areas[index] for index in chosen)
            if not floor < area < ceiling:
                break
            reached, done = self._attempt(chosen, rounds, patience)
            rounds += done
            if reached <= self.cloth:
                floor = area
                target = 0.5 * (floor + min(ceiling, total))
            else:
                ceiling = area
                target = max(area * self.cloth / reached, 0.5 * (floor + ceiling))
        return floor, rounds

    def _attempt(self, chosen: Sequence[int], before: int, patience: int) -> tuple[float, int]:
        """Search for a layout of the chosen parts; return its length and the rounds it took."""
        problem = self.problem
        open_ended = replace(
            problem,
            parts=tuple(problem.parts[index] for index in chosen),
            fabric=replace(problem.fabric, length=None),
        )
        reached = math.inf

        def take(spots: Sequence[Spot | None], rounds: int) -> None:
            nonlocal reached
            reached = min(reached, needed_length(open_ended, spots))
            whole: list[Spot | None] = [None] * len(problem.parts)
            for index, spot in zip(chosen, spots, strict=True):
                whole[index] = spot
            for filled in self._on_cloth(whole):
                self.offer(filled, before + rounds)

        def enough(rounds: int) -> bool:
            fits = reached <= self.cloth
            return self.should_stop(before + rounds) or fits or rounds >= patience

        start = first_layout(open_ended)
        take(start, 0)
        if enough(0):
            return reached, 0
        # Other rounds, other seed: asked the same twice, the search must not answer the same.
        done = self.search(
            open_ended,
            start,
            seed=self.seed + before,
            workers=self.workers,
            should_stop=enough,
            on_better=take,
        )
        return reached, done

    def _on_cloth(self, spots: Sequence[Spot | None]) -> tuple[tuple[Spot | None, ...], ...]:
        """Return a layout cut off at the end of the cloth, and the same with its holes filled."""
        problem = self.problem
        cut = tuple(
            spot if spot and needed_length(problem, [spot]) <= self.cloth else None
            for spot in spots
        )
        missing = [index for index, spot in enumerate(cut) if spot is None]
        placed = tuple(spot for spot in cut if spot is not None)
        rest = replace(
            problem,
            parts=tuple(problem.parts[index] for index in missing),
            obstacles=(*problem.obstacles, *placed),
        )
        filled = list(cut)
        for index, spot in zip(missing, first_layout(rest), strict=True):
            filled[index] = spot
        return cut, tuple(filled)


def largest_first(areas: Sequence[float], target: float) -> tuple[int, ...]:
    """Return indices of parts whose area is at most `target` in all, large parts first."""
    room, chosen = target * (1.0 + 1e-12), []
    for index in sorted(range(len(areas)), key=lambda index: (-areas[index], index)):
        if areas[index] <= room:
            room -= areas[index]
            chosen.append(index)
    return tuple(sorted(chosen))
