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

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from nesting.cloth.bands import why_on_none
from nesting.cloth.depths import ALIKE, no_deeper, spreads_of
from nesting.cloth.lots import How, Lot
from nesting.cloth.phases import phases_of
from nesting.cloth.places import Places
from nesting.cloth.repeats import Design, has_match
from nesting.cloth.rooms import FIT_TOLERANCE
from nesting.cloth.strip import Strip, from_lines
from nesting.cloth.zones import known_depths
from nesting.errors import JobError, PieceTooWide, first_of
from nesting.judge.verdict import capital
from nesting.model import Job, LaidSection, Piece, Section
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
Tried = tuple[tuple[Section, ...], tuple[float, ...], tuple[Place, ...]]


class Spread:
    """One way in which the cloth of a job may lie, all depths known, and where lots may go on it.

    `ways` are, for each lot, the places where it fits, the one where it is cut by nature first.
    Where parts have to match a `design`, `phases` are those of its ties; the first ones unless
    told.
    """

    def __init__(
        self,
        job: Job,
        sections: Sequence[Section],
        lots: Sequence[Lot],
        design: Design | None = None,
        phases: Sequence[float] | None = None,
    ) -> None:
        self.sections, self.fabric = tuple(sections), job.fabric
        self.choices: list[list[float]] = []
        if design is not None:
            places = [Places(job, section) for section in sections]
            self.choices = phases_of(job, design, places)
        self.phases = tuple(one[0] for one in self.choices) if phases is None else tuple(phases)
        self.strips = [
            Strip(job, number, one, (), design, self.phases)
            for number, one in enumerate(sections, 1)
        ]
        self.lots = lots
        self.ways = [
            [(k, how) for how in HOWS for k, one in enumerate(self.strips) if one.may_lie(lot, how)]
            for lot in lots
        ]
        areas = [self.strips[0].places.area_of(lot) for lot in lots]
        choice = [k for k, ways in enumerate(self.ways) if len(ways) > 1 and ways[0][1] != "fold"]
        self.movable = sorted(choice, key=lambda number: (-areas[number], number))
        """The numbers of the lots that need not lie where they lie by nature, the largest first."""
        self._tilting = tuple(piece.id for piece in job.pieces if piece.off_grain > 0.0)
        self._known: dict[tuple[int, tuple[tuple[Lot, How], ...]], Stretch] = {}

    def divided(self, places: Sequence[Place], parent: Division | None = None) -> Division:
        """Return a division; its sections begin with where parts lie in that which it came of."""
        stretches = []
        for number, strip in enumerate(self.strips):
            chosen = tuple(
                (lot, how)
                for lot, (section, how) in zip(self.lots, places, strict=True)
                if section == number
            )
            key = number, chosen
            if key not in self._known:
                made = Stretch(strip, chosen, self._tilting)
                if parent is not None:
                    made.begin_from(parent.stretches[number])
                self._known[key] = made
            stretches.append(self._known[key])
        if self.has_flaws_behind:
            self._known.clear()  # where flaws lie on a section depends on those before it
        division = Division(self, tuple(places), tuple(stretches))
        division.settle()
        return division

    @property
    def has_flaws_behind(self) -> bool:
        """Whether flaws may lie on a section that begins where others end."""
        return bool(self.fabric.flaws) and len(self.strips) > 1

    def takes(self, places: Sequence[Place]) -> bool:
        """Return whether every lot may lie at its place."""
        return all(place in ways for place, ways in zip(places, self.ways, strict=True))

    def forget_all_but(self, division: Division) -> None:
        """Keep of what has been searched here only what a division is made of."""
        self._known = {k: one for k, one in self._known.items() if one in division.stretches}


@dataclass(frozen=True, eq=False, slots=True)
class Division:
    """Where each lot lies, and the sections with what they have of it."""

    spread: Spread
    places: tuple[Place, ...]
    stretches: tuple[Stretch, ...]

    @property
    def length(self) -> float:
        """The mm of flat cloth that all of it takes."""
        if any(math.isinf(stretch.length) for stretch in self.stretches):
            return math.inf
        return sum(section.length for section in self.laid)

    @property
    def laid(self) -> tuple[LaidSection, ...]:
        """The sections, each as long as it needs to be and to where the next one may begin."""
        each = [stretch.laid for stretch in self.stretches]
        return from_lines(self.spread.fabric, each, [one.is_matched for one in self.stretches])

    def settle(self) -> None:
        """Let each section begin where those before it end, so that its flaws lie where they do."""
        for number, stretch in enumerate(self.stretches if self.spread.has_flaws_behind else ()):
            begin = sum(one.length for one in self.laid[:number])
            stretch.begin_at(begin)

    @property
    def key(self) -> Tried:
        """What tells it from other divisions of the same lots."""
        return self.spread.sections, self.spread.phases, self.places

    @property
    def is_done(self) -> bool:
        """Whether nothing is left to search for in any of its sections."""
        return all(stretch.is_done for stretch in self.stretches)


class FoldedSearch:
    """Divides lots between the sections of a job and searches them.

    `offer` hears of every better whole, `should_stop` is asked with the rounds so far. Raises
    JobError for a lot that fits nowhere.
    """

    def __init__(
        self,
        job: Job,
        lots: Sequence[Lot],
        *,
        seed: int,
        workers: int,
        offer: Callable[[Division, int], None],
        should_stop: Callable[[int], bool],
    ) -> None:
        self._job, self._lots = job, lots
        self._seed, self._workers = seed, workers
        self._offer, self._should_stop = offer, should_stop
        self.rounds = 0
        self._design = Design(job) if has_match(job.fabric, job.pieces) else None
        spreads = [self._first_spread(sections) for sections in spreads_of(job, lots, self._design)]
        faults = [_nowhere(job, spread, self._design) for spread in spreads]
        whole = [one for one, fault in zip(spreads, faults, strict=True) if fault is None]
        if not whole:
            raise first_of([fault for fault in faults if fault is not None])
        self._divisions = [one.divided([ways[0] for ways in one.ways]) for one in whole]

    def run(self) -> None:
        """Search until told to stop, or nothing is left to search for."""
        best = self._race(self._divisions)
        tried = {best.key}
        self._go_on(best, FIRST)
        while not self._should_stop(self.rounds):
            other = next(self._neighbours(best, tried), None)
            if other is None and best.is_done:
                return
            if other is not None:
                self._go_on(other, FIRST)
                if other.length < best.length - SHORTER:
                    best = other
                    self._offer(best, self.rounds)
                best.spread.forget_all_but(best)
            self._go_on(best, TURN, once=True)

    # --- divisions ------------------------------------------------------------------------------

    def _neighbours(self, division: Division, tried: set[Tried]) -> Iterator[Division]:
        """Yield divisions that differ in one thing from one, and have not been tried."""
        for sections, phases in self._lying_otherwise(division):
            key = sections, phases, division.places
            if key not in tried:
                tried.add(key)
                other = self._spread(sections, phases)
                if other.takes(division.places):
                    yield other.divided(division.places, division)
        yield from self._moved(division, tried)

    def _moved(self, division: Division, tried: set[Tried]) -> Iterator[Division]:
        """Yield divisions in which one lot, large ones first, lies elsewhere."""
        spread = division.spread
        opened = {k for k, strip in enumerate(spread.strips) if strip.section.is_open}
        needed = {one[0][0] for one in spread.ways} & opened
        for number in spread.movable:
            home, how = spread.ways[number][0]
            for place in spread.ways[number]:
                places = (*division.places[:number], place, *division.places[number + 1 :])
                key = spread.sections, spread.phases, places
                is_filling = place[0] in opened and home not in opened and how != "single"
                if key in tried or (is_filling and place[0] not in needed):
                    continue
                tried.add(key)
                other = spread.divided(places, division)
                before, after = division.stretches[place[0]], other.stretches[place[0]]
                if not is_filling or after.length <= before.length + SHORTER:
                    yield other

    def _lying_otherwise(
        self, division: Division
    ) -> Iterator[tuple[tuple[Section, ...], tuple[float, ...]]]:
        """Yield depths and phases that differ in one thing from those of a division."""
        spread = division.spread
        yield self._shallower(division), spread.phases
        for number, choices in enumerate(spread.choices):
            for phase in choices:
                phases = (*spread.phases[:number], phase, *spread.phases[number + 1 :])
                yield spread.sections, phases

    def _first_spread(self, sections: Sequence[Section]) -> Spread:
        """Return a way in which the cloth may lie with phases that leave every lot a place.

        Those that are tried first, unless a zone is too narrow for them.
        """
        first = self._spread(sections)
        if all(first.ways):
            return first
        others = (
            self._spread(sections, (*first.phases[:number], phase, *first.phases[number + 1 :]))
            for number, choices in enumerate(first.choices)
            for phase in choices
        )
        return next((other for other in others if all(other.ways)), first)

    def _spread(self, sections: Sequence[Section], phases: Sequence[float] | None = None) -> Spread:
        """Return one way in which the cloth may lie, with what has to match on it."""
        return Spread(self._job, sections, self._lots, self._design, phases)

    def _shallower(self, division: Division) -> tuple[Section, ...]:
        """Return the cloth folded no deeper than the parts of a division need it.

        Only depths that the job leaves open change: one layer then has more room. Unchanged where
        that spares hardly anything.
        """
        sections = []
        for asked, stretch in zip(self._job.fabric.sections, division.stretches, strict=True):
            own = stretch.strip.section
            needed = stretch.strip.depths_needed(stretch.problem, stretch.spots)
            lower, upper = (
                no_deeper(used, known, self._design) if one is None and used > 0.0 else known
                for one, used, known in zip(asked.depths, needed, known_depths(own), strict=True)
            )
            sections.append(replace(own, lower=lower, upper=upper))
        spared = sum(
            known_depths(one)[k] - known_depths(two)[k]
            for one, two in zip(division.spread.sections, sections, strict=True)
            for k in (0, 1)
        )
        return tuple(sections) if spared > ALIKE else division.spread.sections

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

        def better(done: int) -> None:
            division.settle()
            self._offer(division, before + done)

        self.rounds += stretch.go_on(
            rounds,
            seed=self._seed,
            workers=self._workers,
            should_stop=lambda done: self._should_stop(before + done),
            on_better=better,
        )


def _may_match_double(job: Job, spread: Spread, design: Design, piece: Piece) -> bool:
    """Return whether both layers show the design alike at any fold where a piece may lie."""
    folds: list[float | None] = [
        fold
        for lower, upper in map(known_depths, spread.sections)
        for depth, fold in ((lower, lower), (upper, job.fabric.width - upper))
        if depth > 0.0
    ]
    return any(design.goes_double(piece, fold) for fold in folds or [None])


def _nowhere(job: Job, spread: Spread, design: Design | None) -> JobError | None:
    """Return the fault that lots fit nowhere on the cloth as it lies, None when all do."""
    pieces = {piece.id: piece for piece in job.pieces}
    missing = [lot.piece for lot, ways in zip(spread.lots, spread.ways, strict=True) if not ways]
    faults: list[JobError] = []
    for piece in (pieces[name] for name in dict.fromkeys(missing)):
        label = capital(piece.label)
        wide, margin = spread.strips[0].places.narrowest(piece), job.fabric.edge_margin
        if wide > job.fabric.width - 2.0 * margin + FIT_TOLERANCE:
            faults.append(PieceTooWide(piece.id, label, wide + 2.0 * margin, job.fabric.width))
        elif piece.band and job.fabric.bands:
            is_tied = design is not None and design.is_tied(piece)
            ways = list(spread.strips[0].places.ways(piece))
            faults.append(why_on_none(piece, job.fabric, ways, is_matched=is_tied))
        elif design is not None and not _may_match_double(job, spread, design, piece):
            rows = "" if design.repeat.half_drop else " or midway"
            faults.append(
                JobError(
                    f"{label} has match points and cannot be cut double where the cloth is not "
                    f"folded on a dominant line{rows}: fold it on one, or leave a length of it "
                    "open.",
                    piece.id,
                )
            )
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
