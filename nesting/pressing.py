# SPDX-License-Identifier: GPL-2.0-or-later
"""Presses the parts of one problem together from where they lie, and moves apart what overlaps.

What linear programs cannot move apart is laid anew into the first place where it fits.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from nesting.cloth.frame import Frame
from nesting.cloth.problem import Problem, Spot, needed_length
from nesting.geometry.lying import passing_pairs
from nesting.geometry.simplify import bases_of
from nesting.judge.check import check_placed
from nesting.judge.verdict import part_key
from nesting.model import Job, Placement
from nesting.press.settle import Settler

if TYPE_CHECKING:
    from nesting.press.compaction import Arrangement

LONGER = (1.0, 1.005, 1.02, 1.05, 1.1, 1.2, 1.4)
"""How much longer than now a layout may become before overlapping parts are laid anew."""


@dataclass(frozen=True, eq=False, slots=True)
class Bed:
    """Parts that are pressed together: their problem, and what its spots mean on a job's cloth.

    `placed` returns the placements of spots, and of what is held beside them.
    """

    job: Job
    problem: Problem
    placed: Callable[[Sequence[Spot | None]], Sequence[Placement]]


class Bench:
    """Presses the parts of one bed."""

    def __init__(self, bed: Bed) -> None:
        self._bed = bed
        self._presser, self._settler = Presser(bed.problem), Settler(bed.problem)

    def repaired(self, spots: Sequence[Spot]) -> tuple[Spot | None, ...]:
        """Return the parts moved apart and onto the cloth, as little as can be."""
        length = needed_length(self._bed.problem, spots)
        for longer in LONGER:
            apart = self._presser.separated(spots, longer * length)
            if apart is not None and not _faulty(self._bed, apart):
                return apart
        return _laid_anew(self._bed, spots)

    def pressed(
        self, spots: Sequence[Spot | None], is_cancelled: Callable[[], bool]
    ) -> Iterator[tuple[Spot, ...]]:
        """Yield parts that do not overlap pressed together, as they lie and after sliding."""
        yield self._presser.pressed(spots, is_cancelled)
        # A program may leave parts wedged that would have slid past each other.
        settled = self._settler.settle(spots, is_cancelled)
        if settled is not None:
            yield self._presser.pressed(settled, is_cancelled)


# --- repairing ----------------------------------------------------------------------------------


def _laid_anew(bed: Bed, spots: Sequence[Spot]) -> tuple[Spot | None, ...]:
    """Return the parts with those at fault laid into the first place where they fit.

    Of two that overlap the smaller one moves, as long as there are any.
    """
    from nesting.construct.bottomleft import Constructor  # compiled: seldom needed

    areas = [part.area for part in bed.problem.parts]
    kept: list[Spot | None] = list(spots)
    while faults := _faulty(bed, kept):
        at_fault = {index for pair in faults for index in pair}
        kept[min(at_fault, key=lambda index: (areas[index], index))] = None
    still = [index for index, spot in enumerate(kept) if spot is not None]
    moving = [index for index, spot in enumerate(kept) if spot is None]
    moving.sort(key=lambda index: (-areas[index], index))
    laid = Constructor(bed.problem, 0.0).lay((*still, *moving), [kept[index] for index in still])
    assert laid is not None
    return laid


def _faulty(bed: Bed, spots: Sequence[Spot | None]) -> list[tuple[int, ...]]:
    """Return the movable parts of each fault that the judge finds in where parts lie."""
    pieces = {piece.id: piece for piece in bed.job.pieces}
    index = {
        part_key(part.piece, copy): k
        for k, part in enumerate(bed.problem.parts)
        for copy in part.copies
    }
    violations = check_placed(bed.job.fabric, pieces, bed.placed(spots))
    return [tuple(index[key] for key in one.parts if key in index) for one in violations]


# --- pressing -----------------------------------------------------------------------------------


class Presser:
    """Presses the parts of one problem on their true outlines, grown by half the gap."""

    def __init__(self, problem: Problem) -> None:
        from nesting.geometry.convex import cut_up
        from nesting.grid.ways import Ways
        from nesting.press.compaction import Press  # compiled, and takes a second to load

        self._problem, self._frame = problem, Frame(problem)
        bases = bases_of(problem.shapes, problem.fabric.gap, 0.0)
        parts = cut_up(problem.shapes, bases)
        sizes = [shape.size for shape in problem.shapes]
        passing = passing_pairs(problem.shapes)
        self._press = Press(parts, sizes, self._frame.across, len(problem.parts), passing)
        # Every shape is a kind of its own here.
        self._ways = Ways(self._frame, np.arange(len(problem.shapes)), sizes)

    def separated(self, spots: Sequence[Spot], length: float) -> tuple[Spot, ...] | None:
        """Return parts moved apart within a length of cloth in mm, None when that fails."""
        most = self._frame.along(length) * self._press.scale
        apart = self._press.separated(self._arranged(spots), most)
        return None if apart is None else self._spots(spots, apart)

    def pressed(
        self, spots: Sequence[Spot | None], is_cancelled: Callable[[], bool]
    ) -> tuple[Spot, ...]:
        """Return parts that do not overlap pressed together."""
        there = [spot for spot in spots if spot is not None]
        return self._spots(there, self._press.compacted(self._arranged(there), is_cancelled))

    def _arranged(self, spots: Sequence[Spot]) -> Arrangement:
        """Return spots, and behind them what is fixed, for the programs."""
        every = [*spots, *self._problem.fixed]
        shapes = np.array([spot.shape for spot in every], dtype=np.int64)
        corners = np.array([self._frame.corner(spot) for spot in every]).reshape(-1, 2)
        count = len(spots)
        ways = self._ways.taken(shapes[:count], corners[:count])
        return self._press.arranged(shapes, corners, *self._ways.limits(ways, corners[:count]))

    def _spots(self, spots: Sequence[Spot], laid: Arrangement) -> tuple[Spot, ...]:
        """Return where the programs moved parts."""
        scale = self._press.scale
        places = zip(self._problem.parts, spots, laid.xs, laid.ys, strict=False)
        return tuple(
            self._frame.spot(part, spot.shape, (float(x) / scale, float(y) / scale))
            for part, spot, x, y in places
        )
