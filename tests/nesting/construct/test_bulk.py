# SPDX-License-Identifier: GPL-2.0-or-later
"""Parts laid in bulk: valid as they come out, in their rooms, and the same with numpy."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.cloth.problem import Fixed, Problem, Spot, build_problem, needed_length
from nesting.cloth.rooms import Axis, Room
from nesting.construct import bulk as module
from nesting.construct.bottomleft import orders_by_size
from nesting.construct.bulk import ORDERS, BulkConstructor, lay_in_bulk
from nesting.construct.first import first_layout
from nesting.construct.free import Cloth, leftmost_free, leftmost_free_numpy
from nesting.construct.slices import slices_of
from nesting.model import Fabric, Job, Outline, Piece
from nesting.stop import AfterRounds
from tests.helpers import strategies as some
from tests.helpers.curves import curves
from tests.helpers.loops import stands_twice
from tests.helpers.spots import faults

SQUARE: Outline = ((0, 0), (80, 0), (80, 80), (0, 80))


def laid(problem: Problem, most: float = 5000.0) -> tuple[Spot | None, ...]:
    found = BulkConstructor(problem, most).lay(orders_by_size(problem)[0])
    assert found is not None
    return found


@settings(max_examples=60)
@given(some.jobs())
def test_what_is_laid_is_valid_and_nothing_is_missing_on_enough_cloth(job: Job) -> None:
    problem = build_problem(replace(job, fabric=replace(job.fabric, length=None)))
    enough = sum(max(problem.shapes[s].size[0] for s in p.shapes) for p in problem.parts)
    around = 2.0 * job.fabric.edge_margin + (job.fabric.gap + 20.0) * len(problem.parts)
    spots = laid(problem, 1.1 * enough + around)
    assert None not in spots
    assert faults(problem, spots) == []


@pytest.mark.parametrize(
    "room",
    [
        Room(across=Axis(37.3, 37.3)),
        Room(along=Axis(11.1, 300.0)),
        Room(along=Axis(period=50.0, phase=7.7)),
        Room(across=Axis(period=33.3, phase=1.1)),
        Room(Axis(period=61.0), Axis(30.0, 200.0, 40.0, 3.0)),
    ],
)
def test_rooms_are_kept_to_wherever_they_lie_between_the_cells(room: Room) -> None:
    plain = build_problem(Job(Fabric(400.0, gap=2.0), (Piece("s", SQUARE, cut=4, hand="same"),)))
    parts = tuple(replace(part, rooms=(room,) * len(part.shapes)) for part in plain.parts)
    problem = replace(plain, parts=parts)
    spots = laid(problem)
    assert faults(problem, spots) == []
    if math.isinf(room.along.high):
        assert None not in spots


def test_steps_cost_what_they_must() -> None:
    """80 mm squares, one above the other impossible, on steps of 50 mm: at 0 and 100."""
    plain = build_problem(Job(Fabric(80.0), (Piece("s", SQUARE, cut=2, hand="same"),)))
    steps = Room(along=Axis(period=50.0))
    parts = tuple(replace(part, rooms=(steps,) * len(part.shapes)) for part in plain.parts)
    found = laid(replace(plain, parts=parts))
    assert sorted(spot.x for spot in found if spot) == pytest.approx([0.0, 100.0])


def test_what_is_fixed_is_gone_round_and_a_part_without_room_is_left() -> None:
    plain = build_problem(Job(Fabric(100.0), (Piece("s", SQUARE, cut=2, hand="same"),)))
    problem = replace(plain, fixed=(Fixed(0, 60.0, 10.0),))
    spots = laid(problem, 310.0)
    assert faults(problem, spots) == []
    assert [spot is None for spot in laid(problem, 230.0)] == [False, True]


def test_parts_that_are_kept_lie_where_they_lay() -> None:
    problem = build_problem(curves(12, points=40))
    order = orders_by_size(problem)[0]
    constructor = BulkConstructor(problem, 3000.0)
    whole = constructor.lay(order)
    assert whole is not None
    kept = [whole[part] for part in order[:6]]
    again = constructor.lay(order, kept)
    assert again is not None
    assert [again[part] for part in order[:6]] == kept
    assert faults(problem, again) == []


def test_many_curves_take_much_less_than_their_boxes_in_columns() -> None:
    problem = build_problem(curves(60))
    start = tuple(spot for spot in first_layout(problem) if spot is not None)
    better: list[tuple[tuple[Spot, ...], int]] = []
    done = lay_in_bulk(problem, start, lambda _: False, lambda *found: better.append(found))
    assert done == ORDERS
    lengths = [needed_length(problem, spots) for spots, _ in better]
    assert lengths == sorted(lengths, reverse=True)
    assert lengths[-1] < 0.86 * needed_length(problem, start)
    assert faults(problem, better[-1][0]) == []


def test_it_stops_between_orders_and_between_parts() -> None:
    problem = build_problem(curves(40, points=40))
    start = tuple(spot for spot in first_layout(problem) if spot is not None)
    assert lay_in_bulk(problem, start, AfterRounds(2), lambda *_: None) == 2
    asked = [0]

    def stop(_: int) -> bool:
        asked[0] += 1
        return asked[0] > 30

    assert lay_in_bulk(problem, start, stop, lambda *_: None) == 0


@settings(max_examples=60)
@given(st.data())
def test_loops_and_numpy_find_the_same_place_and_it_is_the_leftmost(data: st.DataObject) -> None:
    rng = np.random.default_rng(data.draw(st.integers(0, 10_000)))
    columns, rows = int(rng.integers(3, 12)), int(rng.integers(3, 14))
    cloth = Cloth(columns, rows)
    for _ in range(int(rng.integers(0, 4))):
        mask = rng.random((rng.integers(1, columns), rng.integers(1, rows))) < 0.5
        column = int(rng.integers(0, columns - len(mask)))
        cloth.cover(column, mask, int(rng.integers(0, rows - mask.shape[1])))
    mask = rng.random((rng.integers(1, columns), rng.integers(1, rows))) < 0.6
    along = rng.integers(0, 3, columns).astype(np.uint8)
    across = rng.integers(0, 3, rows).astype(np.uint8)
    across[rows - mask.shape[1] :] = 0
    words = (
        cloth.taken, cloth.spans, cloth.counts, cloth.longest, slices_of(mask), along, across,
        0, columns,
    )  # fmt: skip
    found = leftmost_free(*words)
    assert found == leftmost_free_numpy(*words)

    def is_free(column: int, row: int) -> bool:
        own = cloth.taken[column : column + len(mask), row : row + mask.shape[1]]
        return not bool((own & mask).any())

    free = [
        (column, row)
        for column in range(columns - len(mask))
        for row in range(rows - mask.shape[1])
        if along[column] and across[row]
        if all(
            is_free(column + right, row + up)
            for right in range(along[column])
            for up in range(across[row])
        )
    ]
    assert found == min(free, default=(-1, -1))


@stands_twice
def test_with_numpy_whole_layouts_are_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    problem = build_problem(curves(16, points=40))
    compiled = laid(problem)
    monkeypatch.setattr(module, "leftmost_free", leftmost_free_numpy)
    assert laid(problem) == compiled
