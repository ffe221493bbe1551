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
from dataclasses import replace

from nesting.first import first_layout
from nesting.improver import Improver
from nesting.problem import FIT_TOLERANCE, Problem, Spot, needed_length

PATIENCE = 2
"""Rounds the search may spend on a choice of parts before another is tried; doubles each time."""


class Shortage:
    """Tries choices of parts on one problem of fixed length.

    `bound` is a length, mm, that no layout of all parts is below; layouts are handed to `offer`.
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
        should_stop: Callable[[int], bool],
    ) -> None:
        from nesting.bottomleft import Constructor  # compiled: not loaded for the first layout

        self._problem = problem
        self._bound = bound
        self._search = search
        self._seed = seed
        self._workers = workers
        self._offer = offer
        self._should_stop = should_stop
        self._constructor = Constructor(problem)
        self._areas = [part.area for part in problem.parts]
        length = problem.fabric.length
        self._cloth = math.inf if length is None else length + FIT_TOLERANCE

    def lay(self) -> int:
        """Lay as much area as possible until told to stop, or all fits; return the rounds done."""
        floor, rounds, patience = 0.0, 0, PATIENCE
        while floor < sum(self._areas) and not self._should_stop(rounds):
            floor, done = self._close_in(floor, rounds, patience)
            if done == rounds:
                # Nothing is left to search for: asking again would give the same answer.
                break
            rounds, patience = done, 2 * patience
        return rounds

    def _close_in(self, floor: float, rounds: int, patience: int) -> tuple[float, int]:
        """Try choices between floor and ceiling; return the area that fits, and the rounds."""
        total, ceiling = sum(self._areas), math.inf
        target = total * min(1.0, self._cloth / self._bound) if self._bound > 0.0 else total
        while not self._should_stop(rounds):
            chosen = largest_first(self._areas, target)
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
        return floor, rounds

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
        missing.sort(key=lambda index: (-self._areas[index], index))
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
