# SPDX-License-Identifier: GPL-2.0-or-later
"""A box for words is found inside the part, off its marks, as near the middle as it can be."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from extension.drawn.room import room_in, visual_centre
from tests.helpers.strategies import outlines

SQUARE = ((0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0))


def box_at(spot: tuple[float, float], width: float, height: float) -> shapely.Polygon:
    x, y = spot
    return shapely.box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def test_in_an_empty_square_the_middle_is_found() -> None:
    spot = room_in(SQUARE, [], 4.0).spot(60.0, 20.0)
    assert spot == pytest.approx((100.0, 100.0), abs=2.0)


def test_what_does_not_fit_finds_nothing() -> None:
    room = room_in(SQUARE, [], 4.0)
    assert room.spot(185.0, 20.0) is not None
    assert room.spot(195.0, 20.0) is None
    assert room.spot(20.0, 300.0) is None


def test_an_obstacle_in_the_middle_is_avoided() -> None:
    obstacle = shapely.box(80, 60, 120, 140)
    spot = room_in(SQUARE, [obstacle], 4.0).spot(60.0, 20.0)
    assert spot is not None
    assert not box_at(spot, 60.0, 20.0).intersects(obstacle)


def test_a_part_full_of_obstacles_has_no_room() -> None:
    assert room_in(SQUARE, [shapely.box(0, 0, 200, 200)], 4.0).spot(5.0, 5.0) is None


@given(outlines(), st.floats(1.0, 80.0), st.floats(1.0, 40.0), st.floats(0.0, 8.0))
def test_a_box_that_is_found_lies_inside_with_its_margin(
    outline: tuple[tuple[float, float], ...], width: float, height: float, margin: float
) -> None:
    part = shapely.Polygon(outline)
    obstacle = shapely.Point(visual_centre(part)).buffer(10.0)
    spot = room_in(outline, [obstacle], margin).spot(width, height)
    if spot is None:
        return
    box = box_at(spot, width, height)
    assert part.buffer(1e-6).contains(box)
    assert part.exterior.distance(box) >= margin - 0.01
    assert not obstacle.intersects(box)


@given(outlines())
def test_the_visual_centre_lies_inside(outline: tuple[tuple[float, float], ...]) -> None:
    part = shapely.Polygon(outline)
    assert part.buffer(1e-6).contains(shapely.Point(visual_centre(part)))
