# SPDX-License-Identifier: GPL-2.0-or-later
"""Tighten: from where parts lie now to a shorter clean layout, their order kept.

Parts are pressed together by linear programs on their true outlines (`nesting.press.compaction`),
as they lie and after sliding left and down (`nesting.press.settle`): neither lets a part jump over
another. Where they overlap, or lie off the cloth, they are first moved apart by the same programs,
at the present length if that can be, else at ever greater ones; what still overlaps then is laid
anew into the first place where it fits.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from nesting.cloth.frame import Frame
from nesting.cloth.problem import Part, Problem, Spot, build_problem, needed_length, placements_of
from nesting.errors import JobError
from nesting.geometry.simplify import bases_of
from nesting.jobs.validation import validated
from nesting.judge.check import check_placed
from nesting.judge.verdict import keys_of, part_key
from nesting.model import Job, Layout, Placement
from nesting.press.settle import Settler
from nesting.search.keeper import Keeper, OnProgress
from nesting.stop import Clock, StopRule

if TYPE_CHECKING:
    from nesting.press.compaction import Arrangement

ROUNDS = 40
"""Times that all parts are pressed at most; it ends when nothing moves any more."""
GAIN = 0.01
"""mm: pressing that wins less is not worth another round."""
LONGER = (1.0, 1.005, 1.02, 1.05, 1.1, 1.2, 1.4)
"""How much longer than now a layout may become before overlapping parts are laid anew."""


def tighten(
    job: Job,
    placements: Sequence[Placement],
    *,
    stop: StopRule,
    clock: Clock,
    on_progress: OnProgress | None = None,
) -> Layout:
    """Return a clean layout of all parts of a job, made from where they lie now.

    `placements` hold every copy once, in a turn its piece may take and in its hand; they may
    overlap and lie off the cloth. Held parts of the job stay where they are. The result is never
    longer than what was there when that was clean. `stop` is asked with the number of rounds.
    Raises JobError for a job that cannot be laid, or a copy that is missing or wrongly turned.
    """
    job = validated(job)
    problem = build_problem(job)
    keeper = Keeper(job, problem, seed=0, workers=1, clock=clock, on_progress=on_progress)
    spots = _spots_of(problem, placements)
    keeper.offer(spots, 0)
    keeper.find_bound()
    presser, settler = _Presser(problem), Settler(problem)
    rounds = 0

    def is_cancelled() -> bool:
        keeper.hear(rounds)
        return stop(rounds)

    if None in keeper.spots:
        # Whatever the stop rule says: without it there is no layout to hand out.
        keeper.offer(_repaired(job, problem, presser, spots), 0)
    while rounds < ROUNDS and not keeper.is_perfect and not is_cancelled():
        before = keeper.spots
        keeper.offer(presser.pressed(before, is_cancelled), rounds + 1)
        # A program may leave parts wedged that would have slid past each other.
        settled = settler.settle(before, is_cancelled)
        if settled is not None:
            keeper.offer(presser.pressed(settled, is_cancelled), rounds + 1)
        rounds += 1
        if needed_length(problem, before) - needed_length(problem, keeper.spots) < GAIN:
            break
    return keeper.result(rounds)


def _spots_of(problem: Problem, placements: Sequence[Placement]) -> tuple[Spot, ...]:
    """Return placements as spots of the problem's parts, in their order."""
    known = {key: spot for spot in placements for key in keys_of(spot)}
    return tuple(
        _spot_of(problem, part, known.get(part_key(part.piece, part.copies[0])))
        for part in problem.parts
    )


def _spot_of(problem: Problem, part: Part, placement: Placement | None) -> Spot:
    """Return where a part lies. Raises JobError when it is missing, or lies as it may not."""
    if placement is None:
        raise JobError(f"Copy {part.copies[0]} of piece “{part.piece}” is missing.", part.piece)
    for index in part.shapes:
        lying = problem.shapes[index].orientation
        if lying.flip == placement.flip and lying.turn == placement.turn % 360.0:
            return Spot(index, placement.x, placement.y)
    raise JobError(
        f"Copy {part.copies[0]} of piece “{part.piece}” lies in a turn or hand that it may not "
        "take: turn or flip it back.",
        part.piece,
    )


# --- repairing ----------------------------------------------------------------------------------


def _repaired(
    job: Job, problem: Problem, presser: _Presser, spots: Sequence[Spot]
) -> tuple[Spot | None, ...]:
    """Return the parts moved apart and onto the cloth, as little as can be."""
    length = needed_length(problem, spots)
    for longer in LONGER:
        apart = presser.separated(spots, longer * length)
        if apart is not None and not _faulty(job, problem, apart):
            return apart
    return _laid_anew(job, problem, spots)


def _laid_anew(job: Job, problem: Problem, spots: Sequence[Spot]) -> tuple[Spot | None, ...]:
    """Return the parts with those at fault laid into the first place where they fit.

    Of two that overlap the smaller one moves, as long as there are any.
    """
    from nesting.construct.bottomleft import Constructor  # compiled: seldom needed

    areas = [part.area for part in problem.parts]
    kept: list[Spot | None] = list(spots)
    while faults := _faulty(job, problem, kept):
        at_fault = {index for pair in faults for index in pair}
        kept[min(at_fault, key=lambda index: (areas[index], index))] = None
    still = [index for index, spot in enumerate(kept) if spot is not None]
    moving = [index for index, spot in enumerate(kept) if spot is None]
    moving.sort(key=lambda index: (-areas[index], index))
    laid = Constructor(problem, 0.0).lay((*still, *moving), [kept[index] for index in still])
    assert laid is not None
    return laid


def _faulty(job: Job, problem: Problem, spots: Sequence[Spot | None]) -> list[tuple[int, ...]]:
    """Return the movable parts of each fault that the judge finds in where parts lie."""
    placements, _ = placements_of(problem, spots, job.held)
    pieces = {piece.id: piece for piece in job.pieces}
    index = {
        part_key(part.piece, copy): k
        for k, part in enumerate(problem.parts)
        for copy in part.copies
    }
    violations = check_placed(job.fabric, pieces, placements)
    return [tuple(index[key] for key in one.parts if key in index) for one in violations]


# --- pressing -----------------------------------------------------------------------------------


class _Presser:
    """Presses the parts of one problem on their true outlines, grown by half the gap."""

    def __init__(self, problem: Problem) -> None:
        from nesting.geometry.convex import cut_up
        from nesting.grid.ways import Ways
        from nesting.press.compaction import Press  # compiled, and takes a second to load

        self._problem, self._frame = problem, Frame(problem)
        bases = bases_of(problem.shapes, problem.fabric.gap, 0.0)
        parts = cut_up(problem.shapes, bases)
        sizes = [shape.size for shape in problem.shapes]
        self._press = Press(parts, sizes, self._frame.across, len(problem.parts))
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
