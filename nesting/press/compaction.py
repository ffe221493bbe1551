# SPDX-License-Identifier: GPL-2.0-or-later
"""Separation and compaction by linear programs: small overlaps undone, layouts pressed together.

Variables are the moves of all parts, at most a trust distance each, and the length. Near pairs keep
to half-planes (`nesting.press.contacts`); with slack to be made least, the same program separates.
The fabric's width is scaled to 1000, because the solver's tolerances are absolute. Sources: those
of `nesting.press.contacts`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

import numpy as np

from nesting.geometry.arrays import Ints
from nesting.geometry.shapes import Points, starts_of
from nesting.press.contacts import half_planes
from nesting.press.programs import Floats, Rows, least_cost
from nesting.stop import never

SCALE = 1000.0
"""The fabric's width in the units of the programs."""
AT_EDGE = 1e-9
"""Scaled distance within which a greatest corner is the edge of the cloth."""
SEPARATING, COMPACTING = 30.0, 60.0
"""How far a part may move in one program."""
SEPARATED = 1e-6
"""Sum of slack that is none."""
LESS_SLACK = 0.5
"""Separating goes on while each program leaves at most so much of the slack of the one before."""
SHORT = 1e-3
"""What a unit of length costs beside a unit of slack when separating."""
MOST_SEPARATIONS, MOST_COMPACTIONS = 8, 10
SHRUNK = 1e-5
"""When the length shrinks by less, compacting on is not worth it."""
MOST_ROWS = 60_000


@dataclass(frozen=True, eq=False, slots=True)
class Arrangement:
    """Parts by shape, with the low corners of their boxes (scaled, margin taken off).

    `lows` and `highs` (movable, 2) are the least and greatest corners of the parts that may move.
    """

    shapes: Ints
    xs: Floats
    ys: Floats
    lows: Floats
    highs: Floats

    def moved(self, xs: Floats, ys: Floats) -> Arrangement:
        """Return the same parts elsewhere."""
        return Arrangement(self.shapes, xs, ys, self.lows, self.highs)


class Press:
    """Separates and compacts arrangements of one set of shapes.

    `shapes` are convex parts in mm from the low corner of the shape's box, `sizes` the extents of
    the boxes, `width` mm the room across; the first `movable` parts of an arrangement may move.
    `passing` pairs of shapes, named both ways round, may lie over each other.
    """

    def __init__(
        self,
        shapes: Sequence[Sequence[Points]],
        sizes: Sequence[tuple[float, float]],
        width: float,
        movable: int,
        passing: Collection[tuple[int, int]] = (),
    ) -> None:
        self.scale = SCALE / width
        flat = [part * self.scale for parts in shapes for part in parts]
        self._points = np.ascontiguousarray(np.concatenate(flat))
        self._starts = starts_of(flat)
        self._firsts = np.cumsum([0, *(len(parts) for parts in shapes)]).astype(np.int64)
        self._boxes = np.array([[*part.min(axis=0), *part.max(axis=0)] for part in flat])
        self._sizes = np.array(sizes) * self.scale
        self._whole = np.array(
            [
                [
                    *self._boxes[a:b, :2].min(axis=0),
                    *self._boxes[a:b, 2:].max(axis=0),
                ]
                for a, b in zip(self._firsts[:-1], self._firsts[1:], strict=True)
            ]
        )
        self._movable = movable
        self._passing = np.zeros((len(shapes), len(shapes)), dtype=np.bool_)
        for one, other in passing:
            self._passing[one, other] = True
        angles = np.arange(16) * (math.tau / 16)
        self._ways = np.column_stack([np.cos(angles), np.sin(angles)])
        self._rows = np.empty((MOST_ROWS, 3), dtype=np.int64)
        self._values = np.empty((MOST_ROWS, 3))

    def arranged(self, shapes: Ints, corners: Points, lows: Points, highs: Points) -> Arrangement:
        """Return parts as an arrangement: low corners (parts, 2) and their limits are in mm.

        A greatest corner that is an edge of the cloth is exactly so in the programs' units.
        """
        xs, ys = (corners * self.scale).T
        highs = highs * self.scale
        edge = SCALE - self._sizes[shapes[: len(highs)], 1]
        highs[:, 1] = np.where(np.abs(highs[:, 1] - edge) < AT_EDGE, edge, highs[:, 1])
        return Arrangement(shapes, xs.copy(), ys.copy(), lows * self.scale, highs)

    def length(self, laid: Arrangement) -> float:
        """Return the length the parts of an arrangement take, scaled."""
        return float((laid.xs + self._sizes[laid.shapes, 0]).max())

    def separated(
        self,
        laid: Arrangement,
        most: float,
        is_cancelled: Callable[[], bool] = never,
        hopeless: float = math.inf,
    ) -> Arrangement | None:
        """Return the parts moved apart within a scaled length, None when that does not succeed.

        With more slack than `hopeless`, scaled, after the first program no other one is tried.
        """
        movable, sizes = self._movable, self._sizes[laid.shapes]
        xs, ys = laid.xs.copy(), laid.ys.copy()
        (left, low), (right, high) = laid.lows.T, laid.highs.T
        ends = np.maximum(np.minimum(right, most - sizes[:movable, 0]), left)
        xs[:movable] = np.clip(xs[:movable], left, ends)
        ys[:movable] = np.clip(ys[:movable], low, np.maximum(high, low))
        laid, most_slack = laid.moved(xs, ys), hopeless
        for _ in range(MOST_SEPARATIONS):
            step = None if is_cancelled() else self._step(laid, SEPARATING, most, most_slack)
            if step is None:
                return None
            laid, slack = step
            if slack < SEPARATED:
                return laid
            most_slack = max(SEPARATED, LESS_SLACK * slack)
        return None

    def compacted(
        self,
        laid: Arrangement,
        is_cancelled: Callable[[], bool] = never,
        rounds: int = MOST_COMPACTIONS,
        trust: float = COMPACTING,
    ) -> Arrangement:
        """Return the parts of an arrangement free of overlap pressed together; never longer.

        So many programs at most, in each of which a part moves up to `trust`, scaled.
        """
        length = self.length(laid)
        for _ in range(rounds):
            if is_cancelled():
                break
            step = self._step(laid, trust, math.inf, None)
            if step is None:
                break
            shorter = self.length(step[0])
            if shorter > length:
                break
            laid = step[0]
            if length - shorter < SHRUNK:
                break
            length = shorter
        return laid

    def _step(
        self, laid: Arrangement, trust: float, most: float, most_slack: float | None
    ) -> tuple[Arrangement, float] | None:
        """Solve one program; return the moved parts and the slack that was left.

        With `most_slack` it separates; None when more of it is left. Without, it compacts.
        """
        separate = most_slack is not None
        rows, pairs = half_planes(
            laid.shapes, laid.xs, laid.ys, self._movable, self._points, self._starts,
            self._firsts, self._boxes, self._whole, self._passing, trust, separate, self._ways,
            self._rows, self._values,
        )  # fmt: skip
        if rows == MOST_ROWS:
            return None
        slacks = pairs if separate else 0
        limits = self._limits(laid, trust, most, slacks)
        count = 2 * len(laid.shapes) + 1
        cost = np.zeros(count + slacks)
        cost[count - 1] = SHORT if separate else 1.0
        cost[count:] = 1.0
        answer = least_cost(cost, limits, self._rows_of(laid, rows, slacks))
        if answer is None:
            return None
        slack = float(answer[count:].sum())
        if most_slack is not None and slack > most_slack:
            return None
        moves = answer[: count - 1].reshape(-1, 2)
        return laid.moved(laid.xs + moves[:, 0], laid.ys + moves[:, 1]), slack

    def _rows_of(self, laid: Arrangement, rows: int, slacks: int) -> list[Rows]:
        """Return the constraints: half-planes of pairs, and no part beyond the length."""
        one, two, pair = self._rows[:rows].T
        ux, uy, c = self._values[:rows].T
        parts, every = len(laid.shapes), np.arange(len(laid.shapes))
        columns = [2 * one, 2 * one + 1, 2 * two, 2 * two + 1]
        values = [ux, uy, -ux, -uy]
        if slacks:
            columns.append(2 * parts + 1 + pair)
            values.append(np.full(rows, -1.0))
        apart = ux * (laid.xs[two] - laid.xs[one]) + uy * (laid.ys[two] - laid.ys[one]) - c
        length = np.full(parts, 2 * parts)
        ends = Rows(
            np.column_stack([2 * every, length]),
            np.tile([1.0, -1.0], (parts, 1)),
            -(laid.xs + self._sizes[laid.shapes, 0]),
        )
        return [Rows(np.column_stack(columns), np.column_stack(values), apart), ends]

    def _limits(self, laid: Arrangement, trust: float, most: float, slacks: int) -> Floats:
        """Return the least and greatest value of each variable."""
        parts = len(laid.shapes)
        limits = np.zeros((2 * parts + 1 + slacks, 2))
        moves = limits[: 2 * self._movable].reshape(-1, 2, 2)
        at = np.column_stack((laid.xs, laid.ys))[: self._movable]
        down, up = laid.lows - at, laid.highs - at
        # Along the cloth a part that lies too far left must come back; across, one too high.
        moves[:, 0, 0] = np.maximum(-trust, down[:, 0])
        moves[:, 0, 1] = np.maximum(np.minimum(trust, up[:, 0]), down[:, 0])
        moves[:, 1, 1] = np.minimum(trust, up[:, 1])
        moves[:, 1, 0] = np.minimum(np.maximum(-trust, down[:, 1]), moves[:, 1, 1])
        limits[2 * parts] = 0.0, most
        limits[2 * parts + 1 :, 1] = math.inf
        return limits
