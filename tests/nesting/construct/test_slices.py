# SPDX-License-Identifier: GPL-2.0-or-later
"""Slices of outlines: what is covered is what shapely says is met, cell by cell."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.construct.slices import Raster, covered, slices_of
from nesting.geometry.shapes import counter_clockwise
from nesting.model import Outline
from tests.helpers import strategies as some

SHAPES = st.one_of(some.rectangles(), some.l_shapes(), some.u_shapes(), some.star_shaped())


@settings(max_examples=40)
@given(SHAPES, st.floats(0.05, 0.3), st.floats(0.1, 3.0), st.floats(0.0, 0.9))
def test_a_row_of_a_slice_is_covered_when_the_outline_meets_it(
    outline: Outline, share: float, flatness: float, off: float
) -> None:
    points = counter_clockwise(np.array(outline))
    polygon = shapely.Polygon(points)
    wide = share * float(np.ptp(points[:, 0]))
    cell = Raster(wide, max(wide * flatness, float(np.ptp(points[:, 1])) / 40.0))
    low = points.min(axis=0)
    anchor = float(low[0]) - off * cell.wide, float(low[1]) - off * cell.tall
    mask = covered(points, anchor, cell)
    beyond = np.array(anchor) + np.multiply(mask.shape, (cell.wide, cell.tall))
    assert (points.max(axis=0) <= beyond + 1e-6).all()
    for (column, row), is_covered in np.ndenumerate(mask):
        left, bottom = anchor[0] + column * cell.wide, anchor[1] + row * cell.tall
        box = shapely.box(left, bottom, left + cell.wide, bottom + cell.tall)
        common = polygon.intersection(box).area
        if common > 1e-6 * cell.wide * cell.tall:
            assert is_covered
        elif polygon.distance(box) > 1e-5 * cell.tall:
            # A slice is told by what it covers anywhere along its width: so is a row of it.
            assert not is_covered


@given(st.integers(0, 2**24 - 1))
def test_slices_hold_the_cells_that_are_covered(bits: int) -> None:
    mask = np.array([bits >> k & 1 for k in range(24)], dtype=np.bool_).reshape(4, 6)
    starts, spans, tallest = slices_of(mask)
    again = np.zeros_like(mask)
    for column in range(4):
        own = spans[starts[column] : starts[column + 1]]
        for low, high in own:
            again[column, low:high] = True
        assert tallest[column] == max([high - low for low, high in own], default=0)
    assert (again == mask).all()


def test_a_square_on_the_cells_covers_them_and_touches_the_next() -> None:
    """A line that lies on the edge of a cell belongs to both: the safe side."""
    square = np.array([(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)])
    found = slices_of(covered(square + 0.5, (0.0, 0.0), Raster(5.0, 2.0)))
    assert found.tallest.tolist() == [6] * 5
    assert found.spans.tolist() == [[0, 6]] * 5
