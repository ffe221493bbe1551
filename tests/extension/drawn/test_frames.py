# SPDX-License-Identifier: GPL-2.0-or-later
"""From the page to the cloth: the drawn part lies where the engine's formula says."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.drawn.frames import (
    about,
    fold_mirror,
    mapped,
    onto_sheet,
    page_point,
    reflection,
    transform_text,
)
from extension.svg.scales import scale_of
from extension.svg.transforms import apply, determinant, parse_transform, rotation, scaling
from nesting.judge.outlines import lay
from nesting.model import Piece, Placement
from tests.helpers.strategies import points

OUTLINE = ((0.0, 0.0), (300.0, 10.0), (280.0, 500.0), (-20.0, 450.0))
angles = st.floats(-360.0, 360.0) | st.sampled_from([0.0, 45.0, 90.0, 180.0, 270.0])
shifts = st.floats(-5000.0, 5000.0)
placements = st.builds(
    Placement,
    piece=st.just("front"),
    copies=st.just((1,)),
    garment=st.just(1),
    turn=angles,
    flip=st.booleans(),
    x=shifts,
    y=shifts,
)


@given(placements, angles, st.floats(10.0, 3000.0))
def test_a_part_lies_where_the_judge_reckons_it(
    placement: Placement, grain: float, width: float
) -> None:
    # The judge works with complex numbers of its own: an independent reading of the formula.
    piece = Piece("front", OUTLINE, grain=grain)
    judged = np.array(lay({"front": piece}, [placement])[0].polygon.exterior.coords)[:-1]
    page = tuple(page_point(point) for point in OUTLINE)
    drawn = np.array(mapped(onto_sheet(placement, grain, width), page))
    expected = np.column_stack([judged[:, 0], width - judged[:, 1]])
    assert np.abs(drawn - expected).max() < 1e-6


@given(placements, angles)
def test_a_part_keeps_its_size_and_is_mirrored_only_when_flipped(
    placement: Placement, grain: float
) -> None:
    matrix = onto_sheet(placement, grain, 1400.0)
    assert determinant(matrix) == pytest.approx(-1.0 if placement.flip else 1.0)
    assert scale_of(matrix) == pytest.approx(1.0)


@given(points(), points(), points())
def test_a_reflection_keeps_its_line_and_undoes_itself(
    first: tuple[float, float], last: tuple[float, float], point: tuple[float, float]
) -> None:
    if math.dist(first, last) < 1.0:
        return
    mirror = reflection(first, last)
    assert apply(mirror, first) == pytest.approx(first, abs=1e-6)
    assert apply(mirror, last) == pytest.approx(last, abs=1e-6)
    assert apply(mirror, apply(mirror, point)) == pytest.approx(point, abs=1e-5)
    assert determinant(mirror) == pytest.approx(-1.0)


def test_a_fold_is_given_in_piece_coordinates_and_mirrors_the_page() -> None:
    assert apply(fold_mirror(((10.0, -5.0), (10.0, 95.0))), (4.0, 7.0)) == pytest.approx(
        (16.0, 7.0)
    )


def test_turning_about_a_point_leaves_it_where_it_is() -> None:
    turned = about((3.0, 4.0), rotation(90.0))
    assert apply(turned, (3.0, 4.0)) == pytest.approx((3.0, 4.0))
    assert apply(turned, (4.0, 4.0)) == pytest.approx((3.0, 5.0))


@given(placements, angles)
def test_a_written_transform_is_read_back_to_a_micrometre(
    placement: Placement, grain: float
) -> None:
    matrix = onto_sheet(placement, grain, 1400.0)
    again = parse_transform(transform_text(matrix))
    for point in OUTLINE:
        assert apply(again, point) == pytest.approx(apply(matrix, point), abs=2e-6)


def test_the_scale_of_a_map_is_that_of_lengths() -> None:
    assert scale_of(scaling(-0.25, 0.25)) == 0.25
