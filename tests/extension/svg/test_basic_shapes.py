# SPDX-License-Identifier: GPL-2.0-or-later
"""Basic shapes are the paths that the standard calls equivalent."""

from __future__ import annotations

from typing import Any

import pytest
import svgelements
from hypothesis import given
from hypothesis import strategies as st

from extension.svg.basic_shapes import Measures, shape_subpaths
from extension.svg.flatten import flatten
from extension.svg.pathdata import Subpath, parse_path
from extension.svg.transforms import IDENTITY

sizes = st.floats(1, 300).map(lambda value: round(value, 3))
places = st.floats(-300, 300).map(lambda value: round(value, 3))
PAGE = Measures((200.0, 100.0), 10.0)


def shape(kind: str, **attributes: object) -> tuple[Subpath, ...]:
    return shape_subpaths(kind, {name: str(value) for name, value in attributes.items()}, PAGE)


def assert_same_curve(found: tuple[Subpath, ...], other: Any) -> None:
    """Compare with a shape of svgelements: each one's points lie on the other's outline."""
    ring = flatten(found, IDENTITY, 0.01)[0].points
    theirs = flatten(parse_path(svgelements.Path(other).d()), IDENTITY, 0.01)[0].points
    for one, two in ((ring, theirs), (theirs, ring)):
        low = [min(p[axis] for p in one) for axis in (0, 1)]
        assert low == pytest.approx([min(p[axis] for p in two) for axis in (0, 1)], abs=0.02)
        high = [max(p[axis] for p in one) for axis in (0, 1)]
        assert high == pytest.approx([max(p[axis] for p in two) for axis in (0, 1)], abs=0.02)
    assert area(ring) == pytest.approx(area(theirs), rel=1e-3, abs=0.5)


def area(points: tuple[tuple[float, float], ...]) -> float:
    return (
        sum(
            a[0] * b[1] - b[0] * a[1] for a, b in zip(points, [*points[1:], points[0]], strict=True)
        )
        / 2.0
    )


@given(places, places, sizes, sizes, sizes, sizes)
def test_rectangles_agree_with_an_independent_library(
    x: float, y: float, width: float, height: float, rx: float, ry: float
) -> None:
    rect = shape("rect", x=x, y=y, width=width, height=height, rx=rx, ry=ry)
    assert_same_curve(rect, svgelements.Rect(x, y, width, height, rx, ry))


@given(places, places, sizes, sizes)
def test_ellipses_agree_with_an_independent_library(
    cx: float, cy: float, rx: float, ry: float
) -> None:
    ellipse = shape("ellipse", cx=cx, cy=cy, rx=rx, ry=ry)
    assert_same_curve(ellipse, svgelements.Ellipse(cx, cy, rx, ry))
    assert_same_curve(shape("circle", cx=cx, cy=cy, r=rx), svgelements.Circle(cx, cy, rx))


@given(places, places, sizes, sizes)
def test_a_plain_rectangle_is_its_four_corners(x: float, y: float, w: float, h: float) -> None:
    (rect,) = shape("rect", x=x, y=y, width=w, height=h)
    assert rect == Subpath((x, y), ((x + w, y), (x + w, y + h), (x, y + h)), closed=True)


def test_one_corner_radius_stands_for_both_and_neither_passes_the_half() -> None:
    assert shape("rect", width=40, height=20, rx=5) == shape(
        "rect", width=40, height=20, rx=5, ry=5
    )
    assert shape("rect", width=40, height=20, ry=5, rx="auto") == shape(
        "rect", width=40, height=20, rx=5, ry=5
    )
    assert shape("rect", width=40, height=20, rx=90, ry=90) == shape(
        "rect", width=40, height=20, rx=20, ry=10
    )
    assert shape("rect", width=40, height=20, rx=5, ry=0) == shape("rect", width=40, height=20)


def test_lines_and_polygons() -> None:
    assert shape("line", x1=1, y1=2, x2=3, y2=4) == (Subpath((1, 2), ((3, 4),), closed=False),)
    assert shape("line", x2=3) == (Subpath((0, 0), ((3, 0),), closed=False),)
    corners = ((2.0, 0.0), (0.0, 2.0))
    assert shape("polygon", points="0,0 2,0 0,2") == (Subpath((0, 0), corners, closed=True),)
    assert shape("polyline", points="0,0 2,0 0,2") == (Subpath((0, 0), corners, closed=False),)


def test_lengths_take_units_percentages_and_font_sizes() -> None:
    # The editor (1.2.2) shows these so on a viewBox of 200 x 100 with a font size of 10.
    (rect,) = shape("rect", x="10%", y="10%", width="50%", height="1in")
    assert rect.start == (20, 10)
    assert rect.segments[1] == (120, 106)
    (rect,) = shape("rect", width="2em", height="1ex")
    assert rect.segments[1] == (20, 5)
    (circle,) = shape("circle", cx="50%", cy="50%", r="10%")
    assert circle.start == pytest.approx((115.8114, 50), abs=5e-5)


@pytest.mark.parametrize(
    ("kind", "attributes"),
    [
        ("path", {}),
        ("path", {"d": ""}),
        ("rect", {}),
        ("rect", {"width": "5"}),
        ("rect", {"width": "5", "height": "0"}),
        ("rect", {"width": "-5", "height": "5"}),
        ("circle", {}),
        ("circle", {"r": "-1"}),
        ("ellipse", {"rx": "5", "ry": "0"}),
        ("polygon", {}),
        ("polyline", {"points": "1 1"}),
    ],
)
def test_what_has_no_size_draws_nothing(kind: str, attributes: dict[str, str]) -> None:
    assert shape_subpaths(kind, attributes, PAGE) == ()


@pytest.mark.parametrize(
    ("kind", "attributes", "part"),
    [
        ("rect", {"width": "wide", "height": "5"}, "width=wide"),
        ("rect", {"width": "5", "height": "5", "rx": "?"}, "rx=?"),
        ("circle", {"r": "1e999"}, "r=1e999"),
        ("line", {"x1": "1,5"}, "x1=1,5"),
        ("polygon", {"points": "1 2 3"}, "1 2 3"),
        ("path", {"d": "M 1"}, "M 1"),
    ],
)
def test_what_cannot_be_read_is_named(kind: str, attributes: dict[str, str], part: str) -> None:
    with pytest.raises(ValueError, match=r".*") as error:
        shape_subpaths(kind, attributes, PAGE)
    assert part in str(error.value)
