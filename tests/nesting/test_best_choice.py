# SPDX-License-Identifier: GPL-2.0-or-later
"""Where not all parts fit: of up to 12 rectangles the choice that covers most, by enumeration.

The rectangles are as high as rows of the cloth. Pushed down, each lies on the lower edge or on
others, so it fills rows, and what fits in them all is a question of lengths alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import pytest

from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import Fabric, Job, Outline, Piece
from nesting.solve import solve
from nesting.stop import AfterRounds

ROW = 100.0
Size = tuple[int, int]
"""How long a rectangle is, mm, and how many rows high."""


def most(sizes: Sequence[Size], rows: Sequence[int]) -> int:
    """Return the most area, in mm of rows, that rectangles cover in rows of some lengths.

    Every choice of rows for every rectangle is looked at. What is two rows high lies in the only
    two that there are then.
    """

    @cache
    def covered(first: int, free: tuple[int, ...]) -> int:
        if first == len(sizes):
            return 0
        long, high = sizes[first]
        best = covered(first + 1, free)
        ways = [range(len(free))] if high > 1 else [[row] for row in range(len(free))]
        for way in ways:
            left = tuple(room - long * (row in way) for row, room in enumerate(free))
            if min(left) >= 0:
                best = max(best, long * high + covered(first + 1, tuple(sorted(left))))
        return best

    return covered(0, tuple(sorted(rows)))


def pieces(sizes: Sequence[Size]) -> tuple[Piece, ...]:
    return tuple(
        Piece(f"p{k}", ((0.0, 0.0), (float(long), 0.0), (float(long), y), (0.0, y)))
        for k, (long, high) in enumerate(sizes)
        for y in [ROW * high]
    )


def laid(job: Job, rounds: int) -> float:
    """Return the area that the engine covers, in mm of rows."""
    layout = solve(job, stop=AfterRounds(rounds), clock=lambda: 0.0)
    assert check(validated(job), layout) == ()
    assert layout.left_over
    areas = {piece.id: piece.outline[1][0] * piece.outline[2][1] / ROW for piece in job.pieces}
    return sum(areas[spot.piece] for spot in layout.placements)


TWELVE = [(150, 2), (130, 2), (90, 2), (170, 1), (160, 1), (140, 1), (120, 1), (110, 1),
          (95, 1), (80, 1), (70, 1), (60, 1)]  # fmt: skip
STRIPS = [(long, 1) for long in (190, 170, 150, 135, 118, 112, 104, 93, 87, 71, 64, 58)]
ANGLE: Outline = ((0, 0), (310, 0), (310, 100), (175, 100), (175, 300), (0, 300))


@pytest.mark.parametrize(("length", "sizes"), [(500, TWELVE), (437, TWELVE[2:])])
def test_on_a_fixed_length(length: int, sizes: list[Size]) -> None:
    job = Job(Fabric(2.0 * ROW, float(length)), pieces(sizes))
    assert laid(job, 14) == most(sizes, [length] * 2)


@pytest.mark.parametrize("sizes", [STRIPS, STRIPS[2:], STRIPS[3:]])
def test_on_a_remnant(sizes: list[Size]) -> None:
    job = Job(Fabric(3.0 * ROW, outline=ANGLE), pieces(sizes))
    assert laid(job, 40) == most(sizes, [310, 175, 175])


@pytest.mark.parametrize(("rooms", "sizes"), [((350, 410), STRIPS), ((205, 190, 160), STRIPS[4:])])
def test_on_several_remnants(rooms: tuple[int, ...], sizes: list[Size]) -> None:
    fabrics = tuple(Fabric(ROW, float(room)) for room in rooms)
    job = Job(fabrics[0], pieces(sizes), fabrics=fabrics)
    assert laid(job, 200) == most(sizes, rooms)
