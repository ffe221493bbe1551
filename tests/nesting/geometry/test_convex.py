# SPDX-License-Identifier: GPL-2.0-or-later
"""Convex parts fill their outline, are convex, and keep its coordinates."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from nesting.cloth.problem import build_problem
from nesting.geometry.convex import convex_parts, cut_up, shortest_ear, shortest_ear_numpy
from nesting.geometry.shapes import counter_clockwise
from nesting.model import Fabric, Job, Outline, Piece
from tests.helpers import strategies as some
from tests.helpers.loops import stands_twice


@given(some.outlines())
def test_the_parts_fill_the_outline(outline: Outline) -> None:
    whole = shapely.Polygon(outline)
    parts = [shapely.Polygon(part) for part in convex_parts(counter_clockwise(np.array(outline)))]
    assert sum(part.area for part in parts) == pytest.approx(whole.area, rel=1e-6)
    assert shapely.unary_union(parts).symmetric_difference(whole).area <= 1e-6 * whole.area
    for part in parts:
        assert part.convex_hull.area <= part.area * (1 + 1e-6)


def test_a_convex_outline_is_one_part() -> None:
    square = counter_clockwise(np.array([[0.0, 0], [5, 0], [10, 0], [10, 10], [0, 10]]))
    (part,) = convex_parts(square)
    assert part.tolist() == [[0, 0], [10, 0], [10, 10], [0, 10]]


@given(some.outlines())
def test_corners_are_those_of_the_outline(outline: Outline) -> None:
    corners = {tuple(point) for point in np.array(outline).tolist()}
    for part in convex_parts(counter_clockwise(np.array(outline))):
        assert {tuple(point) for point in part.tolist()} <= corners


@stands_twice
@given(some.outlines(), st.booleans())
def test_loops_and_numpy_find_the_same_ears(outline: Outline, on_grid: bool) -> None:
    """On a coarse grid, too, where corners are flat, of equal length, or at the same point."""
    points = counter_clockwise(np.array(outline))
    if on_grid:
        points = np.round(points / np.ptp(points) * 6.0)
    ring, flat = np.arange(len(points)), 1e-12 * float(np.ptp(points)) ** 2
    while len(ring) >= 3:
        ear = shortest_ear(points, ring, flat)
        assert ear == shortest_ear_numpy(points, ring, flat)
        ring = np.delete(ring, ear if ear >= 0 else -1 - ear)


@given(some.outlines(), st.sampled_from([(0.0, 180.0), (0.0, 90.0), (0.0, 33.0)]))
def test_cut_up_once_a_piece_lies_in_every_turn_and_hand(
    outline: Outline, turns: tuple[float, ...]
) -> None:
    """A pair and two turns: four shapes of one piece, each filled from the corner of its box."""
    piece = Piece("a", outline, cut=2, turns=turns)
    problem = build_problem(Job(Fabric(1e5, nap=False), (piece,)))
    bases = {"a": counter_clockwise(np.array(outline))}
    every = cut_up(problem.shapes, bases)
    assert len(every) == len(problem.shapes) == 4
    for shape, parts in zip(problem.shapes, every, strict=True):
        whole = shapely.Polygon(shape.points - np.array(shape.low))
        filled = shapely.unary_union([shapely.Polygon(part) for part in parts])
        assert filled.symmetric_difference(whole).area <= 1e-6 * whole.area
        for part in parts:
            assert shapely.Polygon(part).exterior.is_ccw
            assert part.tolist()[0] == min(part.tolist(), key=lambda at: (at[1], at[0]))
