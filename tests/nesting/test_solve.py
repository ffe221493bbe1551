# SPDX-License-Identifier: GPL-2.0-or-later
"""The wiring: only judged layouts come out, the best of them, whatever the search hands over."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import pytest

from nesting import solve as wiring
from nesting.cloth.bounds import lower_bound
from nesting.cloth.problem import Problem, Spot, build_problem
from nesting.errors import BrokenLayout, JobError
from nesting.judge.check import check
from nesting.model import Fabric, Job, Layout, Outline, Piece, Placement
from nesting.search.keeper import Progress
from nesting.solve import solve
from nesting.stop import AfterRounds, AfterSeconds, AnyOf, Request, StopRule
from tests.helpers.curves import curves

SQUARE: Outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
TRIANGLE: Outline = ((0.0, 0.0), (100.0, 0.0), (0.0, 100.0))
PAIR = Job(Fabric(150.0, nap=False), (Piece("a", TRIANGLE, cut=2, hand="same"),))
"""Two right triangles: 200 mm one after the other, 100 mm as a square."""


LEANING: Outline = ((0.0, 0.0), (100.0, 0.0), (130.0, 50.0), (30.0, 50.0))
OTHER_WAY: Outline = ((30.0, 0.0), (130.0, 0.0), (100.0, 50.0), (0.0, 50.0))


class FakeClock:
    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        self.now += 0.01
        return self.now


@dataclass
class Scripted:
    """A search that hands over prepared candidates, one a round."""

    script: Sequence[tuple[Spot, ...]]
    starts: list[tuple[Spot | None, ...]] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def __call__(
        self,
        problem: Problem,
        start: tuple[Spot | None, ...],
        *,
        seed: int,
        workers: int,
        should_stop: Callable[[int], bool],
        on_better: Callable[[tuple[Spot, ...], int], None],
    ) -> int:
        self.starts.append(start)
        self.problems.append(problem)
        rounds = 0
        for candidate in self.script:
            if should_stop(rounds):
                break
            rounds += 1
            on_better(candidate, rounds)
        return rounds


def run(job: Job, search: Scripted, stop: StopRule | None = None, **more: object) -> Layout:
    layout = solve(job, stop=stop or AfterRounds(99), clock=FakeClock(), search=search, **more)
    assert check(job, layout) == ()
    return layout


def pair_at(x: float) -> tuple[Spot, Spot]:
    """The second triangle turned, with its right angle at (x, 100); clean from x = 100 on."""
    return Spot(0, 0.0, 0.0), Spot(1, x, 100.0)


def test_without_rounds_the_first_layout_comes_out_and_nothing_is_searched() -> None:
    search = Scripted([pair_at(100.0)])
    layout = run(PAIR, search, AfterRounds(0))
    assert (layout.length, layout.rounds, search.starts) == (200.0, 0, [])


def test_a_better_candidate_replaces_the_best_and_a_worse_one_does_not() -> None:
    search = Scripted([pair_at(150.0), pair_at(160.0), pair_at(120.0), pair_at(130.0)])
    layout = run(PAIR, search)
    assert layout.length == 120.0
    assert layout.rounds == 4
    assert layout.utilisation == pytest.approx(10_000 / (150 * 120))


def test_an_equally_long_candidate_does_not_replace_the_best() -> None:
    other = Spot(0, 0.0, 50.0), Spot(1, 150.0, 100.0)
    layout = run(PAIR, Scripted([pair_at(150.0), other]))
    assert layout.length == 150.0
    assert layout.placements[0].y == 0.0


def test_the_search_starts_from_the_first_layout_on_cloth_without_an_end() -> None:
    search = Scripted([])
    run(replace(PAIR, fabric=Fabric(150.0, length=250.0, nap=False)), search)
    assert None not in search.starts[0]
    assert search.problems[0].fabric.length is None


def test_what_the_judge_refuses_is_never_the_result() -> None:
    overlapping = pair_at(99.0)
    outside = (Spot(0, -50.0, 0.0), Spot(1, 60.0, 100.0))
    layout = run(PAIR, Scripted([overlapping, outside, pair_at(140.0)]))
    assert layout.length == 140.0


def test_nothing_is_searched_once_the_layout_is_as_short_as_the_bound() -> None:
    search = Scripted([pair_at(150.0)])
    layout = run(Job(Fabric(150.0), (Piece("a", SQUARE, cut=3, hand="same"),)), search)
    assert (layout.length, layout.lower_bound, search.starts) == (300.0, 300.0, [])


def test_the_search_ends_when_a_candidate_reaches_the_bound() -> None:
    job = replace(PAIR, fabric=Fabric(100.0, nap=False))
    layout = run(job, Scripted([pair_at(100.0), pair_at(100.0), pair_at(100.0)]))
    assert (layout.length, layout.lower_bound, layout.rounds) == (100.0, 100.0, 1)


def test_more_rounds_are_never_worse() -> None:
    script = [pair_at(x) for x in (180.0, 150.0, 170.0, 90.0, 140.0, 101.0)]
    lengths = [run(PAIR, Scripted(script), AfterRounds(n)).length for n in range(7)]
    assert lengths == [200.0, 180.0, 150.0, 150.0, 150.0, 140.0, 101.0]


def test_a_stop_request_in_mid_search_keeps_the_best_so_far() -> None:
    request = Request()

    def listen(progress: Progress) -> None:
        if progress.length <= 150.0:
            request.ask()

    script = [pair_at(180.0), pair_at(150.0), pair_at(110.0)]
    layout = run(PAIR, Scripted(script), AnyOf(request, AfterRounds(9)), on_progress=listen)
    assert (layout.length, layout.rounds) == (150.0, 2)


def test_a_time_limit_counts_from_the_start_of_the_clock() -> None:
    clock = FakeClock()
    clock.now = 20.0
    search = Scripted([pair_at(110.0)])
    layout = solve(PAIR, stop=AfterSeconds(20.0, clock), clock=clock, search=search)
    assert (layout.length, search.starts) == (200.0, [])


def test_progress_tells_the_figures_of_the_best_and_never_gets_worse() -> None:
    heard: list[Progress] = []
    script = [pair_at(180.0), pair_at(190.0), pair_at(150.0)]
    layout = run(PAIR, Scripted(script), on_progress=heard.append)
    assert heard[0].length == 200.0
    assert heard[-1].length == layout.length == 150.0
    for before, after in pairwise(heard):
        assert before.length >= after.length
        assert before.seconds <= after.seconds
        assert before.rounds <= after.rounds
    assert all(one.lower_bound <= one.length for one in heard)
    assert heard[-1].utilisation == layout.utilisation


def test_a_listener_hears_that_time_passes_even_without_progress() -> None:
    clock = FakeClock()
    heard: list[Progress] = []

    def slow(
        problem: Problem,
        start: tuple[Spot | None, ...],
        *,
        seed: int,
        workers: int,
        should_stop: Callable[[int], bool],
        on_better: Callable[[tuple[Spot, ...], int], None],
    ) -> int:
        while not should_stop(0):
            clock.now += 0.1
        return 0

    stop = AfterSeconds(5.0, clock)
    solve(PAIR, stop=stop, clock=clock, on_progress=heard.append, search=slow)
    assert 10 <= len(heard) <= 25


def test_the_result_states_how_it_came_about() -> None:
    layout = run(PAIR, Scripted([pair_at(120.0)]), seed=7, workers=3)
    assert (layout.seed, layout.workers, layout.rounds) == (7, 3, 1)
    assert layout.engine.startswith("thriftlay")
    assert layout.seconds > 0.0
    assert layout.outlines == {"a": TRIANGLE}


def test_a_layout_found_in_an_unfinished_round_counts_that_round() -> None:
    """So that a replay by rounds comes at least as far."""

    def interrupted(problem: Problem, start: object, **hooks: Callable[..., None]) -> int:
        hooks["on_better"](pair_at(150.0), 5)
        return 4

    layout = solve(PAIR, stop=AfterRounds(9), clock=FakeClock(), search=interrupted)
    assert (layout.length, layout.rounds) == (150.0, 5)


def test_a_broken_first_layout_is_repaired_by_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(wiring, "first_layout", lambda problem: pair_at(50.0))
    assert run(PAIR, Scripted([pair_at(60.0), pair_at(130.0)])).length == 130.0


def test_when_all_is_broken_nothing_is_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(wiring, "first_layout", lambda problem: pair_at(50.0))
    with pytest.raises(BrokenLayout, match=r"overlap by .* is not shown") as caught:
        run(PAIR, Scripted([pair_at(60.0)]))
    assert caught.value.violations


def test_what_the_judge_refuses_at_the_end_falls_back_to_the_layout_before(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Something spoils the best layout after it was judged: the one before it comes out."""
    ended = False

    def judge(job: Job, layout: Layout) -> tuple[object, ...]:
        return ("spoilt",) if ended and layout.length < 150.0 else check(job, layout)

    def search(problem: Problem, start: object, **hooks: Callable[..., None]) -> int:
        nonlocal ended
        hooks["on_better"](pair_at(150.0), 1)
        hooks["on_better"](pair_at(120.0), 1)
        ended = True
        return 1

    monkeypatch.setattr("nesting.search.keeper.check", judge)
    assert solve(PAIR, stop=AfterRounds(9), clock=FakeClock(), search=search).length == 150.0


def test_held_parts_stay_and_the_rest_is_laid_round_them() -> None:
    held = Placement("a", (2,), 1, 0.0, False, 20.0, 50.0)
    job = Job(Fabric(150.0), (Piece("a", SQUARE, cut=3, hand="same"),), (held,))
    layout = run(job, Scripted([]))
    assert held in layout.placements
    assert len(layout.placements) == 3


def test_a_job_of_held_parts_alone_is_a_layout() -> None:
    held = Placement("a", (1,), 1, 0.0, False, 20.0, 50.0)
    layout = run(Job(Fabric(150.0), (Piece("a", SQUARE),), (held,)), Scripted([]))
    assert (layout.placements, layout.length) == ((held,), 120.0)


def test_a_bad_job_is_refused_before_anything_is_laid() -> None:
    search = Scripted([])
    for bad in (
        replace(PAIR, fabric=Fabric(5.0)),
        replace(PAIR, fabric=Fabric(50.0)),
        Job(Fabric(150.0, nap=True), (Piece("a", SQUARE, turns=(90.0,)),)),
    ):
        with pytest.raises(JobError):
            run(bad, search)
    assert search.starts == []


@pytest.mark.parametrize(("consent", "least", "most"), [(0.0, 303.0, 304.0), (2.0, 300.0, 300.1)])
def test_a_part_leans_off_the_grain_as_far_as_it_may(
    consent: float, least: float, most: float
) -> None:
    """A strip of 300 x 100 mm drawn 2 degrees askew: 300 cos 2 + 100 sin 2 = 303.3 mm as it is."""
    along = complex(math.cos(math.radians(2.0)), math.sin(math.radians(2.0)))
    corners = [along * complex(x, y) for x, y in ((0, 0), (300, 0), (300, 100), (0, 100))]
    strip = Piece("strip", tuple((z.real, z.imag) for z in corners), off_grain=consent)
    job = Job(Fabric(400.0), (strip,))
    layout = solve(job, stop=AfterRounds(2), clock=FakeClock())
    assert check(job, layout) == ()
    assert least <= layout.length <= most


@pytest.mark.parametrize(("either_side", "length"), [(False, 260.0), (True, 230.0)])
def test_a_piece_that_may_lie_with_either_side_up_is_flipped_where_that_is_shorter(
    either_side: bool, length: float
) -> None:
    """Two slanted strips as wide as the cloth: they meet along the slant when they lean alike."""
    other = Piece("b", OTHER_WAY, either_side=either_side)
    job = Job(Fabric(50.0, nap=False), (Piece("a", LEANING), other))
    layout = solve(job, stop=AfterRounds(3), clock=FakeClock())
    assert check(job, layout) == ()
    assert layout.length == pytest.approx(length, abs=0.01)
    assert [spot.flip for spot in layout.placements] == [False, either_side]


def test_the_bound_of_many_shapes_is_there_when_the_first_of_them_are_laid_better() -> None:
    """It waits for that, because it takes longer; stopped before, only the area counts."""
    job = curves(50, points=12)
    problem = build_problem(job)
    assert problem.is_long
    area = problem.area / job.fabric.width
    none, one = (solve(job, stop=AfterRounds(n), clock=lambda: 0.0) for n in (0, 1))
    assert none.lower_bound == pytest.approx(area)
    assert one.lower_bound == pytest.approx(lower_bound(problem))
    assert one.lower_bound > area
    assert one.length < 0.9 * none.length


def test_many_shapes_in_columns_that_cannot_be_shorter_are_known_to_be_so() -> None:
    """Rectangles of one length, all of different widths, each more than half the cloth."""
    pieces = tuple(
        Piece(f"r{k}", ((0, 0), (100, 0), (100, 60 + k / 4), (0, 60 + k / 4))) for k in range(50)
    )
    laid = solve(Job(Fabric(100.0), pieces), stop=AfterRounds(20), clock=lambda: 0.0)
    assert laid.length == laid.lower_bound == pytest.approx(5000.0)
    assert laid.rounds <= 3
