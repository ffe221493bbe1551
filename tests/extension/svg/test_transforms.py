# SPDX-License-Identifier: GPL-2.0-or-later
"""Transforms of the SVG attribute are the maps the standard defines, at full precision."""

from __future__ import annotations

import math

import inkex
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from extension.svg.model import Matrix
from extension.svg.transforms import (
    IDENTITY,
    apply,
    apply_vector,
    determinant,
    inverse,
    multiply,
    parse_transform,
    rotation,
    scaling,
    translation,
)

numbers = st.floats(-1000, 1000).map(lambda value: round(value, 6))
factors = st.sampled_from([-3.0, -1.0, -0.1, 0.2, 1.0, 2.5, 40.0])
angles = st.floats(-80, 80).map(lambda value: round(value, 4))
steps = st.one_of(
    st.builds("translate({} {})".format, numbers, numbers),
    st.builds("translate({})".format, numbers),
    st.builds("scale({},{})".format, factors, factors),
    st.builds("scale({})".format, factors),
    st.builds("rotate({})".format, angles),
    st.builds("rotate({} {} {})".format, angles, numbers, numbers),
    st.builds("skewX({})".format, angles),
    st.builds("skewY({})".format, angles),
    st.builds("matrix({} .5 -.25 {} {},{})".format, factors, factors, numbers, numbers),
)
transforms = st.lists(steps, min_size=1, max_size=4).map(" ".join)


def as_array(matrix: Matrix) -> np.ndarray:
    return np.array([*matrix, (0.0, 0.0, 1.0)])


def assert_close(one: Matrix, other: Matrix, tolerance: float = 1e-9) -> None:
    scale = 1.0 + float(np.abs(as_array(other)).max())
    assert np.allclose(as_array(one) / scale, as_array(other) / scale, rtol=0, atol=tolerance)


@given(transforms)
def test_the_attribute_means_what_an_independent_reader_makes_of_it(text: str) -> None:
    # inkex, the editor's own library.
    assert_close(parse_transform(text), inkex.Transform(text).matrix)


@given(transforms, transforms)
def test_a_list_does_its_last_step_first(first: str, second: str) -> None:
    together = parse_transform(f"{first} {second}")
    assert_close(together, multiply(parse_transform(first), parse_transform(second)))


@given(transforms)
def test_the_inverse_undoes_it(text: str) -> None:
    matrix = parse_transform(text)
    assume(abs(determinant(matrix)) > 1e-6)
    assert_close(multiply(inverse(matrix), matrix), IDENTITY, 1e-6)


@given(transforms, numbers, numbers)
def test_products_and_images_agree_with_linear_algebra(text: str, x: float, y: float) -> None:
    matrix = parse_transform(text)
    expected = as_array(matrix) @ np.array([x, y, 1.0])
    assert apply(matrix, (x, y)) == pytest.approx((expected[0], expected[1]), abs=1e-6)
    moved, origin = apply(matrix, (x, y)), apply(matrix, (0.0, 0.0))
    vector = moved[0] - origin[0], moved[1] - origin[1]
    assert apply_vector(matrix, (x, y)) == pytest.approx(vector, rel=1e-6, abs=1e-6)


def test_quarter_turns_are_exact() -> None:
    assert rotation(90) == ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
    assert rotation(-180) == ((-1.0, 0.0, 0.0), (0.0, -1.0, 0.0))
    # Clockwise as seen, y down: the x axis turns towards positive y (SVG 1.1, section 7.6).
    assert apply(rotation(90), (1.0, 0.0)) == (0.0, 1.0)


def test_a_rotation_with_a_centre_leaves_the_centre() -> None:
    assert apply(parse_transform("rotate(33, 10, 20)"), (10, 20)) == pytest.approx((10, 20))


def test_areas_grow_by_the_determinant_and_mirrors_make_it_negative() -> None:
    assert determinant(parse_transform("scale(2 3)")) == 6
    assert determinant(parse_transform("scale(-1 1)")) == -1
    assert determinant(parse_transform("skewX(30) rotate(20)")) == pytest.approx(1)


def test_numbers_keep_all_their_digits() -> None:
    assert parse_transform("translate(12345.678901234,-.1e-3)") == translation(
        12345.678901234, -0.0001
    )
    assert parse_transform("matrix(1.5-2 3e1,4 5 6)") == ((1.5, 30, 5), (-2, 4, 6))


@pytest.mark.parametrize("text", [None, "", "  ", "none"])
def test_nothing_is_the_identity(text: str | None) -> None:
    assert parse_transform(text) == IDENTITY


@pytest.mark.parametrize(
    "text",
    [
        "rotate",
        "rotate(abc)",
        "rotate(1 2)",
        "scale()",
        "matrix(1 2 3)",
        "translate(1,,2)",
        "spin(3)",
        "scale(2) nonsense",
        "scale(2",
        "translate(1e999)",
        "scale(1.2.3)",
        "garbage",
        "translate(10px, 0)",
        "rotate(45deg)",
        "scale(1e200) scale(1e200)",
    ],
)
def test_what_cannot_be_read_is_an_error(text: str) -> None:
    with pytest.raises(ValueError, match=r".*"):
        parse_transform(text)


def test_a_flat_map_cannot_be_undone() -> None:
    with pytest.raises(ValueError, match="undone"):
        inverse(scaling(1.0, 0.0))


def test_skewing_moves_by_the_tangent() -> None:
    x, y = apply(parse_transform("skewX(45)"), (0.0, 10.0))
    assert (x, y) == pytest.approx((10 * math.tan(math.pi / 4), 10))
