# SPDX-License-Identifier: GPL-2.0-or-later
"""All cells laid out, each for the same number of rounds, in as many passes as the time allows.

In a later pass every cell goes on from where it stood.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from extension.requirements_table.budget import Cost, first_rounds, next_rounds
from extension.requirements_table.crews import Crew
from extension.requirements_table.kept import Shelf
from extension.requirements_table.quiet import Quiet
from extension.requirements_table.tasks import NOWHERE, Bookmark, Done, Task, run_task
from nesting.check import check
from nesting.errors import ThriftlayError
from nesting.model import Job, Layout
from nesting.stop import AfterSeconds, AnyOf, Clock, StopRule

LOOK_EVERY = 0.1
"""Seconds between two looks at the stop rule."""
TELL_EVERY = 1.0
"""Seconds after which a listener hears again that time passes."""
RESERVE = 1.0
RESERVE_PER_CELL = 0.03
"""Seconds that are kept for what comes after: laws, page, drawing."""


@dataclass(frozen=True, slots=True)
class TableProgress:
    """How far a table is: seconds since the start, cells done in this pass, the time limit.

    `stage` is what this pass does: done or improved.
    """

    seconds: float
    done: int
    cells: int
    stage: str
    limit: float | None

    @property
    def share(self) -> float:
        """The share that is done, 0 to 1: of the time where it is limited, else of the cells."""
        if self.limit is not None:
            return min(self.seconds / self.limit, 1.0)
        return self.done / max(self.cells, 1)

    @property
    def text(self) -> str:
        """How far it is, in a line."""
        return f"{self.seconds:.0f} s: {self.done} of {self.cells} lengths {self.stage}"


OnProgress = Callable[[TableProgress], None]


@dataclass(frozen=True, eq=False, slots=True)
class Run:
    """How a table is run: seconds since the start, whether to stop, and who hears of it."""

    clock: Clock
    stop: StopRule
    on_progress: OnProgress | None = None


class LostWorkers(ThriftlayError):
    """The processes or machines that did the work are gone."""


@dataclass(eq=False, slots=True)
class Worked:
    """What came out, cell by cell: layouts, whether all rounds were done, why there is none.

    `rounds` is the number of the last pass, which those that are finished were given.
    """

    layouts: list[Layout | None]
    finished: list[bool]
    faults: list[str]
    rounds: int = 0


@dataclass(eq=False, slots=True)
class Work:
    """The cells of one table on their way. `rounds` or else `seconds` limit it."""

    jobs: Sequence[Job]
    seed: int
    rounds: int | None
    seconds: float
    crew: Crew
    run: Run
    shelf: Shelf
    _worked: Worked = field(init=False)
    _quiet: Quiet = field(init=False)
    _costs: list[Cost | None] = field(init=False)
    _bookmarks: list[Bookmark] = field(init=False)
    _ended: list[bool] = field(init=False)
    _stopped: bool = field(init=False, default=False)
    _lock: threading.Lock = field(init=False, default_factory=threading.Lock)
    _said: tuple[int, int, str] = field(init=False, default=(0, 0, ""))

    def __post_init__(self) -> None:
        count = self._count
        self._worked = Worked([None] * count, [False] * count, [""] * count)
        self._costs = [None] * count
        self._bookmarks = [NOWHERE] * count
        self._ended = [False] * count

    @property
    def _count(self) -> int:
        return len(self.jobs)

    def do(self) -> Worked:
        """Lay out every cell; a stop leaves each with the best it has so far.

        Raises LostWorkers when they are gone, and DrawingError when finished cells cannot be kept.
        """
        with Quiet() as quiet, self.crew.at_work():
            self._quiet = quiet
            rounds = (
                self.rounds
                or self.shelf.find_rounds(self.jobs, self.seed)
                or first_rounds(self._count, self.seconds, self.crew.workers)
            )
            while rounds:
                self._lay(rounds)
                rounds = self._next(rounds)
        return self._worked

    def _next(self, rounds: int) -> int:
        """Return the number of rounds of another pass; 0 for none."""
        going = [number for number in range(self._count) if not self._ended[number]]
        costs = [cost for number in going if (cost := self._costs[number]) is not None]
        if self._stopped or self.rounds is not None or len(costs) < len(going):
            return 0
        left = self._deadline - self.run.clock()
        return next_rounds(rounds, costs, left, self.crew.workers)

    def _lay(self, rounds: int) -> None:
        """Lay out every cell that is not kept yet for a fixed number of rounds."""
        stage = "improved" if self._worked.rounds else "done"
        self.shelf.keep_rounds(self.jobs, self.seed, rounds)
        self._worked.rounds = rounds
        self._worked.finished = [self._is_there(number, rounds) for number in range(self._count)]
        todo = [number for number in range(self._count) if not self._worked.finished[number]]
        todo.sort(key=lambda number: self._expected(number, rounds), reverse=True)
        for done in self._each([self._task(number, rounds) for number in todo], stage):
            self._take(done, rounds)

    def _is_there(self, number: int, rounds: int) -> bool:
        """Return whether a cell needs no more work: nothing can be better, or it is kept."""
        layout = self._worked.layouts[number]
        if self._ended[number] and layout is not None and layout.rounds <= rounds:
            return True
        kept = self.shelf.find(self.jobs[number], self.seed, rounds)
        if kept is None:
            return False
        self._worked.layouts[number] = kept
        return True

    def _expected(self, number: int, rounds: int) -> float:
        """Return what a cell is expected to take: the dearest are begun first."""
        cost = self._costs[number]
        if cost is None:
            return _copies(self.jobs[number])
        return cost.of(rounds - self._bookmarks[number].rounds)

    def _task(self, number: int, rounds: int) -> Task:
        has_one = self._worked.layouts[number] is not None
        job, bookmark, flag = self.jobs[number], self._bookmarks[number], self.crew.flag
        return Task(number, job, self.seed, rounds, bookmark, flag, can_wait=has_one)

    def _take(self, done: Done, rounds: int) -> None:
        """Keep what came of a task. Nothing passes the judge unseen."""
        number, layout = done.number, done.layout
        if done.fault:
            self._worked.faults[number] = done.fault
        if layout is None or check(self.jobs[number], layout):
            return
        best = self._worked.layouts[number]
        if best is None or layout.length < best.length:
            self._worked.layouts[number] = layout
        if not done.stopped:
            self._worked.finished[number] = True
            self._costs[number], self._ended[number] = done.cost, done.ended
            self._bookmarks[number] = done.bookmark
            self.shelf.keep(self.jobs[number], self.seed, rounds, layout)

    def _each(self, tasks: Sequence[Task], stage: str) -> Iterator[Done]:
        """Yield the tasks as they are done, in no order, until all are or a stop comes."""
        import joblib  # only now, see crews

        count, before = self._count, self._count - len(tasks)
        self._said = (before, count, stage)
        parallel = joblib.Parallel(return_as="generator_unordered", batch_size=1)
        rule = AnyOf(self.run.stop, AfterSeconds(self._deadline, self.run.clock))
        with watched(rule, self._stop, self._tell):
            try:
                for done in parallel(joblib.delayed(run_task)(task) for task in tasks):
                    yield done
                    self._said = (self._said[0] + 1, count, stage)
                    self._tell()
            except self.crew.lost as error:
                if not self._stopped:
                    raise LostWorkers(self.crew.sorry) from error

    @property
    def _deadline(self) -> float:
        """The second since the start at which the work must be over."""
        if self.rounds is not None:
            return float("inf")
        reserve = RESERVE + RESERVE_PER_CELL * len(self.jobs)
        return max(self.seconds - reserve, 0.5 * self.seconds)

    def _stop(self) -> None:
        self._stopped = True
        self.crew.stop()

    def _tell(self) -> None:
        """Tell how far the work is, to whoever listens."""
        if self.run.on_progress is None:
            return
        limit = None if self.rounds is not None else self.seconds
        with self._lock, self._quiet.aloud():
            self.run.on_progress(TableProgress(self.run.clock(), *self._said, limit))


@contextlib.contextmanager
def watched(stop: StopRule, act: Callable[[], None], tick: Callable[[], None]) -> Iterator[None]:
    """Look after a stop rule beside the work: `act` when it says stop, `tick` now and then."""
    over = threading.Event()

    def look() -> None:
        looks = 0
        while not over.wait(LOOK_EVERY):
            if stop(0):
                act()
                return
            looks += 1
            if looks % round(TELL_EVERY / LOOK_EVERY) == 0:
                tick()

    thread = threading.Thread(target=look, daemon=True)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()


def _copies(job: Job) -> int:
    return sum(piece.cut * piece.garments for piece in job.pieces)
