# SPDX-License-Identifier: GPL-2.0-or-later
"""How deep an overlap is: the widest disc in it."""

from __future__ import annotations

import pytest
import shapely

from extension.checking.verdicts import depth_of


@pytest.mark.parametrize(
    ("area", "depth"),
    [
        (shapely.box(0, 0, 100, 4), 4.0),
        (shapely.Point(0, 0).buffer(25, quad_segs=64), 50.0),
        (shapely.MultiPolygon([shapely.box(0, 0, 9, 1), shapely.box(20, 0, 29, 3)]), 3.0),
        (shapely.LineString([(0, 0), (9, 0)]), 0.0),
        (shapely.Polygon(), 0.0),
    ],
)
def test_depth_is_the_diameter_of_the_widest_disc(area: shapely.Geometry, depth: float) -> None:
    assert depth_of(area) == pytest.approx(depth, rel=0.02, abs=1e-9)
