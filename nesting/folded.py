# SPDX-License-Identifier: GPL-2.0-or-later
"""From a job on folded cloth to a judged layout, as `nesting.solve` does it for plain cloth."""

from __future__ import annotations

from nesting.cloth.problem import outline_tuple
from nesting.geometry.shapes import signed_area, whole_outline
from nesting.model import Job, Layout, Placement
from nesting.search.folded import Division, FoldedSearch
from nesting.search.keeper import Kept, OnProgress
from nesting.stop import Clock, StopRule


def solve_folded(
    job: Job,
    *,
    seed: int = 0,
    stop: StopRule,
    workers: int = 1,
    clock: Clock,
    on_progress: OnProgress | None = None,
) -> Layout:
    """Return the best layout found on folded cloth until `stop` says enough.

    The job must be valid. Which copies are cut double, or on the fold, and how deep the cloth is
    folded where the job leaves that open, is part of the search. Raises JobError for a job that
    cannot be laid, BrokenLayout if the judge refuses everything.
    """
    keeper = _Keeper(job, seed=seed, workers=workers, clock=clock, on_progress=on_progress)

    def should_stop(rounds: int) -> bool:
        keeper.hear(rounds)
        return keeper.is_perfect or stop(rounds)

    search = FoldedSearch(
        job, seed=seed, workers=workers, offer=keeper.offer, should_stop=should_stop
    )
    keeper.find_bound()
    search.run()
    return keeper.result(search.rounds)


class _Keeper(Kept):
    """Holds the judged layouts of a job on folded cloth."""

    def __init__(
        self,
        job: Job,
        *,
        seed: int,
        workers: int,
        clock: Clock,
        on_progress: OnProgress | None = None,
    ) -> None:
        super().__init__(job, seed=seed, workers=workers, clock=clock, on_progress=on_progress)
        outlines = {piece.id: whole_outline(piece) for piece in job.pieces}
        self._outlines = {name: outline_tuple(ring) for name, ring in outlines.items()}
        self._area = sum(
            abs(signed_area(outlines[piece.id])) * piece.cut * piece.garments
            for piece in job.pieces
        )

    def offer(self, division: Division, rounds: int) -> None:
        """Judge a division that is shorter than the best, and keep it if it passes."""
        self.consider(((0.0,), division.length), lambda: self._layout(division, rounds), rounds)

    def find_bound(self) -> None:
        """Work out the lower bound: what the area needs on the flat cloth, however it is folded."""
        fabric = self._job.fabric
        width = fabric.width - 2.0 * fabric.edge_margin
        self.bound = self._area / width + 2.0 * fabric.edge_margin

    def _layout(self, division: Division, rounds: int) -> Layout:
        """Return a division as a layout with its figures."""
        placements: list[Placement] = []
        for stretch in division.stretches:
            placements += stretch.strip.placements(stretch.problem, stretch.spots)
        return self._made(
            tuple(placements),
            (),
            length=division.length,
            area=self._area,
            rounds=rounds,
            outlines=self._outlines,
            sections=tuple(stretch.laid for stretch in division.stretches),
        )
