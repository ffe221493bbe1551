# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge gives a verdict on outlines that cross themselves, and where the library gives up."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from extension.layouts.verdicts import depth_of
from nesting.judge.outlines import Laid, common_area, overlaps, sound, too_near
from nesting.model import Outline

corners = st.tuples(st.integers(0, 8), st.integers(0, 8))
tangles = st.lists(corners, min_size=3, max_size=9).map(tuple)


def laid(*outlines: Outline) -> list[Laid]:
    """Return parts as drawn by hand, whatever their outlines do."""
    return [
        Laid(str(number), f"part {number}", shapely.Polygon(outline))
        for number, outline in enumerate(outlines)
    ]


def covered(outline: Outline) -> shapely.Geometry:
    """Return what an outline covers, by cutting the plane along its lines: no make_valid."""
    line = shapely.LinearRing(outline)
    faces = shapely.polygonize([shapely.node(line)]).geoms
    odd = [face for face in faces if _crossings(face.representative_point(), outline) % 2]
    return shapely.union_all(odd)


def _crossings(point: shapely.Point, outline: Outline) -> int:
    """Return how many edges a ray to the right of a point crosses."""
    count = 0
    for (x0, y0), (x1, y1) in zip(outline, [*outline[1:], outline[0]], strict=True):
        if (y0 > point.y) != (y1 > point.y):
            count += point.x < x0 + (point.y - y0) * (x1 - x0) / (y1 - y0)
    return count


@given(tangles, tangles)
def test_tangled_outlines_overlap_where_both_cover_cloth(one: Outline, other: Outline) -> None:
    parts = laid(one, other)
    common = covered(one).intersection(covered(other)).area
    found = overlaps(parts)
    # What is gone round twice may count as covered: a needless word, but nothing is missed.
    assert found or common < 1e-3
    if found:
        assert found[0].amount >= common - 1e-6
        shared = common_area(sound(parts[0].polygon), sound(parts[1].polygon)).item()
        assert depth_of(shared) > 0.0
    too_near(parts, 3.0)


def test_where_the_library_gives_up_the_outlines_are_rounded(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    plain = shapely.intersection

    def gives_up(one: object, two: object, grid_size: float | None = None) -> object:
        if grid_size is None:
            raise shapely.errors.GEOSException("TopologyException: side location conflict")
        return plain(one, two, grid_size=grid_size)

    monkeypatch.setattr(shapely, "intersection", gives_up)
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    beside = tuple((x + 10.0, y) for x, y in square)
    upon = tuple((x + 9.0, y) for x, y in square)
    assert overlaps(laid(square, beside)) == []
    (found,) = overlaps(laid(square, upon))
    assert found.amount == pytest.approx(10.0)


def test_the_depth_of_an_area_within_collections_is_seen() -> None:
    squares = shapely.MultiPolygon([shapely.box(0, 0, 4, 4), shapely.box(9, 0, 11, 2)])
    nested = shapely.GeometryCollection([shapely.LineString([(0, 0), (1, 1)]), squares])
    assert depth_of(nested) == pytest.approx(4.0, abs=0.1)
    assert np.isclose(depth_of(shapely.LineString([(0, 0), (1, 1)])), 0.0)
