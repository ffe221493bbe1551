# SPDX-License-Identifier: GPL-2.0-or-later
"""A window of a long layout: some neighbouring parts laid closer together, all others lying still.

What is left of the window does not move; what is right of it moves to the left as one, and how far
is what the window gains. So a chain searches among a few dozen shapes, however many there are in
all, and maps are made only of pairs that come near each other.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from nesting.cloth.clump import clump_of
from nesting.cloth.problem import Fixed, Part, Problem, Spot
from nesting.cloth.rooms import Axis, Room
from nesting.search.chain import Chain
from nesting.search.table import build_table

SLACK, MOST = 0.5, 0.4
"""Sides of a square as large as the mean of the parts by which parts may leave the window to either
side, and which it may gain at once."""


@dataclass(frozen=True, eq=False, slots=True)
class Window:
    """Which parts a window moves, and which lie left and right of them; indices."""

    left: tuple[int, ...]
    moved: tuple[int, ...]
    right: tuple[int, ...]


def from_the_left(problem: Problem, spots: Sequence[Spot]) -> list[int]:
    """Return the parts by where the middles of their boxes lie along the cloth."""
    shapes = problem.shapes
    middles = [
        spot.x + (shapes[spot.shape].low[0] + shapes[spot.shape].high[0]) / 2.0 for spot in spots
    ]
    return sorted(range(len(spots)), key=lambda part: (middles[part], part))


def searched(
    problem: Problem,
    spots: Sequence[Spot],
    window: Window,
    *,
    rounds: int,
    seed: Sequence[int],
    number: int,
    is_cancelled: Callable[[], bool],
) -> tuple[Spot, ...]:
    """Return where all parts lie after so many rounds of a chain in a window.

    `seed` and `number` decide the choices of the chain, as in `nesting.search.chain.Chain`.
    The problem has nothing fixed, and no part is narrowed. Raises Stopped when cancelled.
    """
    side = math.sqrt(problem.area / len(problem.parts))
    view = _View(problem, spots, window, side)
    table = build_table(view.problem, is_cancelled, side=side)
    chain = Chain(table, view.start, seed, number)
    for _ in range(rounds):
        if chain.is_done or is_cancelled():
            break
        chain.round(is_cancelled)
    return view.applied(chain.best.spots)


class _View:
    """The problem of a window: its parts, what is near to the left, and all to the right as one."""

    def __init__(
        self, problem: Problem, spots: Sequence[Spot], window: Window, side: float
    ) -> None:
        self._spots, self._window = tuple(spots), window
        shapes, margin = problem.shapes, problem.fabric.edge_margin
        low = {part: spot.x + shapes[spot.shape].low[0] for part, spot in enumerate(spots)}
        high = {part: spot.x + shapes[spot.shape].high[0] for part, spot in enumerate(spots)}
        start = min(low[part] for part in (*window.moved, *window.right)) - SLACK * side
        self._before = max(0.0, start - margin)
        end = max(high[part] for part in window.moved) + SLACK * side
        gap = problem.fabric.gap
        near_left = [part for part in window.left if high[part] + gap > self._before + margin]
        near_right = [part for part in window.right if low[part] - gap < end]
        parts = [problem.parts[part] for part in window.moved]
        self.start = [self._seen(spots[part]) for part in window.moved]
        kept = shapes
        if near_right:
            ends = end - self._before - MOST * side
            parts = [
                replace(
                    part,
                    rooms=tuple(
                        Room(Axis(high=ends - shapes[shape].high[0])) for shape in part.shapes
                    ),
                )
                for part in parts
            ]
            rest = clump_of(shapes, [self._seen(spots[part]) for part in near_right])
            room = Room(Axis(low=-MOST * side), Axis(0.0, 0.0))
            # As small as the least, so that it is not what is put elsewhere.
            area = min(part.area for part in parts)
            parts.append(Part(rest.piece, (), 0, area, (len(shapes),), rooms=(room,)))
            self.start.append(Spot(len(shapes), 0.0, 0.0))
            kept = (*shapes, rest)
        fixed = [self._seen(spots[part]) for part in near_left]
        used = sorted(
            {shape for part in parts for shape in part.shapes} | {spot.shape for spot in fixed}
        )
        self._used = used
        number = {shape: k for k, shape in enumerate(used)}
        self.problem = Problem(
            replace(problem.fabric, length=None),
            tuple(
                replace(part, shapes=tuple(number[shape] for shape in part.shapes))
                for part in parts
            ),
            tuple(kept[shape] for shape in used),
            tuple(Fixed(number[spot.shape], spot.x, spot.y) for spot in fixed),
            {},
        )
        self.start = [replace(spot, shape=number[spot.shape]) for spot in self.start]

    def _seen(self, spot: Spot) -> Spot:
        """Return where a spot of the whole cloth lies in the window."""
        return Spot(spot.shape, spot.x - self._before, spot.y)

    def applied(self, found: Sequence[Spot]) -> tuple[Spot, ...]:
        """Return where all parts lie when those of the window lie as found in it."""
        spots = list(self._spots)
        for part, spot in zip(self._window.moved, found, strict=False):
            spots[part] = Spot(self._used[spot.shape], spot.x + self._before, spot.y)
        if len(found) > len(self._window.moved):
            for part in self._window.right:
                spots[part] = replace(spots[part], x=spots[part].x + found[-1].x)
        return tuple(spots)
