# SPDX-License-Identifier: GPL-2.0-or-later
"""All cells at work: passes, a stop at any time, what is kept; where it runs does not matter."""

from __future__ import annotations

import concurrent.futures
import math
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from extension.requirements_table import work as work_module
from extension.requirements_table.budget import Cost
from extension.requirements_table.crews import LocalCrew, crew_of
from extension.requirements_table.kept import Shelf
from extension.requirements_table.tasks import NO_MORE, NOWHERE, Bookmark, Done, Task, run_task
from extension.requirements_table.trust import SINGLE_RUN
from extension.requirements_table.work import LostWorkers, Run, TableProgress, Work, Worked
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import Fabric, Job, Piece
from nesting.stop import StopRule
from tests.helpers.layouts import no_time

PIECES = (
    Piece("bow", ((0, 0), (310, 40), (290, 190), (20, 160)), cut=4),
    Piece("fin", ((0, 0), (170, 90), (30, 140)), cut=2),
)
JOBS = [
    validated(Job(Fabric(width, gap=3.0, nap=nap), PIECES))
    for width in (400.0, 500.0, 620.0)
    for nap in (True, False)
]


def never(rounds: int) -> bool:
    return False


def worked(
    workers: int = 1,
    rounds: int | None = 1,
    *,
    stop: StopRule = never,
    clock: Callable[[], float] = no_time,
    folder: Path | None = None,
    on_progress: Callable[[TableProgress], None] | None = None,
) -> Worked:
    run = Run(clock, stop, on_progress)
    with crew_of(workers, "") as crew:
        each = None if rounds is None else [rounds] * len(JOBS)
        return Work(JOBS, 0, each, 100.0, crew, run, Shelf(folder)).do()


class Doer:
    """Stands in for the processes' work: notes the tasks, may do something before each."""

    def __init__(self, before: Callable[[int], None] = lambda count: None) -> None:
        self.tasks: list[Task] = []
        self._before = before

    def __call__(self, task: Task) -> Done:
        self._before(len(self.tasks))
        self.tasks.append(task)
        return run_task(task)


def placements(result: Worked) -> list[Any]:
    return [layout.placements for layout in result.layouts if layout is not None]


def test_every_cell_is_laid_for_the_rounds_that_are_asked_for() -> None:
    result = worked(rounds=2)
    assert result.rounds == [2] * len(JOBS)
    assert all(result.finished)
    for job, layout in zip(JOBS, result.layouts, strict=True):
        assert layout is not None
        assert check(job, layout) == ()
        assert (layout.rounds, layout.workers) == (2, 1)


def test_two_processes_give_what_one_gives(capfd: pytest.CaptureFixture[str]) -> None:
    assert placements(worked(workers=2)) == placements(worked(workers=1))
    assert capfd.readouterr().err == ""


def test_with_time_left_cells_go_on_by_slices_and_their_rounds_make_the_same_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(work_module, "first_rounds", lambda *_: 2)
    passes: list[list[int]] = []

    def some(costs: dict[int, Cost], *_: object) -> dict[int, float]:
        passes.append(sorted(costs))
        return [dict.fromkeys(costs, 0.0), dict.fromkeys(passes[0][:2], 0.2), {}][len(passes) - 1]

    monkeypatch.setattr(work_module, "slices", some)
    result = worked(rounds=None)
    first, second, *others = passes[0]
    assert others
    # A slice ends with a round, and holds one at least; what can be no better had no slice.
    assert result.rounds[first] > 3
    assert result.rounds[second] > 3
    for number in range(len(JOBS)):
        if number not in (first, second):
            assert result.rounds[number] == (3 if number in others else 2)
    assert all(result.finished)
    with crew_of(1, "") as crew:
        again = Work(JOBS, 0, result.rounds, 1.0, crew, Run(no_time, never), Shelf(None)).do()
    assert placements(result) == placements(again)
    assert again.rounds == result.rounds


def test_the_stated_time_is_used_and_not_passed(monkeypatch: pytest.MonkeyPatch) -> None:
    now = [0.0]

    def lays(task: Task) -> Done:
        """A cell on a slow computer: two seconds to prepare, one for a round."""
        rounds = task.rounds if task.seconds == math.inf else task.bookmark.rounds
        spent = 2.0
        while task.seconds != math.inf and (spent < task.seconds or rounds == task.bookmark.rounds):
            rounds, spent = rounds + 1, spent + 1.0
        now[0] += spent + (rounds if task.seconds == math.inf else 0.0)
        done = run_task(replace(task, rounds=min(rounds, 3), bookmark=NOWHERE, seconds=math.inf))
        layout = None if done.layout is None else replace(done.layout, rounds=rounds)
        return replace(
            done, layout=layout, cost=Cost(2.0, 1.0), bookmark=Bookmark(rounds, b""), ended=False
        )

    monkeypatch.setattr(work_module, "run_task", lays)
    result = worked(rounds=None, clock=lambda: now[0])
    reserve = work_module.RESERVE + work_module.RESERVE_PER_CELL * len(JOBS)
    assert 100.0 - reserve - 3.0 < now[0] <= 100.0 - reserve + 3.0
    assert min(result.rounds) > 4


def test_a_stop_before_the_end_leaves_every_cell_with_the_layout_of_its_rounds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[bool] = []
    monkeypatch.setattr(work_module, "LOOK_EVERY", 0.001)
    monkeypatch.setattr(work_module, "slices", lambda *_: dict.fromkeys(range(len(JOBS)), 1e9))

    def before(count: int) -> None:
        if count == len(JOBS):  # the second pass has begun
            asked.append(True)

    monkeypatch.setattr(work_module, "run_task", Doer(before))
    result = worked(rounds=None, stop=lambda rounds: bool(asked))
    monkeypatch.setattr(work_module, "run_task", run_task)
    with crew_of(1, "") as crew:
        again = Work(JOBS, 0, result.rounds, 1.0, crew, Run(no_time, never), Shelf(None)).do()
    assert len(placements(result)) == len(JOBS)
    assert placements(result) == placements(again)


def test_the_deadline_stops_like_a_person(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(work_module, "LOOK_EVERY", 0.001)
    monkeypatch.setattr(work_module, "first_rounds", lambda *_: 100_000)
    result = worked(rounds=None, clock=lambda: 99.9)
    assert all(layout is not None for layout in result.layouts)
    assert not any(result.finished)


def test_long_after_the_time_nothing_is_begun(monkeypatch: pytest.MonkeyPatch) -> None:
    """On a computer so slow that every cell takes a minute, 100 s are over in the second."""
    now = [0.0]
    monkeypatch.setattr(work_module, "LOOK_EVERY", 0.001)
    monkeypatch.setattr(work_module, "first_rounds", lambda *_: 1)

    def lays(task: Task) -> Done:
        now[0] += 60.0
        for late, file in ((100.0, task.flag), (120.0 + work_module.GRACE, task.flag + NO_MORE)):
            while now[0] >= late and not Path(file).exists():
                time.sleep(0.001)
        return run_task(task)

    monkeypatch.setattr(work_module, "run_task", lays)
    result = worked(rounds=None, clock=lambda: now[0])
    assert [layout is not None for layout in result.layouts] == [True] * 2 + [False] * 4
    assert result.finished == [True] + [False] * 5
    assert result.faults == [""] * len(JOBS)


def test_time_is_kept_for_trials_once_a_search_was_long_enough_for_them() -> None:
    with crew_of(1, "") as crew:
        work = Work(JOBS, 0, None, 100.0, crew, Run(no_time, never), Shelf(None))
        assert work._deadline == work.end < 100.0
        work._worked.rounds[2] = SINGLE_RUN
        assert work._deadline == pytest.approx(work.end - 4.0)


def test_finished_cells_are_taken_up_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = worked(rounds=2)

    def end_soon(count: int) -> None:
        if count == 3:
            raise KeyboardInterrupt

    monkeypatch.setattr(work_module, "run_task", Doer(end_soon))
    with pytest.raises(KeyboardInterrupt):
        worked(rounds=2, folder=tmp_path)
    assert len(list(tmp_path.glob("cell-*"))) == 3
    rest = Doer()
    monkeypatch.setattr(work_module, "run_task", rest)
    resumed = worked(rounds=2, folder=tmp_path)
    assert len(rest.tasks) == len(JOBS) - 3
    assert placements(resumed) == placements(whole)
    assert all(resumed.finished)


def test_a_timed_run_goes_on_with_the_rounds_it_was_begun_with(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(work_module, "slices", lambda *_: {})
    Shelf(tmp_path).keep_rounds(JOBS, 0, [3] * len(JOBS))
    assert worked(rounds=None, folder=tmp_path).rounds == [3] * len(JOBS)


def test_progress_is_told_with_share_and_words(monkeypatch: pytest.MonkeyPatch) -> None:
    # On a busy computer it would be heard as well that time passes.
    monkeypatch.setattr(work_module, "TELL_EVERY", 1e9)
    heard: list[TableProgress] = []
    worked(rounds=1, on_progress=heard.append)
    assert [now.done for now in heard] == [1, 2, 3, 4, 5, 6]
    assert heard[2].share == 0.5
    assert heard[2].text == "0 s: 3 of 6 lengths done"
    timed = TableProgress(200.0, 1, 6, "improved", 100.0)
    assert timed.share == 1.0


def test_workers_that_vanish_are_told_in_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def vanish(task: Task) -> Done:
        raise concurrent.futures.process.BrokenProcessPool

    monkeypatch.setattr(work_module, "run_task", vanish)
    crew = LocalCrew(1, tmp_path)
    with pytest.raises(LostWorkers, match="run again with fewer workers"):
        Work(JOBS, 0, [1] * len(JOBS), 100.0, crew, Run(no_time, never), Shelf(None)).do()


def test_nothing_passes_unjudged(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(work_module, "check", lambda job, layout: ("a fault",))
    assert worked(rounds=1).layouts == [None] * len(JOBS)
