# SPDX-License-Identifier: GPL-2.0-or-later
"""The second judge sees each kind of fault, and nothing in a layout that is right."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from nesting.model import Fabric, Job, Layout, LeftOver, Piece, Placement
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.plain_judge import faults

Change = Callable[[Layout], Layout]

JOB = Job(
    Fabric(400.0, gap=5.0, edge_margin=10.0),
    (
        Piece("sleeve", ((0, 0), (120, 0), (100, 90), (10, 80)), cut=2, grain=30.0),
        Piece("back", ((0, 0), (60, 10), (60, 150), (0, 160)), fold=((0, 160), (0, 0)), grain=90.0),
    ),
)
LAYOUT = solve(JOB, stop=AfterRounds(0), clock=lambda: 0.0)


def with_spot(number: int, **changes: object) -> Change:
    def change(layout: Layout) -> Layout:
        spots = list(layout.placements)
        spots[number] = replace(spots[number], **changes)  # type: ignore[arg-type]
        return replace(layout, placements=tuple(spots))

    return change


def test_a_layout_that_is_right_has_no_fault() -> None:
    assert faults(JOB, LAYOUT) == []


@pytest.mark.parametrize(
    ("change", "word"),
    [
        (with_spot(0, x=LAYOUT.placements[1].x, y=LAYOUT.placements[1].y), "share"),
        (with_spot(0, x=LAYOUT.placements[0].x - 0.001), "off the cloth"),
        (with_spot(0, y=1000.0), "off the cloth"),
        (with_spot(0, flip=True), "hands"),
        (with_spot(0, turn=180.0), "turned"),
        (with_spot(0, garment=2), "garment 2"),
        (with_spot(0, copies=(1, 2)), "copies"),
        (with_spot(0, copies=(3,)), "copies"),
        (lambda layout: replace(layout, placements=layout.placements[1:]), "copies"),
        (lambda layout: replace(layout, left_over=(LeftOver("back", (1,)),)), "endless"),
        (lambda layout: replace(layout, length=layout.length - 0.01), "length"),
        (lambda layout: replace(layout, width=399.0), "width"),
        (lambda layout: replace(layout, utilisation=layout.utilisation + 1e-4), "utilisation"),
        (lambda layout: replace(layout, lower_bound=layout.length + 0.1), "bound"),
    ],
)
def test_every_fault_is_seen(change: Change, word: str) -> None:
    found = faults(JOB, change(LAYOUT))
    assert any(word in sentence for sentence in found), found


def square(copy: int, x: float) -> Placement:
    return Placement("square", (copy,), 1, 0.0, False, x, 0.0)


@pytest.mark.parametrize(
    ("gap", "x", "clean"), [(2, 102, True), (2, 101.99, False), (0, 99.9, False)]
)
def test_the_gap_between_two_parts_is_measured(gap: float, x: float, clean: bool) -> None:
    outline = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    job = Job(Fabric(100.0, gap=gap), (Piece("square", outline, cut=2, hand="same"),))
    length = x + 100.0
    layout = replace(
        LAYOUT,
        width=100.0,
        length=length,
        utilisation=200.0 / length,
        lower_bound=0.0,
        placements=(square(1, 0.0), square(2, x)),
    )
    assert (faults(job, layout) == []) is clean
    moved = replace(job, held=(square(1, 1.0),))
    assert any("has moved" in sentence for sentence in faults(moved, layout))
