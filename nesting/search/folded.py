# SPDX-License-Identifier: GPL-2.0-or-later
"""The search on folded cloth: which copies go where, how deep the fold is, and how all lie.

A *division* says of each lot on which section it lies and how it is cut there. What a section has
of it is a plain problem (`nesting.cloth.strip`), searched as on plain cloth; the sections of all
divisions share one run: its time, its rounds, its workers.

What can be cut double, or on the fold, is: folding is asked for to save cutting. The open section
behind is for what cannot. Other lots go there only into what that leaves unused: the open section
never becomes longer for them. What is drawn on the fold stays there; between the zones of a folded
section other lots change freely.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from nesting.cloth.depths import spreads_of
from nesting.cloth.lots import How, Lot, lots_of
from nesting.cloth.rooms import FIT_TOLERANCE
from nesting.cloth.strip import Strip
from nesting.errors import JobError, PieceTooWide, first_of
from nesting.judge.verdict import capital
from nesting.model import Job
from nesting.search.stretch import Stretch

FIRST = 4
"""Rounds for each section of a division when divisions are compared; doubled while some drop out.
Fewer are spent on constructing alone, where parts are few."""
TURN = 8
"""Rounds by which the best division goes on between two others that are tried."""
SHORTER = 0.01
"""mm by which a division must be shorter to take the place of another."""
WORSE = 1.02
"""Of spreads that are longer by this factor after the same rounds none is looked at again."""

HOWS: tuple[How, ...] = ("fold", "double", "single")
"""How a lot is cut by nature: the first of these that goes."""

Place = tuple[int, How]
"""The index of a section and the way in which a lot is cut there."""


@dataclass(frozen=True, eq=False, slots=True)
class Division:
    """Where each lot lies, and the sections with what they have of it; `spread` by its index."""

    spread: int
    places: tuple[Place, ...]
    stretches: tuple[Stretch, ...]

    @property
    def length(self) -> float:
        """The mm of flat cloth that all of it takes."""
        return sum(stretch.length for stretch in self.stretches)

    @property
    def is_done(self) -> bool:
        """Whether nothing is left to search for in any of its sections."""
        return all(stretch.is_done for stretch in self.stretches)


class FoldedSearch:
    """Divides a job between its sections and searches them; `offer` hears of every better whole.

    `should_stop` is asked with the rounds of the whole run. Raises JobError for a lot that fits
    nowhere.
    """

    def __init__(
        self,
        job: Job,
        *,
        seed: int,
        workers: int,
        offer: Callable[[Division, int], None],
        should_stop: Callable[[int], bool],
    ) -> None:
        self._seed, self._workers = seed, workers
        self._offer, self._should_stop = offer, should_stop
        self._tilting = tuple(piece.id for piece in job.pieces if piece.off_grain > 0.0)
        self.lots = lots_of(job)
        self.rounds = 0
        self._known: dict[tuple[int, int, tuple[tuple[Lot, How], ...]], Stretch] = {}
        self._strips = [
            [Strip(job, number, section) for number, section in enumerate(sections, 1)]
            for sections in spreads_of(job, self.lots)
        ]
        self._ways = [_ways(strips, self.lots) for strips in self._strips]
        faults = [
            _nowhere(job, strips, self.lots, ways)
            for strips, ways in zip(self._strips, self._ways, strict=True)
        ]
        whole = [k for k, fault in enumerate(faults) if fault is None]
        if not whole:
            raise first_of([fault for fault in faults if fault is not None])
        self.divisions = [self._natural(spread) for spread in whole]

    def run(self) -> None:
        """Search until told to stop, or nothing is left to search for."""
        best = self._race(self.divisions)
        tried = {(best.spread, best.places)}
        while not self._should_stop(self.rounds):
            other = next(self._neighbours(best, tried), None)
            if other is None and best.is_done:
                return
            if other is not None:
                self._go_on(other, FIRST)
                if other.length < best.length - SHORTER:
                    best = other
                    self._offer(best, self.rounds)
            self._go_on(best, TURN, once=True)

    # --- divisions ------------------------------------------------------------------------------

    def _natural(self, spread: int) -> Division:
        """Return the division in which all is cut double, or on the fold, that can be."""
        return self._divided(spread, tuple(ways[0] for ways in self._ways[spread]), None)

    def _divided(self, spread: int, places: tuple[Place, ...], parent: Division | None) -> Division:
        """Return a division; its sections begin with where parts lie in that which it came of."""
        strips, stretches = self._strips[spread], []
        for number, strip in enumerate(strips):
            chosen = tuple(
                (lot, how)
                for lot, (section, how) in zip(self.lots, places, strict=True)
                if section == number
            )
            key = spread, number, chosen
            if key not in self._known:
                made = Stretch(strip, strip.problem(chosen), self._tilting)
                if parent is not None:
                    made.begin_from(parent.stretches[number])
                self._known[key] = made
            stretches.append(self._known[key])
        return Division(spread, places, tuple(stretches))

    def _neighbours(
        self, division: Division, tried: set[tuple[int, tuple[Place, ...]]]
    ) -> Iterator[Division]:
        """Yield divisions in which one lot, large ones first, lies elsewhere."""
        ways, strips = self._ways[division.spread], self._strips[division.spread]
        opened = {k for k, strip in enumerate(strips) if strip.section.is_open}
        needed = {one[0][0] for one in ways} & opened
        for number in self._by_size(division.spread):
            (home, how), *others = ways[number]
            for place in (home, how), *others:
                places = (*division.places[:number], place, *division.places[number + 1 :])
                key = division.spread, places
                is_filling = place[0] in opened and home not in opened and how != "single"
                if key in tried or (is_filling and place[0] not in needed):
                    continue
                tried.add(key)
                other = self._divided(division.spread, places, division)
                before, after = division.stretches[place[0]], other.stretches[place[0]]
                if not is_filling or after.length <= before.length + SHORTER:
                    yield other

    def _by_size(self, spread: int) -> list[int]:
        """Return the numbers of the lots that have a choice, the largest first."""
        ways, strips = self._ways[spread], self._strips[spread]
        choice = [number for number, one in enumerate(ways) if len(one) > 1 and one[0][1] != "fold"]
        size = {number: strips[0].area_of(self.lots[number]) for number in choice}
        return sorted(choice, key=lambda number: (-size[number], number))

    # --- rounds ---------------------------------------------------------------------------------

    def _race(self, divisions: Sequence[Division]) -> Division:
        """Return the best of some divisions: of those compared the worse half drops out."""
        running, rounds = list(divisions), FIRST
        for division in running:
            self._offer(division, 0)
        while len(running) > 1 and not self._should_stop(self.rounds):
            for division in running:
                self._go_on(division, rounds)
            running.sort(key=lambda one: one.length)
            half = (len(running) + 1) // 2
            running = [one for one in running[:half] if one.length <= WORSE * running[0].length]
            rounds *= 2
        return min(running, key=lambda one: one.length)

    def _go_on(self, division: Division, rounds: int, *, once: bool = False) -> None:
        """Search the sections of a division until each has had so many rounds.

        With `once` that one section goes on by so many which has had the fewest.
        """
        stretches = [one for one in division.stretches if not one.is_done]
        if once and stretches:
            stretches = [min(stretches, key=lambda one: one.rounds)]
        for stretch in stretches:
            more = rounds if once else rounds - stretch.rounds
            if more <= 0 or self._should_stop(self.rounds):
                continue
            self._search(division, stretch, more)

    def _search(self, division: Division, stretch: Stretch, rounds: int) -> None:
        """Search one section of a division for so many rounds more."""
        before = self.rounds
        self.rounds += stretch.go_on(
            rounds,
            seed=self._seed,
            workers=self._workers,
            should_stop=lambda done: self._should_stop(before + done),
            on_better=lambda done: self._offer(division, before + done),
        )


def _ways(strips: Sequence[Strip], lots: Sequence[Lot]) -> list[list[Place]]:
    """Return where each lot may lie and how it is cut there, the way it is cut by nature first."""
    return [
        [(k, how) for how in HOWS for k, strip in enumerate(strips) if strip.may_lie(lot, how)]
        for lot in lots
    ]


def _nowhere(
    job: Job, strips: Sequence[Strip], lots: Sequence[Lot], ways: Sequence[Sequence[Place]]
) -> JobError | None:
    """Return the fault that lots fit nowhere on the cloth as it lies, None when all do."""
    pieces = {piece.id: piece for piece in job.pieces}
    missing = [lot.piece for lot, places in zip(lots, ways, strict=True) if not places]
    faults: list[JobError] = []
    for piece in (pieces[name] for name in dict.fromkeys(missing)):
        label = capital(piece.label)
        wide, margin = strips[0].narrowest(piece), job.fabric.edge_margin
        if wide > job.fabric.width - 2.0 * margin + FIT_TOLERANCE:
            faults.append(PieceTooWide(piece.id, label, wide + 2.0 * margin, job.fabric.width))
        else:
            faults.append(
                JobError(
                    f"{label}, {wide / 10:.1f} cm wide, fits on no part of the cloth as it is "
                    "folded, neither double nor in one layer: fold it less deep, or leave a "
                    "length of it open.",
                    piece.id,
                )
            )
    return first_of(faults) if faults else None
