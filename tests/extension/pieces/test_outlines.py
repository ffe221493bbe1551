# SPDX-License-Identifier: GPL-2.0-or-later
"""Closed outlines: cleaned, mended, refused."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.geometry import LineString, Point, Polygon

from extension.pieces.outlines import (
    closed_shape,
    drawn_lines,
    inner_outlines,
    is_tiny_beside,
    share_inside,
)
from extension.svg.model import Ring
from tests.helpers.drawn import box, leaf, shape


def test_an_open_line_has_no_outline() -> None:
    assert closed_shape(leaf(box(0, 0, 10, 10), closed=False)) is None


def test_a_clean_outline_is_kept_point_by_point() -> None:
    found = shape(*box(5, 5, 30, 40))
    assert found.outline == box(5, 5, 30, 40)
    assert found.area == 1200
    assert found.fault is None
    assert found.mended == ""


def test_points_that_repeat_are_dropped() -> None:
    found = shape((0, 0), (0, 0), (30, 0), (30, 40), (30, 40.0004), (0, 40), (0, 0))
    assert found.outline == ((0, 0), (30, 0), (30, 40), (0, 40))
    assert found.fault is None


def test_a_spike_is_mended_since_the_area_stays() -> None:
    found = shape((0, 0), (100, 0), (100, 60), (130, 60), (100, 60), (100, 100), (0, 100))
    assert found.fault is None
    assert found.polygon.is_valid
    assert found.area == pytest.approx(10_000)
    assert found.mended.startswith("runs back over itself near x 130 mm, y 60 mm: a spike")


def test_an_outline_that_touches_itself_is_mended() -> None:
    """A slit drawn as a doubled edge: its area is nothing."""
    found = shape((0, 0), (50, 0), (50, 40), (50, 0), (100, 0), (100, 100), (0, 100))
    assert found.fault is None
    assert found.area == pytest.approx(10_000)
    assert found.mended.startswith("runs back over itself near x 50 mm, y 40 mm")


@pytest.mark.parametrize(
    "points",
    [
        pytest.param(
            ((0, 0), (100.2, 0), (100.2, -0.2), (100, -0.2), (100, 100), (0, 100)), id="loop"
        ),
        pytest.param(((0, 0), (100, 0), (100, 100), (0, 100), (0, 0), (60, 0)), id="edge twice"),
    ],
)
def test_what_changes_nothing_is_mended_without_a_word(
    points: tuple[tuple[float, float], ...],
) -> None:
    found = shape(*points)
    assert (found.fault, found.mended) == (None, "")
    assert found.area == pytest.approx(10_000, abs=0.1)


@pytest.mark.parametrize(
    "points",
    [
        pytest.param(((0, 0), (100, 100), (100, 0), (0, 100)), id="bow tie"),
        pytest.param(((0, 0), (100, 0), (100, 100), (60, 110), (60, -9), (0, 100)), id="loop"),
        pytest.param((*box(0, 0, 90, 90), *box(0, 0, 90, 90)), id="twice round"),
    ],
)
def test_an_outline_that_crosses_itself_is_refused_with_the_place(
    points: tuple[tuple[float, float], ...],
) -> None:
    found = shape(*points, id="front", label="Front")
    assert str(found.fault).startswith("The outline of “Front” (front) crosses itself")
    assert found.polygon.is_valid


def test_the_place_of_a_crossing_is_told() -> None:
    found = shape((0, 0), (100, 100), (100, 0), (0, 100))
    assert "near x 50 mm, y 50 mm" in str(found.fault)


@pytest.mark.parametrize(
    "points",
    [
        pytest.param(((0, 0), (0, 90)), id="line"),
        pytest.param(((0, 0), (0, 90), (0, 30)), id="line there and back"),
        pytest.param(((5, 5), (5, 5), (5, 5)), id="point"),
        pytest.param(box(0, 0, 0.002, 100), id="hair"),
        pytest.param(((0, 0), (0.4, 0.4), (0.4, 0), (0, 0.4)), id="tiny bow tie"),
    ],
)
def test_an_outline_without_area_is_refused(points: tuple[tuple[float, float], ...]) -> None:
    found = shape(*points, id="p7")
    assert "(p7) is closed but encloses no area" in str(found.fault)
    assert found.polygon.is_empty


def test_a_path_with_two_outlines_side_by_side_is_refused() -> None:
    found = closed_shape(leaf(box(0, 0, 50, 50), box(80, 0, 50, 50), id="both"))
    assert found is not None
    assert "(both) holds 2 separate outlines in one path" in str(found.fault)


def test_a_path_with_a_hole_is_its_outer_outline() -> None:
    hole = box(40, 40, 8, 8)
    found = closed_shape(leaf(hole, box(0, 0, 100, 100)))
    assert found is not None
    assert found.outline == box(0, 0, 100, 100)
    assert found.fault is None
    assert [each.outline for each in inner_outlines(found)] == [hole]


def with_open(*points: tuple[float, float]) -> str:
    closed = leaf(box(0, 0, 100, 100))
    found = closed_shape(replace(closed, rings=(*closed.rings, Ring(points, closed=False))))
    assert found is not None
    return str(found.fault or "")


def test_an_open_line_in_the_same_path_is_a_mark_inside_and_a_fault_outside() -> None:
    assert with_open((10, 10), (10, 90)) == ""
    assert "holds an open line beside its outline" in with_open((110, 10), (110, 90))


def test_notches_in_the_path_of_the_outline_may_stick_out_of_it() -> None:
    notch = ((50, -6), (54, 2), (46, 2))
    found = closed_shape(leaf(box(0, 0, 100, 100), notch, [(20, -5), (20, 5)]))
    assert found is not None
    assert found.fault is None


def test_tiny_beside_a_piece() -> None:
    front = shape(*box(0, 0, 300, 600))
    assert is_tiny_beside(shape(*box(0, 0, 8, 6)), front)
    assert not is_tiny_beside(shape(*box(0, 0, 80, 10)), front)
    assert not is_tiny_beside(shape(*box(0, 0, 20, 20)), shape(*box(0, 0, 40, 40)))


def test_shares_of_areas_lines_and_points() -> None:
    area = Polygon(box(0, 0, 100, 100))
    assert share_inside(Polygon(box(50, 0, 100, 100)), area) == pytest.approx(0.5)
    assert share_inside(LineString([(90, 50), (130, 50)]), area) == pytest.approx(0.25)
    assert share_inside(Point(5, 5), area) == 1
    assert share_inside(Point(500, 5), area) == 0


def test_the_lines_of_a_text_are_its_box() -> None:
    text = leaf(box(10, 10, 30, 8), text="Front")
    assert drawn_lines(text).bounds == (10, 10, 40, 18)
    assert drawn_lines(leaf(box(0, 0, 10, 10))).length == 40
    assert drawn_lines(leaf(box(0, 0, 10, 10), closed=False)).length == 30
    assert drawn_lines(leaf([(3, 4)], closed=False)).bounds == (3, 4, 3, 4)
