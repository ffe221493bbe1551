# SPDX-License-Identifier: GPL-2.0-or-later
"""A half on the fold becomes one whole outline whose curves stay curves and whose halves meet."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from svgelements import Path

from extension.drawn.frames import about, reflection
from extension.drawn.unfolding import unfolded_data
from extension.svg.flatten import flatten
from extension.svg.model import Matrix
from extension.svg.pathdata import parse_path
from extension.svg.transforms import IDENTITY, apply, inverse, multiply, parse_transform
from nesting.geometry.shapes import unfold
from nesting.model import Point

HALF = "M 0 0 L 40 0 C 60 10 70 50 60 90 Q 55 110 30 110 A 30 20 15 0 1 0 120 Z"
FOLD = ((0.0, 0.0), (0.0, 120.0))
SIMILAR = ["", "rotate(37)", "scale(-2 2) rotate(10)", "translate(300 -20) scale(0.3)"]


def unfolded(data: str, fold: tuple[Point, Point], matrix: Matrix) -> str | None:
    """Unfold path data about a fold given in the path's own coordinates."""
    on_page = (apply(matrix, fold[0]), apply(matrix, fold[1]))
    mirror = multiply(inverse(matrix), multiply(reflection(*on_page), matrix))
    return unfolded_data(parse_path(data), matrix, fold, mirror)


def polygon(data: str, matrix: Matrix = IDENTITY) -> shapely.Polygon:
    return shapely.Polygon(flatten(parse_path(data), matrix, 0.01)[0].points)


@pytest.mark.parametrize("transform", SIMILAR)
def test_the_whole_is_the_half_and_its_mirror_image(transform: str) -> None:
    matrix = parse_transform(transform)
    data = unfolded(HALF, FOLD, matrix)
    assert data is not None
    half, whole = polygon(HALF, matrix), polygon(data, matrix)
    mirror = reflection(*(apply(matrix, end) for end in FOLD))
    other = shapely.transform(
        half, lambda points: np.array([apply(mirror, p) for p in points.tolist()])
    )
    assert whole.is_valid
    assert whole.area == pytest.approx(2.0 * half.area, rel=1e-6)
    assert whole.hausdorff_distance(shapely.union_all([half, other]).buffer(0)) < 0.05


def test_curves_and_arcs_stay_what_they_are_and_the_fold_edge_is_gone() -> None:
    data = unfolded(HALF, FOLD, IDENTITY)
    assert data is not None
    letters = re.sub(r"[^A-Z]", "", data)
    assert letters == "M" + "LCQA" + "AQCL" + "Z"


def test_an_independent_reader_finds_the_same_whole() -> None:
    # svgelements measures arcs and curves by its own means.
    data = unfolded(HALF, FOLD, IDENTITY)
    assert data is not None
    whole, half = Path(data), Path(HALF)
    assert whole.length(error=1e-7) == pytest.approx(2 * (half.length(error=1e-7) - 120), rel=1e-5)
    low_x, low_y, high_x, high_y = whole.bbox()
    assert low_x == pytest.approx(-high_x, abs=1e-6)
    assert (low_y, high_y) == pytest.approx(half.bbox()[1::2], abs=1e-6)


def test_the_outline_ends_in_the_very_digits_it_began_with() -> None:
    data = unfolded(
        "M 3.3333333333 0 L 40 7 L 3.3333333333 120 Z", ((10 / 3, 0), (10 / 3, 120)), IDENTITY
    )
    assert data is not None
    start = re.match(r"M (\S+)", data)
    assert start is not None
    assert data.endswith(f"L {start[1]} Z")


@given(
    st.lists(st.tuples(st.floats(2.0, 80.0), st.floats(-20.0, 140.0)), min_size=1, max_size=6),
    st.floats(0.0, 360.0),
    st.booleans(),
)
def test_straight_halves_unfold_as_the_engine_unfolds_them(
    corners: list[tuple[float, float]], turn: float, backwards: bool
) -> None:
    half = [(0.0, 0.0), *corners, (0.0, 120.0)]
    assume(shapely.Polygon(half).is_valid)
    half = half[::-1] if backwards else half
    data = f"M {' L '.join(f'{x!r},{y!r}' for x, y in half)} Z"
    matrix = about((5.0, 5.0), parse_transform(f"rotate({turn})"))
    found = unfolded(data, FOLD, matrix)
    assert found is not None
    drawn = shapely.Polygon(flatten(parse_path(found), IDENTITY)[0].points)
    engine = shapely.Polygon(unfold(tuple(half), FOLD))
    assert drawn.symmetric_difference(engine.buffer(0)).area == pytest.approx(0.0, abs=1e-3)


def test_a_skewed_path_without_arcs_keeps_its_curves() -> None:
    matrix = parse_transform("skewX(30)")
    data = unfolded("M 0 0 L 40 0 C 60 10 70 50 60 120 L 0 120 Z", FOLD, matrix)
    assert data is not None
    assert "C" in data


def test_a_skewed_arc_is_no_arc_of_a_simple_kind_and_is_left_to_straight_lines() -> None:
    assert unfolded(HALF, FOLD, parse_transform("skewX(30)")) is None
    assert unfolded(HALF, FOLD, parse_transform("scale(1 2)")) is None


def test_a_fold_between_corners_is_left_to_straight_lines() -> None:
    assert unfolded(HALF, ((0.0, 10.0), (0.0, 120.0)), IDENTITY) is None


def test_a_fold_that_is_drawn_last_without_closing_line_is_found() -> None:
    closed = unfolded("M 0 0 H 40 V 120 H 0 Z", FOLD, IDENTITY)
    spelt = unfolded("M 0 0 H 40 V 120 H 0 V 0 Z", FOLD, IDENTITY)
    assert closed is not None
    assert closed == spelt


def test_a_fold_of_several_segments_is_dropped_whole() -> None:
    data = unfolded("M 0 0 H 40 V 120 H 0 V 80 V 30 Z", FOLD, IDENTITY)
    assert data is not None
    assert polygon(data).area == pytest.approx(2 * 40 * 120)
    assert "30" not in data


def test_what_else_the_path_draws_is_doubled() -> None:
    data = unfolded("M 0 0 H 40 V 120 H 0 Z M 20 50 H 25 V 55 Z", FOLD, IDENTITY)
    assert data is not None
    inner = parse_path(data)[1:]
    assert [one.start for one in inner] == [(20.0, 50.0), (-20.0, 50.0)]
    assert all(one.closed for one in inner)


def test_a_half_circle_unfolds_to_the_circle() -> None:
    data = unfolded("M 0 0 A 60 60 0 0 1 0 120 Z", FOLD, IDENTITY)
    assert data is not None
    assert polygon(data).area == pytest.approx(math.pi * 60**2, rel=1e-3)
