# SPDX-License-Identifier: GPL-2.0-or-later
"""Simplified outlines contain the true ones, stay near them, and keep straight edges in place."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import ArrayLike
from shapely.geometry import LineString, Polygon

from nesting.cloth.problem import build_problem
from nesting.geometry.shapes import Points, counter_clockwise, oriented
from nesting.geometry.simplify import bases_of, simplified
from nesting.model import Fabric, Job, Outline, Piece
from tests.helpers import strategies as some


def points_of(outline: ArrayLike) -> Points:
    return counter_clockwise(np.array(outline, dtype=np.float64))


def circle(radius: float, count: int) -> Points:
    angles = np.arange(count) * 2.0 * math.pi / count
    return points_of(np.column_stack([radius * np.cos(angles), radius * np.sin(angles)]))


@settings(max_examples=150)
@given(
    st.one_of(some.outlines(), some.curved(150)),
    st.sampled_from([0.05, 0.5, 2.0, 20.0]),
    st.sampled_from([3, 10]),
)
def test_it_contains_the_outline_and_goes_no_farther_than_the_tolerance(
    outline: Outline, tolerance: float, enough: int
) -> None:
    true = points_of(outline)
    ring = simplified(true, tolerance, enough)
    assert len(ring) <= len(true)
    polygon, source = Polygon(ring), Polygon(true)
    assert polygon.is_valid
    assert polygon.exterior.is_ccw
    assert source.difference(polygon).area <= 1e-9 * source.area
    assert polygon.buffer(1e-9).covers(source)
    # Shapely's round buffer is a polygon inside the true one, here by 2e-5 of the distance.
    assert source.buffer(tolerance * 1.0001 + 1e-9, quad_segs=128).covers(polygon)


@given(some.curved(200))
def test_drawn_curves_lose_most_of_their_points(outline: Outline) -> None:
    true = points_of(outline)
    assert len(simplified(true, 2.0, 3)) <= len(true) / 2


def test_a_circle_of_300_points_needs_few() -> None:
    # A polygon round a circle of radius r that stays within t of it has edges of at most
    # 2 sqrt(2 r t + t^2): here 22 of them do. Pairing edges finds at most about twice as many.
    assert 22 <= len(simplified(circle(100.0, 300), 1.0, 3)) <= 46


def test_no_fewer_points_than_are_enough() -> None:
    assert len(simplified(circle(100.0, 300), 5.0, 40)) == 40
    few = circle(100.0, 30)
    assert simplified(few, 5.0, 30) is few


def test_no_tolerance_keeps_every_point() -> None:
    outline = circle(50.0, 100)
    assert simplified(outline, 0.0) is outline


def rounded_bar() -> Points:
    """Return a bar with straight edges 400 mm apart of 1000 mm, and round ends of many points."""
    angles = np.linspace(-math.pi / 2, math.pi / 2, 80)
    end = np.column_stack([1000 + 200 * np.cos(angles), 200 * np.sin(angles)])
    return points_of(np.concatenate([end, -end + (1000.0, 0.0)]))


@pytest.mark.parametrize("angle", [0.0, 90.0, 33.0])
def test_long_straight_edges_stay_exactly_where_they_are(angle: float) -> None:
    bar = points_of(some.turned(tuple(map(tuple, rounded_bar().tolist())), angle))
    ring = simplified(bar, 1.0, 3)
    assert len(ring) < 60
    edges = [LineString(edge) for edge in zip(ring, np.roll(ring, -1, axis=0), strict=True)]
    back = rounded_bar()
    straight = [(k, (k + 1) % len(back)) for k in range(len(back))]
    straight = [(a, b) for a, b in straight if math.dist(back[a], back[b]) > 900]
    assert len(straight) == 2
    for a, b in straight:
        ends = points_of(some.turned((tuple(back[a]), tuple(back[b]), (0.0, 0.0)), angle))
        wanted = LineString(sorted(map(tuple, ends), key=lambda p: -math.hypot(*p))[:2])
        assert any(edge.buffer(1e-9).covers(wanted.centroid) for edge in edges)


def test_a_straight_edge_is_not_tilted_to_drop_an_inward_corner() -> None:
    # The last corner is inward by 0.2 mm: cutting across it would move the 300 mm edge.
    outline = points_of(
        [(0, 0), (300, 0), (300, 100), (150, 100.2), (0, 100.2), (0, 50), (0.2, 25)]
    )
    ring = simplified(outline, 0.5, 3)
    assert (0.0, 0.0) in set(map(tuple, ring.tolist()))
    assert ring.min(axis=0).tolist() == [0.0, 0.0]


def test_a_narrow_slot_does_not_close_over_itself() -> None:
    angles = np.linspace(math.radians(2), math.radians(358), 200)
    outer = np.column_stack([100 * np.cos(angles), 100 * np.sin(angles)])
    inner = outer[::-1] * 0.9
    polygon = Polygon(simplified(points_of(np.concatenate([outer, inner])), 4.0, 3))
    assert polygon.is_valid


def test_search_outlines_are_seen_with_the_grain_along_x_and_grown_by_half_the_gap() -> None:
    piece = Piece("bar", ((0.0, 0.0), (40.0, 0.0), (40.0, 100.0), (0.0, 100.0)), grain=90.0)
    problem = build_problem(Job(Fabric(200.0, gap=3.0), (piece,)))
    base = bases_of(problem.shapes, problem.fabric.gap, 0.5)["bar"]
    assert base.min(axis=0).tolist() == [-1.5, -41.5]
    assert base.max(axis=0).tolist() == [101.5, 1.5]


@given(some.jobs())
def test_search_outlines_contain_every_shape_as_it_lies(job: Job) -> None:
    problem = build_problem(replace(job, fabric=replace(job.fabric, gap=0.0)))
    bases = bases_of(problem.shapes, problem.fabric.gap, 1.0)
    for shape in problem.shapes:
        lying = oriented(bases[shape.piece], 0.0, shape.orientation.turn, shape.orientation.flip)
        assert Polygon(lying).buffer(1e-9).covers(Polygon(shape.points))


def test_a_piece_that_another_job_has_too_is_not_simplified_again() -> None:
    """The cells of a table ask for the same pieces on many widths, with and without nap."""
    shape: Outline = ((0, 0), (90, 0), (90, 30), (45, 36), (0, 30))
    jobs = [Job(Fabric(width, nap=False), (Piece("bar", shape),)) for width in (400.0, 900.0)]
    problems = [build_problem(job) for job in jobs]
    one, two = (bases_of(each.shapes, each.fabric.gap, 0.25)["bar"] for each in problems)
    assert one is two
