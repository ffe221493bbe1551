# SPDX-License-Identifier: GPL-2.0-or-later
"""Which lines of a drawing are joined, and how they are told apart."""

from __future__ import annotations

import math

import pytest

from extension.joining.open_lines import OpenLines, look_of, open_lines
from extension.language.errors import DrawingError
from extension.svg.leaves import read_leaves
from extension.svg.transforms import IDENTITY, scaling
from tests.helpers.svg_builder import SvgBuilder


def read(drawing: SvgBuilder, *selected: str) -> OpenLines:
    return open_lines(read_leaves(drawing.document()), selected)


def ids(found: OpenLines) -> list[str]:
    return [leaf.id for leaf in found.leaves]


def test_open_subpaths_are_segments_and_closed_ones_are_not() -> None:
    drawing = SvgBuilder()
    drawing.add_path("M 0 0 H 10 M 20 0 H 30 M 40 0 h 9 v 9 z", id="mixed")
    drawing.add_line((0, 50), (10, 50), id="line")
    drawing.add_rect(0, 60, 10, 10, id="rect")
    found = read(drawing)
    assert ids(found) == ["mixed", "line"]
    assert [segment.source for segment in found.segments] == [0, 0, 1]
    assert found.segments[1].points.tolist() == [[20.0, 0.0], [30.0, 0.0]]


def test_transforms_are_applied_to_lines_and_to_their_look() -> None:
    drawing = SvgBuilder()
    group = drawing.add_group(transform="translate(5 5) scale(2)")
    look = {"stroke": "#000", "stroke_width": 0.5, "stroke_dasharray": "3,1"}
    drawing.add_line((0, 0), (10, 0), group, **look)
    (segment,) = read(drawing).segments
    assert segment.points.tolist() == [[5.0, 5.0], [25.0, 5.0]]
    assert segment.look.width == pytest.approx(1.0, abs=0.01)
    assert segment.look.dashes == pytest.approx((6.0, 2.0), abs=0.01)


@pytest.mark.parametrize(
    "paint", ["#ff0000", "#f00", "red", "rgb(255,0,0)", "rgb(100%,0%,0%)", "RED"]
)
def test_one_colour_is_one_look_however_it_is_written(paint: str) -> None:
    assert look_of({"stroke": paint}, IDENTITY).colour == "#ff0000"


def test_paint_that_is_no_plain_colour_is_a_look_of_its_own() -> None:
    assert look_of({"stroke": "url(#gradient)"}, IDENTITY).colour == "url(#gradient)"
    assert look_of({}, IDENTITY).colour == "none"


def test_noise_in_the_last_digit_makes_no_second_look() -> None:
    for width in (0.125, 0.25, 0.35277777, 1.005):
        looks = {
            look_of({"stroke-width": f"{width * share:.12g}"}, scaling(1 / share, 1 / share))
            for share in (0.1, 0.3, 1.0, 2.8346456693)
        }
        assert len(looks) == 1


@pytest.mark.parametrize(
    "text", ["1e999mm", "1e308", "1e307", "1e306", "-1e308", "nan", "inf", "1e999%", ""]
)
def test_a_width_beyond_numbers_is_no_width(text: str) -> None:
    look = look_of({"stroke-width": text, "stroke-dasharray": f"{text} 2"}, scaling(9.0, 9.0))
    assert math.isfinite(look.width)
    assert all(math.isfinite(dash) for dash in look.dashes)


def test_what_is_no_part_of_an_outline_takes_no_part() -> None:
    drawing = SvgBuilder()
    left_out = drawing.add_group(lay={"leave-out": "yes"})
    ours = drawing.add_layer("Joined outlines", lay={"joined": "1"})
    hidden = drawing.add_line((0, 0), (9, 0), id="hidden")
    drawing.hide(hidden)
    drawing.add_line((0, 1), (9, 1), id="grain", lay={"role": "grainline"})
    drawing.add_line((0, 2), (9, 2), left_out, id="left-out")
    drawing.add_line((0, 3), (9, 3), ours, id="ours")
    drawing.add_line((0, 4), (9, 4), id="part", lay={"of": "front"})
    drawing.add_text("CUT 2", 0, 50)
    drawing.lock(drawing.add_line((0, 5), (9, 5), id="locked"))
    assert ids(read(drawing)) == ["locked"]


def test_dots_show_by_their_caps_and_else_are_empty() -> None:
    drawing = SvgBuilder()
    drawing.add_path("M 5 5 h 0 M 7 5 h 0 M 9 5 h 2", id="dots", stroke_linecap="round")
    drawing.add_path("M 5 9 h 0 M 9 9 h 2", id="flat")
    drawing.add_line((3, 3), (3, 3), id="none")
    drawing.add_line((4, 4), (4, 4), id="square", stroke_linecap="square")
    found = read(drawing)
    assert ids(found) == ["dots", "flat", "square"]
    dots = [one.points.tolist() for one in found.segments if len(one.points) == 1]
    assert dots == [[[5.0, 5.0]], [[7.0, 5.0]], [[4.0, 4.0]]]
    assert [leaf.id for leaf in found.empty] == ["flat", "none"]


def test_only_what_is_selected_is_joined() -> None:
    drawing = SvgBuilder()
    layer = drawing.add_layer("Front", id="front")
    drawing.add_line((0, 0), (9, 0), layer, id="one")
    drawing.add_line((0, 1), (9, 1), id="two")
    assert ids(read(drawing, "front")) == ["one"]
    assert ids(read(drawing, "two")) == ["two"]
    with pytest.raises(DrawingError, match="called “three”") as refused:
        read(drawing, "two", "three")
    assert refused.value.object_id == "three"


def test_a_path_that_shows_nothing_need_not_be_one() -> None:
    drawing = SvgBuilder()
    drawing.add_line((0, 50), (10, 50), id="line")
    squeezed = drawing.add_group(transform="matrix(1 0 1e308 1 0 0)")
    drawing.add_path("m 170 # 10 l 50 1", squeezed, id="path")
    assert ids(read(drawing)) == ["line"]
