# SPDX-License-Identifier: GPL-2.0-or-later
"""Convex parts fill their outline, are convex, and keep its coordinates."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given

from nesting.convex import convex_parts
from nesting.model import Outline
from nesting.shapes import counter_clockwise
from tests.helpers import strategies as some


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
