# SPDX-License-Identifier: GPL-2.0-or-later
"""The independent reader of layouts sees what is wrong with a layout."""

from __future__ import annotations

import pytest

from tests.helpers.laid import Laid, read_layouts
from tests.helpers.svg_builder import SvgBuilder


def layout(*corners: tuple[float, float], grain_to: tuple[float, float] = (9, 5)) -> Laid:
    """Return a layout of squares, 10 mm each, as read back from a drawing in half millimetres."""
    drawing = SvgBuilder("100mm", "100mm", (0, 0, 200, 200))
    layer = drawing.add_layer("Layout", lay={"layout": "1", "settings": "{}"})
    for copy, (x, y) in enumerate(corners, start=1):
        part = {"of": "square", "copy": str(copy), "flipped": "no"}
        place = f"translate({2 * x} {2 * y}) scale(2)"
        group = drawing.add_group(layer, lay=part, transform=place)
        drawing.add_path("M 0,0 H 10 V 10 H 0 Z", group, lay=part)
        drawing.add_line((1, 5), grain_to, group, style="marker-end:url(#a)")
    (laid,) = read_layouts(drawing.data())
    return laid


def test_sizes_are_read_in_millimetres() -> None:
    laid = layout((0, 0), (30, 50))
    assert [laid.length, laid.height] == pytest.approx([40.0, 60.0])
    assert laid.counts == {"square": 2}


@pytest.mark.parametrize(
    ("second", "gap"), [((13, 0), 3.0), ((10, 0), 0.0), ((9, 0), -10.0)], ids=str
)
def test_gaps_contacts_and_overlaps_are_told_apart(second: tuple[float, float], gap: float) -> None:
    assert layout((0, 0), second).least_gap() == pytest.approx(gap, abs=1e-6)


@pytest.mark.parametrize(("end", "angle"), [((9, 5), 0.0), ((1, 9), 90.0), ((5, 9), 45.0)], ids=str)
def test_the_angle_of_a_grainline_is_seen(end: tuple[float, float], angle: float) -> None:
    (part,) = layout((0, 0), grain_to=end).parts
    assert part.grain == pytest.approx(angle)


def test_a_drawing_without_a_layout_has_none() -> None:
    drawing = SvgBuilder()
    drawing.add_rect(0, 0, 5, 5)
    assert read_layouts(drawing.data()) == []
