# SPDX-License-Identifier: GPL-2.0-or-later
"""Tighten: always clean, never longer than what was clean, held parts untouched."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.cloth.problem import build_problem
from nesting.errors import JobError
from nesting.judge.check import check
from nesting.model import Fabric, Job, Layout, Piece, Placement
from nesting.solve import solve
from nesting.stop import AfterRounds
from nesting.tighten import tighten
from tests.helpers.published import instance_job
from tests.helpers.strategies import jobs

PIECES = (
    Piece("front", ((0, 0), (210, 0), (240, 90), (120, 150), (0, 120)), cut=2),
    Piece("back", ((0, 0), (200, 0), (200, 130), (150, 100), (0, 130)), cut=2),
    Piece("sleeve", ((0, 0), (180, 0), (150, 100), (90, 140), (30, 100)), cut=2),
    Piece("cuff", ((0, 0), (90, 0), (90, 40), (0, 40)), cut=4, hand="same"),
)
JOB = Job(Fabric(500.0, gap=3.0), PIECES)
"""Invented pieces of a small garment."""


def still() -> float:
    return 0.0


def tightened(job: Job, spots: tuple[Placement, ...]) -> Layout:
    return tighten(job, spots, stop=AfterRounds(1000), clock=still)


def first(job: Job) -> Layout:
    return solve(job, stop=AfterRounds(0), clock=still)


def disturbed(layout: Layout, amount: float, seed: int) -> tuple[Placement, ...]:
    """Return the placements of a layout, each pushed by up to `amount` mm in x and y."""
    moves = np.random.default_rng(seed).uniform(-amount, amount, (len(layout.placements), 2))
    return tuple(
        replace(spot, x=spot.x + float(dx), y=spot.y + float(dy))
        for spot, (dx, dy) in zip(layout.placements, moves, strict=True)
    )


@pytest.mark.parametrize("amount", [0.5, 3.0, 12.0, 40.0])
def test_a_hundred_disturbed_layouts_come_out_clean_and_never_longer(amount: float) -> None:
    layout = first(JOB)
    for seed in range(25):
        spots = disturbed(layout, amount, seed)
        result = tightened(JOB, spots)
        assert check(JOB, result) == ()
        # Round corners of the gap are tangents: a thousandth of a millimetre is their share.
        assert result.length <= layout.length + 0.01, seed


@settings(max_examples=15)
@given(jobs(), st.integers(0, 99), st.sampled_from([0.0, 2.0, 30.0]))
def test_any_layout_comes_out_clean_and_a_clean_one_never_longer(
    job: Job, seed: int, amount: float
) -> None:
    layout = first(job)
    spots = disturbed(layout, amount, seed)
    result = tightened(job, spots)
    assert check(job, result) == ()
    if amount == 0.0:
        assert result.length <= layout.length + 1e-6


def test_parts_that_were_drawn_apart_come_together_again() -> None:
    layout = first(JOB)
    apart = tuple(replace(spot, x=1.5 * spot.x) for spot in layout.placements)
    assert tightened(JOB, apart).length <= layout.length + 1.0


def test_parts_keep_their_order_along_the_cloth() -> None:
    row = Job(Fabric(100.0), (Piece("strip", ((0, 0), (60, 0), (60, 90), (0, 90)), cut=5),))
    spots = tuple(
        Placement("strip", (copy,), 1, 0.0, copy % 2 == 0, 80.0 * place, 0.0 if copy % 2 else 90.0)
        for place, copy in enumerate((3, 1, 5, 2, 4))
    )
    result = tightened(row, spots)
    order = sorted(result.placements, key=lambda spot: spot.x)
    assert [spot.copies[0] for spot in order] == [3, 1, 5, 2, 4]
    assert result.length == pytest.approx(300.0, abs=1e-3)


def test_turns_and_hands_stay() -> None:
    layout = first(JOB)
    before = {(s.piece, s.copies): (s.turn, s.flip) for s in layout.placements}
    result = tightened(JOB, disturbed(layout, 20.0, 7))
    assert {(s.piece, s.copies): (s.turn, s.flip) for s in result.placements} == before


def test_held_parts_do_not_move_by_a_hair() -> None:
    layout = first(JOB)
    held = tuple(spot for spot in layout.placements if spot.piece == "back")
    job = replace(JOB, held=held)
    rest = [spot for spot in layout.placements if spot.piece != "back"]
    pushed = tuple(replace(spot, x=spot.x + 9.0) for spot in rest)
    result = tightened(job, pushed)
    assert check(job, result) == ()
    assert set(held) <= set(result.placements)


def test_a_heap_is_laid_anew() -> None:
    heap = tuple(replace(spot, x=0.0, y=0.0) for spot in first(JOB).placements)
    assert check(JOB, tightened(JOB, heap)) == ()


def test_parts_beside_the_cloth_are_brought_onto_it() -> None:
    layout = first(JOB)
    away = (replace(layout.placements[0], y=-900.0), *layout.placements[1:])
    assert check(JOB, tightened(JOB, away)) == ()


def test_a_stop_at_once_still_gives_a_clean_layout() -> None:
    spots = disturbed(first(JOB), 12.0, 3)
    result = tighten(JOB, spots, stop=AfterRounds(0), clock=still)
    assert check(JOB, result) == ()


def test_the_same_run_gives_the_same_layout() -> None:
    spots = disturbed(first(JOB), 12.0, 3)
    assert tightened(JOB, spots) == tightened(JOB, spots)


def test_when_everything_is_held_nothing_is_to_be_done() -> None:
    layout = first(JOB)
    job = replace(JOB, held=layout.placements)
    assert set(tightened(job, ()).placements) == set(layout.placements)


def test_a_missing_copy_is_named() -> None:
    with pytest.raises(JobError, match="Copy 1 of piece “front” is missing"):
        tightened(JOB, first(JOB).placements[1:])


@pytest.mark.parametrize("change", [{"turn": 7.0}, {"turn": 180.0}, {"flip": True}])
def test_a_turn_or_hand_that_may_not_be_is_named(change: dict[str, object]) -> None:
    layout = first(JOB)
    spots = (replace(layout.placements[0], **change), *layout.placements[1:])  # type: ignore[arg-type]
    with pytest.raises(JobError, match="a turn or hand that it may not take"):
        tightened(JOB, spots)


def test_a_published_instance_gets_shorter_from_its_first_layout(benchmark_folder: object) -> None:
    job = instance_job(benchmark_folder, "shapes0")  # type: ignore[arg-type]
    layout = first(job)
    result = tightened(job, layout.placements)
    assert check(job, result) == ()
    assert result.length < layout.length
    assert len(build_problem(job).parts) == len(result.placements)
