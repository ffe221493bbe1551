# SPDX-License-Identifier: GPL-2.0-or-later
"""Hatching covers an area with strokes that lie in it, and odd outlines are no fault."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon, Polygon, box

from extension.drawn.hatching import MOST_LINES, hatching

NAN, INF = math.nan, math.inf


def odd(*points: tuple[float, float]) -> Polygon:
    with np.errstate(all="ignore"):
        return Polygon(points)


def crossed() -> Polygon:
    return Polygon([(0, 0), (100, 100), (100, 0), (0, 100)])


def test_strokes_rise_at_45_degrees_lie_in_the_area_and_are_as_far_apart_as_asked() -> None:
    area = box(0, 0, 100, 40)
    strokes = hatching(area, 5.0)
    assert len(strokes) == math.ceil(140.0 / (5.0 * math.sqrt(2.0)))
    for (x, y), (to_x, to_y) in strokes:
        assert to_x - x == pytest.approx(y - to_y)
        assert area.buffer(1e-9).contains(shapely.LineString([(x, y), (to_x, to_y)]))
    places = sorted((x + y) / math.sqrt(2.0) for (x, y), _ in strokes)
    assert [b - a for a, b in itertools.pairwise(places)] == pytest.approx(
        [5.0] * (len(strokes) - 1)
    )


def test_a_hole_stays_free() -> None:
    ring = box(0, 0, 100, 100).difference(box(30, 30, 70, 70))
    inner = box(31, 31, 69, 69)
    assert not any(inner.intersects(shapely.LineString(ends)) for ends in hatching(ring, 5.0))


@pytest.mark.parametrize(
    "area",
    [
        Polygon(),
        MultiPolygon(),
        shapely.Point(3, 3),
        shapely.LineString([(0, 0), (9, 9)]),
        Polygon([(0, 0), (100, 0), (50, 0)]),
        odd((0, 0), (NAN, 0), (50, 50)),
        odd((0, 0), (INF, 0), (50, 50)),
        odd((0, 0), (1e300, 0), (1e300, 1e300)),
        odd((0, 0), (1.7e308, 0), (-1.7e308, 1.7e308)),
        box(1e16, 1e16, 1e16 + 100, 1e16 + 100),
        box(0, 0, 1e9, 0.001),
        box(0, 0, 1e12, 1e12),
        crossed(),
        shapely.GeometryCollection([shapely.Point(0, 0), box(0, 0, 9, 9)]),
    ],
    ids=str,
)
def test_odd_outlines_get_what_strokes_there_are(area: shapely.Geometry) -> None:
    strokes = hatching(area, 11.3)
    # A crossed outline is cut twice by a line.
    assert len(strokes) <= 2 * MOST_LINES
    assert all(math.isfinite(value) for ends in strokes for point in ends for value in point)


def test_a_crossed_outline_is_hatched_where_it_encloses_something() -> None:
    assert len(hatching(crossed(), 5.0)) > 20
