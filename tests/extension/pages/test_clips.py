# SPDX-License-Identifier: GPL-2.0-or-later
"""What is seen through windows and clip paths."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from extension.pages.clips import Region, Regions, cut_to_box, seen
from extension.svg.leaves import read_leaves
from tests.helpers.svg_builder import SvgBuilder

BOX = (0.0, 0.0, 100.0, 80.0)
places = st.tuples(st.integers(-60, 160), st.integers(-60, 160))


@pytest.mark.parametrize("shape", [None, shapely.box(*BOX).buffer(-5.0)])
@pytest.mark.parametrize("closed", [False, True])
def test_of_a_line_that_is_a_point_nothing_is_seen(
    closed: bool, shape: shapely.Geometry | None
) -> None:
    """The newer editor hands over such ones from PDF files; no library makes a line of one."""
    assert seen(np.array([[50.0, 40.0]]), closed, Region(BOX, shape)) == []


@given(st.lists(places, min_size=2, max_size=12, unique=True), st.booleans())
def test_as_much_of_a_line_is_seen_as_lies_in_the_box(
    points: list[tuple[int, int]], closed: bool
) -> None:
    line = np.array(points, dtype=float)
    parts = cut_to_box(line, closed, BOX)
    whole = shapely.LineString([*points, points[0]] if closed else points)
    window = shapely.box(*BOX)
    # Segment by segment, since a line that runs back on itself counts twice here, not in shapely.
    ends = [*points, points[0]] if closed else points
    inside = sum(shapely.LineString(pair).intersection(window).length for pair in pairwise(ends))
    got = 0.0
    for part, still_closed in parts:
        ring = np.vstack([part, part[:1]]) if still_closed else part
        got += float(np.hypot(*np.diff(ring, axis=0).T).sum())
        assert whole.distance(shapely.LineString(ring)) < 1e-9
        assert window.buffer(1e-9).covers(shapely.LineString(ring))
    assert got == pytest.approx(inside, abs=1e-3)


def test_a_ring_that_leaves_once_is_one_line_whatever_point_it_begins_at() -> None:
    ring = np.array([(50.0, 40.0), (150.0, 40.0), (150.0, 60.0), (50.0, 60.0)])
    for start in range(4):
        parts = cut_to_box(np.roll(ring, start, axis=0), True, BOX)
        assert [closed for _, closed in parts] == [False]
        assert sorted(parts[0][0][[0, -1], 0].tolist()) == [100.0, 100.0]


def test_a_corner_on_the_side_of_the_box_is_one_end_of_the_line() -> None:
    corner = np.array([(50.0, 10.0), (100.0, 20.0), (150.0, 90.0)])
    ((part, _),) = cut_to_box(corner, False, BOX)
    assert part.tolist() == [[50.0, 10.0], [100.0, 20.0]]


def test_a_line_along_the_side_of_the_window_is_seen() -> None:
    ((part, closed),) = cut_to_box(np.array([(100.0, 10.0), (100.0, 200.0)]), False, BOX)
    assert part.tolist() == [[100.0, 10.0], [100.0, 80.0]]
    assert not closed


def clipped(clip: str, **more: object) -> Region:
    """Return the region of a line behind a clip path, drawn at 2 user units to a mm."""
    drawing = SvgBuilder("200mm", "200mm", (0, 0, 400, 400))
    outer = drawing.add("clipPath", id="clip", **more)
    drawing.add_path(clip, parent=outer, id="window")
    group = drawing.add("g", id="behind", clip_path="url(#clip)", transform="translate(20,0)")
    drawing.add_line((0, 0), (300, 300), parent=group, id="line", style="stroke:#000")
    (leaf,) = [leaf for leaf in read_leaves(drawing.document()) if leaf.id == "line"]
    return Regions().of(leaf.clips)


def test_a_clip_moves_with_the_group_that_it_clips() -> None:
    region = clipped("M 0 0 H 100 V 60 H 0 Z")
    assert region.box == pytest.approx((10.0, 0.0, 60.0, 30.0))
    assert region.shape is None


def test_a_clip_that_is_no_rectangle_is_kept_as_it_is() -> None:
    region = clipped("M 0 0 H 100 L 0 100 Z")
    ((part, _),) = seen(np.array([(10.0, 0.0), (60.0, 50.0)]), False, region)
    assert part[[0, -1]].tolist() == pytest.approx(np.array([[10.0, 0.0], [35.0, 25.0]]))


def test_what_cannot_be_told_of_a_clip_hides_nothing() -> None:
    region = clipped("M 0 0 H 1 V 1 H 0 Z", clipPathUnits="objectBoundingBox")
    assert np.isinf(region.box).all()


def test_an_empty_clip_hides_everything() -> None:
    assert clipped("").is_empty


def test_clips_within_each_other_leave_what_both_leave() -> None:
    drawing = SvgBuilder("200mm", "200mm", (0, 0, 200, 200))
    for name, data in (("a", "M 0 0 H 50 V 50 H 0 Z"), ("b", "M 30 0 H 90 V 20 H 30 Z")):
        outer = drawing.add("clipPath", id=name)
        drawing.add_path(data, parent=outer, id=f"of-{name}")
    group = drawing.add("g", id="one", clip_path="url(#a)")
    line = drawing.add_line((0, 0), (9, 9), parent=group, id="line", style="stroke:#000")
    line.set("clip-path", "url('#b')")
    (leaf,) = [leaf for leaf in read_leaves(drawing.document()) if leaf.id == "line"]
    assert Regions().of(leaf.clips).box == pytest.approx((30.0, 0.0, 50.0, 20.0))
