# SPDX-License-Identifier: GPL-2.0-or-later
"""What a chain works with, all of it from its table: ways, programs, and how long a round is.

A chain that is laid aside keeps none of it and gets it again from a table of the same problem.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from nesting.cloth.problem import Spot
from nesting.compiled import IS_COMPILED
from nesting.geometry.arrays import Ints
from nesting.grid.scan import heaviest
from nesting.grid.weights import MOST_FIRST
from nesting.press.compaction import Arrangement, Press
from nesting.search.table import Table

ROUND, ROUND_PARTS, CHUNK = 20_000, 480_000, 500
"""A round is so many evaluations, fewer for many parts; after each chunk the chain takes stock.
Where loops are not compiled a round is one chunk."""


@dataclass(frozen=True, eq=False, slots=True)
class Tools:
    """What a chain works with.

    The first `movable` parts may move. `rough` and `fine` are the programs on simplified and on
    true outlines (None where both are the same); `by_area` are the movable parts, largest first;
    no weight passes `heaviest`; a round is so many chunks of so many evaluations.
    """

    table: Table
    movable: int
    rough: Press
    fine: Press | None
    by_area: tuple[int, ...]
    heaviest: int
    chunk: int
    round_chunks: int

    def on_grid(self, spots: Sequence[Spot]) -> Ints:
        """Return kinds and grid positions (3, parts) of spots."""
        table, grid = self.table, self.table.grid
        state = np.zeros((3, len(spots)), dtype=np.int64)
        for k, spot in enumerate(spots):
            kind = state[0, k] = table.kinds[spot.shape]
            corner, offset = table.frame.corner(spot), grid.offsets[kind]
            state[1, k] = round((corner[0] - offset[0]) / grid.step)
            state[2, k] = round((corner[1] - offset[1]) / grid.step)
        return state

    def nearest(self, state: Ints, part: int, count: int) -> Ints:
        """Return so many movable parts of a state: one, and those whose middles are nearest."""
        table, grid = self.table, self.table.grid
        kinds = state[0, : self.movable]
        corners = state[1:, : self.movable].T * grid.step + grid.offsets[kinds]
        middles = corners + np.array(table.sizes)[kinds] / 2.0
        far = np.hypot(*(middles - middles[part]).T)
        far[part] = -1.0
        found: Ints = np.argsort(far, kind="stable")[:count]
        return found

    def off_grid(self, state: Ints) -> tuple[Arrangement, Ints]:
        """Return a grid state as an arrangement for the programs, and the way of each part.

        What is fixed lies there exactly where it is, and not on the grid.
        """
        table, grid = self.table, self.table.grid
        kinds, xs, ys = state.copy()
        corners = np.column_stack((xs, ys)) * grid.step + grid.offsets[kinds]
        ways = table.ways.taken(kinds[: self.movable], corners[: self.movable])
        lows, highs = table.ways.limits(ways, corners[: self.movable])
        for k, spot in enumerate(table.problem.fixed, start=self.movable):
            corners[k] = table.frame.corner(spot)
        return self.rough.arranged(kinds, corners, lows, highs), ways

    def spots_of(self, laid: Arrangement, ways: Ints) -> tuple[Spot, ...]:
        """Return where the parts of an arrangement lie, each in its way."""
        table, scale = self.table, self.rough.scale
        places = zip(table.problem.parts, ways.tolist(), laid.xs, laid.ys, strict=False)
        return tuple(
            table.frame.spot(part, int(table.ways.shapes[way]), (x / scale, y / scale))
            for part, way, x, y in places
        )


def tools_for(table: Table) -> Tools:
    """Return what chains work with on a table's problem."""
    problem = table.problem
    movable = len(problem.parts)
    across = table.frame.across
    count = movable + len(problem.fixed)
    evaluations = min(ROUND, max(1, ROUND_PARTS // count))
    chunk = min(CHUNK, evaluations)
    return Tools(
        table=table,
        movable=movable,
        rough=Press(table.rough, table.sizes, across, movable, table.passing),
        fine=(
            None
            if table.true is table.rough
            else Press(table.true, table.sizes, across, movable, table.passing)
        ),
        by_area=tuple(sorted(range(movable), key=lambda k: (-problem.parts[k].area, k))),
        heaviest=heaviest(table.grid.cells, count, 2 * MOST_FIRST),
        chunk=chunk,
        # Without compiled loops a whole round would take longer than most people wait.
        round_chunks=evaluations // chunk if IS_COMPILED else 1,
    )
