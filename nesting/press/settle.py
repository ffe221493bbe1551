# SPDX-License-Identifier: GPL-2.0-or-later
"""Settling: parts slide left, then down, until they touch, on their true outlines.

A part can slide as far as the least distance, along the way, between an edge of it that faces the
way and an edge of another part that faces it; that distance changes evenly along the common
stretch of two edges, so its least value is at an end. Exact to rounding, without no-fit polygons.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from nesting.cloth.problem import Problem, Spot, room_of
from nesting.geometry.clip import TOUCH, following
from nesting.geometry.lying import Shape, passing_pairs
from nesting.geometry.shapes import Points, oriented
from nesting.geometry.simplify import ARC_TOLERANCE, bases_of
from nesting.stop import never

Floats = NDArray[np.float64]

SWEEPS = 6
"""Times that all parts slide left and down, unless they lie still before."""
STILL = 0.01
"""mm: when no part slides farther in a sweep, the rest is not worth another one."""


@dataclass(frozen=True, eq=False, slots=True)
class _Side:
    """The edges of a shape that face one way: rows (low, high, start, slope).

    An edge spans `low` to `high` across the way and lies at start + slope * (across - low) along
    it. `box` is (least along, least across, most along, most across) of the whole shape.
    """

    edges: Floats
    box: tuple[float, float, float, float]


class Settler:
    """Settles layouts of one problem."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._bases = bases_of(problem.shapes, problem.fabric.gap, 0.0)
        self._passing = passing_pairs(problem.shapes)
        self._sides: dict[tuple[int, int, bool], _Side] = {}
        # Round a corner half the gap is a hair more than half, so parts just the gap apart overlap.
        self._hair = TOUCH + (ARC_TOLERANCE if problem.fabric.gap > 0.0 else 0.0)

    def settle(
        self, spots: Sequence[Spot | None], should_stop: Callable[[], bool] = never
    ) -> tuple[Spot | None, ...] | None:
        """Return the spots with every part slid left and down as far as it goes; None when stopped.

        The spots must be free of overlap, and stay so; no part moves right or up.
        """
        settled = list(spots)
        for _ in range(SWEEPS):
            farthest = 0.0
            for part in _from_the_left(settled):
                if should_stop():
                    return None
                for axis in (0, 1):
                    moved, way = self._slid(settled, part, axis)
                    settled[part] = moved
                    farthest = max(farthest, way)
            if farthest <= STILL:
                break
        return tuple(settled)

    def _slid(self, spots: Sequence[Spot | None], part: int, axis: int) -> tuple[Spot, float]:
        """Return the spot of a part slid along an axis (0 left, 1 down), and how far it slid."""
        spot = spots[part]
        assert spot is not None
        room = room_of(self._problem, self._problem.parts[part], spot.shape).axes[axis]
        at = (spot.x, spot.y)[axis]
        way = at - room.low
        moving = self._side(spot.shape, axis, facing=True)
        others = [*self._problem.fixed, *(s for k, s in enumerate(spots) if k != part)]
        for other in others:
            if way <= 0.0:
                return spot, 0.0
            if other is not None and (spot.shape, other.shape) not in self._passing:
                fixed = self._side(other.shape, axis, facing=False)
                offset = spot.x - other.x, spot.y - other.y
                along, across = offset[axis], offset[1 - axis]
                way = min(way, _clearance(moving, fixed, along, across, self._hair))
        way = room.way_down(at, way)
        if axis == 0:
            return replace(spot, x=spot.x - way), way
        return replace(spot, y=spot.y - way), way

    def _side(self, shape: int, axis: int, *, facing: bool) -> _Side:
        """Return the edges of a shape that face left (axis 0) or down (1), or the other way."""
        key = shape, axis, facing
        if key not in self._sides:
            outline = self._outline(self._problem.shapes[shape])
            self._sides[key] = _side_of(outline, axis, facing)
        return self._sides[key]

    def _outline(self, shape: Shape) -> Points:
        """Return the true outline of a shape, grown by half the gap."""
        turn, flip = shape.orientation.turn, shape.orientation.flip
        return oriented(self._bases[shape.piece], 0.0, turn, flip)


def _from_the_left(spots: Sequence[Spot | None]) -> list[int]:
    """Return the placed parts by their x, then y."""
    placed = [(spot.x, spot.y, part) for part, spot in enumerate(spots) if spot is not None]
    return [part for _, _, part in sorted(placed)]


def _side_of(outline: Points, axis: int, facing: bool) -> _Side:
    """Return the edges of a counter-clockwise outline that face along or against an axis."""
    ends = following(outline)
    along, across = outline[:, axis], outline[:, 1 - axis]
    to_along, to_across = ends[:, axis], ends[:, 1 - axis]
    # Counter-clockwise, edges that run down face left, and edges that run right face down.
    runs = (to_across - across) * (-1.0 if axis == 0 else 1.0)
    kept = runs > 0.0 if facing else runs < 0.0
    forward = kept & (to_across > across)
    low = np.where(forward, across, to_across)[kept]
    high = np.where(forward, to_across, across)[kept]
    start = np.where(forward, along, to_along)[kept]
    end = np.where(forward, to_along, along)[kept]
    edges = np.column_stack([low, high, start, (end - start) / (high - low)])
    box = (float(along.min()), float(across.min()), float(along.max()), float(across.max()))
    return _Side(edges, box)


def _clearance(moving: _Side, fixed: _Side, along: float, across: float, hair: float) -> float:
    """Return how far a shape can slide until it touches another; infinite when it never does.

    (along, across) is the position of the moving shape relative to the fixed one. Edges up to
    `hair` mm within each other touch.
    """
    if moving.box[1] + across >= fixed.box[3] or moving.box[3] + across <= fixed.box[1]:
        return math.inf
    if moving.box[2] + along <= fixed.box[0]:
        return math.inf
    edges = moving.edges + np.array([across, across, along, 0.0])
    edges = edges[(edges[:, 1] > fixed.box[1]) & (edges[:, 0] < fixed.box[3])]
    others = fixed.edges
    others = others[
        (others[:, 1] > moving.box[1] + across) & (others[:, 0] < moving.box[3] + across)
    ]
    low_1, high_1, start_1, slope_1 = edges.T[:, :, None]
    low_2, high_2, start_2, slope_2 = others.T
    low, high = np.maximum(low_1, low_2), np.minimum(high_1, high_2)
    gap_low = start_1 + slope_1 * (low - low_1) - start_2 - slope_2 * (low - low_2)
    gap_high = start_1 + slope_1 * (high - low_1) - start_2 - slope_2 * (high - low_2)
    # Edges the moving one has already passed do not hold it back; those that touch do, and along
    # a steep edge a hair across is a long way.
    touching = hair * (2.0 + np.abs(slope_1) + np.abs(slope_2))
    meets = (high - low > TOUCH) & (gap_low + gap_high >= -2.0 * touching)
    if not meets.any():
        return math.inf
    return max(0.0, float(np.minimum(gap_low, gap_high)[meets].min()))
