# SPDX-License-Identifier: GPL-2.0-or-later
"""One chain of the search: ever shorter targets, untangled on a grid and made exact by programs.

At a target length parts are moved on the grid until hardly any overlap is left
(`nesting.grid.guided`); what is left, and what the grid cost, is put right by linear programs
(`nesting.press.compaction`). The next target is a little shorter than the best layout. The chain
goes on from its own grid state, not from the compacted layout: rounding that back to the grid
spoils it. When patience runs out, the next target is nearer to the best and a large part goes
elsewhere, or two change places.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from nesting.cloth.problem import Spot, needed_length
from nesting.geometry.arrays import Ints
from nesting.grid.choices import LOW_X, NX, Choices, Laid
from nesting.grid.guided import untangle
from nesting.grid.lattice import DEPTHS
from nesting.grid.maps import Grid
from nesting.grid.ways import into_rooms
from nesting.grid.weights import Weighing, alike, by_size
from nesting.press.compaction import Arrangement
from nesting.search.lineage import Found, Lineage, begins_afresh
from nesting.search.reserve import Reserve
from nesting.search.restarts import targets
from nesting.search.table import Table
from nesting.search.tools import Tools, tools_for

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
change places then. They lie near each other: the rest stays as good as it was."""
ADOPT = 1.005
"""A chain whose own best is longer than the shared one by this factor goes on from the latter."""
FAR = 1 << 60
"""More than any sum of depths."""
FINE_ROUNDS = 5
"""Programs on the true outlines for each best layout."""
FINE_TRUST = 10.0
"""How far a part may move in each, scaled: several times what simpler outlines cost."""


@dataclass(eq=False, slots=True)
class Target:
    """A length that a chain tries to reach, and how that goes.

    `along` is the room along the cloth, mm, and `choices` are where parts may lie in it. `least` is
    the least sum of depths so far; since then so many sweeps are `stale` and so many evaluations
    `idle`. States that were made exact in vain are in `tried`; from `near_miss` on it is tried.
    """

    along: float
    choices: Choices
    least: int = FAR
    stale: int = 0
    idle: int = 0
    chunks: int = 0
    near_miss: int = NEAR_MISS
    tried: set[bytes] = field(default_factory=set)

    def hear(self, least: int, stale: int, sweeps: int, used: int) -> bool:
        """Take stock of a chunk; return whether it came nearer than all before it."""
        self.chunks += 1
        if least < self.least:
            self.least, self.stale = least, stale
            self.idle = used * stale // max(1, sweeps)
            return True
        self.stale += sweeps
        self.idle += used
        return False

    def has_stood_still(self, parts: int) -> bool:
        """Return whether nothing has come nearer for long, seen from the number of parts."""
        return self.stale > PATIENCE * parts and self.idle > IDLE * parts


class Chain:
    """One worker's search. `seed`, a number or several, and `number` decide its random choices.

    Every second chain by number is patient, and overlaps weigh alike in it; in the others they
    weigh by the size of parts. What serves one job best is not what serves all.
    """

    def __init__(
        self, table: Table, start: Sequence[Spot], seed: int | Sequence[int], number: int
    ) -> None:
        self._forgiven = FORGIVEN_MOST
        self.take_up(table)
        seeds = [seed] if isinstance(seed, int) else seed
        self._generator = np.random.default_rng([*seeds, number, 1])
        self._seeds = self._generator.integers(1, 1 << 62, 1).astype(np.uint64)
        self._state = self._tools.on_grid([*start, *table.problem.fixed])
        count = self._state.shape[1]
        self._is_patient, self._steps_back = number % 2 == 1, 0
        first = alike(count) if self._is_patient else by_size(table.problem.areas)
        depths = np.zeros((count, count), dtype=np.int32)
        self._weighing = Weighing(first.copy(), first, self._tools.heaviest, depths)
        self._least_state = self._state.copy()
        self.best = Found(needed_length(table.problem, start), tuple(start), self._state.copy())
        self._number, self._lineages = number, 1
        self._origin, self._lineage = self.best, Lineage(self.best)
        self._tidiest, self._reserve = self._least_state, Reserve()
        self._length, self._failed, self._is_apart = self.best.length, 0, False
        self._shrink = FIRST_SHRINK
        self._aim()

    def take_up(self, table: Table) -> None:
        """Go on, with a table of the same problem, with a chain that was laid aside: pickled."""
        self._tools: Tools = tools_for(table)
        self._grid: Grid = table.grid.forgiving(round(self._forgiven * DEPTHS))

    def __getstate__(self) -> dict[str, object]:
        """Return how far the chain is, without what comes from its table."""
        kept = vars(self).items()
        return {name: value for name, value in kept if name not in ("_tools", "_grid")}

    @property
    def is_done(self) -> bool:
        """Return whether no layout can be shorter than the best."""
        least = self._tools.table.least_length
        return self._along(self.best.length) <= least * (1.0 + 1e-9)

    def round(self, is_cancelled: Callable[[], bool]) -> None:
        """Do one round; afterwards `best` is the shortest layout known to this chain."""
        for _ in range(self._tools.round_chunks):
            if is_cancelled() or self.is_done:
                return
            self._step(is_cancelled)
        self._lineage.age += 1
        if self._lineage.is_over:
            self._begin_lineage()

    def adopt(self, shared: Found) -> None:
        """Go on below the best layout of all chains, from its state when far behind it.

        A chain that has stepped back goes its own way, and so does a lineage that is alone.
        """
        if shared.length >= self.best.length:
            return
        self.best = shared
        if self._lineage.alone:
            return
        self._lineage.take(shared)
        if self._is_apart:
            return
        if self._length > shared.length * ADOPT:
            self._state = shared.state.copy()
        self._reach(shared.length)
        self._aim()

    # --- targets ----------------------------------------------------------------------------------

    def _along(self, length: float) -> float:
        """Return the room along a length of cloth, mm."""
        return self._tools.table.frame.along(length)

    def _reach(self, length: float) -> None:
        """Measure the next targets from a length of cloth that has been reached."""
        self._length, self._failed = length, 0
        self._reserve.clear()

    def _aim(self) -> None:
        """Set the next target, and begin afresh with weights and patience."""
        table, movable = self._tools.table, self._tools.movable
        along = max(table.least_length, self._along(self._length) * (1.0 - self._shrink))
        choices = table.ways.on_grid(along, table.grid)
        self._target = Target(along, choices)
        ways = self._ways_of(self._state)
        self._state[:, :movable] = into_rooms(choices, ways, self._state[:, :movable])
        self._weighing.weights[:] = self._weighing.first

    def _give_up(self) -> None:
        """Begin the next target in another state: changed a little, or a step back after many."""
        self._shrink = max(LEAST_SHRINK, self._shrink / 2.0)
        self._failed += 1
        if self._failed < targets(self._steps_back + 1, is_patient=self._is_patient):
            self._reserve.add(self._target.least, self._tidiest)
            self._state = self._reserve.pick(self._generator, self._tidiest)
            self._vary()
            return
        self._step_back()

    def _begin_lineage(self) -> None:
        """Begin another lineage: from the first layout, or from the best, changed about."""
        is_fresh = begins_afresh(self._number, self._lineages)
        self._lineage = Lineage(self._origin if is_fresh else self.best, is_fresh)
        self._lineages += 1
        self._steps_back = 0
        if is_fresh:
            self._is_apart, self._shrink = True, FIRST_SHRINK
            self._reach(self._origin.length)
            self._state = self._origin.state.copy()
        else:
            self._step_back()
        self._aim()

    def _step_back(self) -> None:
        """Change the best layout of the lineage about, with a little more length."""
        best = self._lineage.best
        self._steps_back += 1
        self._is_apart, self._shrink = True, FIRST_SHRINK
        self._reach(best.length * STEP_BACK)  # to aim from: no layout's length
        self._state = best.state.copy()
        movable = self._tools.movable
        count = min(movable, max(2, round(DISTURBED * movable)))
        one = int(self._generator.integers(movable))
        some = self._tools.nearest(self._state, one, count)
        self._state[1:, some] = self._state[1:, self._generator.permutation(some)]

    def _vary(self) -> None:
        """Put one of the larger half of the parts anywhere, or let two about as large swap."""
        larger = self._tools.by_area[: max(2, self._tools.movable // 2)]
        if len(larger) < 2:
            return
        one = int(self._generator.integers(len(larger)))
        if float(self._generator.random()) < ELSEWHERE:
            part = larger[one]
            room = self._target.choices.rooms[self._ways_of(self._state)[part]]
            at = self._generator.integers(room[NX : NX + 2])
            self._state[1:, part] = at + room[LOW_X : LOW_X + 2]
            return
        step = 1 + int(self._generator.integers(min(NEARBY, len(larger) - 1)))
        pair = [larger[one], larger[(one + step) % len(larger)]]
        self._state[1:, pair] = self._state[1:, pair[::-1]]

    def _ways_of(self, state: Ints) -> Ints:
        """Return the way that each movable part has taken on the grid."""
        table, kinds = self._tools.table, state[0, : self._tools.movable]
        places = state[1:, : self._tools.movable].T
        if table.ways.need_corners:
            places = places * table.grid.step + table.grid.offsets[kinds]
        return table.ways.taken(kinds, places)

    # --- steps ------------------------------------------------------------------------------------

    def _step(self, is_cancelled: Callable[[], bool]) -> None:
        """Untangle for a chunk of evaluations, and decide how to go on."""
        target, tools, (kinds, xs, ys) = self._target, self._tools, self._state
        least, *spent = untangle(
            Laid(kinds, xs, ys), tools.movable, target.choices, self._weighing, self._grid.maps,
            self._seeds, tools.chunk, tools.chunk, self._least_state,
        )  # fmt: skip
        if target.hear(least, *spent):
            self._tidiest = self._least_state.copy()
        if least <= target.near_miss and self._made_exact(least, is_cancelled):
            self._forgive(min(FORGIVEN_MOST, self._forgiven * FORGIVE_MORE))
            if target.chunks == 1:
                self._shrink = min(MOST_SHRINK, self._shrink * MUCH_BOLDER)
            else:
                self._shrink = max(self._shrink, min(FIRST_SHRINK, self._shrink * BOLDER))
            self._aim()
        elif least == 0 and self._forgiven > FORGIVEN_LEAST:
            self._forgive(self._forgiven * FORGIVE_LESS)
            self._weighing.weights[:] = self._weighing.first
        elif self._shrink > FIRST_SHRINK and target.chunks == BOLD_CHUNKS:
            self._shrink = max(FIRST_SHRINK, self._shrink / 2.0)
            self._aim()
        elif least == 0 or target.has_stood_still(tools.movable):
            self._give_up()
            self._aim()

    def _forgive(self, cells: float) -> None:
        """Change how much depth the search forgives."""
        if round(cells * DEPTHS) != round(self._forgiven * DEPTHS):
            self._grid = self._tools.table.grid.forgiving(round(cells * DEPTHS))
        self._forgiven = cells

    def _made_exact(self, tangled: int, is_cancelled: Callable[[], bool]) -> bool:
        """Try to make a layout of the least tangled state; keep it when it is the shortest.

        `tangled` is the sum of its depths.
        """
        target, tools = self._target, self._tools
        key = self._least_state.tobytes()
        if key in target.tried:
            return False
        target.tried.add(key)
        press, step = tools.rough, tools.table.grid.step
        laid, ways = tools.off_grid(self._least_state)
        within = self._along(self._length)
        most = max(target.along, min(target.along * LONGER, within * (1.0 - BETTER)))
        apart = press.separated(
            laid, most * press.scale, is_cancelled, HOPELESS * step * press.scale
        )
        if apart is None:
            # Programs cost much: the next try waits for a state half as tangled.
            target.near_miss = tangled // 2
            return False
        pressed = press.compacted(apart, is_cancelled)
        if press.length(pressed) / press.scale < within:
            if tools.fine is not None:
                pressed = tools.fine.compacted(pressed, is_cancelled, FINE_ROUNDS, FINE_TRUST)
            self._keep(pressed, ways)
        return True

    def _keep(self, laid: Arrangement, ways: Ints) -> None:
        """Remember an arrangement as the best layout when it is shorter."""
        spots = self._tools.spots_of(laid, ways)
        length = needed_length(self._tools.table.problem, spots)
        if length < self._length:
            self._reach(length)
        if length < self._lineage.best.length:
            found = Found(length, spots, self._least_state.copy())
            self._lineage.take(found)
            if length < self.best.length:
                self._is_apart = self._lineage.alone = False
                self.best = found
