# SPDX-License-Identifier: GPL-2.0-or-later
"""Tighten on folded cloth: clean, never longer, every part in its section and cut as it was."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from nesting.errors import JobError
from nesting.judge.check import check
from nesting.model import OPEN, Fabric, Job, Layout, Piece, Placement, Section
from nesting.solve import solve
from nesting.stop import AfterRounds
from nesting.tighten import tighten

PIECES = (
    Piece("front", ((0, 0), (210, 0), (240, 90), (120, 150), (0, 120)), cut=2),
    Piece(
        "back",
        ((0, 0), (200, 0), (200, 130), (150, 100), (0, 130)),
        fold=((0.0, 0.0), (200.0, 0.0)),
    ),
    Piece("sleeve", ((0, 0), (180, 0), (150, 100), (90, 140), (30, 100)), cut=2),
    Piece("collar", ((0, 0), (160, 0), (120, 60), (0, 40))),
)
"""Invented pieces of a small garment: pairs, a half on the fold, and a single."""
SPREADS = {
    "lengthwise": Section(300.0),
    "to a depth": Section(170.0),
    "from above": Section(0.0, 170.0),
    "twice": Section(150.0, 150.0),
    "crosswise": Section(crosswise=True),
    "turned": Section(crosswise=True, turned=True),
}


def still() -> float:
    return 0.0


def job_on(name: str, **fabric: object) -> Job:
    nap = name != "crosswise"
    cloth = Fabric(600.0, gap=3.0, nap=nap, sections=(SPREADS[name], OPEN))
    return Job(replace(cloth, **fabric), PIECES)  # type: ignore[arg-type]


def tightened(job: Job, spots: tuple[Placement, ...]) -> Layout:
    return tighten(job, spots, stop=AfterRounds(1000), clock=still)


def pushed(layout: Layout, amount: float, seed: int) -> tuple[Placement, ...]:
    """Return the placements, each pushed by up to `amount` mm; halves along their fold alone."""
    moves = np.random.default_rng(seed).uniform(-amount, amount, (len(layout.placements), 2))
    return tuple(
        replace(spot, x=spot.x + float(dx), y=spot.y + (0.0 if spot.on_fold else float(dy)))
        for spot, (dx, dy) in zip(layout.placements, moves, strict=True)
    )


def ways(placements: tuple[Placement, ...]) -> set[tuple[object, ...]]:
    """Return where and how parts are cut, their places aside."""
    return {
        (one.piece, one.copies, one.section, one.layers, one.on_fold, one.turn, one.flip)
        for one in placements
    }


@pytest.mark.parametrize("sides", ["together", "apart"])
@pytest.mark.parametrize("name", SPREADS)
@pytest.mark.parametrize("amount", [0.5, 6.0, 40.0])
def test_a_disturbed_layout_comes_out_clean_in_the_same_ways(
    name: str, sides: str, amount: float
) -> None:
    job = job_on(name, sides=sides)
    layout = solve(job, stop=AfterRounds(0), clock=still)
    for seed in range(4):
        spots = pushed(layout, amount, seed)
        result = tightened(job, spots)
        assert check(job, result) == ()
        assert ways(result.placements) == ways(spots)
        assert not result.left_over


@pytest.mark.parametrize("name", SPREADS)
def test_a_loose_layout_becomes_shorter_and_one_that_is_tight_no_longer(name: str) -> None:
    job = job_on(name)
    layout = solve(job, stop=AfterRounds(0), clock=still)
    loose = tuple(replace(one, x=1.4 * one.x + 5.0) for one in layout.placements)
    result = tightened(job, loose)
    assert check(job, result) == ()
    assert result.length <= layout.length + 0.01  # sliding stops a hair before it touches
    again = tightened(job, result.placements)
    assert again.length <= result.length + 1e-9


def test_held_parts_stay_where_they_are() -> None:
    job = job_on("lengthwise")
    layout = solve(job, stop=AfterRounds(0), clock=still)
    held, rest = layout.placements[:2], layout.placements[2:]
    spots = tuple(replace(one, x=one.x + 30.0) for one in rest)
    result = tightened(replace(job, held=held), spots)
    assert check(replace(job, held=held), result) == ()
    assert set(held) <= set(result.placements)


def test_a_half_off_its_fold_goes_back_onto_it() -> None:
    job = job_on("to a depth")
    layout = solve(job, stop=AfterRounds(0), clock=still)
    off = tuple(replace(one, y=one.y + 6.0) if one.on_fold else one for one in layout.placements)
    assert any(one.on_fold for one in off)
    result = tightened(job, off)
    assert check(job, result) == ()


@pytest.mark.parametrize("name", ["lengthwise", "turned"])
def test_a_pair_that_was_flipped_by_hand_stays_flipped(name: str) -> None:
    job = job_on(name)
    layout = solve(job, stop=AfterRounds(0), clock=still)
    spots = tuple(
        replace(one, flip=True, x=one.x + 400.0, y=one.y + 140.0) if one.layers == 2 else one
        for one in layout.placements
    )
    assert any(one.flip for one in spots)
    result = tightened(job, spots)
    assert check(job, result) == ()
    assert ways(result.placements) == ways(spots)


def test_a_missing_copy_is_told() -> None:
    job = job_on("lengthwise")
    layout = solve(job, stop=AfterRounds(0), clock=still)
    with pytest.raises(JobError, match=r"Copy 1 of piece “front” is missing\."):
        tightened(job, layout.placements[1:])


def test_a_part_in_a_turn_that_it_may_not_take_is_told() -> None:
    job = job_on("lengthwise")
    layout = solve(job, stop=AfterRounds(0), clock=still)
    turned = tuple(
        replace(one, turn=90.0) if one.piece == "sleeve" else one for one in layout.placements
    )
    with pytest.raises(JobError, match="in a turn or hand that it may not take"):
        tightened(job, turned)
