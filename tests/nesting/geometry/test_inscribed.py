# SPDX-License-Identifier: GPL-2.0-or-later
"""The widest disc in an area, without a word from the library that finds it."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given

from nesting.geometry.inscribed import widest_disc
from tests.helpers import strategies as some

SQUARE = shapely.box(0, 0, 100, 100)


@pytest.mark.parametrize(
    ("area", "middle", "radius"),
    [
        (SQUARE, (50, 50), 50.0),
        (shapely.Polygon([(0, 0), (30, 0), (0, 40)]), (10, 10), 10.0),  # a 3, 4, 5 triangle
        (shapely.Point(5, 5).buffer(20, quad_segs=64), (5, 5), 20.0),
    ],
)
def test_the_disc_of_plain_shapes(
    area: shapely.Polygon, middle: tuple[float, float], radius: float
) -> None:
    at, found = widest_disc(area, 0.01)
    assert found == pytest.approx(radius, abs=0.02)
    assert (at.x, at.y) == pytest.approx(middle, abs=0.5)


def test_a_hairline_number_makes_no_noise() -> None:
    """GEOS divides by zero here; warnings are errors in the tests."""
    spoilt = shapely.Polygon([(0, 250), (180, 250), (180, 0), (0, 0), (0, 116.6), (5e-324, 116.6)])
    _, radius = widest_disc(spoilt, 1.0)
    assert radius == pytest.approx(90.0, abs=2.0)


def test_an_area_without_width_has_a_disc_without_one() -> None:
    flat = shapely.Polygon([(0, 0), (10, 0), (20, 0)])
    middle, radius = widest_disc(flat)
    assert radius == pytest.approx(0.0, abs=1e-6)
    assert middle.distance(flat) == pytest.approx(0.0, abs=1e-6)


@given(some.star_shaped(20, 200))
def test_the_disc_lies_within(outline: tuple[tuple[float, float], ...]) -> None:
    area = shapely.make_valid(shapely.Polygon(outline))
    if area.geom_type != "Polygon":
        return
    middle, radius = widest_disc(area, 0.1)
    assert area.buffer(0.01).contains(middle.buffer(radius * 0.999))
