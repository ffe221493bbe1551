# SPDX-License-Identifier: GPL-2.0-or-later
"""A clone is read like a copy put in its place."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extension.svg.leaves import read_leaves
from tests.helpers.leaves import MICROMETRE, SHAPES, TRANSFORMS, furthest, leaves_of, only
from tests.helpers.svg_builder import SvgBuilder


@given(st.sampled_from(sorted(SHAPES)), st.sampled_from(TRANSFORMS), st.sampled_from(TRANSFORMS))
def test_a_clone_is_read_like_a_copy_put_in_its_place(kind: str, own: str, clones: str) -> None:
    drawing, copied = SvgBuilder(), SvgBuilder()
    drawing.add(kind, drawing.defs, id="shown", transform=own, attributes=SHAPES[kind])
    drawing.add_use("shown", id="clone", x=7, y="-3mm", transform=clones)
    moved = f"{clones} translate(7 {-3 * 96 / 25.4!r})"
    copied.add(kind, copied.add_group(transform=moved), transform=own, attributes=SHAPES[kind])
    assert furthest(only(drawing), only(copied)) < MICROMETRE


def test_a_clone_has_its_own_name_and_adds_its_attributes() -> None:
    drawing = SvgBuilder()
    path = drawing.add_path("M 0 0 H 9", label="Front", lay={"cut": "2", "size": "38"})
    drawing.add_use(path, id="clone", lay={"size": "40"})
    named = drawing.add_use(
        "clone", id="clone of it", label="Copy", lay={"size": "42", "hand": "same"}
    )
    drawing.lock(named)
    found = leaves_of(drawing)
    assert found["clone"].label == "Front"
    assert found["clone"].attributes == {"cut": "2", "size": "40"}
    assert found["clone of it"].label == "Copy"
    assert found["clone of it"].attributes == {"cut": "2", "size": "42", "hand": "same"}
    assert found["clone of it"].element.get("id") == path.get("id")
    assert [leaf.locked for leaf in found.values()] == [False, False, True]
    assert all(leaf.groups == () for leaf in found.values())


def test_a_clone_of_a_group_is_a_group_of_its_own() -> None:
    drawing = SvgBuilder()
    layer = drawing.add_layer("Pieces")
    group = drawing.add_layer("Front", layer, id="front", lay={"cut": "2", "name": "F"})
    drawing.add_path("M 0 0 H 9", drawing.add_group(group, transform="scale(2)"), id="hem")
    drawing.add_use(group, id="again", x=5, lay={"cut": "1"}, transform="scale(10)")
    original, clone = read_leaves(drawing.document())
    assert [g.id for g in original.groups] == ["g1", "front", "g3"]
    assert [g.id for g in clone.groups] == ["again", "g3"]
    shown = clone.groups[0]
    assert (shown.label, shown.is_layer) == ("Front", False)
    assert shown.attributes == {"cut": "1", "name": "F"}
    assert clone.id == "hem"
    assert clone.box == pytest.approx((50, 0, 230, 0))


def test_clones_of_clones_in_groups_are_followed() -> None:
    # The editor (1.2.2) shows u1 on 12 to 52 by 0 to 40, u2 on -42 to -2 by 13 to 53.
    drawing = SvgBuilder("200", "100", (0, 0, 200, 100))
    group = drawing.add_group(id="g", transform="translate(5 0)")
    drawing.add_rect(0, 0, 10, 10, group, transform="scale(2)")
    drawing.add_use(group, id="u1", x=1, transform="scale(2)")
    drawing.add_use("u1", id="u2", x=1, y=2, transform="rotate(90)")
    boxes = [[side * 96 / 25.4 for side in leaf.box] for leaf in read_leaves(drawing.document())]
    assert boxes[1] == pytest.approx([12, 0, 52, 40])
    assert boxes[2] == pytest.approx([-42, 13, -2, 53])


@pytest.mark.parametrize(
    ("symbol", "use", "box"),
    # As the editor (1.2.2) shows them on a page of 200 x 100 px; each symbol holds a square of 10.
    [
        ({}, {"x": "3", "width": "40", "height": "20"}, (3, 0, 13, 10)),
        (
            {"viewBox": "0 0 10 10"},
            {"x": "5", "y": "5", "width": "40", "height": "20"},
            (15, 5, 35, 25),
        ),
        ({"viewBox": "0 0 10 10"}, {}, (50, 0, 150, 100)),
        (
            {"viewBox": "0 0 10 10", "width": "20", "height": "20", "transform": "translate(3,0)"},
            {},
            (3, 0, 23, 20),
        ),
        (
            {"viewBox": "0 0 10 10", "width": "20", "height": "20", "transform": "translate(3,0)"},
            {"width": "40", "height": "40"},
            (3, 0, 43, 40),
        ),
        (
            {"viewBox": "0 0 10 10", "preserveAspectRatio": "none"},
            {"width": "40", "height": "20"},
            (0, 0, 40, 20),
        ),
        (
            {"viewBox": "0 0 10 10"},
            {"width": "50%", "height": "50%", "transform": "translate(1,1)"},
            (26, 1, 76, 51),
        ),
    ],
)
def test_symbols_fill_what_their_clone_gives_them(
    symbol: dict[str, str], use: dict[str, str], box: tuple[float, float, float, float]
) -> None:
    drawing = SvgBuilder("200", "100", (0, 0, 200, 100))
    square = drawing.add_symbol(id="s", label="Square", lay={"cut": "2"}, attributes=symbol)
    drawing.add_rect(0, 0, 10, 10, square)
    drawing.add_use("s", id="u", attributes=use)
    leaf = only(drawing)
    assert [side * 96 / 25.4 for side in leaf.box] == pytest.approx(box)
    assert [(g.id, g.label, dict(g.attributes)) for g in leaf.groups] == [
        ("u", "Square", {"cut": "2"})
    ]


def test_a_clone_of_a_clone_of_a_symbol_has_the_size_the_inner_one_gives() -> None:
    drawing = SvgBuilder("200", "100", (0, 0, 200, 100))
    drawing.add_rect(0, 0, 10, 10, drawing.add_symbol("0 0 10 10", id="s"))
    drawing.add_use("s", drawing.defs, id="inner", width=20, height=20)
    drawing.add_use("inner", id="outer", width=90, height=90)
    leaf = only(drawing)
    assert [side * 96 / 25.4 for side in leaf.box] == pytest.approx([0, 0, 20, 20])
    assert leaf.groups[0].id == "outer"


def test_a_clone_of_nothing_is_a_leaf_without_rings() -> None:
    drawing = SvgBuilder()
    drawing.add("clipPath", drawing.defs, id="clip")
    for target in ("gone", "clip", "svg"):
        drawing.add_use(target)
    found = leaves_of(drawing)
    assert list(found) == ["use1", "use2", "use3"]
    assert all(leaf.rings == () for leaf in found.values())
