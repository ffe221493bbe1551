# SPDX-License-Identifier: GPL-2.0-or-later
"""Remnants with cut-out corners and holes, against published theorems on polyominoes.

Of shapes made of squares it is proven what fills a board with squares missing, and what cannot:

- S. W. Golomb, "Checker boards and polyominoes", American Mathematical Monthly 61 (1954): a board
  of 2^n by 2^n squares, any one of them removed, is filled by L-shapes of three squares.
- S. W. Golomb, "Replicating figures in the plane", Mathematical Gazette 48 (1964): that L-shape is
  filled by four copies of itself at half its size, and so by sixteen at a quarter.
- M. Black, "Critical Thinking" (1946): a board without two opposite corners, which are of one
  colour, is not filled by dominoes. R. E. Gomory (in R. Honsberger, "Mathematical Gems", 1973):
  without any two squares of different colours it is.

Cited from memory.
"""

from __future__ import annotations

from collections.abc import Collection

import pytest
import shapely

from nesting.jobs.validation import validated
from nesting.judge.check import check
from nesting.model import Fabric, Job, Layout, Outline, Piece
from nesting.solve import solve
from nesting.stop import AfterRounds
from tests.helpers.plain_judge import faults

Square = tuple[int, int]
SIDE = 50.0
"""mm."""
EVERY_WAY = (0.0, 90.0, 180.0, 270.0)


def rings(squares: Collection[Square]) -> tuple[Outline, tuple[Outline, ...]]:
    """Return the outline of some squares, and their holes."""
    boxes = [shapely.box(x, y, x + 1, y + 1) for x, y in squares]
    whole = shapely.union_all(boxes).simplify(0.0)
    outline, *holes = (
        tuple((SIDE * x, SIDE * y) for x, y in ring.coords[:-1])
        for ring in (whole.exterior, *whole.interiors)
    )
    return outline, tuple(holes)


def board(side: int, *missing: Square) -> set[Square]:
    return {(x, y) for x in range(side) for y in range(side)} - set(missing)


DOMINO = Piece("domino", rings([(0, 0), (1, 0)])[0], hand="same", turns=EVERY_WAY)
ANGLE = Piece("angle", rings([(0, 0), (1, 0), (0, 1)])[0], hand="same", turns=EVERY_WAY)


def laid(squares: Collection[Square], piece: Piece, copies: int, rounds: int = 40) -> Layout:
    """Return copies of a shape on a remnant made of squares, by both judges a clean layout."""
    outline, holes = rings(squares)
    width = max(y for _, y in outline)
    cloth = Fabric(width, nap=False, outline=outline, holes=holes)
    made = Piece(piece.id, piece.outline, cut=copies, hand="same", turns=piece.turns)
    job = validated(Job(cloth, (made,)))
    layout = solve(job, stop=AfterRounds(rounds), clock=lambda: 0.0)
    assert check(job, layout) == ()
    assert faults(job, layout) == []
    return layout


@pytest.mark.parametrize("missing", [(0, 0), (1, 0), (1, 1), (2, 1)])
def test_a_board_of_16_squares_without_any_one_is_filled_by_angles(missing: Square) -> None:
    layout = laid(board(4, missing), ANGLE, 5)
    assert layout.left_over == ()
    assert layout.utilisation == pytest.approx(1.0)


@pytest.mark.parametrize("missing", [(0, 0), (3, 3), (2, 5)])
def test_a_board_of_64_squares_without_any_one_is_filled_by_angles(missing: Square) -> None:
    assert laid(board(8, missing), ANGLE, 21).left_over == ()


@pytest.mark.parametrize(("side", "copies"), [(2, 4), (4, 16)])
def test_an_angle_is_filled_by_smaller_ones(side: int, copies: int) -> None:
    corner = {(x, y) for x in range(side, 2 * side) for y in range(side, 2 * side)}
    layout = laid(board(2 * side, *corner), ANGLE, copies)
    assert layout.left_over == ()
    assert layout.utilisation == pytest.approx(1.0)


@pytest.mark.parametrize("side", [4, 6])
def test_a_board_without_opposite_corners_is_not_filled_by_dominoes(side: int) -> None:
    """All but one lie there: of one colour two squares stay free."""
    copies = side * side // 2 - 1
    layout = laid(board(side, (0, 0), (side - 1, side - 1)), DOMINO, copies, rounds=20)
    assert [len(rest.copies) for rest in layout.left_over] == [1]


@pytest.mark.parametrize("missing", [((0, 0), (3, 0)), ((1, 1), (2, 1)), ((0, 1), (3, 3))])
def test_without_two_squares_of_different_colours_it_is(missing: tuple[Square, Square]) -> None:
    assert laid(board(4, *missing), DOMINO, 7).left_over == ()
