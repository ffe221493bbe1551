# SPDX-License-Identifier: GPL-2.0-or-later
"""From a job on folded cloth, or with a design, to a judged layout; `nesting.solve` does the rest.

On cloth of a fixed length lots are laid one after the other, by priority and then by size, each
beside those before it: what cannot be made to fit within some rounds is left over, until all has
been tried again with more patience. First of all what fits in columns is laid, unsearched, so that
a run that ends early has not left over what plainly fits.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from nesting.cloth.lots import Lot, lots_of
from nesting.cloth.problem import outline_tuple, ranks_of
from nesting.errors import BrokenLayout, JobError
from nesting.geometry.shapes import signed_area, whole_outline
from nesting.judge.flaws import FLAW
from nesting.judge.verdict import keys_of, numbers
from nesting.model import Job, Layout, LeftOver, Placement
from nesting.search.folded import Division, FoldedSearch
from nesting.search.keeper import Kept, OnProgress
from nesting.stop import Clock, StopRule

PATIENCE = 16
"""Rounds in which lots must be made to fit on a fixed length; doubles each time all are tried."""


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
    run = _Run(job, keeper, seed, workers, stop)
    cloth = job.fabric.length
    if cloth is not None:
        run.draft(cloth)
    if cloth is None or run.search(keeper.lots, cloth, PATIENCE):
        run.search(keeper.lots)
    else:
        run.lay_what_goes(cloth)
    return keeper.result(run.rounds, exhausted=not stop(run.rounds))


class _Run:
    """One run of several searches: their rounds add up."""

    def __init__(self, job: Job, keeper: _Keeper, seed: int, workers: int, stop: StopRule) -> None:
        self._job, self._keeper, self._seed, self._workers = job, keeper, seed, workers
        self._stop = stop
        self.rounds = 0

    def search(self, lots: Sequence[Lot], cloth: float = 0.0, patience: int = 0) -> bool:
        """Lay some lots; with an amount of `cloth`, mm, only till they fit or patience ends.

        Returns whether they fit on so much cloth.
        """
        before, least = self.rounds, math.inf

        def should_stop(rounds: int) -> bool:
            self._keeper.hear(before + rounds)
            if cloth and (least <= cloth or rounds >= patience):
                return True
            return self._keeper.is_perfect or self._stop(before + rounds)

        def offer(division: Division, rounds: int) -> None:
            nonlocal least
            least = min(least, division.length)
            if not math.isfinite(division.length):
                return
            if not cloth or division.length <= cloth:
                self._keeper.offer(division, before + rounds)

        search = FoldedSearch(
            self._job,
            lots,
            seed=self._seed + before,
            workers=self._workers,
            offer=offer,
            should_stop=should_stop,
        )
        search.run()
        self.rounds += search.rounds
        return least <= cloth

    def draft(self, cloth: float) -> None:
        """Lay what fits on so much cloth, mm, without a search: it takes no round.

        All lots, else as many as do by priority and size, then whichever others still find room.
        Raises JobError for a lot that fits nowhere.
        """
        ordered = self._keeper.in_order()

        def fits(lots: Sequence[Lot]) -> bool:
            chosen = set(lots)
            return self.search([one for one in self._keeper.lots if one in chosen], cloth)

        if fits(ordered):
            return
        low, high = 0, len(ordered)
        while high - low > 1 and not self._stop(0):
            middle = (low + high) // 2
            low, high = (middle, high) if fits(ordered[:middle]) else (low, middle)
        kept = ordered[:low]
        for lot in ordered[low + 1 :]:
            if self._stop(0):
                return
            if fits([*kept, lot]):
                kept.append(lot)

    def lay_what_goes(self, cloth: float) -> None:
        """Lay as many lots as so much cloth, mm, takes: by priority, then the largest first."""
        every, ordered, patience = self._keeper.lots, self._keeper.in_order(), PATIENCE
        self.search((), cloth, 0)
        while True:
            before, kept = self.rounds, set[Lot]()
            for lot in ordered:
                if self._stop(self.rounds):
                    return
                if self.search(
                    [one for one in every if one in kept or one is lot], cloth, patience
                ):
                    kept.add(lot)
            if len(kept) == len(every):
                self.search(every)
                return
            if self.rounds == before:
                return  # nothing is left to search for
            patience *= 2


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
        self.lots = lots_of(job)
        """Everything that is to be laid."""
        outlines = {piece.id: whole_outline(piece) for piece in job.pieces}
        self._areas = {name: abs(signed_area(ring)) for name, ring in outlines.items()}
        self._outlines = {name: outline_tuple(ring) for name, ring in outlines.items()}
        self._ranks = ranks_of(job.pieces)
        margin = job.fabric.edge_margin
        area = sum(self._area_of(lot) for lot in self.lots) + self._held_area
        # However it is folded, on the flat cloth parts lie side by side.
        self.bound = area / (job.fabric.width - 2.0 * margin) + 2.0 * margin

    def in_order(self) -> list[Lot]:
        """Return all lots in the order in which they get their place on cloth that is too short."""
        return sorted(self.lots, key=lambda lot: (self._ranks[lot.piece], -self._area_of(lot)))

    def offer(self, division: Division, rounds: int) -> None:
        """Judge a division that is better than the best, and keep it if it passes."""
        there = set(division.spread.lots)
        missing = [lot for lot in self.lots if lot not in there]
        left = [0.0] * (max(self._ranks.values()) + 1)
        for lot in missing:
            left[self._ranks[lot.piece]] += self._area_of(lot)
        score = tuple(left), division.length
        self.consider(score, lambda: self._layout(division, missing, rounds), rounds)

    def result(self, rounds: int, *, exhausted: bool = False) -> Layout:
        """Return the best layout. Raises JobError when a held part came to lie over a flaw."""
        try:
            return super().result(rounds, exhausted=exhausted)
        except BrokenLayout as broken:
            held = {key: spot for spot in self._job.held for key in keys_of(spot)}
            kinds = {one.kind for one in self._refused}
            spots = [held[key] for one in self._refused for key in one.parts if key in held]
            if kinds != {FLAW} or not spots:
                raise
            label = next(one.label for one in self._job.pieces if one.id == spots[0].piece)
            raise JobError(
                f"Copy {numbers(spots[0].copies)} of {label} is held where a flaw of the cloth "
                "comes to lie, now that its section begins elsewhere: release it.",
                spots[0].piece,
            ) from broken

    def _area_of(self, lot: Lot) -> float:
        """Return the area of flat cloth, mm2, that a lot covers."""
        return self._areas[lot.piece] * len(lot.copies)

    @property
    def _held_area(self) -> float:
        """The area of flat cloth, mm2, that held parts cover."""
        return sum(self._areas[spot.piece] * len(spot.copies) for spot in self._job.held)

    def _layout(self, division: Division, missing: Sequence[Lot], rounds: int) -> Layout:
        """Return a division as a layout with its figures."""
        placements: list[Placement] = list(self._job.held)
        for stretch in division.stretches:
            placements += stretch.strip.placements(stretch.problem, stretch.spots)
        left: dict[str, tuple[int, ...]] = {}
        for lot in missing:
            left[lot.piece] = (*left.get(lot.piece, ()), *lot.copies)
        return self._made(
            tuple(placements),
            tuple(LeftOver(piece, copies) for piece, copies in left.items()),
            length=division.length,
            area=sum(self._area_of(lot) for lot in division.spread.lots) + self._held_area,
            rounds=rounds,
            outlines=self._outlines,
            sections=() if self._job.fabric.is_plain else division.laid,
        )
