# SPDX-License-Identifier: GPL-2.0-or-later
"""One cell in a process: a fixed amount of work, and a flag that ends it."""

from __future__ import annotations

import pickle
from dataclasses import replace
from pathlib import Path

import pytest

from extension.requirements_table import tasks
from extension.requirements_table.budget import Cost
from extension.requirements_table.tasks import Flag, Slice, Task, Watch, run_task
from nesting.errors import BrokenLayout
from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import Fabric, Job, Piece

JOB = validated(
    Job(
        Fabric(500.0, gap=3.0),
        (
            Piece("bow", ((0, 0), (310, 40), (290, 190), (20, 160)), cut=4),
            Piece("fin", ((0, 0), (170, 90), (30, 140)), cut=4),
        ),
    )
)
"""A job whose best layout nobody can prove."""


def test_the_same_task_gives_the_same_layout_and_passes_the_judge() -> None:
    one, other = (run_task(Task(5, JOB, seed=1, rounds=2)) for _ in range(2))
    assert one.layout is not None
    assert other.layout is not None
    assert one.layout.placements == other.layout.placements
    assert check(JOB, one.layout) == ()
    assert (one.number, one.layout.rounds, one.layout.workers) == (5, 2, 1)
    assert (one.fault, one.ended, one.stopped) == ("", False, False)
    assert one.cost.of(2) > 0.0


def test_what_cannot_be_better_ends_by_itself() -> None:
    job = validated(Job(Fabric(500.0), (Piece("a", ((0, 0), (90, 0), (90, 80), (0, 80))),)))
    done = run_task(Task(0, job, seed=0, rounds=1000))
    assert done.ended
    assert not done.stopped


def test_a_flag_stops_it_with_the_best_so_far(tmp_path: Path) -> None:
    flag = tmp_path / "stop"
    flag.touch()
    done = run_task(Task(0, JOB, seed=0, rounds=100_000, flag=str(flag)))
    assert done.stopped
    assert done.layout is not None
    assert check(JOB, done.layout) == ()


def test_what_can_wait_is_not_begun_after_the_flag(tmp_path: Path) -> None:
    flag = tmp_path / "stop"
    flag.touch()
    done = run_task(Task(0, JOB, seed=0, rounds=100_000, flag=str(flag), can_wait=True))
    assert (done.layout, done.stopped) == (None, True)


def test_a_fault_comes_back_as_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object, **__: object) -> None:
        raise BrokenLayout(["they overlap"])

    monkeypatch.setattr(tasks, "solve", fails)
    done = run_task(Task(0, JOB, seed=0, rounds=1))
    assert done.layout is None
    assert "failed its own check (they overlap)" in done.fault


def test_tasks_and_answers_travel_between_processes() -> None:
    task = Task(3, JOB, seed=0, rounds=1)
    done = run_task(pickle.loads(pickle.dumps(task)))
    again = pickle.loads(pickle.dumps(done))
    assert again.layout == done.layout


def test_a_flag_is_looked_at_now_and_then(tmp_path: Path) -> None:
    now, path = [0.0], tmp_path / "stop"
    flag = Flag(str(path), lambda: now[0])
    assert not flag(0)
    path.touch()
    assert not flag(0)  # looked a moment ago
    now[0] = 1.0
    assert flag(0)
    path.unlink()
    assert flag(0)  # what has been seen stays


def test_a_cell_that_goes_on_comes_out_as_in_one_go() -> None:
    # Many parts, so that three rounds leave something to find.
    job = replace(JOB, pieces=tuple(replace(piece, cut=7) for piece in JOB.pieces))
    whole = run_task(Task(0, job, seed=0, rounds=9))
    first = pickle.loads(pickle.dumps(run_task(Task(0, job, seed=0, rounds=3))))
    then = run_task(Task(0, job, seed=0, rounds=9, bookmark=first.bookmark))
    assert whole.layout is not None
    assert then.layout is not None
    assert first.layout is not None
    assert then.layout.placements == whole.layout.placements
    assert then.layout.rounds == whole.layout.rounds == 9
    assert first.layout.length > then.layout.length
    assert (first.bookmark.rounds, then.bookmark.rounds) == (3, 9)


def watched(*ends: float, begun: int = 0) -> Cost:
    """Return what rounds are said to cost when they end at these seconds."""
    now = [0.0]
    watch = Watch(lambda rounds: False, lambda: now[0], begun)
    watch(0)
    watch(begun)
    for rounds, now[0] in enumerate(ends, start=begun + 1):
        watch(rounds)
    return watch.cost(now[0])


def test_while_rounds_are_few_all_is_counted_as_theirs() -> None:
    assert watched(3.0) == Cost(0.0, 3.0)
    assert watched(3.0, 4.0) == Cost(0.0, 2.0)
    assert watched() == Cost(0.0, 0.0)


def test_preparation_is_told_from_rounds() -> None:
    cost = watched(1.0, 2.0, 5.0, 5.5)
    assert (cost.prepared, cost.per_round) == pytest.approx((3.5, 0.5))
    assert cost.of(4) == pytest.approx(5.5)


def test_rounds_that_became_slower_cost_what_they_cost_now() -> None:
    assert watched(1.0, 2.0, 3.0, 7.0, 11.0).per_round == pytest.approx(4.0)
    assert watched(1.0, 2.0, 3.0, 4.0, 7.0, 10.0, 13.0, 16.0).per_round == pytest.approx(3.0)


def test_a_cell_that_goes_on_costs_what_its_own_rounds_took() -> None:
    assert watched(2.0, 4.0, 8.0, 8.5, begun=40) == watched(2.0, 4.0, 8.0, 8.5)


def test_a_slice_ends_with_the_first_round_that_ends_after_its_time() -> None:
    now = [0.0]
    rule = Slice(5.0, lambda: now[0], 6)
    assert [rule(0), rule(6)] == [False, False]
    now[0] = 9.0
    assert not rule(6)  # in the middle of a round
    assert rule(7)
    assert rule(7)


def test_a_cell_goes_on_for_a_slice_and_is_what_its_rounds_make() -> None:
    first = run_task(Task(0, JOB, seed=0, rounds=2))
    more = run_task(Task(0, JOB, seed=0, rounds=1000, bookmark=first.bookmark, seconds=0.0, had=2))
    assert more.layout is not None
    assert more.layout.rounds == 3
    whole = run_task(Task(0, JOB, seed=0, rounds=3))
    assert whole.layout is not None
    assert more.layout.placements == whole.layout.placements
