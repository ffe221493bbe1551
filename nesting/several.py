# SPDX-License-Identifier: GPL-2.0-or-later
"""Several pieces of cloth as one question: what lies on which, and where.

What a piece of cloth holds is asked of the engine, in short runs; what lies on which follows from
that (`search.sharing`). While not all is laid the runs become longer, later those that shorten what
lies on each. The rounds of all runs add up.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

from nesting import ENGINE
from nesting.cloth.hands import hands_of
from nesting.cloth.problem import ranks_of
from nesting.cloth.remnant import cloth_area
from nesting.errors import JobError, PieceTooWide
from nesting.geometry.shapes import signed_area, whole_outline
from nesting.model import Fabric, Job, LaidFabric, Layout, LeftOver, Lot, Piece, Placement
from nesting.search.sharing import Cost, Kind, Load, Score, Share, Sharing, Unit
from nesting.stop import AfterRounds, AnyOf, Clock, StopRule

PROBE = 4
"""Rounds of a short run at first; doubles when all has been asked."""

Copies = Mapping[str, tuple[int, ...]]
"""Copies of pieces, by number, with the id of the piece."""


class Solve(Protocol):
    """The engine on one piece of cloth."""

    def __call__(
        self, job: Job, *, seed: int, stop: StopRule, workers: int, clock: Clock
    ) -> Layout:
        """Return a judged layout of a job; see `nesting.solve`."""


@dataclass(frozen=True, eq=False, slots=True)
class Shared:
    """What lies on which cloth: by its number, from 1, the job of what is laid there, and how.

    `left_over` is laid nowhere. `score`, less of which is better: the area of that, mm2, for each
    rank, then how many cloths are used, their area, and how far parts are parted.
    """

    jobs: Mapping[int, Job]
    layouts: Mapping[int, Layout]
    left_over: tuple[LeftOver, ...]
    score: tuple[Score, Cost]


@dataclass(frozen=True, eq=False, slots=True)
class _Level:
    """The units that are kept together, each with the copies that make it, as often as it is."""

    units: tuple[Unit, ...]
    copies: tuple[tuple[Copies, ...], ...]


@dataclass(eq=False, slots=True)
class Several:
    """Shares the parts of a job out among its `fabrics`. The job must be valid.

    `stop` is asked with the rounds of all runs so far, which `rounds` counts.
    """

    job: Job
    seed: int
    workers: int
    stop: StopRule
    clock: Clock
    solve: Solve
    rounds: int = 0
    _kinds: dict[tuple[str, tuple[bool, ...]], tuple[int, ...]] = field(init=False)
    _levels: tuple[_Level, ...] = field(init=False)
    _held: dict[tuple[int, Load], Layout] = field(init=False, default_factory=dict)
    _too_wide: dict[str, dict[int, PieceTooWide]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        kinds: dict[tuple[str, tuple[bool, ...]], list[int]] = {}
        for piece in self.job.pieces:
            for copy in piece.numbers:
                kinds.setdefault((piece.id, hands_of(piece, copy)), []).append(copy)
        self._kinds = {kind: tuple(copies) for kind, copies in kinds.items()}
        self._levels = tuple(self._made_levels())

    def shared(self, patience: int = PROBE) -> Shared:
        """Return what lies on which cloth, as runs of some rounds tell.

        Raises JobError for a piece that is too wide for all of them.
        """
        ranks = ranks_of(self.job.pieces)
        areas = {piece.id: abs(signed_area(whole_outline(piece))) for piece in self.job.pieces}
        sharing = Sharing(
            [Kind(areas[id_], ranks[id_]) for id_, _ in self._kinds],
            [level.units for level in self._levels],
            [_most_area(fabric) for fabric in self.job.fabrics],
            [self._alike(k) for k in range(len(self.job.fabrics))],
            lambda cloth, load: self._held_of(cloth, load, patience),
            lambda: self.stop(self.rounds),
        )
        share = sharing.shared()
        for faults in self._too_wide.values():
            if len(faults) == len(self.job.fabrics):
                raise faults[max(faults)]
        return self._shared(share, (sharing.missing(share), sharing.cost(share)))

    def shares(self) -> Iterator[tuple[int, Shared]]:
        """Yield the best of runs that become longer, with their rounds, until told to stop.

        Raises JobError as `shared` does.
        """
        patience, best = PROBE, self.shared()
        yield patience, best
        while not self.stop(self.rounds):
            patience *= 2
            found = self.shared(patience)
            best = found if found.score < best.score else best
            yield patience, best

    def solved(self, job: Job, rounds: int) -> Layout:
        """Return a layout of one of the jobs, after so many rounds at most."""
        before = self.rounds
        layout = self.solve(
            job,
            seed=self.seed,
            stop=AnyOf(AfterRounds(rounds), lambda more: self.stop(before + more)),
            workers=self.workers,
            clock=self.clock,
        )
        self.rounds = before + layout.rounds
        return layout

    # --- what is kept together ----------------------------------------------------------------

    def _made_levels(self) -> Iterator[_Level]:
        """Yield units from whole garments to single copies, as far as they may be parted."""
        pieces = {piece.id: piece for piece in self.job.pieces}
        lots: tuple[Lot, ...] = ("garment", "piece", "")
        last = {"garment": 1, "piece": 2, "": 3}[self.job.one_lot]
        seen = set[tuple[Unit, ...]]()
        for lot in lots[:last]:
            together: dict[object, dict[int, list[int]]] = {}
            for k, ((id_, _), copies) in enumerate(self._kinds.items()):
                for copy in copies:
                    own = together.setdefault(_lot_of(lot, pieces[id_], copy), {})
                    own.setdefault(k, []).append(copy)
            made: dict[Load, list[Copies]] = {}
            for own in together.values():
                load = tuple(len(own.get(k, ())) for k in range(len(self._kinds)))
                made.setdefault(load, []).append(self._of_kinds(own))
            units = tuple(Unit(load, len(copies)) for load, copies in made.items())
            if units not in seen:
                seen.add(units)
                yield _Level(units, tuple(tuple(copies) for copies in made.values()))

    def _of_kinds(self, chosen: Mapping[int, Sequence[int]]) -> Copies:
        """Return copies of kinds, by number, by the pieces that they are of."""
        found: dict[str, list[int]] = {}
        for k, (id_, _) in enumerate(self._kinds):
            found.setdefault(id_, []).extend(chosen.get(k, ()))
        return {id_: tuple(sorted(copies)) for id_, copies in found.items() if copies}

    # --- asking the engine --------------------------------------------------------------------

    def _alike(self, cloth: int) -> int:
        """Return the first cloth, counted from 0, that is the same as one."""
        return self.job.fabrics.index(self.job.fabrics[cloth])

    def _held_of(self, cloth: int, load: Load, patience: int) -> Load:
        """Return which of some parts a cloth is found to hold."""
        own = self._alike(cloth)
        if (own, load) in self._held:
            return load
        wide = [id_ for id_, faults in self._too_wide.items() if own in faults]
        chosen = {
            k: copies[:n]
            for k, (((id_, _), copies), n) in enumerate(zip(self._kinds.items(), load, strict=True))
            if n and id_ not in wide
        }
        if not chosen:
            return (0,) * len(load)
        try:
            layout = self.solved(self._job_on(own, self._of_kinds(chosen)), patience)
        except PieceTooWide as fault:
            if fault.piece is None:
                raise
            for k in range(len(self.job.fabrics)):
                if self._alike(k) == own:
                    self._too_wide.setdefault(fault.piece, {})[k] = fault
            return self._held_of(cloth, load, patience)
        laid = {(spot.piece, copy) for spot in layout.placements for copy in spot.copies}
        held = tuple(
            sum((id_, copy) in laid for copy in chosen.get(k, ()))
            for k, (id_, _) in enumerate(self._kinds)
        )
        self._held.setdefault((own, held), layout)
        return held

    def _job_on(self, cloth: int, copies: Copies) -> Job:
        """Return the job of some copies on one cloth, counted from 0."""
        pieces = tuple(
            replace(piece, copies=copies[piece.id])
            for piece in self.job.pieces
            if piece.id in copies
        )
        return Job(self.job.fabrics[cloth], pieces)

    # --- what comes of it ---------------------------------------------------------------------

    def _shared(self, share: Share, score: tuple[Score, Cost]) -> Shared:
        """Return a share with the copies that are laid, each once, and how they lie."""
        level = self._levels[share.level]
        waiting = [list(copies) for copies in level.copies]
        jobs, layouts = {}, {}
        for cloth, counts in sorted(share.counts.items()):
            taken = [waiting[k].pop(0) for k, n in enumerate(counts) for _ in range(n)]
            jobs[cloth + 1] = self._job_on(cloth, _joined(taken))
            layouts[cloth + 1] = self._known_layout(cloth, jobs[cloth + 1])
        rest = _joined([copies for some in waiting for copies in some])
        left_over = tuple(LeftOver(id_, copies) for id_, copies in rest.items())
        return Shared(jobs, layouts, left_over, score)

    def _known_layout(self, cloth: int, job: Job) -> Layout:
        """Return how some copies lie on a cloth that was found to hold as many of their kinds."""
        pieces = {piece.id: piece for piece in job.pieces}
        wanted = [
            [copy for copy in copies if id_ in pieces and copy in pieces[id_].numbers]
            for (id_, _), copies in self._kinds.items()
        ]
        known = next(
            layout
            for (other, held), layout in self._held.items()
            if other == self._alike(cloth)
            and all(len(some) <= n for some, n in zip(wanted, held, strict=True))
        )
        spots: list[Placement] = []
        for ((id_, _), copies), some in zip(self._kinds.items(), wanted, strict=True):
            lying = [
                spot for spot in known.placements if spot.piece == id_ and spot.copies[0] in copies
            ]  # of one kind: any of them may be any copy
            for spot, copy in zip(lying, some, strict=False):
                garment = (copy - 1) // pieces[id_].cut + 1
                spots.append(replace(spot, copies=(copy,), garment=garment))
        return self.solved(replace(job, held=tuple(spots)), 0)


def solve_several(
    job: Job, *, seed: int, stop: StopRule, workers: int, clock: Clock, solve: Solve
) -> Iterator[Layout]:
    """Yield ever better layouts on several pieces of cloth until `stop` says enough.

    Better is first less that is left over, of what is laid first before what is laid last, then
    fewer and smaller pieces of cloth, then less length of them. The job must be valid. Raises
    JobError for a job that cannot be laid.
    """
    run = Several(job, seed, workers, stop, clock, solve)
    better: dict[int, Layout] = {}
    kept, before = None, -1
    for patience, best in run.shares():
        if best is not kept:
            kept, better = best, dict(best.layouts)
        for number, own in best.jobs.items() if not (best.left_over or before < 0) else ():
            longer = run.solved(own, patience)
            if not longer.left_over and longer.length < better[number].length:
                better[number] = longer
        yield _layout(run, replace(best, layouts=better))
        if run.rounds == before:
            break  # nothing is left to search for
        before = run.rounds


def _layout(run: Several, shared: Shared) -> Layout:
    """Return the layouts on all pieces of cloth as one."""
    used, fabrics = shared.layouts, run.job.fabrics
    cloth = {
        k: cloth_area(fabrics[k - 1]) if fabrics[k - 1].outline else one.width * one.length
        for k, one in used.items()
    }
    laid = math.fsum(one.utilisation * cloth[k] for k, one in used.items())
    outlines = {
        piece.id: tuple((float(x), float(y)) for x, y in whole_outline(piece))
        for piece in run.job.pieces
    }
    return Layout(
        width=max(fabric.width for fabric in fabrics),
        length=math.fsum(one.length for one in used.values()),
        utilisation=laid / math.fsum(cloth.values()) if used else 0.0,
        lower_bound=0.0,
        seconds=run.clock(),
        seed=run.seed,
        rounds=run.rounds,
        workers=run.workers,
        engine=ENGINE,
        placements=tuple(
            replace(spot, fabric=k) for k, one in used.items() for spot in one.placements
        ),
        left_over=shared.left_over,
        outlines=outlines,
        fabrics=tuple(
            LaidFabric(k, one.width, one.length, one.utilisation) for k, one in used.items()
        ),
    )


def _lot_of(lot: Lot, piece: Piece, copy: int) -> object:
    """Return what a copy is kept together with."""
    garment = (copy - 1) // piece.cut + 1
    return {"garment": garment, "piece": (piece.id, garment), "": (piece.id, copy)}[lot]


def _most_area(fabric: Fabric) -> float:
    """Return the area, mm2, of all of a piece of cloth; a hair more, which the judge lets pass."""
    if fabric.outline:
        area = cloth_area(fabric)
    elif fabric.length is None:
        raise JobError("Each of several pieces of cloth needs a length, or an outline of its own.")
    else:
        area = fabric.width * fabric.length
    return area * (1.0 + 1e-6)


def _joined(some: Sequence[Copies]) -> dict[str, tuple[int, ...]]:
    """Return copies of pieces, each piece once."""
    found: dict[str, list[int]] = {}
    for one in some:
        for id_, copies in one.items():
            found.setdefault(id_, []).extend(copies)
    return {id_: tuple(sorted(copies)) for id_, copies in found.items()}
