# SPDX-License-Identifier: GPL-2.0-or-later
"""Windows: valid layouts that become shorter, the same by rounds, and gains had side by side."""

from __future__ import annotations

import itertools
import pickle
from dataclasses import replace
from functools import cache

import pytest

from nesting.cloth.clump import Clump, clump_of
from nesting.cloth.problem import MANY_PARTS, Fixed, Problem, Spot, build_problem, needed_length
from nesting.construct.bulk import ORDERS
from nesting.construct.first import first_layout
from nesting.model import Fabric, Job, Piece
from nesting.search import team
from nesting.search.table import build_table
from nesting.search.window import Window, from_the_left, searched
from nesting.search.windows import (
    APART,
    SIZE,
    STRIDE,
    takes_windows,
    together,
    windows_of,
)
from nesting.stop import AfterRounds
from tests.helpers.curves import curves
from tests.helpers.spots import faults
from tests.nesting.search.test_team import Better, run


@cache
def long_problem(parts: int = 50) -> Problem:
    return build_problem(curves(parts, seed=2, points=24))


@pytest.fixture
def windows_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(team, "WHOLE", 0)


@cache
def laid_in_bulk() -> tuple[Spot, ...]:
    return run(long_problem(), ORDERS)[1][-1][0]


@cache
def in_windows(workers: int) -> tuple[int, Better]:
    """Return what windows find in two rounds; they must come at once."""
    assert team.WHOLE == 0
    return run(long_problem(), ORDERS + 2, workers)


@cache
def in_chains() -> tuple[int | None, Better]:
    """Return at which round windows take over from chains soon stale, and all that is found."""
    assert team.STALE == 1
    search = team.Search()
    _, whole = run(long_problem(), ORDERS + 6, search=search)
    assert search.standing is not None
    return search.standing.since, whole


@pytest.mark.usefixtures("windows_at_once")
def test_long_layouts_become_shorter_round_by_round_and_stay_valid() -> None:
    problem = long_problem()
    assert takes_windows(problem)
    done, better = in_windows(2)
    assert done == ORDERS + 2
    lengths = [needed_length(problem, spots) for spots, _ in better]
    assert lengths == sorted(lengths, reverse=True)
    assert better[-1][1] > ORDERS
    for spots, _ in better:
        assert faults(problem, spots) == []


@pytest.mark.usefixtures("windows_at_once")
@pytest.mark.parametrize(("workers", "before"), [(1, ORDERS + 1), (2, ORDERS + 1)])
def test_a_search_in_windows_goes_on_as_if_there_had_been_no_break(
    workers: int, before: int
) -> None:
    problem = long_problem()
    done, whole = in_windows(workers)
    search = team.Search()
    _, first = run(problem, before, workers, search=search)
    later = team.Search(pickle.loads(pickle.dumps(search.standing)))
    went_on, then = run(problem, ORDERS + 2, workers, search=later)
    assert went_on == done
    assert first + then[1:] == whole
    assert then[0] == first[-1]


@pytest.mark.parametrize("before", [ORDERS + 2, ORDERS + 5])
def test_whole_chains_come_first_and_windows_when_they_find_nothing_more(
    before: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Laid aside before that, or after, it goes on as it would have."""
    monkeypatch.setattr(team, "STALE", 1)
    problem = long_problem()
    since, whole = in_chains()
    assert since is not None
    assert since > ORDERS
    found = [number for _, number in better_until(whole, since)]
    assert since == found[-1] + 1
    search = team.Search()
    run(problem, before, search=search)
    assert search.standing is not None
    assert bool(search.standing.chains) == (before <= since)
    later = team.Search(pickle.loads(pickle.dumps(search.standing)))
    assert run(problem, ORDERS + 6, search=later)[1][-1] == whole[-1]


def better_until(better: Better, rounds: int) -> Better:
    return [(spots, number) for spots, number in better if number <= rounds]


def test_what_is_right_of_a_window_moves_as_one_and_what_is_left_lies_still() -> None:
    problem, spots = long_problem(), laid_in_bulk()
    order = from_the_left(problem, spots)
    window = Window(tuple(order[:12]), tuple(order[12:36]), tuple(order[36:]))
    found = searched(
        problem, spots, window, rounds=4, seed=[1, 2], number=0, is_cancelled=lambda: False
    )
    assert faults(problem, found) == []
    assert [found[part] for part in window.left] == [spots[part] for part in window.left]
    moved = {round(found[part].x - spots[part].x, 6) for part in window.right}
    assert len(moved) == 1
    gained = needed_length(problem, spots) - needed_length(problem, found)
    assert gained > 0.0
    assert moved.pop() == pytest.approx(-gained, abs=1e-5)
    assert [found[part].y for part in window.right] == [spots[part].y for part in window.right]


def test_windows_of_a_pass_reach_from_end_to_end_and_those_of_a_round_lie_apart() -> None:
    problem = long_problem(160)
    spots = tuple(spot for spot in first_layout(problem) if spot is not None)
    for workers in (1, 2, 3, 4):
        seen: set[int] = set()
        each = -(-(160 - SIZE) // min(workers, (160 - SIZE) // APART) // STRIDE) + 1
        for number in range(each):
            windows, rounds = windows_of(problem, spots, number, workers)
            assert rounds == windows_of(problem, spots, 0, workers)[1]
            assert len(windows) == workers
            for window in windows:
                every = (*window.left, *window.moved, *window.right)
                assert sorted(every) == list(range(160))
                assert len(window.moved) == SIZE
                seen |= set(window.moved)
            for one, two in itertools.pairwise(windows):
                between = len(two.left) - len(one.left)
                assert between == 0 or between >= SIZE
        assert seen == set(range(160))
    later, more = windows_of(problem, spots, -(-(160 - SIZE) // STRIDE) + 1, 1)
    assert more > rounds
    assert later[0].left == ()


def test_gains_of_two_windows_are_had_together_unless_they_meet() -> None:
    """Squares in a row with gaps: a window that closes one, and another that closes a later one."""
    square = ((0, 0), (10, 0), (10, 10), (0, 10))
    job = Job(Fabric(10.0), (Piece("s", square, cut=6, hand="same"),))
    problem = build_problem(job)
    ends = (0.0, 12.0, 22.0, 32.0, 45.0, 55.0)
    spots = tuple(Spot(0, x, 0.0) for x in ends)
    first = Window((0,), (1,), (2, 3, 4, 5))
    second = Window((0, 1, 2, 3), (4,), (5,))

    def closed(window: Window, by: float) -> tuple[Spot, ...]:
        moved = (*window.moved, *window.right)
        return tuple(replace(s, x=s.x - by) if k in moved else s for k, s in enumerate(spots))

    found = [closed(first, 2.0), closed(second, 3.0)]
    both = together(problem, spots, [first, second], found)
    assert [spot.x for spot in both] == [0.0, 10.0, 20.0, 30.0, 40.0, 50.0]
    # The same window twice: only the better of the two counts.
    best = together(problem, spots, [first, first], [closed(first, 1.0), closed(first, 2.0)])
    assert best == found[0]
    assert together(problem, spots, [first], [spots]) == spots


def test_what_is_fixed_or_short_or_alike_is_searched_as_a_whole() -> None:
    problem = long_problem()
    assert not takes_windows(replace(problem, fixed=(Fixed(0, 0.0, 0.0),)))
    assert not takes_windows(replace(problem, parts=problem.parts[:MANY_PARTS]))
    alike = curves(20, points=24)
    many = replace(alike, pieces=tuple(replace(piece, cut=8) for piece in alike.pieces))
    assert not takes_windows(build_problem(many))


def test_long_layouts_with_something_fixed_begin_in_bulk_as_well() -> None:
    problem = long_problem(48)
    shape = problem.shapes[0]
    fixed = Fixed(0, 300.0 - shape.low[0], 200.0 - shape.low[1])
    held = replace(problem, fixed=(fixed,), parts=problem.parts[1:])
    _, better = run(held, ORDERS)
    assert faults(held, better[-1][0]) == []
    start = tuple(spot for spot in first_layout(held) if spot is not None)
    assert needed_length(held, better[-1][0]) < 0.9 * needed_length(held, start)


def test_a_clump_is_cut_up_as_its_members_are() -> None:
    problem = long_problem()
    spots = [Spot(0, 30.0, -20.0), Spot(3, 900.0, 50.0)]
    clump = clump_of(problem.shapes, spots)
    assert isinstance(clump, Clump)
    part = replace(problem.parts[0], shapes=(0,))
    both = replace(problem, shapes=(clump,), parts=(part,), fixed=())
    apart = replace(problem, shapes=(problem.shapes[0], problem.shapes[3]), parts=(part,))
    one, two = (build_table(each, side=200.0) for each in (both, apart))
    assert len(one.true[0]) == sum(map(len, two.true))
    assert one.sizes[0] == pytest.approx(clump.size)
    offsets = [
        (spot.x + problem.shapes[spot.shape].low[0] - clump.low[0],
         spot.y + problem.shapes[spot.shape].low[1] - clump.low[1])
        for spot in spots
    ]  # fmt: skip
    expected = [
        point + offset
        for parts, offset in zip(two.true, offsets, strict=True)
        for part in parts
        for point in part
    ]
    found = [point for part in one.true[0] for point in part]
    for have, want in zip(found, expected, strict=True):
        assert have == pytest.approx(want, abs=1e-9)


def test_rounds_stop_a_search_in_windows_where_they_should() -> None:
    assert run(long_problem(), 0, stop=AfterRounds(ORDERS + 1))[0] == ORDERS + 1
