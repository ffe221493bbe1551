# SPDX-License-Identifier: GPL-2.0-or-later
"""Half-planes between convex parts, against shapely and by hand."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import translate

from nesting.geometry.convex import convex_parts
from nesting.geometry.shapes import counter_clockwise, starts_of
from nesting.model import Outline
from nesting.press.contacts import (
    FAR,
    edge_plane,
    edge_planes,
    leaving,
    leaving_numpy,
    overlap,
    separating,
    separating_numpy,
    way_out,
)
from tests.helpers import strategies as some
from tests.helpers.loops import stands_twice

SQUARE = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])


@given(some.convex(), some.convex(), st.floats(-400, 400), st.floats(-400, 400))
def test_an_edge_separates_exactly_when_shapes_are_apart(
    one: Outline, two: Outline, dx: float, dy: float
) -> None:
    (first,) = convex_parts(counter_clockwise(np.array(one)))
    (second,) = convex_parts(counter_clockwise(np.array(two)))
    plane = np.empty(3)
    apart = separating(first, second, dx, dy, plane)
    moved = translate(shapely.Polygon(second), dx, dy)
    common = shapely.Polygon(first).intersection(moved).area
    if apart > 1e-6:
        assert common == 0.0
    elif apart < -1e-6:
        assert common > 0.0
    assert np.hypot(plane[0], plane[1]) == pytest.approx(1.0)
    assert plane[0] * dx + plane[1] * dy - plane[2] == pytest.approx(apart, abs=1e-9)


@stands_twice
@given(
    some.convex(),
    some.convex(),
    st.tuples(st.floats(-400, 400), st.floats(-400, 400)),
    st.floats(0.0, 6.3),
)
def test_loops_and_numpy_agree_to_the_last_bit(
    one: Outline, two: Outline, at: tuple[float, float], angle: float
) -> None:
    (first,) = convex_parts(counter_clockwise(np.array(one)))
    (second,) = convex_parts(counter_clockwise(np.array(two)))
    plane, wanted = np.empty(3), np.empty(3)
    every = edge_planes(first, second)
    for k, edge in enumerate(every):
        edge_plane(first, second, k, plane)
        assert plane.tolist() == edge.tolist()
    apart = separating(first, second, *at, plane)
    assert apart == separating_numpy(first, second, *at, wanted)
    assert plane.tolist() == wanted.tolist()
    for way in ((np.cos(angle), np.sin(angle)), tuple(every[0, :2]), (0.0, 0.0)):
        assert leaving(first, second, *at, *way) == leaving_numpy(first, second, *at, *way)


def tables(*outlines: np.ndarray) -> tuple[np.ndarray, ...]:
    parts = [convex_parts(outline) for outline in outlines]
    flat = [part for shape in parts for part in shape]
    firsts = np.cumsum([0, *(len(shape) for shape in parts)]).astype(np.int64)
    boxes = np.array([[*part.min(axis=0), *part.max(axis=0)] for part in flat])
    return np.concatenate(flat), starts_of(flat), firsts, boxes


def test_the_deepest_overlap_and_its_way_out() -> None:
    table = tables(SQUARE, SQUARE)
    normal = np.empty(2)
    assert overlap(0, 1, 8.0, 3.0, *table, np.empty(3), normal) == pytest.approx(2.0)
    assert normal.tolist() == [1.0, 0.0]
    assert way_out(0, 1, 8.0, 3.0, 1.0, 0.0, *table, FAR) == pytest.approx(2.0)
    assert way_out(0, 1, 8.0, 3.0, 0.0, 1.0, *table, FAR) == pytest.approx(7.0)
    assert way_out(0, 1, 8.0, 3.0, 0.0, 1.0, *table, 5.0) == FAR


def test_the_way_out_of_a_bay_passes_its_arms() -> None:
    bay = np.array([[0.0, 0], [30, 0], [30, 10], [10, 10], [10, 20], [30, 20], [30, 30], [0, 30]])
    table = tables(bay, SQUARE)
    # From inside the back of the bay: up and out past the upper arm.
    assert way_out(0, 1, 15.0, 15.0, 0.0, 1.0, *table, FAR) == pytest.approx(15.0)
    assert overlap(0, 1, 10.0, 10.0, *table, np.empty(3), np.empty(2)) == 0.0
