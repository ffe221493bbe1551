# SPDX-License-Identifier: GPL-2.0-or-later
"""One chain of the search: ever shorter targets, untangled on a grid and made exact by programs.

At a target length parts are moved on the grid until hardly any overlap is left (`nesting.guided`);
what is left, and what the grid cost, is put right by linear programs (`nesting.compaction`). The
next target is a little shorter than the best layout. The chain goes on from its own grid state, not
from the compacted layout: rounding that back to the grid spoils it. When patience runs out, the
next target is nearer to the best and a large part goes elsewhere, or two change places.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from nesting.compaction import Arrangement, Press
from nesting.compiled import IS_COMPILED
from nesting.guided import untangle
from nesting.lattice import DEPTHS, Ints
from nesting.problem import Spot, allowed_box, needed_length
from nesting.reserve import Reserve
from nesting.restarts import targets
from nesting.scan import heaviest
from nesting.table import Table
from nesting.weights import MOST_FIRST, alike, by_size

SLACK = 0.5
"""Cells by which a grid position may pass the end of the cloth; the programs bring it back."""
FORGIVEN_MOST, FORGIVEN_LEAST = 0.5, 0.05
"""Cells of depth that the search forgives and leaves to the programs."""
FORGIVE_LESS, FORGIVE_MORE = 0.8, 1.05
NEAR_MISS = 4 * DEPTHS
"""Sum of depths from which on the programs are tried."""
HOPELESS = 1.0
"""Cells of slack after the first program that separates from which on no other is tried: of all
states that came apart in the end hardly one had so much."""
PATIENCE, IDLE = 2, 25
"""Sweeps and evaluations without progress, for each part, after both of which a target is given up.

That is soon: targets that can be reached mostly are within some hundred evaluations a part.
"""
FIRST_SHRINK, LEAST_SHRINK, MOST_SHRINK = 0.02, 0.005, 0.1
"""Share of the length reached by which the next target is shorter."""
BOLDER, MUCH_BOLDER = 1.5, 2.0
"""How much the shrink grows when a target was reached, and when the first chunk was enough."""
BOLD_CHUNKS = 4
"""Chunks after which a target is made nearer that is more than the first shrink away."""
ELSEWHERE, NEARBY = 0.5, 3
"""How often one part goes anywhere, instead of two changing places; these are at most so far apart
in the order of their areas."""
LONGER = 1.05
"""How much longer than its target a layout may come out of separation."""
BETTER = 1e-4
"""Share of the length reached by which a separated layout must promise to be shorter."""
STEP_BACK, DISTURBED = 1.01, 0.15
"""How much longer than the best a layout may be after a step back, and the share of its parts that
change places then."""
ROUND, ROUND_PARTS, CHUNK = 20_000, 480_000, 500
"""A round is so many evaluations, fewer for many parts; after each chunk the chain takes stock.
Where loops are not compiled a round is one chunk."""
ADOPT = 1.005
"""A chain whose own best is longer than the shared one by this factor goes on from the latter."""
FAR = 1 << 60
"""More than any sum of depths."""
FINE_ROUNDS = 5
"""Programs on the true outlines for each best layout."""
FINE_TRUST = 10.0
"""How far a part may move in each, scaled: several times what simpler outlines cost."""
FROM_TABLE = {
    "_table", "_movable", "_press", "_fine", "_choices", "_choice_starts", "_grid", "_by_area",
    "_heaviest", "_chunk", "_round_chunks",
}  # fmt: skip
"""What a chain has from its table and does not keep when it is laid aside."""


@dataclass(frozen=True, eq=False, slots=True)
class Found:
    """A layout: its length in mm, its spots, and the grid state it came from."""

    length: float
    spots: tuple[Spot, ...]
    state: Ints


class Chain:
    """One worker's search. `seed` and `number` decide its random choices.

    Every second chain by number is patient, and overlaps weigh alike in it; in the others they
    weigh by the size of parts. What serves one job best is not what serves all.
    """

    def __init__(self, table: Table, start: Sequence[Spot], seed: int, number: int) -> None:
        self._forgiven = FORGIVEN_MOST
        self.take_up(table)
        self._generator = np.random.default_rng([seed, number, 1])
        self._seeds = self._generator.integers(1, 1 << 62, 1).astype(np.uint64)
        self._state = self._on_grid([*start, *table.problem.obstacles])
        count = self._state.shape[1]
        self._is_patient, self._steps_back = number % 2 == 1, 0
        self._first = alike(count) if self._is_patient else by_size(table.problem.areas)
        self._weights = self._first.copy()
        self._depths = np.zeros((count, count), dtype=np.int32)
        self._least_state = self._state.copy()
        self.best = Found(needed_length(table.problem, start), tuple(start), self._state.copy())
        self._tidiest, self._reserve = self._least_state, Reserve()
        self._length, self._failed, self._is_apart = self.best.length, 0, False
        self._shrink = FIRST_SHRINK
        self._least, self._stale, self._idle, self._chunks = FAR, 0, 0, 0
        self._aim()

    def take_up(self, table: Table) -> None:
        """Go on, with a table of the same problem, with a chain that was laid aside: pickled."""
        problem = table.problem
        self._table = table
        self._movable = len(problem.parts)
        self._press = Press(table.rough, table.sizes, table.width, self._movable)
        self._fine = (
            None
            if table.true is table.rough
            else Press(table.true, table.sizes, table.width, self._movable)
        )
        self._choices = np.concatenate([np.array(c, dtype=np.int64) for c in table.choices])
        self._choice_starts = np.cumsum([0, *(len(c) for c in table.choices)]).astype(np.int64)
        self._grid = table.grid.forgiving(round(self._forgiven * DEPTHS))
        self._by_area = sorted(range(self._movable), key=lambda k: (-problem.parts[k].area, k))
        count = self._movable + len(problem.obstacles)
        self._heaviest = heaviest(table.grid.cells, count, 2 * MOST_FIRST)
        evaluations = min(ROUND, max(1, ROUND_PARTS // count))
        self._chunk = min(CHUNK, evaluations)
        # Without compiled loops a whole round would take longer than most people wait.
        self._round_chunks = evaluations // self._chunk if IS_COMPILED else 1

    def __getstate__(self) -> dict[str, object]:
        """Return how far the chain is, without what comes from its table."""
        return {name: value for name, value in vars(self).items() if name not in FROM_TABLE}

    @property
    def is_done(self) -> bool:
        """Return whether no layout can be shorter than the best."""
        return self._inner(self.best.length) <= self._table.least_length * (1.0 + 1e-9)

    def round(self, is_cancelled: Callable[[], bool]) -> None:
        """Do one round; afterwards `best` is the shortest layout known to this chain."""
        for _ in range(self._round_chunks):
            if is_cancelled() or self.is_done:
                return
            self._step(is_cancelled)

    def adopt(self, shared: Found) -> None:
        """Go on below the best layout of all chains, from its state when far behind it.

        A chain that has stepped back goes its own way.
        """
        if shared.length >= self.best.length:
            return
        self.best = shared
        if self._is_apart:
            return
        if self._length > shared.length * ADOPT:
            self._state = shared.state.copy()
        self._reach(shared.length)
        self._aim()

    def _reach(self, length: float) -> None:
        """Measure the next targets from a length of cloth that has been reached."""
        self._length, self._failed = length, 0
        self._reserve.clear()

    def _give_up(self) -> None:
        """Begin the next target in another state: changed a little, or a step back after many."""
        self._shrink = max(LEAST_SHRINK, self._shrink / 2.0)
        self._failed += 1
        if self._failed < targets(self._steps_back + 1, is_patient=self._is_patient):
            self._reserve.add(self._least, self._tidiest)
            self._state = self._reserve.pick(self._generator, self._tidiest)
            self._vary()
            return
        self._steps_back += 1
        self._is_apart, self._shrink = True, FIRST_SHRINK
        self._reach(self.best.length * STEP_BACK)  # to aim from: no layout's length
        self._state = self.best.state.copy()
        count = min(self._movable, max(2, round(DISTURBED * self._movable)))
        some = self._generator.choice(self._movable, count, replace=False)
        self._state[1:, some] = self._state[1:, self._generator.permutation(some)]

    def _step(self, is_cancelled: Callable[[], bool]) -> None:
        """Untangle for a chunk of evaluations, and decide how to go on."""
        kinds, xs, ys = self._state
        least, stale, sweeps, used = untangle(
            kinds, xs, ys, self._movable, self._choices, self._choice_starts, self._rooms,
            self._weights, self._first, self._heaviest, self._depths, self._grid.count,
            self._grid.table, self._grid.cells, self._grid.pools, self._seeds, self._chunk,
            self._chunk, self._least_state,
        )  # fmt: skip
        self._chunks += 1
        if least < self._least:
            self._least, self._stale, self._tidiest = least, stale, self._least_state.copy()
            self._idle = used * stale // max(1, sweeps)
        else:
            self._stale += sweeps
            self._idle += used
        if least <= self._near_miss and self._made_exact(least, is_cancelled):
            self._forgive(min(FORGIVEN_MOST, self._forgiven * FORGIVE_MORE))
            if self._chunks == 1:
                self._shrink = min(MOST_SHRINK, self._shrink * MUCH_BOLDER)
            else:
                self._shrink = max(self._shrink, min(FIRST_SHRINK, self._shrink * BOLDER))
            self._aim()
        elif least == 0 and self._forgiven > FORGIVEN_LEAST:
            self._forgive(self._forgiven * FORGIVE_LESS)
            self._weights[:] = self._first
        elif self._shrink > FIRST_SHRINK and self._chunks == BOLD_CHUNKS:
            self._shrink = max(FIRST_SHRINK, self._shrink / 2.0)
            self._aim()
        elif least == 0 or self._is_out_of_patience:
            self._give_up()
            self._aim()

    @property
    def _is_out_of_patience(self) -> bool:
        """Return whether the target has stood still for long, seen from the number of parts."""
        parts = self._movable
        return self._stale > PATIENCE * parts and self._idle > IDLE * parts

    def _made_exact(self, tangled: int, is_cancelled: Callable[[], bool]) -> bool:
        """Try to make a layout of the least tangled state; keep it when it is the shortest.

        `tangled` is the sum of its depths.
        """
        key = self._least_state.tobytes()
        if key in self._tried:
            return False
        self._tried.add(key)
        press, grid = self._press, self._table.grid
        kinds, xs, ys = self._least_state.copy()
        low = (np.column_stack((xs, ys)) * grid.step + grid.offsets[kinds]) * press.scale
        laid = Arrangement(kinds, low[:, 0].copy(), low[:, 1].copy())
        laid = self._with_obstacles(laid)
        promising = self._inner(self._length) * (1.0 - BETTER)
        most = max(self._target, min(self._target * LONGER, promising))
        hopeless = HOPELESS * grid.step * press.scale
        apart = press.separated(laid, most * press.scale, is_cancelled, hopeless)
        if apart is None:
            # Programs cost much: the next try waits for a state half as tangled.
            self._near_miss = tangled // 2
            return False
        pressed = press.compacted(apart, is_cancelled)
        if press.length(pressed) / press.scale < self._inner(self._length):
            if self._fine is not None:
                pressed = self._fine.compacted(pressed, is_cancelled, FINE_ROUNDS, FINE_TRUST)
            self._keep(pressed)
        return True

    def _keep(self, laid: Arrangement) -> None:
        """Remember an arrangement as the best layout when it is shorter."""
        problem, margin = self._table.problem, self._table.problem.fabric.edge_margin
        spots = []
        for part, kind, x, y in zip(problem.parts, laid.shapes, laid.xs, laid.ys, strict=False):
            index = next(k for k in part.shapes if self._table.kinds[k] == kind)
            shape = problem.shapes[index]
            box = allowed_box(problem.fabric, shape, math.inf)
            # Rounding must not carry a part over an edge of the cloth.
            at_x = max(box[0], x / self._press.scale + margin - shape.low[0])
            at_y = y / self._press.scale + margin - shape.low[1]
            spots.append(Spot(index, float(at_x), float(min(max(box[1], at_y), box[3]))))
        length = needed_length(problem, spots)
        if length < self._length:
            self._reach(length)
        if length < self.best.length:
            self._is_apart = False
            self.best = Found(length, tuple(spots), self._least_state.copy())

    def _with_obstacles(self, laid: Arrangement) -> Arrangement:
        """Return an arrangement with the held parts exactly where they lie, not on the grid."""
        problem, margin = self._table.problem, self._table.problem.fabric.edge_margin
        for k, spot in enumerate(problem.obstacles, start=self._movable):
            low = problem.shapes[spot.shape].low
            laid.xs[k] = (spot.x + low[0] - margin) * self._press.scale
            laid.ys[k] = (spot.y + low[1] - margin) * self._press.scale
        return laid

    def _on_grid(self, spots: Sequence[Spot]) -> Ints:
        """Return kinds and grid positions (3, parts) of spots."""
        margin, grid = self._table.problem.fabric.edge_margin, self._table.grid
        state = np.zeros((3, len(spots)), dtype=np.int64)
        for k, spot in enumerate(spots):
            low = self._table.problem.shapes[spot.shape].low
            kind = state[0, k] = self._table.kinds[spot.shape]
            offset = grid.offsets[kind]
            state[1, k] = round((spot.x + low[0] - margin - offset[0]) / grid.step)
            state[2, k] = round((spot.y + low[1] - margin - offset[1]) / grid.step)
        return state

    def _inner(self, length: float) -> float:
        """Return a length of cloth without its margins."""
        return length - 2.0 * self._table.problem.fabric.edge_margin

    def _aim(self) -> None:
        """Set the next target, and begin afresh with weights and patience."""
        table = self._table
        aimed = self._inner(self._length) * (1.0 - self._shrink)
        self._target = max(table.least_length, aimed)
        room = np.array([self._target, table.width])
        free = np.floor((room - table.sizes - table.grid.offsets) / table.grid.step + SLACK)
        self._rooms = np.maximum(free.astype(np.int64) + 1, 1)
        movable = self._state[:, : self._movable]
        for axis in (0, 1):
            movable[1 + axis] = np.minimum(movable[1 + axis], self._rooms[movable[0], axis] - 1)
        self._weights[:] = self._first
        self._least, self._stale, self._idle, self._chunks = FAR, 0, 0, 0
        self._near_miss = NEAR_MISS
        self._tried: set[bytes] = set()

    def _forgive(self, cells: float) -> None:
        """Change how much depth the search forgives."""
        if round(cells * DEPTHS) != round(self._forgiven * DEPTHS):
            self._grid = self._table.grid.forgiving(round(cells * DEPTHS))
        self._forgiven = cells

    def _vary(self) -> None:
        """Put one of the larger half of the parts anywhere, or let two about as large swap."""
        larger = self._by_area[: max(2, self._movable // 2)]
        if len(larger) < 2:
            return
        one = int(self._generator.integers(len(larger)))
        if float(self._generator.random()) < ELSEWHERE:
            part = larger[one]
            self._state[1:, part] = self._generator.integers(self._rooms[self._state[0, part]])
            return
        step = 1 + int(self._generator.integers(min(NEARBY, len(larger) - 1)))
        pair = [larger[one], larger[(one + step) % len(larger)]]
        self._state[1:, pair] = self._state[1:, pair[::-1]]
