# SPDX-License-Identifier: GPL-2.0-or-later
"""Seam allowance on every edge but the fold."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from extension.pieces.allowance import MITRE_LIMIT, Fold, with_allowance
from nesting.geometry.shapes import unfold
from nesting.model import Outline
from tests.helpers.drawn import box


def grown(outline: Outline, by: float, fold: Fold | None = None):  # type: ignore[no-untyped-def]
    return with_allowance(outline, fold, by, "“Front”")


def test_nothing_to_add_changes_nothing() -> None:
    fold = ((0.0, 0.0), (0.0, 50.0))
    assert grown(box(0, 0, 30, 50), 0, fold) == (box(0, 0, 30, 50), fold, ())


@given(st.floats(1, 60), st.floats(20, 900), st.floats(20, 900))
def test_a_rectangle_grows_on_every_side(by: float, width: float, height: float) -> None:
    cutting, fold, notes = grown(box(0, 0, width, height), by)
    assert Polygon(cutting).bounds == pytest.approx((-by, -by, width + by, height + by))
    assert Polygon(cutting).area == pytest.approx((width + 2 * by) * (height + 2 * by))
    assert (fold, notes) == (None, ())


@pytest.mark.parametrize("by", [6.0, 9.525, 15.0, 15.875])
def test_the_fold_edge_gets_none_and_its_ends_move_along_it(by: float) -> None:
    """Allowances of 6 mm, 3/8 in, 15 mm, 5/8 in: usual ones of pattern sheets."""
    cutting, fold, _ = grown(box(0, 0, 30, 50), by, ((0, 0), (0, 50)))
    assert fold is not None
    assert sorted(fold) == [(0, -by), (0, 50 + by)]
    assert set(fold) < set(cutting)
    assert Polygon(cutting).bounds == pytest.approx((0, -by, 30 + by, 50 + by))
    assert len(cutting) == 4


def neck(tip: float) -> Outline:
    """Return half a piece whose curve meets the fold, at x = 0, at a slant."""
    return (0.0, 0.0), (200.0, 0.0), (200.0, 300.0), (60.0, 300.0), (0.0, tip)


@given(st.floats(150, 450), st.floats(2, 30), st.integers(0, 359))
def test_the_whole_of_a_grown_half_is_the_grown_whole(tip: float, by: float, turn: int) -> None:
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def at(x: float, y: float) -> tuple[float, float]:
        return 70 + cos * x - sin * y, 40 + sin * x + cos * y

    outline = tuple(at(*point) for point in neck(tip))
    fold = (outline[-1], outline[0])
    cutting, ends, _ = grown(outline, by, fold)
    whole = Polygon(unfold(outline, fold)).buffer(by, join_style="mitre", mitre_limit=MITRE_LIMIT)
    again = Polygon(unfold(cutting, ends))
    assert again.is_valid
    assert again.symmetric_difference(whole).area == pytest.approx(0, abs=0.05)


def test_every_point_of_a_seam_keeps_its_distance() -> None:
    outline = neck(240.0)
    cutting, _, _ = grown(outline, 15.0)
    assert Polygon(cutting).exterior.distance(Polygon(outline)) == pytest.approx(15.0)


def test_a_sharp_corner_is_cut_off_square() -> None:
    needle = ((0.0, 0.0), (300.0, -10.0), (300.0, 10.0))
    cutting, _, _ = grown(needle, 10.0)
    reach = -min(x for x, _ in cutting)
    assert 10.0 <= reach <= MITRE_LIMIT * 10.0 + 1e-6


def test_an_opening_that_closes_is_filled_and_told() -> None:
    """A collar ring with a slit narrower than twice the allowance."""
    ring = (
        *((0, 0), (300, 0), (300, 300), (0, 300), (0, 155), (60, 155), (60, 240), (240, 240)),
        *((240, 60), (60, 60), (60, 145), (0, 145)),
    )
    cutting, _, notes = grown(ring, 15.0)
    assert Polygon(cutting).area == pytest.approx(330**2)
    assert "closes an opening in the outline of “Front”" in notes[0]


def test_an_opening_at_the_fold_that_closes_is_filled_and_told() -> None:
    """The far arm ends 5 mm from the fold: with allowance it meets its mirror image."""
    hook = ((0, 0), (300, 0), (300, 400), (5, 400), (5, 350), (200, 350), (200, 100), (0, 100))
    cutting, fold, notes = grown(hook, 15.0, ((0, 0), (0, 100)))
    assert Polygon(cutting).bounds == pytest.approx((0, -15, 315, 415))
    assert fold is not None
    assert sorted(fold) == [(0, -15), (0, 415)]
    assert "closes an opening" in notes[0]


@pytest.mark.parametrize("mirrored", [False, True], ids=["as drawn", "mirrored"])
@pytest.mark.parametrize("backward", [False, True], ids=["one way round", "the other way round"])
def test_a_kink_nobody_sees_makes_no_corner(backward: bool, mirrored: bool) -> None:
    """Two lines that were joined, 0.07 mm apart: the cutting line runs past as at a plain curve."""
    near, kink, on = (
        [(7.61, 3.72), (5.74, 2.09)],
        [(3.44, 0.35), (3.46, 0.29)],
        [(1.43, -0.96), (-0.57, -2.09)],
    )
    rest = [(-60.0, -30.0), (-60.0, 90.0), (60.0, 40.0)]
    joined, plain = [*near, *kink, *on, *rest], [*near, *on, *rest]

    def drawn(points: list[tuple[float, float]]) -> Outline:
        seen = [(-x if mirrored else x, y) for x, y in points]
        return tuple(seen[::-1] if backward else seen)

    kinked, straight = (Polygon(grown(drawn(points), 15.0)[0]) for points in (joined, plain))
    assert kinked.hausdorff_distance(straight) <= 0.25
