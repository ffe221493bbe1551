# SPDX-License-Identifier: GPL-2.0-or-later
"""Grainlines: drawn lines and typed directions."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.language.errors import DrawingError
from extension.pieces.attributes import Typed
from extension.pieces.fingerprint import fingerprint
from extension.pieces.grain import (
    check_as_drawn,
    direction,
    drawn_line,
    off_axis,
    shaft,
    snapped,
    typed_direction,
)
from extension.svg.model import Ring
from extension.svg.transforms import rotation, scaling
from nesting.model import Point
from tests.helpers.drawn import box, leaf


def arrow(angle: float, length: float = 200.0, heads: float = 14.0) -> list[Ring]:
    """Return an arrow as one path: a shaft and an open head at its end; degrees, y down."""

    def at(along: float, beside: float) -> Point:
        cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        return 400 + cos * along - sin * beside, 300 + sin * along + cos * beside

    head = [at(length - heads, heads / 2), at(length, 0), at(length - heads, -heads / 2)]
    return [Ring((at(0, 0), at(length, 0)), False), Ring(tuple(head), False)]


def seen(run: object) -> float:
    return direction(run.start, run.end)  # type: ignore[attr-defined]


def test_directions_are_seen_with_y_up() -> None:
    assert direction((0, 0), (0, -10)) == 90
    assert direction((0, 0), (10, 0)) == 0
    assert direction((0, 0), (-10, 10)) == pytest.approx(225)


def test_a_quarter_turn_is_exact_but_for_rounding() -> None:
    assert snapped(90 + 1e-9) == 90
    assert snapped(-1e-12) == 0
    assert snapped(360 - 1e-12) == 0
    assert snapped(90.001) == 90.001


@given(st.floats(-720, 720), st.floats(-720, 720))
def test_an_angle_between_lines_is_at_most_a_right_one(one: float, other: float) -> None:
    assert 0 <= off_axis(one, other) <= 90
    assert off_axis(one, other + 180) == pytest.approx(off_axis(one, other), abs=1e-9)


@given(st.integers(0, 359), st.sampled_from([40.0, 120.0, 600.0]))
def test_an_arrow_points_where_its_shaft_does(angle: int, length: float) -> None:
    run = shaft(arrow(angle, length))
    assert run is not None
    assert seen(run) == pytest.approx(-angle % 360, abs=1e-6)


def test_a_head_drawn_in_the_same_stroke_does_not_count() -> None:
    stroke = Ring(((0, 200), (0, 0), (-7, 14), (0, 0), (7, 14)), False)
    run = shaft([stroke])
    assert run is not None
    assert (run.start, run.end) == ((0, 200), (0, 0))


def test_an_arrow_drawn_as_an_outline_has_the_direction_of_its_long_side() -> None:
    outline = Ring(((-2, 0), (-2, 180), (-9, 180), (0, 200), (9, 180), (2, 180), (2, 0)), True)
    run = shaft([outline])
    assert run is not None
    assert off_axis(seen(run), 90) == 0


def test_a_line_drawn_in_dashes_is_one_line() -> None:
    """Rounded to a hundredth each dash is off by some tenths of a degree; the whole is not."""
    slope = math.radians(7)
    dashes = [
        Ring(
            tuple(
                (round(s * math.cos(slope), 2), round(s * math.sin(slope), 2))
                for s in (start, start + 3)
            ),
            False,
        )
        for start in range(0, 300, 5)
    ]
    run = shaft(dashes)
    assert run is not None
    assert run.length == pytest.approx(298, abs=0.02)
    assert seen(run) == pytest.approx(353, abs=0.005)


def test_a_curve_is_no_grainline() -> None:
    curve = Ring(
        tuple((300 * math.cos(n / 100), 300 * math.sin(n / 100)) for n in range(100)), False
    )
    assert shaft([curve]) is None
    bent = leaf(curve.points, closed=False, id="g7")
    with pytest.raises(
        DrawingError, match=r"The grainline of “Front”, the open line .* \(g7\), is not straight"
    ):
        drawn_line([bent], "grainline", "“Front”", "front")


@pytest.mark.parametrize("points", [[], [(1, 1)], [(1, 1), (1, 1)]])
def test_a_line_without_length_is_no_grainline(points: list[Point]) -> None:
    assert shaft([Ring(tuple(points), False)]) is None


@pytest.mark.parametrize(
    ("typed", "matrix", "expected"),
    [
        (90, rotation(0), 90),
        (90, rotation(30), 60),  # the drawing turned clockwise by 30 degrees, as SVG counts
        (0, rotation(-90), 90),
        (45, scaling(-1, 1), 135),
        (90, scaling(1, -1), 270),
        (45, scaling(2, 1), math.degrees(math.atan2(1, 2))),
    ],
)
def test_a_typed_direction_turns_with_the_outline(typed, matrix, expected) -> None:  # type: ignore[no-untyped-def]
    vector = typed_direction(leaf(box(0, 0, 9, 9), matrix=matrix), Typed(typed))
    assert direction((0, 0), vector) == pytest.approx(expected)


def test_a_typed_direction_on_a_changed_outline_is_refused() -> None:
    before, after = leaf(box(0, 0, 200, 300)), leaf(box(0, 0, 300, 200))
    stored = fingerprint(before)
    check_as_drawn(before, stored, "grain", "“Front”", "front")
    check_as_drawn(after, None, "grain", "“Front”", "front")
    with pytest.raises(DrawingError, match=r"the grain may have turned: mark it as a line\."):
        check_as_drawn(after, stored, "grain", "“Front”", "front")
