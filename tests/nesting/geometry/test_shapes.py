# SPDX-License-Identifier: GPL-2.0-or-later
"""Unfolding and turning: laws of the one place that knows the placement formula."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from nesting.errors import JobError
from nesting.geometry.shapes import (
    FOLD_TOLERANCE,
    counter_clockwise,
    oriented,
    placement_matrix,
    signed_area,
    unfold,
    unit_vector,
    whole_outline,
)
from nesting.model import Outline, Piece
from tests.helpers import strategies

HALF: Outline = ((0.0, 0.0), (60.0, 0.0), (40.0, 80.0), (0.0, 100.0))
FOLD = ((0.0, 0.0), (0.0, 100.0))

Half = tuple[Outline, tuple[tuple[float, float], ...]]


def rotation(degrees: float) -> np.ndarray:
    angle = math.radians(degrees)
    return np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])


# --- unfolding ----------------------------------------------------------------------------------


def test_a_half_is_opened_about_its_fold() -> None:
    whole = unfold(HALF, FOLD)
    expected = [(0, 0), (60, 0), (40, 80), (0, 100), (-40, 80), (-60, 0)]
    assert {tuple(point) for point in whole.tolist()} == {(float(x), float(y)) for x, y in expected}
    assert len(whole) == 6
    assert signed_area(whole) > 0


@given(strategies.half_outlines())
def test_unfolding_doubles_the_area(half: Half) -> None:
    outline, ends = half
    whole = unfold(outline, (ends[0], ends[1]))
    assert signed_area(whole) == pytest.approx(2.0 * strategies.area(outline), rel=1e-9)


@given(strategies.half_outlines())
def test_an_unfolded_outline_is_simple_and_has_no_point_left_on_the_fold_but_its_ends(
    half: Half,
) -> None:
    outline, (first, last) = half
    whole = unfold(outline, (first, last))
    assert shapely.Polygon(whole).is_valid
    normal = np.array([first[1] - last[1], last[0] - first[0]]) / math.dist(first, last)
    away = np.abs((whole - np.array(first)) @ normal)
    on_fold = whole[away <= FOLD_TOLERANCE]
    for point in on_fold:
        assert min(math.dist(point, first), math.dist(point, last)) <= 1e-6


@given(strategies.half_outlines())
def test_an_unfolded_outline_is_its_own_mirror_image(half: Half) -> None:
    outline, (first, last) = half
    whole = unfold(outline, (first, last))
    along = (np.array(last) - np.array(first)) / math.dist(first, last)
    relative = whole - np.array(first)
    image = 2.0 * np.outer(relative @ along, along) - relative + np.array(first)
    assert shapely.hausdorff_distance(shapely.Polygon(whole), shapely.Polygon(image)) <= 1e-8


@given(strategies.half_outlines(), st.booleans(), st.integers(0, 9))
def test_unfolding_does_not_depend_on_how_the_half_is_written(
    half: Half, backwards: bool, start: int
) -> None:
    outline, (first, last) = half
    other = tuple(reversed(outline)) if backwards else outline
    other = other[start % len(other) :] + other[: start % len(other)]
    one = shapely.Polygon(unfold(outline, (first, last)))
    two = shapely.Polygon(unfold(other, (last, first)))
    assert one.symmetric_difference(two).area <= 1e-6


def test_a_fold_drawn_a_hair_off_its_edge_leaves_no_gap() -> None:
    crooked: Outline = ((0.004, 0.0), (60.0, 0.0), (40.0, 80.0), (-0.004, 100.0), (0.003, 50.0))
    whole = shapely.Polygon(unfold(crooked, ((0.0, 0.0), (0.0, 100.0))))
    assert whole.is_valid
    assert not whole.interiors
    assert whole.area == pytest.approx(2 * strategies.area(HALF), abs=2.0)


@pytest.mark.parametrize(
    ("fold", "words"),
    [
        (((0.0, 0.0), (0.0, 0.0)), "has no length"),
        (((0.0, 0.0), (0.0, 90.0)), "does not start and end on its outline"),
        (((0.0, 0.0), (40.0, 80.0)), "not a straight edge"),
    ],
)
def test_what_is_no_fold_edge_is_refused(fold: tuple, words: str) -> None:
    with pytest.raises(JobError, match=words):
        unfold(HALF, fold, "piece “Front”")


# --- turning ------------------------------------------------------------------------------------

ANGLES = st.one_of(
    st.sampled_from([0.0, 90.0, 180.0, 270.0, -90.0, 360.0]), st.floats(-360.0, 360.0)
)


@given(ANGLES, ANGLES, st.booleans(), strategies.points())
def test_the_formula_is_turn_after_flip_after_grain(
    grain: float, turn: float, flip: bool, point: tuple[float, float]
) -> None:
    """R(turn) . F(flip) . R(-grain) . p, factor by factor, with F = diag(1, -1)."""
    mirror = np.diag([1.0, -1.0]) if flip else np.eye(2)
    expected = rotation(turn) @ (mirror @ (rotation(-grain) @ np.array(point)))
    found = placement_matrix(grain, turn, flip) @ np.array(point)
    assert found == pytest.approx(expected, abs=1e-9 * (1.0 + math.hypot(*point)))


@given(ANGLES, st.booleans())
def test_the_grainline_comes_to_lie_along_the_fabric(grain: float, flip: bool) -> None:
    """Turn 0 brings the top to +x, flipped or not; turn 180 head to foot."""
    top = np.array([math.cos(math.radians(grain)), math.sin(math.radians(grain))])
    assert placement_matrix(grain, 0.0, flip) @ top == pytest.approx([1.0, 0.0], abs=1e-12)
    assert placement_matrix(grain, 180.0, flip) @ top == pytest.approx([-1.0, 0.0], abs=1e-12)


@given(strategies.placed_anywhere(), ANGLES, ANGLES, st.booleans())
def test_a_part_keeps_its_area_and_runs_counter_clockwise(
    outline: Outline, grain: float, turn: float, flip: bool
) -> None:
    whole = whole_outline(Piece("a", outline))
    assert signed_area(whole) == pytest.approx(strategies.area(outline), rel=1e-6)
    part = oriented(whole, grain, turn, flip)
    assert signed_area(part) == pytest.approx(signed_area(whole), rel=1e-6)
    assert not part.flags.writeable


@given(strategies.outlines())
def test_a_mirrored_pair_is_one_shape_and_its_image_in_the_grainline(outline: Outline) -> None:
    whole = whole_outline(Piece("a", outline))
    drawn, flipped = oriented(whole, 0.0, 0.0, False), oriented(whole, 0.0, 0.0, True)
    image = shapely.Polygon([(x, -y) for x, y in drawn])
    assert shapely.Polygon(flipped).symmetric_difference(image).area == 0.0


@pytest.mark.parametrize("degrees", [0, 90, 180, 270, 360, -90, 450])
def test_quarter_turns_are_exact(degrees: float) -> None:
    cos, sin = unit_vector(degrees)
    assert {abs(cos), abs(sin)} == {0.0, 1.0}
    assert (cos, sin) == pytest.approx(
        (math.cos(math.radians(degrees)), math.sin(math.radians(degrees))), abs=1e-12
    )


def test_a_square_with_a_vertical_grainline_stays_a_square_of_whole_numbers() -> None:
    square: Outline = ((1.0, 2.0), (4.0, 2.0), (4.0, 5.0), (1.0, 5.0))
    part = oriented(whole_outline(Piece("a", square)), 90.0, 180.0, False)
    assert {tuple(p) for p in part.tolist()} == {(-2, 1), (-2, 4), (-5, 4), (-5, 1)}


@given(strategies.outlines())
def test_turning_an_outline_round_keeps_its_first_point(outline: Outline) -> None:
    backwards = (outline[0], *reversed(outline[1:]))
    for way in (outline, backwards):
        ring = counter_clockwise(np.asarray(way))
        assert tuple(ring[0]) == outline[0]
        assert signed_area(ring) > 0
