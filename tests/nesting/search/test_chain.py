# SPDX-License-Identifier: GPL-2.0-or-later
"""One chain: which targets it sets, when it gives them up, and what it does then."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from nesting.cloth.problem import Problem, build_problem
from nesting.construct.first import first_layout
from nesting.geometry.arrays import Ints
from nesting.geometry.shapes import signed_area
from nesting.grid.weights import Weights, alike, by_size
from nesting.model import Fabric, Job, Outline, Piece, Placement
from nesting.search import chain as chains
from nesting.search import lineage, restarts
from nesting.search.chain import Chain
from nesting.search.lineage import Found
from nesting.search.table import build_table
from tests.helpers.nine_parts import ANGLE, JOB
from tests.helpers.spots import faults


def chain_of(problem: Problem, number: int = 0) -> Chain:
    """Return a chain of this number that begins from the first layout."""
    start = tuple(spot for spot in first_layout(problem) if spot is not None)
    return Chain(build_table(problem), start, 0, number)


AGES = 1_000_000
"""Sweeps and evaluations beyond every patience."""


def search_in_vain(
    monkeypatch: pytest.MonkeyPatch, see: Callable[[tuple[Any, ...]], None] = lambda words: None
) -> None:
    """Let every target be given up after one chunk, never as tangled as another before."""
    tries = itertools.count(10_000)

    def untangled(*words: Any) -> tuple[int, int, int, int]:
        see(words)
        return next(tries), AGES, AGES, AGES

    monkeypatch.setattr(chains, "untangle", untangled)


def standing_still(monkeypatch: pytest.MonkeyPatch, sweeps: int, used: int) -> None:
    """Let every chunk come to the same tangle after so many sweeps and evaluations."""

    def untangled(*_: Any) -> tuple[int, int, int, int]:
        return 10_000, 0, sweeps, used

    monkeypatch.setattr(chains, "untangle", untangled)


def test_a_bold_target_is_drawn_nearer_after_a_few_chunks(monkeypatch: pytest.MonkeyPatch) -> None:
    """What grew after easy targets may be far too much; to wait for patience would cost seconds."""
    standing_still(monkeypatch, 1, 1)
    chain = chain_of(build_problem(JOB))
    chain._shrink = 8 * chains.FIRST_SHRINK
    chain._aim()
    targets = []
    for _ in range(4 * chains.BOLD_CHUNKS):
        targets.append(chain._target.along)
        chain._step(lambda: False)
    assert len(set(targets)) == 4
    assert targets == sorted(targets)
    assert targets[0] == targets[chains.BOLD_CHUNKS - 1] < targets[chains.BOLD_CHUNKS]
    assert chain._shrink == chains.FIRST_SHRINK
    assert chain._failed == 0


@pytest.mark.parametrize("copies", [2, 4])
def test_patience_grows_with_the_number_of_parts(
    copies: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    standing_still(monkeypatch, chains.PATIENCE, chains.IDLE)
    problem = build_problem(Job(Fabric(200.0), (Piece("angle", ANGLE, cut=copies),)))
    chain = chain_of(problem)
    steps = 0
    while chain._failed == 0:
        chain._step(lambda: False)
        steps += 1
    # The first step is progress; one for each part is patience; the next is one too many.
    assert steps == 1 + copies + 1


def test_a_chain_that_fails_for_long_steps_back_from_the_best(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Targets come nearer to the best layout; then some of its parts change places, farther off."""
    problem = build_problem(JOB)
    rooms: list[int] = []
    states: list[Ints] = []

    def see(words: tuple[Any, ...]) -> None:
        states.append(np.array(words[0]))
        rooms.append(int(words[2].rooms[:, 0].max()))

    search_in_vain(monkeypatch, see)
    monkeypatch.setattr(restarts, "STUCK", 5)
    monkeypatch.setattr(chains, "DISTURBED", 0.5)
    monkeypatch.setattr(chains, "STEP_BACK", 1.05)
    chain = chain_of(problem)
    best, start = chain.best.state.copy(), chain.best.spots
    chain.round(lambda: False)
    chain.round(lambda: False)
    assert rooms[:5] == sorted(rooms[:5])
    assert rooms[5] > 1.02 * rooms[4]
    elsewhere = (states[5] != best).any(axis=0)
    assert 2 <= elsewhere.sum() <= 4  # half of nine, and more room than the best layout takes
    tools = chain._tools
    groups = [set(tools.nearest(best, one, 4).tolist()) for one in range(tools.movable)]
    assert any(set(np.flatnonzero(elsewhere).tolist()) <= group for group in groups)
    assert chain.best.spots == start
    shorter = Found(chain.best.length * 0.999, start, best)
    chain.adopt(shorter)
    chain.round(lambda: False)
    assert chain.best == shorter
    assert rooms[8] > 1.02 * rooms[4]


@pytest.mark.parametrize("number", range(4))
def test_a_chain_that_finds_nothing_begins_another_lineage(
    number: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In turn from the first layout, apart from all others, and from the best, changed about."""
    states: list[Ints] = []
    search_in_vain(monkeypatch, lambda words: states.append(np.array(words[0])))
    monkeypatch.setattr(lineage, "LEAST", 2)
    monkeypatch.setattr(restarts, "STUCK", 10**6)
    monkeypatch.setattr(chains, "DISTURBED", 1.0)
    chain = chain_of(build_problem(JOB), number)
    first, spots = chain.best.state, chain.best.spots
    best = Found(chain.best.length * 0.99, spots, first)
    chain.adopt(best)
    begun = []
    while len(begun) < 4:
        lineages, seen = chain._lineages, len(states)
        chain.round(lambda: False)
        assert len(states) > seen
        if chain._lineages > lineages:
            seen = len(states)
            chain._step(lambda: False)
            state = states[seen]
            begun.append("afresh" if (state[2] == first[2]).all() else "best")
    turns = ["best", "afresh"] * 3
    assert begun == turns[number % 2 :][:4]
    assert chain.best is best


def test_a_fresh_lineage_takes_nothing_over_until_it_is_the_best(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    search_in_vain(monkeypatch)
    monkeypatch.setattr(lineage, "LEAST", 1)
    chain = chain_of(build_problem(JOB), number=1)
    first = chain.best
    chain.round(lambda: False)
    shared = Found(first.length * 0.9, first.spots, first.state)
    chain.adopt(shared)
    assert chain.best is shared
    assert chain._lineage.best is first
    assert chain._length == first.length


@pytest.mark.parametrize(
    ("number", "waits"),
    [(0, [3, 3, 6, 3, 3, 6, 12]), (1, [3, 5, 6, 6]), (2, [3, 3, 6, 3]), (3, [3, 5, 6, 6])],
)
def test_every_second_chain_is_patient_and_the_others_step_back_in_lubys_order(
    number: int, waits: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Some jobs need other ideas soon, some patience."""
    problem = build_problem(JOB)
    failed: list[int] = []
    give_up = Chain._give_up

    def counted(chain: Chain) -> None:
        give_up(chain)
        failed.append(chain._failed)  # 0 after a step back

    search_in_vain(monkeypatch)
    monkeypatch.setattr(Chain, "_give_up", counted)
    monkeypatch.setattr(restarts, "STUCK", 3)
    monkeypatch.setattr(restarts, "STUCK_MORE", 2)
    monkeypatch.setattr(restarts, "STUCK_MOST", 6)
    chain_of(problem, number).round(lambda: False)
    back = [count for count, left in enumerate(failed, start=1) if left == 0]
    assert np.diff([0, *back])[: len(waits)].tolist() == waits


@pytest.mark.parametrize("number", range(4))
def test_overlaps_weigh_by_size_but_in_every_second_chain(
    number: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Held parts, which come last, have a size as well."""
    square: Outline = ((0, 0), (30, 0), (30, 30), (0, 30))
    held = (Placement("angle", (1,), 1, 0.0, False, 0.0, 0.0),)
    pieces = (Piece("angle", ANGLE, cut=2), Piece("square", square, cut=2, hand="same"))
    seen: list[Weights] = []

    def see(words: tuple[Any, ...]) -> None:
        seen.extend((words[3].weights.copy(), words[3].first))

    search_in_vain(monkeypatch, see)
    chain_of(build_problem(Job(Fabric(200.0), pieces, held)), number)._step(lambda: False)
    angle = abs(signed_area(np.array(ANGLE)))
    wanted = alike(4) if number % 2 else by_size([angle, 900.0, 900.0, angle])
    assert [one.tolist() for one in seen] == [wanted.tolist()] * 2


def test_a_chain_gives_targets_up_though_held_parts_touch(monkeypatch: pytest.MonkeyPatch) -> None:
    """On the grid held parts that touch may overlap by a hair; nobody waits for them to part."""
    square: Outline = ((0, 0), (33.3, 0), (33.3, 33.3), (0, 33.3))
    sides = range(3)
    held = tuple(Placement("s", (1,), k + 1, 0.0, False, 33.3 * k, 0.0) for k in sides)
    job = Job(Fabric(100.0), (Piece("s", square, cut=3), Piece("t", square, cut=8)), held)
    problem = build_problem(job)
    given_up: list[int] = []
    give_up = Chain._give_up

    def counted(chain: Chain) -> None:
        given_up.append(chain._target.least)
        give_up(chain)

    monkeypatch.setattr(Chain, "_give_up", counted)
    chain = chain_of(problem)
    for _ in range(8):
        chain.round(lambda: False)
    assert faults(problem, chain.best.spots) == []
    assert not chain.is_done
    assert given_up
