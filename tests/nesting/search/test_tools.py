# SPDX-License-Identifier: GPL-2.0-or-later
"""What a chain works with: which parts of a state lie near each other."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st

from nesting.cloth.problem import Spot, build_problem
from nesting.construct.first import first_layout
from nesting.search.table import build_table
from nesting.search.tools import tools_for
from tests.helpers.nine_parts import JOB

PROBLEM = build_problem(JOB)
TOOLS = tools_for(build_table(PROBLEM))
FIRST = tuple(spot for spot in first_layout(PROBLEM) if spot is not None)


def middle(spot: Spot) -> shapely.Point:
    """Return the middle of the box of a part where it lies, by shapely."""
    outline = shapely.Polygon(PROBLEM.shapes[spot.shape].points)
    low_x, low_y, high_x, high_y = outline.bounds
    return shapely.Point(spot.x + (low_x + high_x) / 2, spot.y + (low_y + high_y) / 2)


@given(st.integers(0, TOOLS.movable - 1), st.integers(1, TOOLS.movable))
def test_the_parts_nearest_to_one_lie_no_farther_off_than_all_others(part: int, count: int) -> None:
    state = TOOLS.on_grid(FIRST)
    found = TOOLS.nearest(state, part, count).tolist()
    assert found[0] == part
    assert len(set(found)) == count
    middles = [middle(spot) for spot in FIRST]
    far = np.array([middles[part].distance(one) for one in middles])
    others = sorted(set(range(TOOLS.movable)) - set(found))
    slack = 2 * TOOLS.table.grid.step  # each lies as far off its place as the grid is coarse
    assert not others or far[found].max() <= far[others].min() + slack
