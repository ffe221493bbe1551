# SPDX-License-Identifier: GPL-2.0-or-later
"""A viewBox is fitted into its viewport as the standard says."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.svg.transforms import apply
from extension.svg.viewports import ViewBox, fit_view_box, parse_view_box

sizes = st.floats(0.5, 500)
boxes = st.tuples(st.floats(-100, 100), st.floats(-100, 100), sizes, sizes)
aligns = st.sampled_from(
    [f"x{x}Y{y}" for x in ("Min", "Mid", "Max") for y in ("Min", "Mid", "Max")]
)


def corners(box: ViewBox, width: float, height: float, preserve: str | None) -> list[float]:
    matrix = fit_view_box(box, width, height, preserve)
    low = apply(matrix, (box[0], box[1]))
    high = apply(matrix, (box[0] + box[2], box[1] + box[3]))
    return [*low, *high]


@given(boxes, sizes, sizes)
def test_none_fills_the_viewport(box: ViewBox, width: float, height: float) -> None:
    assert corners(box, width, height, "none") == pytest.approx([0, 0, width, height], abs=1e-6)


@given(boxes, sizes, sizes, aligns)
def test_meet_fits_inside_and_touches(
    box: ViewBox, width: float, height: float, align: str
) -> None:
    left, top, right, bottom = corners(box, width, height, f"{align} meet")
    assert left >= -1e-6
    assert top >= -1e-6
    assert right <= width + 1e-6
    assert bottom <= height + 1e-6
    assert min(width - (right - left), height - (bottom - top)) == pytest.approx(0, abs=1e-6)


@given(boxes, sizes, sizes, aligns)
def test_slice_covers_the_viewport(box: ViewBox, width: float, height: float, align: str) -> None:
    left, top, right, bottom = corners(box, width, height, f"{align} slice")
    assert left <= 1e-6
    assert top <= 1e-6
    assert right >= width - 1e-6
    assert bottom >= height - 1e-6


@pytest.mark.parametrize(
    ("preserve", "expected"),
    # A viewBox of 200 x 100 in a square of 100: half as large, and 50 is left below.
    [
        (None, [0, 25, 100, 75]),
        ("xMidYMid meet", [0, 25, 100, 75]),
        ("xMinYMin", [0, 0, 100, 50]),
        ("xMaxYMax meet", [0, 50, 100, 100]),
        ("defer xMidYMax meet", [0, 50, 100, 100]),
        ("xMinYMid slice", [0, 0, 200, 100]),
        ("xMidYMid slice", [-50, 0, 150, 100]),
        ("xMaxYMin slice", [-100, 0, 100, 100]),
        ("none", [0, 0, 100, 100]),
        ("nonsense", [0, 25, 100, 75]),
    ],
)
def test_alignment(preserve: str | None, expected: list[float]) -> None:
    assert corners((0, 0, 200, 100), 100, 100, preserve) == pytest.approx(expected)


def test_a_view_box_is_four_numbers_however_they_are_set_apart() -> None:
    assert parse_view_box("0 0 200 100") == (0, 0, 200, 100)
    assert parse_view_box(" -1.5,2 , 3e1,4 ") == (-1.5, 2, 30, 4)
    assert parse_view_box(None) is None
    assert parse_view_box("") is None


@pytest.mark.parametrize(
    "text", ["0 0 0 100", "0 0 100 -1", "0 0 100", "a b c d", "0 0 inf 1", "nan 0 1 1", "1 2 3 4 5"]
)
def test_a_view_box_without_area_is_an_error(text: str) -> None:
    with pytest.raises(ValueError, match=r".*"):
        parse_view_box(text)
