# SPDX-License-Identifier: GPL-2.0-or-later
"""Tighten: from where parts lie now to a shorter clean layout, their order kept.

Parts are pressed together by linear programs on their true outlines (`nesting.pressing`), as they
lie and after sliding left and down: neither lets a part jump over another. Where they overlap, or
lie off the cloth, they are first moved apart by the same programs, at the present length if that
can be, else at ever greater ones; what still overlaps then is laid anew into the first place where
it fits. On folded cloth each section is pressed by itself: its parts stay there, cut as they are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import accumulate

from nesting.cloth.lots import How, Lot
from nesting.cloth.problem import (
    Part,
    Problem,
    Spot,
    build_problem,
    needed_length,
    outline_tuple,
    placements_of,
)
from nesting.cloth.repeats import Design, has_match
from nesting.cloth.spots import spots_of
from nesting.cloth.strip import Strip, from_lines
from nesting.errors import BrokenLayout, JobError
from nesting.geometry.shapes import signed_area, whole_outline
from nesting.jobs.validation import validated
from nesting.judge.check import check_placed
from nesting.judge.verdict import keys_of, part_key
from nesting.model import Job, LaidSection, Layout, Placement
from nesting.pressing import Bed, Bench
from nesting.search.keeper import Keeper, Kept, OnProgress
from nesting.stop import Clock, StopRule

ROUNDS = 40
"""Times that all parts are pressed at most; it ends when nothing moves any more."""
GAIN = 0.01
"""mm: pressing that wins less is not worth another round."""


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
    overlap, lie off the cloth or off its design. Held parts of the job stay where they are; how
    deep its cloth is folded is known. The result is never longer than what was there when that was
    clean. `stop` is asked with the number of rounds. Raises JobError for a job that cannot be laid,
    or a copy that is missing or wrongly turned.
    """
    job = validated(job)
    if not job.fabric.is_plain or has_match(job.fabric, job.pieces):
        return _Sections(job, placements, stop, clock, on_progress).tightened()
    problem = build_problem(job)
    keeper = Keeper(job, problem, seed=0, workers=1, clock=clock, on_progress=on_progress)
    spots = _spots_of(problem, placements)
    keeper.offer(spots, 0)
    keeper.find_bound()
    bench = Bench(Bed(job, problem, lambda spots: placements_of(problem, spots, job.held)[0]))
    rounds = 0

    def is_cancelled() -> bool:
        keeper.hear(rounds)
        return stop(rounds)

    if None in keeper.spots:
        # Whatever the stop rule says: without it there is no layout to hand out.
        keeper.offer(bench.repaired(spots), 0)
    while rounds < ROUNDS and not keeper.is_perfect and not is_cancelled():
        before = keeper.spots
        for pressed in bench.pressed(before, is_cancelled):
            keeper.offer(pressed, rounds + 1)
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
    raise _wrongly_turned(part)


def _wrongly_turned(part: Part) -> JobError:
    """Return the fault of a part that lies in another way than its piece may."""
    return JobError(
        f"Copy {part.copies[0]} of piece “{part.piece}” lies in a turn or hand that it may not "
        "take: turn or flip it back.",
        part.piece,
    )


# --- folded cloth -------------------------------------------------------------------------------

Spots = tuple[Spot | None, ...]


class _Sections(Kept):
    """The sections of folded cloth, each pressed by itself, and the best layout of them all."""

    def __init__(
        self,
        job: Job,
        placements: Sequence[Placement],
        stop: StopRule,
        clock: Clock,
        on_progress: OnProgress | None,
    ) -> None:
        super().__init__(job, seed=0, workers=1, clock=clock, on_progress=on_progress)
        self._stop = stop
        _refuse_missing(job, placements)
        design = Design(job) if has_match(job.fabric, job.pieces) else None
        phases = () if design is None else design.phases_in((*job.held, *placements))
        self._sections = [
            _Section(
                job, number, [one for one in placements if one.section == number], design, phases
            )
            for number in range(1, len(job.fabric.sections) + 1)
        ]
        wholes = {piece.id: whole_outline(piece) for piece in job.pieces}
        self._outlines = {name: outline_tuple(ring) for name, ring in wholes.items()}
        self._area = sum(
            abs(signed_area(wholes[spot.piece])) * len(spot.copies)
            for spot in (*placements, *job.held)
        )
        margin = job.fabric.edge_margin
        self.bound = self._area / (job.fabric.width - 2.0 * margin) + 2.0 * margin
        for number, begin in enumerate(self._begins([one.spots for one in self._sections])):
            self._sections[number].begin_at(begin)

    def tightened(self) -> Layout:
        """Return the layout pressed together. Raises BrokenLayout if the judge refuses it."""
        spots = [one.spots for one in self._sections]
        if not self._offer(spots, 0):
            spots = self._settled([one.repaired(one.spots) for one in self._sections])
            if not self._offer(spots, 0):
                raise BrokenLayout(self._refused)
        rounds = 0

        def is_cancelled() -> bool:
            self.hear(rounds)
            return self._stop(rounds)

        while rounds < ROUNDS and not self.is_perfect and not is_cancelled():
            before = self.length
            for number, section in enumerate(self._sections):
                for pressed in section.pressed(spots[number], is_cancelled):
                    changed = self._settled([*spots[:number], pressed, *spots[number + 1 :]])
                    if self._offer(changed, rounds + 1):
                        spots = changed
                spots = self._settled(spots)
            rounds += 1
            if before - self.length < GAIN:
                break
        return self.result(rounds)

    def _begins(self, spots: Sequence[Spots]) -> list[float]:
        """Return where each section begins, mm from the cut end, for some spots."""
        return [0.0, *accumulate(one.length for one in self._laid(spots))][: len(spots)]

    def _settled(self, spots: Sequence[Spots]) -> list[Spots]:
        """Return spots that are clear of flaws though sections begin where they did not before."""
        settled = list(spots)
        for number, section in enumerate(self._sections if self._job.fabric.flaws else ()):
            if section.begin_at(self._begins(settled)[number]):
                settled[number] = section.repaired(settled[number])
        return settled

    def _offer(self, spots: Sequence[Spots], rounds: int) -> bool:
        """Judge spots of all sections that are better than the best, and keep them if they pass."""
        if any(None in one for one in spots):
            return False
        length = sum(one.length for one in self._laid(spots))
        return self.consider(((0.0,), length), lambda: self._layout(spots, rounds), rounds)

    def _laid(self, spots: Sequence[Spots]) -> tuple[LaidSection, ...]:
        """Return the sections, each as long as it needs to be for some spots."""
        each = [one.laid(own) for one, own in zip(self._sections, spots, strict=True)]
        return from_lines(self._job.fabric, each, [one.is_matched for one in self._sections])

    def _layout(self, spots: Sequence[Spots], rounds: int) -> Layout:
        """Return spots of all sections as a layout with its figures."""
        each, laid = list(zip(self._sections, spots, strict=True)), self._laid(spots)
        return self._made(
            tuple(spot for one, own in each for spot in one.placed(own)),
            (),
            length=sum(one.length for one in laid),
            area=self._area,
            rounds=rounds,
            outlines=self._outlines,
            sections=() if self._job.fabric.is_plain else laid,
        )


class _Section:
    """One section: its parts as a plain problem on its strip, and where they lie at first."""

    def __init__(
        self,
        job: Job,
        number: int,
        placements: Sequence[Placement],
        design: Design | None,
        phases: Sequence[float],
    ) -> None:
        self._job, self._number = job, number
        pieces = {piece.id: piece for piece in job.pieces}
        flipped = {(one.piece, one.copies) for one in placements if one.flip}
        self._strip = Strip(job, number, job.fabric.sections[number - 1], flipped, design, phases)
        self._chosen = [(Lot(one.piece, one.copies), _how(one)) for one in placements]
        for lot, how in self._chosen:
            if not self._strip.may_lie(lot, how):
                raise JobError(
                    f"Copy {lot.copies[0]} of piece “{lot.piece}” cannot be cut as it lies on "
                    f"section {number} of the cloth: lay it somewhere else.",
                    lot.piece,
                )
        self._begin = 0.0
        self._problem = self._strip.problem(self._chosen)
        self.is_matched = self._strip.is_matched(self._problem)
        self.spots: Spots = spots_of(self._problem, pieces, placements)
        for part, spot in zip(self._problem.problem.parts, self.spots, strict=True):
            if spot is None:
                raise _wrongly_turned(part)
        self._bench = self._made_bench()

    def _made_bench(self) -> Bench | None:
        """Return what presses the parts as they lie; None without any."""
        bed = Bed(self._alone, self._problem.problem, self.placed)
        return Bench(bed) if self.spots else None

    @property
    def _alone(self) -> Job:
        """The job as if no cloth came before the section: its flaws count from its start."""
        fabric = self._job.fabric
        flaws = tuple(tuple((x - self._begin, y) for x, y in one) for one in fabric.flaws)
        return replace(self._job, fabric=replace(fabric, flaws=flaws))

    def begin_at(self, begin: float) -> bool:
        """Let the section begin so many mm from the cut end; return whether its flaws move."""
        before, now = self._strip.flaws(self._begin), self._strip.flaws(begin)
        self._begin = begin
        if before == now:
            return False
        self._problem = self._strip.problem(self._chosen, begin)
        self._bench = self._made_bench()
        return True

    def laid(self, spots: Spots) -> LaidSection:
        """Return the section with the flat cloth that its parts need."""
        return self._strip.laid(self._problem, spots)

    def placed(self, spots: Sequence[Spot | None]) -> Sequence[Placement]:
        """Return the placements of spots, and of what is held on this section."""
        held = [one for one in self._job.held if one.section == self._number]
        return (*held, *self._strip.placements(self._problem, spots))

    def repaired(self, spots: Spots) -> Spots:
        """Return parts moved apart where they overlap, leave their zone, or lie over a flaw."""
        pieces = {piece.id: piece for piece in self._job.pieces}
        is_clean = not check_placed(self._alone.fabric, pieces, self.placed(spots))
        if self._bench is None or is_clean:
            return spots
        return self._bench.repaired([spot for spot in spots if spot is not None])

    def pressed(self, spots: Spots, is_cancelled: Callable[[], bool]) -> Iterator[Spots]:
        """Yield the parts pressed together, in one way and another."""
        if self._bench is not None:
            yield from self._bench.pressed(spots, is_cancelled)


def _how(spot: Placement) -> How:
    """Return how a placement is cut."""
    if spot.on_fold:
        return "fold"
    return "double" if spot.layers == 2 else "single"


def _refuse_missing(job: Job, placements: Sequence[Placement]) -> None:
    """Raise for the first copy that is missing."""
    there = {key for spot in (*placements, *job.held) for key in keys_of(spot)}
    for piece in job.pieces:
        for copy in piece.numbers:
            if part_key(piece.id, copy) not in there:
                raise JobError(f"Copy {copy} of piece “{piece.id}” is missing.", piece.id)
