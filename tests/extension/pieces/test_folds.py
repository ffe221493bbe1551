# SPDX-License-Identifier: GPL-2.0-or-later
"""Fold edges."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from extension.language.errors import DrawingError
from extension.pieces.folds import FoldEdge, fold_along, fold_at_side
from extension.pieces.straight import Run
from extension.svg.transforms import IDENTITY, apply, multiply, rotation, scaling
from nesting.geometry.shapes import signed_area, unfold
from nesting.model import Outline, Point
from tests.helpers.drawn import box

FRONT: Outline = (
    *((0, 60), (20, 58), (45, 40), (60, 0), (150, 30), (240, 180), (250, 600), (0, 600)),
    *((0, 450), (0.02, 300), (0, 200)),
)
"""Half a front; its fold edge at the left is drawn with three nodes on it, one not quite on it."""


def along(outline: Outline, start: Point, end: Point) -> FoldEdge:
    return fold_along(outline, Run(start, end, 0, 1), "“Front”", "front")


def fault(outline: Outline, start: Point, end: Point) -> str:
    with pytest.raises(DrawingError) as caught:
        along(outline, start, end)
    assert "“Front”" in str(caught.value)
    assert caught.value.object_id == "front"
    return str(caught.value)


@pytest.mark.parametrize(
    ("start", "end"),
    [
        pytest.param((0, 60), (0, 600), id="exactly"),
        pytest.param((0, 100), (0, 500), id="shorter"),
        pytest.param((0, 250), (0, 280), id="much shorter"),
        pytest.param((0, 30), (0, 640), id="longer"),
        pytest.param((0.4, 60), (-0.4, 600), id="a little beside"),
    ],
)
def test_a_drawn_line_means_the_whole_straight_edge(start: Point, end: Point) -> None:
    fold = along(FRONT, start, end)
    assert (fold.start, fold.end) == ((0, 60), (0, 600))
    assert {fold.start, fold.end} < set(fold.outline)
    assert len(fold.outline) == len(FRONT) - 3


def test_the_edge_runs_as_the_line_was_drawn() -> None:
    assert along(FRONT, (0, 500), (0, 100)).start == (0, 600)


def test_the_half_unfolds_without_gap_or_double_edge() -> None:
    fold = along(FRONT, (0, 100), (0, 500))
    whole = unfold(fold.outline, (fold.start, fold.end))
    half = abs(signed_area(np.array(fold.outline)))
    assert abs(signed_area(whole)) == pytest.approx(2 * half)


def test_a_line_off_the_outline_is_refused() -> None:
    assert "does not lie on its outline" in fault(FRONT, (10, 100), (10, 500))
    assert "does not lie on its outline" in fault(FRONT, (0.6, 100), (0.6, 500))
    assert "does not lie on its outline" in fault(FRONT, (0, 300), (100, 300))
    assert "does not lie on its outline" in fault(FRONT, (0, 620), (0, 900))


def test_a_fold_on_a_curved_edge_is_refused() -> None:
    bulging = tuple((0.4 * math.sin(math.pi * n / 40), 15.0 * n) for n in range(41))
    outline = (*bulging, (250, 600), (250, 0))
    assert "runs along an edge that is not straight" in fault(outline, (0, 0), (0, 600))


def test_a_fold_on_an_edge_with_a_notch_cut_out_is_refused() -> None:
    outline = ((0, 0), (250, 0), (250, 600), (0, 600), (0, 400), (30, 300), (0, 200))
    assert "not straight throughout" in fault(outline, (0, 0), (0, 600))


def test_a_piece_on_both_sides_of_its_fold_is_refused() -> None:
    outline = ((0, 0), (250, 0), (250, 600), (-60, 600), (0, 500))
    assert "on both sides of its fold" in fault(outline, (0, 0), (0, 500))


@pytest.mark.parametrize("reach", [-0.09, 0.0, 0.0005])
def test_a_point_that_rounding_put_over_the_fold_line_does_not_tangle_the_whole(
    reach: float,
) -> None:
    outline = ((0, 0), (250, 0), (250, 600), (reach, 700), (80, 550), (0, 500))
    fold = along(outline, (0, 0), (0, 500))
    whole = unfold(fold.outline, (fold.start, fold.end))
    assert Polygon(whole).is_valid
    assert Polygon(whole).area == pytest.approx(2 * Polygon(outline).area, rel=1e-3)


@given(st.integers(0, 359), st.booleans(), st.integers(0, 10), st.booleans())
def test_a_fold_is_found_however_the_piece_is_turned_and_drawn(
    angle: int, flip: bool, shift: int, backwards: bool
) -> None:
    matrix = multiply(rotation(angle), scaling(-1 if flip else 1, 1))
    turned = [apply(matrix, point) for point in (*FRONT[shift:], *FRONT[:shift])]
    if backwards:
        turned.reverse()
    fold = along(tuple(turned), apply(matrix, (0.3, 150)), apply(matrix, (0, 520)))
    assert fold.start == pytest.approx(apply(matrix, (0, 60)))
    assert fold.end == pytest.approx(apply(matrix, (0, 600)))


@pytest.mark.parametrize(
    ("side", "ends"),
    [
        ((-1, 0), {(0, 0), (0, 50)}),
        ((1, 0), {(30, 0), (30, 50)}),
        ((0, -1), {(0, 0), (30, 0)}),
        ((0, 1), {(0, 50), (30, 50)}),
    ],
)
def test_a_typed_side_means_the_straight_edge_there(side: Point, ends: set[Point]) -> None:
    fold = fold_at_side(box(0, 0, 30, 50), side, IDENTITY, "“Front”", "front")
    assert {fold.start, fold.end} == ends


def test_a_typed_side_turns_with_the_outline() -> None:
    matrix = multiply(rotation(30), scaling(-2, 2))
    outline = tuple(apply(matrix, point) for point in FRONT)
    fold = fold_at_side(outline, (-1, 0), matrix, "“Front”", "front")
    expected = sorted([apply(matrix, (0, 60)), apply(matrix, (0, 600))])
    assert np.array(sorted([fold.start, fold.end])) == pytest.approx(np.array(expected))


def test_a_side_without_a_straight_edge_is_refused() -> None:
    with pytest.raises(DrawingError, match="“Front” has no straight edge at the side"):
        fold_at_side(FRONT, (0, -1), IDENTITY, "“Front”", "front")
