# SPDX-License-Identifier: GPL-2.0-or-later
"""A new layout never lies on anything that is drawn."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.drawn.place import BELOW, CLEARANCE, RIGHT, Box, free_place, page_box, where_free
from extension.svg.document import Document
from extension.svg.model import Group, Leaf
from tests.helpers.drawn import group, leaf
from tests.helpers.garments import PAGES, Page
from tests.helpers.svg_builder import SvgBuilder

LAYOUT = group("thriftlay-1", layer=True, layout="1")


def page(width: str = "600mm", height: str = "400mm") -> Document:
    return SvgBuilder(width, height, None).document()


def drawn(box: Box, *groups: Group) -> Leaf:
    return replace(leaf(((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), groups=groups), box=box)


def shifted(box: Box, place: tuple[float, float]) -> Box:
    return box[0] + place[0], box[1] + place[1], box[2] + place[0], box[3] + place[1]


def apart(one: Box, other: Box) -> bool:
    return one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


boxes = st.tuples(
    st.floats(-500, 3000), st.floats(-500, 3000), st.floats(0, 800), st.floats(0, 800)
).map(lambda one: (one[0], one[1], one[0] + one[2], one[1] + one[3]))
needs = st.tuples(
    st.floats(-300, -50), st.floats(-200, -20), st.floats(100, 3000), st.floats(100, 3000)
)


@given(st.lists(boxes, max_size=5), needs)
def test_the_first_layout_lies_right_of_everything(others: list[Box], needed: Box) -> None:
    document = page()
    leaves = [drawn(box) for box in others]
    assert where_free(leaves) == RIGHT
    place = shifted(needed, free_place(document, leaves, needed))
    for box in (page_box(document), *others):
        assert place[0] == pytest.approx(max(place[0], box[2] + CLEARANCE))


@given(st.lists(boxes, max_size=5), st.lists(boxes, min_size=1, max_size=5), needs)
def test_a_further_layout_lies_on_nothing_and_below_the_earlier_ones(
    others: list[Box], earlier: list[Box], needed: Box
) -> None:
    document = page()
    leaves = [*(drawn(box) for box in others), *(drawn(box, LAYOUT) for box in earlier)]
    assert where_free(leaves) == BELOW
    origin = free_place(document, leaves, needed)
    place = shifted(needed, origin)
    assert all(apart(place, box) for box in (page_box(document), *others, *earlier))
    cloth = max(earlier, key=lambda box: (box[2] - box[0]) * (box[3] - box[1]))
    assert origin[0] == cloth[0]
    assert place[1] > max(box[3] for box in earlier)


@pytest.mark.parametrize(
    ("name", "size"),
    [
        ("millimetres", (600.0, 400.0)),
        ("half millimetres", (600.0, 400.0)),
        ("inches, moved", (24 * 25.4, 16 * 25.4)),
        ("no viewBox", (2000 * 25.4 / 96, 1500 * 25.4 / 96)),
        ("stretched", (600.0, 800.0)),
    ],
)
def test_the_page_is_known_in_millimetres(name: str, size: tuple[float, float]) -> None:
    kind: Page = PAGES[name]
    assert page_box(SvgBuilder(*kind).document()) == pytest.approx((0.0, 0.0, *size))
