# SPDX-License-Identifier: GPL-2.0-or-later
"""Which closed outlines lie in which, and what that makes of them."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from shapely import affinity
from shapely.geometry import Point, Polygon

from extension.pieces.containment import (
    Standing,
    containers,
    outline_fault,
    runs_parallel,
    standings,
)
from extension.pieces.outlines import ClosedShape, closed_shape
from nesting.model import Outline
from tests.helpers.drawn import box, leaf, shape

FRONT: Outline = ((0, 0), (240, 0), (250, 180), (230, 260), (260, 600), (0, 600))
"""Half a front: a fold edge at the left, a shaped side seam at the right."""


def stand(
    *shapes: ClosedShape,
    claimed: Sequence[int] = (),
    sizes: Sequence[str | None] | None = None,
) -> list[Standing]:
    marked = [index in claimed for index in range(len(shapes))]
    return standings(shapes, containers(shapes), marked, sizes or [None] * len(shapes))


def kinds(*shapes: ClosedShape, **rest: object) -> list[str]:
    return [standing.kind for standing in stand(*shapes, **rest)]  # type: ignore[arg-type]


def buffered(outline: Outline, by: float) -> Outline:
    polygon = Polygon(outline).buffer(by, join_style="mitre")
    return tuple(polygon.exterior.coords[:-1])


def test_containers_come_smallest_first() -> None:
    shapes = [shape(*box(0, 0, 900, 900)), shape(*box(300, 300, 9, 9)), shape(*box(9, 9, 500, 500))]
    assert containers(shapes) == [[], [2, 0], [0]]


def test_an_outline_that_shares_edges_with_another_lies_in_it() -> None:
    assert containers([shape(*box(0, 0, 100, 100)), shape(*box(0, 0, 100, 80))]) == [[], [0]]


def test_of_two_equal_outlines_the_later_lies_in_the_earlier() -> None:
    assert containers([shape(*FRONT), shape(*FRONT)]) == [[], [0]]


def test_outlines_that_overlap_lie_in_neither() -> None:
    assert containers([shape(*box(0, 0, 100, 100)), shape(*box(50, 0, 100, 90))]) == [[], []]


def test_pieces_side_by_side_are_pieces() -> None:
    assert kinds(shape(*box(0, 0, 90, 90)), shape(*box(100, 0, 90, 90))) == ["piece", "piece"]


def test_a_drill_hole_is_a_mark_of_its_piece() -> None:
    hole = shape(*Point(100, 100).buffer(4).exterior.coords[:-1])
    assert stand(shape(*FRONT), hole) == [Standing("piece"), Standing("mark", 0)]


@pytest.mark.parametrize(("share", "expected"), [(0.049, "mark"), (0.051, "unexplained")])
def test_small_means_under_a_twentieth_of_the_area(share: float, expected: str) -> None:
    side = math.sqrt(share) * 300
    assert kinds(shape(*box(0, 0, 300, 300)), shape(*box(60, 10, side, side)))[1] == expected


@pytest.mark.parametrize("distance", [6, 10, 15.875, 25])
def test_a_stitching_line_is_a_mark_and_the_outer_one_is_cut(distance: float) -> None:
    outline = shape(*buffered(FRONT, distance))
    assert stand(shape(*FRONT), outline) == [Standing("mark", 1), Standing("piece")]


def test_a_stitching_line_may_share_the_fold_edge() -> None:
    whole = Polygon([(-x, y) for x, y in FRONT][::-1]).union(Polygon(FRONT))
    cut = whole.buffer(10, join_style="mitre").intersection(Polygon(box(0, -50, 500, 900)))
    assert runs_parallel(cut, Polygon(FRONT))


def test_a_drill_mark_inside_a_stitching_line_is_a_mark_of_the_piece() -> None:
    shapes = shape(*buffered(FRONT, 10)), shape(*FRONT), shape(*box(100, 100, 5, 5))
    assert stand(*shapes) == [Standing("piece"), Standing("mark", 0), Standing("mark", 0)]


def test_a_graded_nest_is_unexplained() -> None:
    """Two sizes of a half front: common fold and neck, the rest graded by what it has to gain."""
    larger: Outline = ((0, 0), (245, 0), (262, 184), (240, 268), (274, 616), (0, 616))
    assert stand(shape(*FRONT), shape(*larger)) == [Standing("unexplained", 1), Standing("piece")]


def test_a_nest_of_straight_strips_is_unexplained() -> None:
    """Waist, fold and hem in common: the side is parallel, but most edges lie on each other."""
    assert kinds(shape(*box(0, 0, 300, 600)), shape(*box(0, 0, 290, 600)))[1] == "unexplained"


def test_two_parallels_in_one_outline_are_sizes_not_stitching_lines() -> None:
    nest = [shape(*buffered(FRONT, by)) for by in (0, 8, 16)]
    assert kinds(*nest) == ["unexplained", "unexplained", "piece"]


def test_a_pocket_drawn_in_a_front_is_unexplained() -> None:
    assert stand(shape(*FRONT), shape(*box(60, 300, 130, 150)))[1] == Standing("unexplained", 0)


def test_an_outline_with_details_of_its_own_is_a_piece_wherever_it_lies() -> None:
    pocket = shape(*box(60, 300, 130, 150))
    assert kinds(shape(*FRONT), pocket, claimed=[1]) == ["piece", "piece"]


def test_an_outline_of_another_size_is_a_piece() -> None:
    larger = shape(*buffered(FRONT, 10))
    assert kinds(larger, shape(*FRONT), sizes=["40", "38"]) == ["piece", "piece"]
    assert kinds(larger, shape(*FRONT), sizes=["40", "40"]) == ["piece", "mark"]


def test_the_same_outline_drawn_twice_is_unexplained() -> None:
    assert kinds(shape(*FRONT), shape(*FRONT)) == ["piece", "unexplained"]


@pytest.mark.parametrize(
    ("gap", "expected"),
    [
        pytest.param(lambda y: 15, True, id="constant"),
        pytest.param(lambda y: 15 + y / 40, False, id="wedge"),
    ],
)
def test_parallel_means_a_near_constant_distance(gap, expected) -> None:  # type: ignore[no-untyped-def]
    inner = Polygon([(gap(0), 15), (300 - gap(0), 15), (300 - gap(900), 885), (gap(900), 885)])
    assert runs_parallel(Polygon(box(0, 0, 300, 900)), inner) is expected


def test_a_ring_skirt_and_its_waist_are_parallel() -> None:
    """Waist 28 in, length 24 in: radii 4.456 and 28.456 in (published circle-skirt example)."""
    skirt, waist = (Point(0, 0).buffer(radius * 25.4) for radius in (28.456, 4.456))
    assert runs_parallel(skirt, waist)
    assert not runs_parallel(skirt, affinity.translate(waist, 90, 0))


class TestFrames:
    pieces = (shape(*box(100, 100, 240, 600)), shape(*box(500, 100, 260, 600)))
    frame = shape(*box(0, 0, 900, 800))

    def test_a_rectangle_round_two_pieces_is_a_frame(self) -> None:
        assert kinds(self.frame, *self.pieces) == ["frame", "piece", "piece"]

    def test_a_frame_of_two_lines_is_two_frames(self) -> None:
        outer = shape(*box(-10, -10, 920, 820))
        assert kinds(outer, self.frame, *self.pieces) == ["frame", "frame", "piece", "piece"]

    def test_marks_of_pieces_in_a_frame_belong_to_the_pieces(self) -> None:
        hole = shape(*box(150, 150, 6, 6))
        assert stand(self.frame, *self.pieces, hole)[3] == Standing("mark", 1)

    def test_a_frame_round_a_graded_nest_still_shows_the_nest(self) -> None:
        inner = shape(*box(100, 100, 230, 590))
        assert kinds(self.frame, *self.pieces, inner)[3] == "unexplained"

    def test_a_nest_in_a_rectangle_is_no_framed_pair(self) -> None:
        nest = shape(*box(100, 100, 300, 600)), shape(*box(100, 100, 280, 580))
        assert kinds(self.frame, *nest) == ["piece", "unexplained", "unexplained"]

    def test_a_large_sheet_round_small_pieces_is_a_frame(self) -> None:
        sheet = shape(*box(0, 0, 1189, 841))
        small = shape(*box(100, 100, 130, 150)), shape(*box(300, 100, 130, 150))
        assert kinds(sheet, *small) == ["frame", "piece", "piece"]

    def test_what_is_round_pieces_of_sizes_is_a_frame(self) -> None:
        """On a small page all sizes but the smallest were taken for marks of the page's frame."""
        page = shape(*box(0, 0, 270, 300))
        nests = [(box(20, 60, 38, 90), "36"), (box(18, 58, 42, 94), "38")]
        nests += [(box(146, 60, 37, 91), "36"), (box(144, 58, 41, 95), "38")]
        shapes = [shape(*points) for points, _ in nests]
        sizes = [None, *(size for _, size in nests)]
        assert kinds(page, *shapes, sizes=sizes) == ["frame", *["piece"] * 4]

    def test_small_marks_of_sizes_make_no_frame_of_a_piece(self) -> None:
        marks = [shape(*box(x, 60, 12, 20)) for x in (40, 90)]
        found = kinds(shape(*box(0, 0, 270, 300)), *marks, sizes=[None, "36", "38"])
        assert found == ["piece", "mark", "mark"]

    def test_a_cuff_with_two_buttons_is_no_frame(self) -> None:
        buttons = shape(*box(20, 30, 12, 12)), shape(*box(260, 30, 12, 12))
        assert kinds(shape(*box(0, 0, 300, 80)), *buttons) == ["piece", "mark", "mark"]

    def test_an_outline_with_details_is_never_a_frame(self) -> None:
        found = kinds(self.frame, *self.pieces, claimed=[0])
        assert found == ["piece", "unexplained", "unexplained"]

    def test_whatever_encloses_two_pieces_with_details_is_a_frame(self) -> None:
        circle = shape(*Point(450, 400).buffer(700).exterior.coords[:-1])
        assert kinds(circle, *self.pieces, claimed=[1, 2]) == ["frame", "piece", "piece"]
        assert kinds(circle, *self.pieces) == ["piece", "unexplained", "unexplained"]


def test_one_path_may_hold_holes_but_no_nest() -> None:
    def holds_nest(*inner: Outline) -> bool:
        found = closed_shape(leaf(box(0, 0, 300, 400), *inner))
        assert found is not None
        return "one outline inside another" in str(outline_fault(found))

    assert not holds_nest(box(50, 50, 9, 9), box(90, 50, 9, 9))
    assert not holds_nest(box(10, 10, 280, 380))
    assert holds_nest(box(10, 10, 280, 380), box(20, 20, 260, 360))
    assert holds_nest(box(10, 10, 200, 300))
