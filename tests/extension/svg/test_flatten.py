# SPDX-License-Identifier: GPL-2.0-or-later
"""Rings leave what is drawn by no more than the tolerance, and waste no points.

Areas are checked against closed formulas (Green's theorem for Bezier curves, the circle and its
segments) and curves against svgelements, a library of its own make.
"""

from __future__ import annotations

import itertools
import math

import pytest
import shapely
import svgelements
from hypothesis import example, given
from hypothesis import strategies as st

from extension.svg.flatten import ENDS_MEET, TooManyPoints, flatten
from extension.svg.model import Matrix, Ring
from extension.svg.pathdata import Segment, Subpath, parse_path
from extension.svg.transforms import (
    IDENTITY,
    apply,
    determinant,
    inverse,
    multiply,
    parse_transform,
    scaling,
)

Point = tuple[float, float]

numbers = st.floats(-200, 200).map(lambda value: round(value, 3))
points = st.tuples(numbers, numbers)
tolerances = st.sampled_from([0.5, 0.05, 0.01])
TRANSFORMS = [
    "",
    "translate(1000 -2000)",
    "rotate(33)",
    "scale(-1 1)",
    "scale(0.1)",
    "scale(25.4)",
    "scale(3 -0.2) rotate(20)",
    "skewX(40) skewY(-20)",
    "matrix(-.3 .7 1.9 .4 12 13)",
]
matrices = st.sampled_from(TRANSFORMS).map(parse_transform)
cubics = st.builds(lambda a, b, c: (*a, *b, *c), points, points, points)
quadratics = st.builds(lambda a, b: (*a, *b), points, points)
arcs = st.builds(
    lambda rx, ry, turn, large, sweep, end: (rx, ry, turn, large, sweep, *end),
    st.floats(0.5, 300),
    st.floats(0.5, 300),
    numbers,
    st.sampled_from([0.0, 1.0]),
    st.sampled_from([0.0, 1.0]),
    points,
)
segments = st.one_of(points, cubics, quadratics, arcs)
subpaths = st.builds(
    Subpath, points, st.lists(segments, min_size=1, max_size=5).map(tuple), st.booleans()
)


def path_data(subpath: Subpath) -> str:
    words = [f"M {subpath.start[0]!r} {subpath.start[1]!r}"]
    for segment in subpath.segments:
        numbers = [repr(n) for n in segment]
        if len(segment) == 7:
            numbers[3:5] = [str(int(segment[3])), str(int(segment[4]))]
        words.append(f"{ {2: 'L', 4: 'Q', 6: 'C', 7: 'A'}[len(segment)] } {' '.join(numbers)}")
    return " ".join(words + ["Z"] * subpath.closed)


def line_of(ring: Ring) -> shapely.LineString:
    return shapely.LineString([*ring.points, ring.points[0]] if ring.closed else ring.points)


def ring_area(ring: Ring) -> float:
    rolled = [*ring.points[1:], ring.points[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring.points, rolled, strict=True)) / 2.0


# The bound.


@given(subpaths, matrices, tolerances)
@example(Subpath((0, 0), ((100.0, 1e-3, 0.0, 0.0, 1.0, 200.0, 0.0),), False), IDENTITY, 0.05)
def test_no_point_of_the_drawing_is_further_from_its_ring_than_the_tolerance(
    subpath: Subpath, matrix: Matrix, tolerance: float
) -> None:
    rings = flatten([subpath], matrix, tolerance)
    path = svgelements.Path(path_data(subpath))
    drawn = [
        apply(matrix, (point.x, point.y))
        for segment in path
        if not isinstance(segment, svgelements.Move)
        for point in (segment.point(step / 40) for step in range(41))
    ]
    if not rings:
        assert all(math.dist(drawn[0], point) <= tolerance for point in drawn)
        return
    line = line_of(rings[0])
    # The last summand is the rounding of the library's own arcs.
    allowed = tolerance + 1e-6 * (1.0 + max(math.hypot(*point) for point in drawn))
    assert max(line.distance(shapely.Point(point)) for point in drawn) <= allowed


@given(st.builds(Subpath, points, st.tuples(cubics), st.just(False)), matrices, tolerances)
def test_no_point_of_a_ring_is_further_from_the_curve_than_the_tolerance(
    subpath: Subpath, matrix: Matrix, tolerance: float
) -> None:
    rings = flatten([subpath], matrix, tolerance)
    if not rings:
        return
    fine = line_of(flatten([subpath], matrix, tolerance / 1000)[0])
    line = shapely.segmentize(line_of(rings[0]), line_of(rings[0]).length / 100)
    worst = max(fine.distance(shapely.Point(point)) for point in line.coords)
    assert worst <= tolerance * 1.002


@given(subpaths, matrices)
def test_mapping_first_or_last_is_the_same_curve(subpath: Subpath, matrix: Matrix) -> None:
    for ring in flatten([subpath], matrix, 0.01):
        for there, back in ((matrix, inverse(matrix)),):
            whole = flatten([subpath], multiply(back, there), 1e-4)
            line = line_of(whole[0])
            stretch = max(abs(n) for row in back for n in row[:2])
            for point in ring.points[:: max(1, len(ring.points) // 20)]:
                distance = line.distance(shapely.Point(apply(back, point)))
                assert distance <= (0.01 * stretch + 1e-3) * 2


# Areas by closed formulas.


def green(start: Point, segment: Segment) -> float:
    """Return half the integral of x dy - y dx along a Bezier curve, exactly.

    With control points p_i of degree n, by Green's theorem and the integral of a product of
    Bernstein polynomials, C(n, i) C(n - 1, j) / (C(2 n - 1, i + j) 2 n).
    """
    controls = [start, *zip(segment[::2], segment[1::2], strict=True)]
    n = len(controls) - 1
    total = 0.0
    for i, (x, y) in enumerate(controls):
        for j, (a, b) in enumerate(itertools.pairwise(controls)):
            weight = math.comb(n, i) * math.comb(n - 1, j) / (math.comb(2 * n - 1, i + j) * 2 * n)
            total += weight * n * (x * (b[1] - a[1]) - y * (b[0] - a[0]))
    return total / 2.0


def test_greens_theorem_gives_known_areas() -> None:
    # Under the parabola y = x (1 - x): 1/6. A triangle of lines: 1/2.
    assert green((1.0, 0.0), (0.5, 0.5, 0.0, 0.0)) == pytest.approx(1 / 6)
    sides = [((0, 0), (1.0, 0.0)), ((1, 0), (0.0, 1.0)), ((0, 1), (0.0, 0.0))]
    assert sum(green(start, segment) for start, segment in sides) == pytest.approx(1 / 2)


@given(points, st.lists(st.one_of(points, cubics, quadratics), min_size=1, max_size=5), matrices)
def test_areas_of_bezier_regions_are_exact_to_the_tolerance(
    start: Point, pieces: list[Segment], matrix: Matrix
) -> None:
    exact, at = 0.0, start
    for segment in [*pieces, start]:
        exact += green(at, segment)
        at = (segment[-2], segment[-1])
    rings = flatten([Subpath(start, tuple(pieces), closed=True)], matrix, 0.01)
    length = sum(line_of(ring).length for ring in rings)
    expected = exact * determinant(matrix)
    found = sum(ring_area(ring) for ring in rings)
    assert abs(found - expected) <= 0.01 * length + 1e-9 * abs(expected) + 1e-6


@given(st.floats(1, 500), st.floats(0.05, 2 * math.pi - 0.05), matrices)
def test_a_circular_segment_has_its_formulas_area(
    radius: float, angle: float, matrix: Matrix
) -> None:
    end = radius * math.cos(angle), radius * math.sin(angle)
    arc = (radius, radius, 0.0, float(angle > math.pi), 1.0, *end)
    (ring,) = flatten([Subpath((radius, 0.0), (arc,), closed=True)], matrix, 0.01)
    exact = radius**2 / 2 * (angle - math.sin(angle)) * determinant(matrix)
    assert ring_area(ring) == pytest.approx(exact, abs=0.01 * line_of(ring).length + 1e-6)


@pytest.mark.parametrize("radius", [1.0, 35.0, 452.0])
def test_a_whole_circle_is_the_regular_polygon_inscribed(radius: float) -> None:
    quarter = [(0.0, radius), (-radius, 0.0), (0.0, -radius), (radius, 0.0)]
    arcs = tuple((radius, radius, 0.0, 0.0, 1.0, *end) for end in quarter)
    (ring,) = flatten([Subpath((radius, 0.0), arcs, closed=True)], IDENTITY, 0.05)
    n = len(ring.points)
    assert ring_area(ring) == pytest.approx(n / 2 * radius**2 * math.sin(math.tau / n))
    assert all(math.hypot(*point) == pytest.approx(radius) for point in ring.points)
    # The sagitta allowed to curves is four fifths of the tolerance, and none is wasted.
    fewest = math.pi / math.acos(1 - 0.04 / radius) if radius > 0.04 else 4
    assert fewest <= n <= fewest + 4


def test_a_cubic_that_stands_for_a_quarter_circle_is_within_its_known_error() -> None:
    # With k = 0.5522847498 its radius errs by 2.7e-4 at most (Riskus, 2006; from memory).
    k = 0.5522847498
    circle = (
        f"M 1 0 C 1 {k} {k} 1 0 1 C {-k} 1 -1 {k} -1 0 C -1 {-k} {-k} -1 0 -1 C {k} -1 1 {-k} 1 0 Z"
    )
    (ring,) = flatten(parse_path(circle), scaling(100, 100), 0.05)
    assert ring_area(ring) == pytest.approx(math.pi * 1e4, rel=6e-4)
    assert max(math.hypot(*p) for p in ring.points) <= 100 * (1 + 2.8e-4)


# Arcs at their limits (SVG 1.1, appendix F.6).


def ring_of(data: str, tolerance: float = 0.05) -> Ring:
    (ring,) = flatten(parse_path(data), IDENTITY, tolerance)
    return ring


def test_an_arc_without_a_radius_is_a_line() -> None:
    assert ring_of("M 0 0 A 0 5 0 0 1 10 0").points == ((0, 0), (10, 0))


def test_radii_that_do_not_reach_grow_until_they_do() -> None:
    grown = ring_of("M 0 0 A 1 1 0 0 1 10 0 Z")
    assert ring_area(grown) == pytest.approx(math.pi * 25 / 2, abs=0.5)
    # In this frame (y down) a positive sweep from left to right bulges upwards.
    assert min(y for _, y in grown.points) == pytest.approx(-5, abs=0.05)


def test_negative_radii_are_positive_ones() -> None:
    assert ring_of("M 0 0 A -5 -5 0 0 1 10 0") == ring_of("M 0 0 A 5 5 0 0 1 10 0")


def test_an_arc_from_a_point_to_itself_is_left_out() -> None:
    assert ring_of("M 0 0 L 10 0 A 5 5 0 1 1 10 0 L 10 10 Z").points == ((0, 0), (10, 0), (10, 10))


@pytest.mark.parametrize("gap", [1.0, 1e-3, 1e-6, 1e-9, 1e-13, 1e-15, 1e-17, 1e-40])
@pytest.mark.parametrize("sweep", [0.0, 1.0])
def test_an_arc_nearly_all_round_is_not_lost(gap: float, sweep: float) -> None:
    for start, end in (((100.0, 0.0), (100.0, -gap)), ((0.0, 100.0), (gap, 100.0))):
        arc = (50.0, 50.0, 0.0, 1.0, sweep, *end)
        (ring,) = flatten([Subpath(start, (arc,), closed=True)], IDENTITY, 0.05)
        assert abs(ring_area(ring)) == pytest.approx(math.pi * 2500, abs=0.05 * 315 + 100 * gap)


def test_a_nearly_straight_arc_needs_few_points() -> None:
    assert len(ring_of("M 0 0 A 1e7 1e7 0 0 1 100 0").points) == 2


# Which points are kept.


def test_subpaths_stay_apart() -> None:
    rings = flatten(parse_path("M 0 0 H 9 V 9 Z M 2 2 H 4 M 5 5 L 6 6 6 5 5 5"), IDENTITY)
    assert [(len(ring.points), ring.closed) for ring in rings] == [(3, True), (2, False), (3, True)]


@pytest.mark.parametrize(("gap", "closed"), [(0.0, True), (0.009, True), (0.011, False)])
def test_ends_that_meet_close_a_ring(gap: float, closed: bool) -> None:
    assert ENDS_MEET == 0.01
    ring = ring_of(f"M 0 0 L 10 0 L 10 10 L 0 {gap}")
    assert ring.closed is closed
    assert len(ring.points) == (3 if closed else 4)


def test_a_z_beside_the_start_leaves_no_double_point() -> None:
    for end in ("0 0", "0 0.0001", "0.005 0"):
        assert ring_of(f"M 0 0 L 10 0 L 10 10 L {end} Z").points == ((0, 0), (10, 0), (10, 10))


def test_repeated_points_are_dropped() -> None:
    data = "M 0 0 L 0 0 L 5 0 L 5 0 L 5.0000001 0 L 5 5 h 0 v 0 L 5 5 Z"
    assert ring_of(data).points == ((0, 0), (5, 0), (5, 5))


@pytest.mark.parametrize("data", ["M 1 1 L 1 1", "M 1 1 Z", "M 1 1 C 1 1 1 1 1 1 Z"])
def test_what_has_no_extent_gives_no_ring(data: str) -> None:
    assert flatten(parse_path(data), IDENTITY) == ()


def test_a_straight_edge_drawn_as_a_curve_stays_one_edge() -> None:
    assert ring_of("M 0 0 C 0 0 10 0 10 0 Q 10 5 10 10 Z").points == ((0, 0), (10, 0), (10, 10))


def test_a_curve_that_overshoots_its_chord_is_not_taken_for_straight() -> None:
    ring = ring_of("M 0 0 C 40 0 -30 0 10 0")
    assert max(x for x, _ in ring.points) > 10.4
    assert min(x for x, _ in ring.points) < -0.4


def test_the_tolerance_is_measured_on_the_page() -> None:
    curve = parse_path("M 0 0 C 0 10 10 10 10 0")
    small, large = flatten(curve, IDENTITY), flatten(curve, scaling(100, 100))
    # Ten times the points for a hundred times the size.
    assert len(large[0].points) == pytest.approx(10 * len(small[0].points), rel=0.2)


def test_a_mirror_turns_the_ring_round_and_nothing_else() -> None:
    curve = parse_path("M 0 0 C 0 10 10 10 10 0 Z")
    plain, mirrored = flatten(curve, IDENTITY)[0], flatten(curve, scaling(-1, 1))[0]
    assert mirrored.points == tuple((-x, y) for x, y in plain.points)


# Refusals.


def test_more_points_than_allowed_are_refused_before_they_are_made() -> None:
    for data in ("M 0 0 C 0 1e15 1e15 1e15 1e15 0", "M 0 0 A 1e15 1e15 0 1 1 1 1"):
        with pytest.raises(TooManyPoints):
            flatten(parse_path(data), IDENTITY)
    with pytest.raises(TooManyPoints):
        flatten(parse_path("M 0 0" + " L 1 1 L 0 0" * 50), IDENTITY, most_points=100)
    with pytest.raises(TooManyPoints):
        flatten(parse_path("M 0 0 L 1 1 M 0 0 L 1 1"), IDENTITY, most_points=3)
    assert flatten(parse_path("M 0 0" + " L 1 1 L 0 0" * 49), IDENTITY, most_points=100)


def test_a_coordinate_beyond_all_numbers_is_an_error() -> None:
    with pytest.raises(ValueError, match="not finite"):
        flatten(parse_path("M 0 0 L 1e300 1e300"), scaling(1e300, 1e300))
