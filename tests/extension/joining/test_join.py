# SPDX-License-Identifier: GPL-2.0-or-later
"""Outlines that were broken in every way come back: the truth is known because we broke them."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from extension.joining.join import join_segments
from extension.joining.segments import Look, Segment
from tests.helpers.broken import (
    BLACK,
    RED,
    Points,
    bodice,
    grown,
    misses,
    rectangle,
    segments,
)
from tests.helpers.chopping import (
    cut_at,
    dashed,
    edge_by_edge,
    edges,
    shortened,
    without_corners,
)

CLOSE = 0.02
"""mm: what is reached where dashes follow the curve."""
PATTERNS = {
    "dashes": (6.0, 3.0),
    "short dashes": (3.0, 2.0),
    "dots of some length": (0.5, 1.5),
    "round dots": (0.0, 2.0),
    "dash and dot": (8.0, 2.0, 1.0, 2.0),
    "dash and round dot": (8.0, 2.0, 0.0, 2.0),
    "dash and two dots": (12.0, 2.0, 1.0, 2.0, 1.0, 2.0),
    "long dashes": (20.0, 6.0),
}
every_pattern = pytest.mark.parametrize("pattern", PATTERNS.values(), ids=list(PATTERNS))


@every_pattern
@pytest.mark.parametrize("start", [0.0, 2.5, 7.0])
def test_an_outline_drawn_in_dashes_comes_back(pattern: Sequence[float], start: float) -> None:
    truth = bodice()
    joined = join_segments(segments(dashed(truth, pattern, start)))
    assert max(misses(joined, [truth])) < CLOSE
    assert not joined.unclear
    assert not joined.open


@every_pattern
def test_corners_that_fall_into_a_gap_are_put_back(pattern: Sequence[float]) -> None:
    truth = bodice()
    joined = join_segments(segments(edge_by_edge(truth, pattern)))
    assert max(misses(joined, [truth])) < CLOSE
    corners = {(round(x), round(y)) for x, y in joined.outlines[0].points}
    assert {(0, 80), (70, 0), (190, 35), (240, 220), (250, 600), (0, 600)} <= corners


def test_straight_dashes_on_a_curve_stay_near_it() -> None:
    truth = bodice()
    parts = [dash[[0, -1]] for dash in dashed(truth, (6.0, 3.0))]
    assert max(misses(join_segments(segments(parts)), [truth])) < CLOSE


def test_dashes_on_a_tight_curve_stay_true_to_it() -> None:
    angles = np.linspace(0.0, math.tau, 200, endpoint=False)
    truth = 30.0 * np.column_stack([np.cos(angles), np.sin(angles)])
    for pattern in ((6.0, 3.0), (10.0, 5.0)):
        joined = join_segments(segments(dashed(truth, pattern)))
        assert max(misses(joined, [truth])) < CLOSE


@pytest.mark.parametrize("degrees", [15.0, 25.0, 40.0])
def test_points_as_sharp_as_a_collar_s_come_back(degrees: float) -> None:
    far = 200.0 * np.array([math.cos(math.radians(degrees)), math.sin(math.radians(degrees))])
    truth = np.array([[0.0, 0.0], [200.0, 0.0], far])
    for start in (0.0, 2.0, 5.0, 7.0):
        joined = join_segments(segments(dashed(truth, (6.0, 3.0), start)))
        assert max(misses(joined, [truth])) < CLOSE


def test_rounded_coordinates_do_no_harm() -> None:
    truth = bodice()
    parts = [np.round(dash, 1) for dash in dashed(truth, (8.0, 2.0, 0.5, 2.0))]
    assert max(misses(join_segments(segments(parts)), [truth])) < 0.05


def test_an_outline_in_hundreds_of_touching_pieces_comes_back() -> None:
    truth, rng = bodice(), np.random.default_rng(1)
    joined = join_segments(segments(cut_at(truth, rng.random(300).tolist())))
    assert max(misses(joined, [truth])) < CLOSE
    assert joined.outlines[0].line.gaps == ()


def test_gaps_up_to_the_tolerance_are_closed_and_no_wider_ones() -> None:
    truth, rng = bodice(), np.random.default_rng(5)
    whole = cut_at(truth, np.cumsum(rng.uniform(0.004, 0.04, 40)).tolist())

    def with_gaps(low: float, high: float) -> list[Segment]:
        halves = rng.uniform(low / 2.0, high / 2.0, (len(whole), 2))
        return segments(shortened(part, *half) for part, half in zip(whole, halves, strict=True))

    narrow, wide = with_gaps(0.2, 0.9), with_gaps(1.1, 3.0)
    assert max(misses(join_segments(narrow), [truth])) < CLOSE
    assert not join_segments(wide).outlines
    assert max(misses(join_segments(wide, tolerance=3.0), [truth])) < CLOSE


def test_lost_corners_come_back_within_reach() -> None:
    truth = bodice()
    parts = segments(without_corners(truth, 3.0, 3.0))
    assert not join_segments(parts, tolerance=1.0).outlines
    assert max(misses(join_segments(parts, tolerance=4.0), [truth])) < CLOSE


def test_lines_that_run_past_their_corner_are_cut_there() -> None:
    truth = rectangle(0, 0, 200, 100)
    parts = [
        np.array([[-0.4, 0.0], [200.3, 0.0]]),
        np.array([[200.0, -0.5], [200.0, 100.0]]),
        np.array([[200.2, 100.0], [0.0, 100.0]]),
        np.array([[0.0, 100.6], [0.0, -0.3]]),
    ]
    joined = join_segments(segments(parts))
    assert max(misses(joined, [truth])) < 1e-3
    assert joined.outlines[0].area == pytest.approx(20000.0)


# --- several outlines ---


@pytest.mark.parametrize("step", [4.0, 6.0, 10.0])
@pytest.mark.parametrize("anew", [False, True], ids=["round the corners", "edge by edge"])
def test_three_sizes_with_a_pattern_each_are_told_apart(step: float, anew: bool) -> None:
    truths = [grown(bodice(), by) for by in (0.0, step, 2.0 * step)]
    patterns = ((6.0, 3.0), (10.0, 2.0, 1.0, 2.0), (3.0, 2.0))
    parts = [
        part
        for truth, pattern in zip(truths, patterns, strict=True)
        for part in (edge_by_edge if anew else dashed)(truth, pattern)
    ]
    joined = join_segments(segments(parts))
    assert max(misses(joined, truths)) < CLOSE


@pytest.mark.parametrize("pattern", [(6.0, 3.0), (0.0, 1.8)], ids=["dashes", "dots"])
def test_three_sizes_with_one_pattern_are_told_apart(pattern: Sequence[float]) -> None:
    truths = [grown(bodice(), by) for by in (0.0, 4.0, 8.0)]
    parts = [part for truth in truths for part in edge_by_edge(truth, pattern)]
    assert max(misses(join_segments(segments(parts)), truths)) < CLOSE


def test_sizes_that_cross_go_straight_on() -> None:
    one = bodice()
    other = 1.03 * one - np.array([6.0, 12.0])
    parts = dashed(one, (6.0, 3.0)) + dashed(other, (6.0, 3.0))
    assert max(misses(join_segments(segments(parts)), [one, other])) < CLOSE


def test_pieces_in_a_row_are_not_joined_along_their_hems() -> None:
    truths = [rectangle(0, 0, 200, 100), rectangle(205, 0, 150, 100)]
    parts = [part for truth in truths for part in edge_by_edge(truth, (6.0, 3.0))]
    assert max(misses(join_segments(segments(parts)), truths)) < CLOSE


def test_outlines_come_in_reading_order_the_outer_before_the_inner() -> None:
    places = [(0.0, 10.0), (300.0, 0.0), (0.0, 400.0)]
    truths = [rectangle(x, y, 200, 250) for x, y in places]
    truths.insert(1, rectangle(10.0, 20.0, 180, 230))
    parts = [part for truth in reversed(truths) for part in edges(truth)]
    joined = join_segments(segments(parts))
    found = [tuple(one.points.min(axis=0).tolist()) for one in joined.outlines]
    assert found == [(0.0, 10.0), (10.0, 20.0), (300.0, 0.0), (0.0, 400.0)]


# --- looks ---


def test_lines_of_one_look_are_joined_first() -> None:
    black, red = rectangle(0, 0, 200, 100), rectangle(200.2, 0, 200, 100)
    parts = segments(edges(black)) + segments(edges(red), RED)
    joined = join_segments(parts)
    assert max(misses(joined, [black, red])) < 1e-6
    assert [one.line.look for one in joined.outlines] == [BLACK, RED]


def test_a_fold_edge_in_another_style_closes_the_outline_all_the_same() -> None:
    truth = bodice()
    *rest, centre = edges(truth)[1:] + edges(truth)[:1]
    parts = [dash for edge in rest for dash in dashed(edge, (6.0, 3.0), closed=False)]
    fold = dashed(centre, (12.0, 2.0, 2.0, 2.0), closed=False)
    joined = join_segments(segments(parts) + segments(fold, RED))
    assert max(misses(joined, [truth])) < 0.05
    assert joined.outlines[0].line.look == BLACK


@pytest.mark.parametrize("look", [BLACK, RED], ids=["in the same look", "in another look"])
def test_a_fold_edge_drawn_once_serves_every_size(look: Look) -> None:
    truths = [bodice() * np.array([by, by]) for by in (1.0, 1.03, 1.06)]
    patterns = ((6.0, 3.0), (10.0, 2.0, 1.0, 2.0), (3.0, 2.0))
    truths = [truth - np.array([0.0, truth[:, 1].mean()]) for truth in truths]
    parts: list[Segment] = []
    for truth, pattern in zip(truths, patterns, strict=True):
        own = [edge for edge in edges(truth) if np.abs(edge[:, 0]).max() > 1.0]
        parts += segments([d for edge in own for d in dashed(edge, pattern, closed=False)])
    longest = [edge for edge in edges(truths[-1]) if np.abs(edge[:, 0]).max() < 1.0]
    joined = join_segments(parts + segments(longest, look))
    assert max(misses(joined, truths)) < CLOSE
    assert not joined.open


# --- what is not the outline ---


@pytest.mark.parametrize("inner_dashed", [False, True], ids=["solid", "dashed alike"])
@pytest.mark.parametrize("anew", [False, True], ids=["round the corners", "edge by edge"])
def test_lines_within_a_piece_lead_nowhere(inner_dashed: bool, anew: bool) -> None:
    truth = bodice()
    inner = [
        np.array(points, dtype=float)
        for points in (
            [[60, 100], [60, 500]],  # a grainline
            [[100, 420], [110, 300], [120, 420]],  # a dart in the middle
            [[0, 300], [240, 300]],  # a line from edge to edge
            [[150, 600], [150, 590]],  # a notch
            [[225, 420], [150, 400]],  # the leg of a dart at a corner
        )
    ]
    if inner_dashed:
        inner = [part for one in inner for part in dashed(one, (6.0, 3.0), closed=False)]
    outline = (edge_by_edge if anew else dashed)(truth, (6.0, 3.0))
    joined = join_segments(segments([*outline, *inner]))
    assert max(misses(joined, [truth])) < CLOSE


def test_a_dart_on_an_edge_is_no_outline_and_no_way_round() -> None:
    truth = bodice()
    darts = [
        np.array([[100, 600], [110, 480], [120, 600]], dtype=float),
        np.array([[0, 200], [60, 220], [0, 240]], dtype=float),
    ]
    for outline in (edges(truth), dashed(truth, (6.0, 3.0))):
        joined = join_segments(segments([*outline, *darts]))
        assert max(misses(joined, [truth])) < CLOSE


def test_small_rings_are_no_pieces() -> None:
    joined = join_segments(segments(edges(rectangle(0, 0, 8, 8))))
    assert not joined.outlines
    assert [line.fault for line in joined.open] == ["too small"]


def test_stray_strokes_are_left_as_they_are() -> None:
    rng = np.random.default_rng(3)
    for size in (250.0, 1000.0):
        starts, angles = rng.random((2000, 2)) * size, rng.random(2000) * math.tau
        ends = starts + (1.0 + 20.0 * rng.random((2000, 1))) * np.column_stack(
            [np.cos(angles), np.sin(angles)]
        )
        strays = [np.array([start, end]) for start, end in zip(starts, ends, strict=True)]
        joined = join_segments(segments(strays))
        assert not joined.outlines
        left = {number for line in joined.open for number in line.segments}
        assert len(left) + joined.duplicates >= 2000


def test_no_segments_give_nothing() -> None:
    joined = join_segments([])
    assert (joined.outlines, joined.unclear, joined.open, joined.duplicates) == ((), (), (), 0)


# --- drawn twice, touching, unclear ---


def test_an_outline_drawn_twice_is_one() -> None:
    truth = bodice()
    for second in (dashed(truth, (6.0, 3.0)), dashed(truth, (6.0, 3.0), start=4.0)):
        joined = join_segments(segments(dashed(truth, (6.0, 3.0)) + second))
        assert max(misses(joined, [truth])) < CLOSE
        assert joined.duplicates >= len(second) - 2


def test_overlapping_lines_are_one() -> None:
    truth = bodice()
    parts = cut_at(truth, np.linspace(0.0, 0.98, 50).tolist())
    parts += cut_at(truth, np.linspace(0.003, 0.99, 37).tolist())[:20]
    joined = join_segments(segments(parts))
    assert max(misses(joined, [truth])) < CLOSE
    assert joined.duplicates >= 20


@pytest.mark.parametrize("broken", [edges, lambda one: edge_by_edge(one, (6.0, 3.0))])
def test_outlines_that_touch_at_a_corner_are_two_and_the_place_is_told(
    broken: object,
) -> None:
    truths = [rectangle(0, 0, 100, 100), rectangle(100, 100, 100, 100)]
    parts = [part for truth in truths for part in broken(truth)]  # type: ignore[operator]
    joined = join_segments(segments(parts))
    assert max(misses(joined, truths)) < CLOSE
    (place,) = joined.unclear
    assert place.decided
    assert math.dist(place.place, (100.0, 100.0)) < 3.0


@pytest.mark.parametrize(
    "second", [rectangle(100, 0, 100, 100), rectangle(100, 30, 100, 40)], ids=["all", "a part"]
)
def test_outlines_that_share_an_edge_are_two_and_the_edge_is_told(second: Points) -> None:
    truths = [rectangle(0, 0, 100, 100), second]
    joined = join_segments(segments([part for truth in truths for part in edges(truth)]))
    assert max(misses(joined, truths)) < 1e-6
    (place,) = joined.unclear
    assert place.decided
    assert place.place[0] == pytest.approx(100.0)


def test_an_unclear_join_names_its_segments_and_its_place() -> None:
    # Two upper halves lie over one lower half, at the same distance from it on either side.
    lower = np.array([[0.0, 0.0], [0.0, 100.0], [200.0, 100.0], [200.0, 0.0]])
    left = np.array([[-0.5, -0.4], [-0.5, -80.0], [200.5, -80.0], [200.5, -0.4]])
    right = np.array([[0.5, -0.4], [0.5, -60.0], [199.5, -60.0], [199.5, -0.4]])
    joined = join_segments(segments([lower, left, right]))
    undecided = [one for one in joined.unclear if not one.decided]
    assert not joined.outlines
    assert {0, 1, 2} == {number for one in undecided for number in one.segments}
    assert all(abs(one.place[1]) < 1.0 for one in undecided)
