# SPDX-License-Identifier: GPL-2.0-or-later
"""All cells laid out: each for rounds that are asked for, or as far as the stated time goes.

In a later pass a cell goes on from where it stood. Whatever ends it, its layout is that of the
whole rounds it has had, and so many give the same again.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from extension.requirements_table.budget import MOST_ROUNDS, Cost, first_rounds, pulls, slices
from extension.requirements_table.crews import Crew
from extension.requirements_table.kept import Shelf
from extension.requirements_table.quiet import Quiet
from extension.requirements_table.tasks import NOWHERE, Bookmark, Done, Task, run_task
from extension.requirements_table.trust import SINGLE_RUN
from nesting.errors import ThriftlayError
from nesting.judge.check import check
from nesting.model import Job, Layout
from nesting.stop import AfterSeconds, AnyOf, Clock, StopRule

LOOK_EVERY = 0.1
"""Seconds between two looks at the stop rule."""
TELL_EVERY = 1.0
"""Seconds after which a listener hears again that time passes."""
RESERVE = 1.0
RESERVE_PER_CELL = 0.03
"""Seconds that are kept for what comes after: laws, page, drawing."""
GRACE = 3.0
"""Seconds after a stop within which cells that were not reached may still be laid in columns."""
TRIALS = 0.04
"""Share of the time kept for trying narrower cloth, once a search was long enough for that."""


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
    """What came out, cell by cell.

    Layouts; whether all rounds were done that were asked for; why there is none; the rounds that
    the layout took. `costs` are what each cell last took of one of the `workers`, None where
    it was not measured. `tried` are the cells that have tried the arrangement of the next wider
    one (see `trust`).
    """

    layouts: list[Layout | None]
    finished: list[bool]
    faults: list[str]
    rounds: list[int]
    costs: list[Cost | None] = field(default_factory=list)
    workers: int = 1
    tried: set[int] = field(default_factory=set)
    ended: set[int] = field(default_factory=set)
    """The cells in which nothing was left to be searched for."""


@dataclass(eq=False, slots=True)
class Work:
    """The cells of one table on their way: `rounds` of each limit it, or else `seconds` for all."""

    jobs: Sequence[Job]
    seed: int
    rounds: Sequence[int] | None
    seconds: float
    crew: Crew
    run: Run
    shelf: Shelf
    _worked: Worked = field(init=False)
    _quiet: Quiet = field(init=False)
    _costs: list[Cost | None] = field(init=False)
    _bookmarks: list[Bookmark] = field(init=False)
    _ended: list[bool] = field(init=False)
    _wanted: list[int] = field(init=False, default_factory=list)
    _stopped_at: float | None = field(init=False, default=None)
    _lock: threading.Lock = field(init=False, default_factory=threading.Lock)
    _said: tuple[int, int, str] = field(init=False, default=(0, 0, ""))

    def __post_init__(self) -> None:
        count = self._count
        self._worked = Worked([None] * count, [False] * count, [""] * count, [0] * count)
        self._costs = [None] * count
        self._bookmarks = [NOWHERE] * count
        self._ended = [False] * count

    @property
    def _count(self) -> int:
        return len(self.jobs)

    def do(self) -> Worked:
        """Lay out every cell; a stop leaves each with the best it has so far.

        Cells that were not reached get a first layout only as long as `GRACE` lasts; after that
        they have none.

        Raises LostWorkers when they are gone, and DrawingError when finished cells cannot be kept.
        """
        with Quiet() as quiet, self.crew.at_work():
            self._quiet = quiet
            first = first_rounds(self._count, self.seconds, self.crew.workers)
            rounds = self.rounds or self.shelf.find_rounds(self.jobs, self.seed)
            self._lay(list(rounds or [first] * self._count))
            while going := self._next():
                self._go_on(going)
        self._worked.costs, self._worked.workers = self._costs, self.crew.workers
        self._worked.ended = {number for number, ended in enumerate(self._ended) if ended}
        return self._worked

    def _next(self) -> dict[int, float]:
        """Return which cells go on, for how many seconds each; none when all is done."""
        if self._stopped_at is not None or self.rounds is not None:
            return {}
        costs = {
            number: cost
            for number, cost in enumerate(self._costs)
            if cost is not None and not self._ended[number]
        }
        worked = self._worked
        pull = dict(enumerate(pulls(self.jobs, worked.layouts, worked.rounds)))
        return slices(costs, pull, self._deadline - self.run.clock(), self.crew.workers)

    def _lay(self, rounds: Sequence[int]) -> None:
        """Lay out every cell that is not kept yet, each for a fixed number of rounds."""
        self._wanted = list(rounds)
        self.shelf.keep_rounds(self.jobs, self.seed, rounds)
        todo = [
            number for number in range(self._count) if not self._is_there(number, rounds[number])
        ]
        todo.sort(key=lambda number: _copies(self.jobs[number]), reverse=True)
        flag = self.crew.flag
        tasks = [
            Task(number, self.jobs[number], self.seed, rounds[number], flag=flag) for number in todo
        ]
        for done in self._each(tasks, "done"):
            self._take(done, rounds[done.number])

    def _go_on(self, going: Mapping[int, float]) -> None:
        """Let some cells go on for so many seconds each; the longest are begun first."""
        tasks = [
            Task(
                number,
                self.jobs[number],
                self.seed,
                MOST_ROUNDS,
                self._bookmarks[number],
                self.crew.flag,
                can_wait=True,
                seconds=seconds,
                had=self._worked.rounds[number],
            )
            for number, seconds in sorted(going.items(), key=lambda one: -one[1])
        ]
        for done in self._each(tasks, "improved"):
            self._take(done, 0)

    def _is_there(self, number: int, rounds: int) -> bool:
        """Return whether a cell needs no work, because it is kept."""
        kept = self.shelf.find(self.jobs[number], self.seed, rounds)
        if kept is None:
            return False
        self._worked.layouts[number] = kept
        self._worked.finished[number] = True
        self._worked.rounds[number] = rounds
        return True

    def _take(self, done: Done, asked: int) -> None:
        """Keep what came of a task that was asked for rounds. Nothing passes the judge unseen."""
        number, layout, worked = done.number, done.layout, self._worked
        if done.fault:
            worked.faults[number] = done.fault
        if layout is None or check(self.jobs[number], layout):
            return
        best = worked.layouts[number]
        if best is None or layout.rounds >= worked.rounds[number]:
            # A search keeps its best: more rounds never give more length.
            worked.layouts[number] = layout
            worked.rounds[number] = layout.rounds
        if done.stopped:
            return
        # What has ended gives the same after the rounds that were asked for.
        worked.rounds[number] = max(asked, worked.rounds[number])
        worked.finished[number] = True
        self._costs[number], self._ended[number] = done.cost, done.ended
        self._bookmarks[number] = done.bookmark
        self.shelf.keep(self.jobs[number], self.seed, worked.rounds[number], layout)
        if self._wanted[number] != worked.rounds[number]:
            self._wanted[number] = worked.rounds[number]
            self.shelf.keep_rounds(self.jobs, self.seed, self._wanted)

    def _each(self, tasks: Sequence[Task], stage: str) -> Iterator[Done]:
        """Yield the tasks as they are done, in no order, until all are or a stop comes."""
        import joblib  # only now, see crews

        before = sum(self._worked.finished) if stage == "done" else 0
        count = self._count if stage == "done" else len(tasks)
        self._said = (before, count, stage)
        parallel = joblib.Parallel(return_as="generator_unordered", batch_size=1)
        rule = AnyOf(self.run.stop, AfterSeconds(self._deadline, self.run.clock))
        with watched(rule, self._stop, self._tell), watched(self._is_late, self.crew.no_more):
            try:
                for done in parallel(joblib.delayed(run_task)(task) for task in tasks):
                    yield done
                    self._said = (self._said[0] + 1, count, stage)
                    self._tell()
            except self.crew.lost as error:
                if self._stopped_at is None:
                    raise LostWorkers(self.crew.sorry) from error

    @property
    def _deadline(self) -> float:
        """The second since the start at which the searches must be over."""
        kept = TRIALS * self.seconds if max(self._worked.rounds) >= SINGLE_RUN else 0.0
        return self.end - kept

    @property
    def end(self) -> float:
        """The second since the start after which there is time for nothing but the writing."""
        if self.rounds is not None:
            return float("inf")
        reserve = RESERVE + RESERVE_PER_CELL * len(self.jobs)
        return max(self.seconds - reserve, 0.5 * self.seconds)

    def _stop(self) -> None:
        self._stopped_at = self.run.clock()
        self.crew.stop()

    def _is_late(self, rounds: int) -> bool:
        """Return whether a stop came so long ago that cells not reached are left out."""
        return self._stopped_at is not None and self.run.clock() >= self._stopped_at + GRACE

    def _tell(self) -> None:
        """Tell how far the work is, to whoever listens."""
        if self.run.on_progress is None:
            return
        limit = None if self.rounds is not None else self.seconds
        with self._lock, self._quiet.aloud():
            self.run.on_progress(TableProgress(self.run.clock(), *self._said, limit))


@contextlib.contextmanager
def watched(
    stop: StopRule, act: Callable[[], None], tick: Callable[[], None] = lambda: None
) -> Iterator[None]:
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
