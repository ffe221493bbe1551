# SPDX-License-Identifier: GPL-2.0-or-later
"""Keeps the best layout so far: only what the judge has passed, on the true outlines.

`Kept` is what all runs have in common, `Keeper` keeps layouts of one problem.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace

from nesting import ENGINE
from nesting.cloth.bounds import lower_bound, utilisation
from nesting.cloth.problem import (
    Problem,
    Spot,
    by_rank,
    needed_length,
    outline_tuple,
    placements_of,
)
from nesting.cloth.remnant import cloth_area
from nesting.cloth.rooms import span_across
from nesting.errors import BrokenLayout
from nesting.judge.check import check
from nesting.judge.verdict import Violation
from nesting.model import Job, LaidSection, Layout, LeftOver, Outline, Placement
from nesting.stop import Clock, Stopped, never

SHORTER = 1e-6
"""mm by which a layout must be shorter to be better: rounding is no progress."""
REPORT_EVERY = 0.25
"""Seconds after which a listener hears again that time passes."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a run is: seconds and rounds so far, and the figures of the best layout, in mm.

    `best` is the job with its best layout, for whoever draws it.
    """

    seconds: float
    rounds: int
    length: float
    utilisation: float
    lower_bound: float
    best: tuple[Job, Layout] | None = field(default=None, compare=False, repr=False)


OnProgress = Callable[[Progress], None]
Score = tuple[tuple[float, ...], float]
"""Area left over by rank, mm2, and length, mm."""


class Kept:
    """Holds the judged layouts of one run, the best one last."""

    def __init__(
        self,
        job: Job,
        *,
        seed: int,
        workers: int,
        clock: Clock,
        on_progress: OnProgress | None = None,
    ) -> None:
        self._job = job
        self._seed = seed
        self._workers = workers
        self._clock = clock
        self._on_progress = on_progress
        self._heard = (0, clock())
        self.bound = 0.0
        """Length, mm, that no layout of all parts is below, once it is worked out."""
        self._layouts: list[Layout] = []
        self._score: Score = ((float("inf"),), float("inf"))
        self._refused: tuple[Violation, ...] = ()

    @property
    def length(self) -> float:
        """The length of the best layout, mm; infinite before there is one."""
        return self._score[1]

    @property
    def is_perfect(self) -> bool:
        """Return whether nothing can be better: every part is laid, as short as the bound."""
        left_over, length = self._score
        return not any(left_over) and length <= self.bound + SHORTER

    def consider(self, score: Score, make: Callable[[], Layout], rounds: int) -> bool:
        """Judge a candidate whose score is better than the best; return whether it is kept.

        Better is first less area left over, of what is laid first before what is laid last, then
        less length.
        """
        if score[0] > self._score[0]:
            return False
        if score[0] == self._score[0] and score[1] >= self._score[1] - SHORTER:
            return False
        layout = make()
        if violations := check(self._job, layout):
            self._refused = violations
            return False
        self._layouts.append(layout)
        self._score = score
        self._tell(rounds)
        return True

    def hear(self, rounds: int) -> None:
        """Report progress when a round has been done or a while has passed, better or not."""
        last_round, last_time = self._heard
        if rounds > last_round or self._clock() - last_time >= REPORT_EVERY:
            self._tell(rounds)

    def result(self, rounds: int, *, exhausted: bool = False) -> Layout:
        """Return the best layout, judged once more with the figures it is handed out with.

        `exhausted`: nothing was left to search for.
        Falls back to the layout kept before when the judge objects; raises BrokenLayout when
        none is left.
        """
        for best in reversed(self._layouts):
            layout = replace(
                best,
                seconds=self._clock(),
                # Found in a round that was not finished: a replay must run that round.
                rounds=max(rounds, best.rounds),
                lower_bound=self._stated_bound(best),
                exhausted=exhausted,
            )
            self._refused = check(self._job, layout)
            if not self._refused:
                return layout
        raise BrokenLayout(self._refused)

    def _tell(self, rounds: int) -> None:
        """Report progress to whoever listens."""
        self._heard = (rounds, self._clock())
        if self._on_progress is not None and self._layouts:
            best = self._layouts[-1]
            self._on_progress(
                Progress(
                    self._clock(),
                    rounds,
                    best.length,
                    best.utilisation,
                    self._stated_bound(best),
                    (self._job, best),
                )
            )

    def _stated_bound(self, layout: Layout) -> float:
        """Return the lower bound as it is stated with a layout.

        Parts may share a hair within the judge's slack, so a perfect layout could end a hair
        below the bound.
        """
        return self.bound if layout.left_over else min(self.bound, layout.length)

    def _made(
        self,
        placements: tuple[Placement, ...],
        left_over: tuple[LeftOver, ...],
        *,
        length: float,
        area: float,
        rounds: int,
        outlines: Mapping[str, Outline],
        sections: tuple[LaidSection, ...] = (),
    ) -> Layout:
        """Return a layout with its figures; `area` is what its parts cut, mm2."""
        fabric = self._job.fabric
        return Layout(
            width=fabric.width,
            length=length,
            utilisation=(
                area / cloth_area(fabric)
                if fabric.outline
                else utilisation(area, fabric.width, length)
            ),
            lower_bound=0.0,
            seconds=self._clock(),
            seed=self._seed,
            rounds=rounds,
            workers=self._workers,
            engine=ENGINE,
            placements=placements,
            left_over=left_over,
            outlines=outlines,
            sections=sections,
        )


class Keeper(Kept):
    """Holds the judged layouts of one problem."""

    def __init__(
        self,
        job: Job,
        problem: Problem,
        *,
        seed: int,
        workers: int,
        clock: Clock,
        on_progress: OnProgress | None = None,
    ) -> None:
        super().__init__(job, seed=seed, workers=workers, clock=clock, on_progress=on_progress)
        self._problem = problem
        self._outlines = {name: outline_tuple(ring) for name, ring in problem.outlines.items()}
        self.spots: tuple[Spot | None, ...] = (None,) * len(problem.parts)
        """The spots of the best layout."""

    @property
    def is_perfect(self) -> bool:
        """Return whether nothing can be better.

        Every part is laid, as short as the bound; or they cannot all fit and one of the smallest
        of those that are laid last is left over.
        """
        left_over, _ = self._score
        if not any(left_over):
            return super().is_perfect
        cloth = self._problem.fabric.length
        last = max(part.rank for part in self._problem.parts)
        smallest = min(part.area for part in self._problem.parts if part.rank == last)
        least = not any(left_over[:-1]) and left_over[-1] <= smallest
        # A hair more than the cloth is no proof: the judge lets parts share a hair.
        return cloth is not None and self.bound > cloth + 1.0 and least

    def offer(self, spots: Sequence[Spot | None], rounds: int) -> None:
        """Judge spots that are better than the best, and keep them if they pass."""
        if self.consider(self._score_of(spots), lambda: self._layout(spots, rounds), rounds):
            self.spots = tuple(spots)

    def find_bound(self, should_stop: Callable[[], bool] = never) -> None:
        """Work out the lower bound: once, when the first layout is there.

        When told to stop only the area counts.
        """
        tilting = [piece.id for piece in self._job.pieces if piece.off_grain > 0.0]
        self.bound = self._problem.area / span_across(self._problem.fabric)
        with suppress(Stopped):
            self.bound = lower_bound(self._problem, tilting, should_stop)

    def _score_of(self, spots: Sequence[Spot | None]) -> Score:
        """Return what makes one layout better than another: area left over, then length."""
        return by_rank(self._problem, spots), needed_length(self._problem, spots)

    def _layout(self, spots: Sequence[Spot | None], rounds: int) -> Layout:
        """Return spots as a layout with its figures."""
        problem = self._problem
        placements, left_over = placements_of(problem, spots, self._job.held)
        parts = zip(problem.parts, spots, strict=True)
        placed = sum(part.area for part, spot in parts if spot is not None)
        return self._made(
            placements,
            left_over,
            length=needed_length(problem, spots),
            area=placed + sum(problem.area_of(spot) for spot in problem.held),
            rounds=rounds,
            outlines=self._outlines,
        )
