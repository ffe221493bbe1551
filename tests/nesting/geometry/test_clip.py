# SPDX-License-Identifier: GPL-2.0-or-later
"""Grid arithmetic against shapely, and the promises of growing an outline."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import ArrayLike
from shapely.geometry import Point, Polygon
from shapely.ops import unary_union

from nesting.geometry.clip import (
    STEPS_PER_MM,
    Region,
    clean_ring,
    closed,
    common,
    cover,
    cross_sign,
    from_grid,
    grown,
    minus,
    overlap_area,
    region_of,
    shrunk,
    to_grid,
)
from nesting.geometry.shapes import Points, counter_clockwise, signed_area
from nesting.model import Outline
from tests.helpers import strategies as some


def points_of(outline: ArrayLike) -> Points:
    return counter_clockwise(np.array(outline, dtype=np.float64))


@given(st.lists(some.lengths(-100_000, 100_000), min_size=2, max_size=2))
def test_a_point_within_100_m_survives_the_grid(point: list[float]) -> None:
    there = np.array([point])
    assert np.array_equal(from_grid(to_grid(there)), there)


def test_inches_are_whole_grid_steps() -> None:
    sixty_fourths = np.arange(1, 200)[:, None] * np.array([[25.4 / 64, 25.4 / 64]])
    steps = to_grid(sixty_fourths)
    assert (steps * 64 == np.arange(1, 200)[:, None] * int(25.4 * STEPS_PER_MM)).all()


@given(*[st.integers(-(10**15), 10**15)] * 4)
def test_cross_sign_agrees_with_python_integers(a: int, b: int, c: int, d: int) -> None:
    found = cross_sign(np.array([a, b]), np.array([c, d]))
    assert int(found) == (a * d > b * c) - (a * d < b * c)


@given(st.integers(10**9, 10**15), st.integers(-2, 2), st.integers(1, 1000))
def test_cross_sign_sees_one_step_at_full_range(far: int, off: int, share: int) -> None:
    # (far, far + 1) x (far - share, far - share + 1 + off) has a value of about `far` times `off`,
    # tiny beside its two products of far squared.
    first, second = (far, far + 1), (far - share, far - share + 1 + off)
    exact = first[0] * second[1] - first[1] * second[0]
    assert int(cross_sign(np.array(first), np.array(second))) == (exact > 0) - (exact < 0)


def union(outlines: Sequence[Points]) -> Region:
    """Return what outlines cover together, in mm."""
    return region_of(cover(to_grid(outline) for outline in outlines))


@given(some.outlines(), some.outlines(), some.lengths(-200, 200), some.lengths(-200, 200))
def test_union_has_the_area_shapely_finds(
    first: Outline, second: Outline, dx: float, dy: float
) -> None:
    one, two = points_of(first), points_of(some.moved(second, dx, dy))
    region = union([one, two])
    expected = unary_union([Polygon(one), Polygon(two)])
    assert region.area == pytest.approx(expected.area, rel=1e-9, abs=1e-6)
    assert all(Polygon(ring).exterior.is_ccw for ring in region.outers)
    assert not any(Polygon(ring).exterior.is_ccw for ring in region.holes)


def test_union_of_squares_that_share_an_edge_is_one_rectangle() -> None:
    square = points_of([(0, 0), (10, 0), (10, 10), (0, 10)])
    region = union([square, np.add(square, (10.0, 0.0))])
    assert len(region.outers) == 1
    assert len(region.outers[0]) == 4


def test_union_of_a_frame_has_a_hole() -> None:
    bar = points_of([(0, 0), (30, 0), (30, 10), (0, 10)])
    post = points_of([(0, 0), (10, 0), (10, 30), (0, 30)])
    region = union([bar, np.add(bar, (0.0, 20.0)), post, np.add(post, (20.0, 0.0))])
    assert len(region.holes) == 1
    assert region.area == pytest.approx(800.0)


@given(some.outlines(), some.outlines())
def test_common_area_is_the_one_shapely_finds(first: Outline, second: Outline) -> None:
    one, two = points_of(first), points_of(second)
    found = overlap_area(to_grid(one), to_grid(two)) / STEPS_PER_MM**2
    expected = Polygon(one).intersection(Polygon(two)).area
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-6)


def test_outlines_that_share_an_edge_have_no_common_area() -> None:
    triangle = to_grid(points_of([(0, 0), (12.7, 3.175), (0, 25.4)]))
    other = to_grid(points_of([(0, 0), (12.7, 3.175), (12.7, 0)]))
    assert overlap_area(triangle, other) == 0.0


@given(some.outlines(), some.outlines(), some.lengths(-200, 200))
def test_what_is_left_and_what_is_common_make_up_the_whole(
    first: Outline, second: Outline, dx: float
) -> None:
    one, two = to_grid(points_of(first)), to_grid(points_of(some.moved(second, dx, 0.0)))
    hair = 1e-6 * STEPS_PER_MM
    parts = [*minus([one], [two], hair), *common(one, two, hair)]
    found = sum(signed_area(from_grid(part)) for part in parts)
    assert found == pytest.approx(Polygon(points_of(first)).area, rel=1e-6, abs=1e-2)


def test_a_splinter_neither_stays_nor_swallows_what_does() -> None:
    square = to_grid(points_of([(0, 0), (10, 0), (10, 10), (0, 10)]))
    wider = to_grid(points_of([(0, 0), (30, 0), (30, 10), (10.00001, 10), (0, 10)]))
    wider[3] = (10 * STEPS_PER_MM, 10 * STEPS_PER_MM + 3)
    left = minus([wider], [square], 1e-7 * STEPS_PER_MM)
    assert len(left) == 1
    assert signed_area(from_grid(left[0])) == pytest.approx(200.0, abs=1e-5)
    assert minus([square], [wider], 1e-7 * STEPS_PER_MM) == []
    hole = square[::-1] // 10 + np.array([5 * 10**10, 5 * 10**10])
    splinter = np.array([[6 * 10**10, 0], [8 * 10**10, 1], [7 * 10**10, 3]])[::-1]
    assert len(closed([square, hole, splinter], 8.0)) == 2


def test_gaps_without_width_are_closed() -> None:
    slit = [(0, 0), (10, 0), (10, 10), (5, 10), (5, 2), (5, 10), (0, 10)]
    (ring,) = closed([to_grid(points_of(slit))], 8.0)
    assert len(clean_ring(ring)) == 4
    assert signed_area(from_grid(ring)) == pytest.approx(100.0, abs=1e-7)


def test_shrunk_outlines_fit_inside() -> None:
    square = to_grid(points_of([(0, 0), (10, 0), (10, 10), (0, 10)]))
    (ring,) = shrunk(square, 1e10)
    assert from_grid(ring).min() == pytest.approx(1.0)
    assert from_grid(ring).max() == pytest.approx(9.0)
    assert shrunk(square, 6e10) == []


@pytest.mark.parametrize(
    ("ring", "left"),
    [
        ([(0, 0), (5, 0), (10, 0), (10, 10), (0, 10)], 4),  # a point within an edge
        ([(0, 0), (10, 0), (10, 0), (10, 10), (0, 10), (0, 0)], 4),  # repeated points
        ([(0, 0), (10, 0), (20, 0), (10, 0), (10, 10), (0, 10)], 4),  # a spike
        ([(0, 0), (10, 0), (20, 0)], 0),  # no area
        ([(0, 0), (1, 0), (2, 0), (3, 0), (3, 3)], 3),  # a run of points within an edge
        ([(1, 0), (2, 0), (3, 3), (0, 0)], 3),  # ... across the start of the ring
    ],
)
def test_clean_rings_have_only_corners(ring: list[tuple[int, int]], left: int) -> None:
    assert len(clean_ring(np.array(ring, dtype=np.int64))) == left


@given(some.outlines(), st.sampled_from([0.25, 1.5, 6.0]), st.sampled_from([0.001, 0.05]))
def test_a_grown_outline_keeps_the_distance_and_little_more(
    outline: Outline, distance: float, tolerance: float
) -> None:
    original = points_of(outline)
    ring = Polygon(grown(original, distance, tolerance))
    source = Polygon(original)
    # Shapely's arcs run inside the circle, by less than a thousandth at 32 segments a quarter.
    assert ring.buffer(1e-6).covers(source.buffer(distance * 0.9995, quad_segs=32))
    filled = Polygon(source.buffer(distance + tolerance, quad_segs=256).exterior)
    assert filled.buffer(1e-3 * distance).covers(ring)


def test_a_grown_rectangle_is_exact_along_its_edges() -> None:
    ring = grown(points_of([(0, 0), (100, 0), (100, 40), (0, 40)]), 1.5, 0.01)
    assert ring.min(axis=0).tolist() == [-1.5, -1.5]
    assert ring.max(axis=0).tolist() == [101.5, 41.5]
    corner = ring[(ring[:, 0] > 100) & (ring[:, 1] > 40)] - (100.0, 40.0)
    reach = np.hypot(corner[:, 0], corner[:, 1])
    assert (reach >= 1.5 - 1e-9).all()
    assert (reach <= 1.51 + 1e-9).all()


def test_growing_fills_a_pocket_whose_mouth_it_closes() -> None:
    pocket = [(0, 0), (30, 0), (30, 30), (16, 30), (16, 20), (20, 20), (20, 10), (10, 10)]
    pocket += [(10, 20), (14, 20), (14, 30), (0, 30)]
    ring = Polygon(grown(points_of(pocket), 1.0, 0.01))
    assert ring.covers(Point(15, 15))
    assert math.isclose(ring.bounds[2], 31.0, abs_tol=1e-9)


def test_growing_by_nothing_changes_nothing() -> None:
    outline = points_of([(0, 0), (10, 0), (3, 7)])
    assert grown(outline, 0.0, 0.01) is outline
