# SPDX-License-Identifier: GPL-2.0-or-later
"""One section's share of a layout while it is searched for: a plain search on its strip.

It can be laid aside after any number of rounds and gone on with, so that several can take turns.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from nesting.cloth.bounds import lower_bound
from nesting.cloth.problem import Problem, Spot, room_of
from nesting.cloth.rooms import ON_STEP
from nesting.cloth.strip import Chosen, Strip
from nesting.construct.first import first_layout
from nesting.geometry.lying import keep_apart
from nesting.model import LaidSection

if TYPE_CHECKING:
    from nesting.search.team import Standing

ALONE = 4
"""Rounds after which nothing is expected any more of a part that lies alone."""
HAIR = 1e-6
"""mm by which a strip may be longer than its bound and count as the shortest."""


class Stretch:
    """The parts of one section and where they lie best so far; `rounds` were spent on it.

    It begins at the cut end, unless it is told otherwise: that is where flaws are counted from.
    """

    def __init__(self, strip: Strip, chosen: Chosen, tilting: tuple[str, ...]) -> None:
        self.strip, self.problem = strip, strip.problem(chosen)
        self._chosen, self._tilting = chosen, tilting
        self._flaws = strip.flaws(0.0)
        self._before: Standing | None = None
        self._bound: float | None = None
        self.rounds = 0
        self.is_done = not self.problem.problem.parts
        self.is_matched = strip.is_matched(self.problem)
        self.spots: tuple[Spot | None, ...] = first_layout(self.problem.problem)
        self.laid = strip.laid(self.problem, self.spots)

    @property
    def length(self) -> float:
        """The mm of flat cloth that it takes; infinite while a part has no place."""
        return math.inf if None in self.spots else self.laid.length

    @property
    def bound(self) -> float:
        """The mm of flat cloth that no layout of these parts on this section is below."""
        if self._bound is None:
            self._bound = self._least().length
        return self._bound

    def begin_from(self, other: Stretch) -> None:
        """Begin with where parts lay on the same strip; what is new goes into the holes.

        Not where match points lie elsewhere in the repeat.
        """
        spots = self.problem.moved_from(other.problem, other.spots)
        if not self._may_lie(spots):
            return
        spots = self._clear_of_flaws(spots)
        if None in spots:
            spots = self._filled(spots)
        if None not in spots:
            self._take(spots)

    def begin_at(self, begin: float) -> None:
        """Let the section begin so many mm from the cut end: its flaws lie elsewhere on it then.

        What would lie over one goes into the holes.
        """
        flaws = self.strip.flaws(begin)
        if flaws == self._flaws:
            return
        self._flaws, self.problem = flaws, self.strip.problem(self._chosen, begin)
        self._before = self._bound = None
        self.is_done = not self.problem.problem.parts
        spots = self._clear_of_flaws(self.spots)
        if None in spots:
            spots = self._filled(spots)
        self.spots = first_layout(self.problem.problem) if None in spots else spots
        self.laid = self.strip.laid(self.problem, self.spots)

    def go_on(
        self,
        rounds: int,
        *,
        seed: int,
        workers: int,
        should_stop: Callable[[int], bool],
        on_better: Callable[[int], None],
    ) -> int:
        """Search for so many rounds more, or until told to stop; return the rounds done.

        `should_stop` and `on_better` are told how many of them are done.
        """
        from nesting.search.team import Search  # compiled, and takes a second to load

        if self.length <= self.bound + HAIR:
            self.is_done = True
        if self.is_done:
            return 0
        search = Search(self._before)
        start = 0 if self._before is None else self._before.rounds

        def enough(done: int) -> bool:
            if self.length <= self.bound + HAIR:
                return True
            return done - start >= rounds or should_stop(done - start)

        def better(spots: tuple[Spot, ...], done: int) -> None:
            if self._take(spots):
                on_better(max(0, done - start))

        done = search(
            self.problem.problem,
            self.spots,
            seed=seed,
            workers=workers,
            should_stop=enough,
            on_better=better,
        )
        self._before = search.standing
        self.rounds += done - start
        is_alone = len(self.problem.problem.parts) == 1 and self.rounds >= ALONE
        nothing_left = done - start < rounds and not should_stop(done - start)
        self.is_done = is_alone or nothing_left or self.length <= self.bound + HAIR
        return done - start

    def _may_lie(self, spots: Sequence[Spot | None]) -> bool:
        """Return whether parts lie on the steps of their rooms."""
        problem = self.problem.problem
        for part, spot in zip(problem.parts, spots, strict=True):
            if spot is not None and part.rooms:
                along, across = room_of(problem, part, spot.shape).axes
                off = abs(along.nearest(spot.x) - spot.x), abs(across.nearest(spot.y) - spot.y)
                if max(off) > ON_STEP:
                    return False
        return True

    def _clear_of_flaws(self, spots: tuple[Spot | None, ...]) -> tuple[Spot | None, ...]:
        """Return spots without those that may lie over a flaw, by their boxes."""
        problem = self.problem.problem
        flaws = [one for one in problem.fixed if not one.counts]
        return tuple(
            None if spot and any(_may_meet(problem, spot, flaw) for flaw in flaws) else spot
            for spot in spots
        )

    def _take(self, spots: tuple[Spot | None, ...]) -> bool:
        """Take spots that are shorter than those so far; return whether they are."""
        laid = self.strip.laid(self.problem, spots)
        if laid.length >= self.length - HAIR:
            return False
        self.spots, self.laid = spots, laid
        return True

    def _filled(self, spots: tuple[Spot | None, ...]) -> tuple[Spot | None, ...]:
        """Return spots with what has none laid into the first hole where it fits."""
        from nesting.construct.bottomleft import Constructor  # compiled as well

        areas = [part.area for part in self.problem.problem.parts]
        placed = [index for index, spot in enumerate(spots) if spot is not None]
        missing = [index for index, spot in enumerate(spots) if spot is None]
        missing.sort(key=lambda index: (-areas[index], index))
        laid = Constructor(self.problem.problem).lay(
            (*placed, *missing), [spots[index] for index in placed]
        )
        return spots if laid is None else laid

    def _least(self) -> LaidSection:
        """Return the section with the least length that its parts can need."""
        return self.strip.laid_for(lower_bound(self.problem.problem, self._tilting))


def _may_meet(problem: Problem, spot: Spot, flaw: Spot) -> bool:
    """Return whether what lies at a spot comes nearer to a flaw than the gap, by their boxes."""
    shape, other = problem.shapes[spot.shape], problem.shapes[flaw.shape]
    apart, near = problem.fabric.gap, keep_apart(shape, other)
    along = (
        (spot.x + shape.low[0], spot.x + shape.high[0]),
        (
            flaw.x + other.low[0],
            flaw.x + other.high[0],
        ),
    )
    across = (
        (spot.y + shape.low[1], spot.y + shape.high[1]),
        (
            flaw.y + other.low[1],
            flaw.y + other.high[1],
        ),
    )
    return near and all(
        one[0] < two[1] + apart and two[0] < one[1] + apart for one, two in (along, across)
    )
