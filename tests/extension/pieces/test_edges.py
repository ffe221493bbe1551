# SPDX-License-Identifier: GPL-2.0-or-later
"""Edges with an allowance of their own: what grows by how much, and how corners are joined."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import rotate
from shapely.geometry import LinearRing, LineString, Polygon, box

from extension.pieces.allowance import MITRE_LIMIT, Fold, with_allowance
from extension.pieces.edges import SNAP, line_of, stretch_under
from extension.pieces.model import Edge
from nesting.geometry.shapes import unfold
from nesting.model import Outline, Point

Amounts = dict[int, float]


def side(outline: Outline, at: int) -> Outline:
    return outline[at], outline[(at + 1) % len(outline)]


def cut(outline: Outline, usual: float, amounts: Amounts, fold: Fold | None = None) -> Polygon:
    """Return the cutting line where the sides of these numbers have amounts of their own."""
    edges = [Edge(f"side {at}", by, side(outline, at)) for at, by in amounts.items()]
    cutting, ends, _ = with_allowance(outline, fold, usual, "“Skirt”", edges)
    return Polygon(cutting if ends is None else unfold(cutting, ends))


SQUARE: Outline = ((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0))


@pytest.mark.parametrize("turn", [0.0, 17.0, 90.0, 233.0])
def test_a_rectangle_with_a_hem_is_a_larger_rectangle(turn: float) -> None:
    turned = Polygon(SQUARE) if not turn else rotate(Polygon(SQUARE), turn, origin=(0, 0))
    outline = tuple((x, y) for x, y in turned.exterior.coords[:-1])
    made = cut(outline, 10.0, {0: 40.0})
    exact = rotate(box(-10.0, -40.0, 310.0, 210.0), turn, origin=(0, 0))
    assert made.symmetric_difference(exact).area < 1e-6
    assert len(made.exterior.coords) == 5


def test_the_way_round_of_outline_and_line_does_not_matter() -> None:
    whole = cut(SQUARE, 10.0, {0: 40.0})
    backward = SQUARE[::-1]
    edges = [Edge("hem", 40.0, ((300.0, 0.0), (0.0, 0.0)))]
    again = Polygon(with_allowance(backward, None, 10.0, "“Skirt”", edges)[0])
    assert again.equals(whole)


def test_an_edge_of_a_drawing_with_its_allowance_included_grows_alone() -> None:
    assert cut(SQUARE, 0.0, {0: 40.0}).equals(box(0.0, -40.0, 300.0, 200.0))
    assert cut(SQUARE, 10.0, {0: 0.0}).equals(box(-10.0, 0.0, 310.0, 210.0))


def test_a_mitre_ends_where_both_lines_meet() -> None:
    """The corner of an equilateral triangle between 30 and 12 mm: by hand, from its angles."""
    high = 300.0 * math.sqrt(3.0)
    outline = ((0.0, 0.0), (600.0, 0.0), (300.0, high))
    made = cut(outline, 12.0, {0: 30.0})
    # Below by 30, right of the right side by 12: x runs on by 12 / sin 60 + 30 / tan 60.
    tip = (600.0 + 12.0 / math.sin(math.pi / 3) + 30.0 / math.tan(math.pi / 3), -30.0)
    assert min(math.dist(tip, point) for point in made.exterior.coords) < 1e-6
    assert len(made.exterior.coords) == 4


@given(
    st.integers(3, 9),
    st.floats(2.0, 30.0),
    st.lists(st.floats(60.0, 300.0), min_size=9, max_size=9),
    st.integers(0, 359),
)
def test_where_all_edges_have_the_same_it_is_what_the_library_makes(
    count: int, by: float, radii: list[float], turn: int
) -> None:
    """Star-shaped outlines, with inward and sharp corners: shapely's own mitred buffer."""
    angles = np.radians(turn + 360.0 * np.arange(count) / count)
    outline = tuple(
        (float(r * math.cos(a)), float(r * math.sin(a)))
        for r, a in zip(radii, angles, strict=False)
    )
    made = cut(outline, by, {0: by})
    exact = Polygon(outline).buffer(by, join_style="mitre", mitre_limit=MITRE_LIMIT)
    # By distance: of outlines that are one but for rounding, overlays are no reliable judge. The
    # library itself leaves out inward corners of a hundredth of the distance.
    assert made.exterior.hausdorff_distance(exact.exterior) < 0.05 * by
    assert made.area == pytest.approx(Polygon(exact.exterior).area, rel=1e-3)


@given(
    st.lists(st.tuples(st.floats(80.0, 300.0), st.floats(0.0, 60.0)), min_size=3, max_size=8),
    st.integers(0, 359),
)
def test_every_edge_keeps_its_distance_and_nothing_sewn_is_cut_off(
    sides: list[tuple[float, float]], turn: int
) -> None:
    angles = np.radians(turn + 360.0 * np.arange(len(sides)) / len(sides))
    outline = tuple(
        (float(one[0] * math.cos(a)), float(one[0] * math.sin(a)))
        for one, a in zip(sides, angles, strict=True)
    )
    amounts = {at: one[1] for at, one in enumerate(sides)}
    made, whole = cut(outline, 10.0, amounts), Polygon(outline)
    assert made.is_valid
    assert made.buffer(2e-3).covers(whole)
    for at, by in amounts.items():
        line = LineString(side(outline, at))
        # All of the strip is there, so the cutting line is never nearer than asked.
        if by > 1.0:
            strip = line.buffer(-0.999 * by, single_sided=True, cap_style="flat")
            assert strip.difference(made).area < 1e-3 * strip.area
        if whole.convex_hull.area > whole.area * (1.0 + 1e-9):
            continue
        # Away from the corners it is as far as asked.
        way = np.subtract(*reversed(side(outline, at))) / line.length
        off = np.array([way[1], -way[0]])
        for share in (0.35, 0.5, 0.65):
            point = np.array(line.interpolate(share, normalized=True).coords[0])
            ray = LineString([point, point + 400.0 * off]).intersection(made)
            assert ray.length == pytest.approx(by, abs=0.05)


def test_at_a_flat_corner_each_amount_ends_square_to_its_edge() -> None:
    outline = ((0.0, 0.0), (150.0, 0.0), (300.0, 10.0), (300.0, 200.0), (0.0, 200.0))
    made = cut(outline, 10.0, {0: 40.0})
    assert made.covers(box(0.0, -40.0, 150.0, 0.0))
    assert made.intersection(box(151.0, -41.0, 400.0, -11.0)).area < 1.0


def test_an_inward_corner_has_no_gap_and_no_more_than_both_strips() -> None:
    """An L: its inner corner between 40 and 10 mm is the union of both strips."""
    outline = (
        *((0.0, 0.0), (400.0, 0.0), (400.0, 150.0)),
        *((150.0, 150.0), (150.0, 400.0), (0.0, 400.0)),
    )
    made = cut(outline, 10.0, {2: 40.0})
    exact = Polygon(outline).buffer(10.0, join_style="mitre").union(box(150, 150, 410, 190))
    assert made.symmetric_difference(exact).area < 1e-6


def arc(radius: float, first: float, last: float, count: int = 60) -> list[Point]:
    angles = np.radians(np.linspace(first, last, count))
    return [(radius * math.cos(a), radius * math.sin(a)) for a in angles]


def test_a_curved_hem_keeps_its_distance_all_along() -> None:
    """A quarter of a skirt: 100 mm at the waist, 500 mm at the hem, which gets 30 mm."""
    waist, hem = arc(100.0, 90.0, 0.0), arc(500.0, 0.0, 90.0)
    outline = (*waist, *hem)
    edges = [Edge("hem", 30.0, tuple(hem))]
    made = Polygon(with_allowance(outline, None, 10.0, "“Skirt”", edges)[0])
    away = [math.hypot(x, y) for x, y in made.exterior.coords]
    assert max(away) == pytest.approx(math.hypot(530.0, 10.0), abs=0.3)
    for angle in range(5, 86, 5):
        way = np.array([math.cos(math.radians(angle)), math.sin(math.radians(angle))])
        ray = LineString([(0.0, 0.0), 900.0 * way]).intersection(made)
        reach = [math.hypot(*point) for point in ray.coords]
        assert max(reach) == pytest.approx(530.0, abs=0.1)
        assert min(reach) == pytest.approx(90.0, abs=0.1)


def half() -> tuple[Outline, Fold]:
    """Return half a skirt on the fold, at x = 0; its hem, the first side, meets the fold."""
    outline = ((0.0, 0.0), (200.0, 0.0), (170.0, 300.0), (0.0, 290.0))
    return outline, ((0.0, 290.0), (0.0, 0.0))


def test_the_fold_gets_nothing_and_a_hem_goes_through_to_it() -> None:
    outline, fold = half()
    edges = [Edge("hem", 40.0, side(outline, 0))]
    cutting, ends, _ = with_allowance(outline, fold, 15.0, "“Skirt”", edges)
    assert ends is not None
    assert min(ends, key=lambda point: point[1]) == (0.0, -40.0)
    assert min(x for x, _ in cutting) == 0.0
    whole_outline = ((-200.0, 0.0), (200.0, 0.0), (170.0, 300.0), (0.0, 290.0), (-170.0, 300.0))
    whole = cut(whole_outline, 15.0, {0: 40.0})
    assert Polygon(unfold(cutting, ends)).symmetric_difference(whole).area < 1e-3


def test_a_hem_that_ends_in_an_edge_ends_square_there() -> None:
    edges = [Edge("vent", 40.0, ((50.0, 0.0), (150.0, 0.0)))]
    made = Polygon(with_allowance(SQUARE, None, 10.0, "“Skirt”", edges)[0])
    assert made.equals(box(-10, -10, 310, 210).union(box(50, -40, 150, 0)))


@given(st.floats(0.0, 399.0), st.floats(1.1, 60.0), st.booleans())
def test_a_line_along_the_outline_is_that_stretch_of_it_however_short(
    start: float, length: float, runs_back: bool
) -> None:
    """A short one near a corner too: its ends may mean a corner, but not both the same one."""
    ring = LinearRing([(0, 0), (100, 0), (100, 100), (0, 100)])
    drawn = [ring.interpolate((start + step) % 400.0) for step in np.linspace(0.0, length, 120)]
    line = LineString(drawn[::-1] if runs_back else drawn)
    stretch = stretch_under(ring, line)
    assert stretch is not None
    found = line_of(ring, stretch)
    assert len(found.coords) > 1
    assert found.length > 0.0
    assert abs(found.length - line.length) <= 2.0 * SNAP + 0.02 * line.length
    assert line.hausdorff_distance(found) <= SNAP + 0.5
