# SPDX-License-Identifier: GPL-2.0-or-later
"""Elements are built with full numbers, in one order, with ids the document does not have."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from extension.svg.building import (
    FreeIds,
    element,
    group,
    inkscape,
    layer,
    number,
    path_data,
    style,
)
from tests.helpers.svg_builder import SvgBuilder


@given(st.floats(-1e5, 1e5))
def test_a_number_is_read_back_to_ten_digits(value: float) -> None:
    assert float(number(value)) == pytest.approx(value, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (-0.0, "0"), (1e-12, "0"), (1400.0, "1400"), (12345.67891234, "12345.67891")],
)
def test_numbers_are_written_without_idle_digits(value: float, text: str) -> None:
    assert number(value) == text


def test_a_style_keeps_its_order() -> None:
    assert style({"fill": "none", "stroke-width": 0.7}) == "fill:none;stroke-width:0.7"


def test_path_data_of_points() -> None:
    assert path_data([(0, 0), (1.5, 2)], closed=True) == "M 0,0 L 1.5,2 Z"
    assert path_data([(0, 0), (1.5, 2)], closed=False) == "M 0,0 L 1.5,2"


def test_a_layer_is_a_group_that_the_editor_shows_as_a_layer() -> None:
    made = layer("one", "One", [group("two", "Two", [element("path", {"d": "M 0,0"})])])
    assert made.get(inkscape("groupmode")) == "layer"
    assert made.get(inkscape("label")) == "One"
    assert made[0].get(inkscape("groupmode")) is None
    assert etree.QName(made[0][0]).localname == "path"


def test_ids_in_use_are_never_given_out_again() -> None:
    drawing = SvgBuilder()
    drawing.add_rect(0, 0, 1, 1, id="part")
    drawing.add_rect(0, 0, 1, 1, id="part-2")
    ids = FreeIds(drawing.root)
    assert [ids.take("part"), ids.take("part"), ids.take("other")] == ["part-3", "part-4", "other"]
