# SPDX-License-Identifier: GPL-2.0-or-later
"""What is read stands in its groups and layers; what draws nothing is passed over."""

from __future__ import annotations

import pytest
from lxml import etree

from extension.svg.leaves import read_leaves
from tests.helpers.leaves import leaves_of, only
from tests.helpers.svg_builder import SvgBuilder


def test_groups_are_told_from_the_outermost_in() -> None:
    drawing = SvgBuilder()
    layer = drawing.add_layer("Größe 38", id="Ebene 1", lay={"size": "38"})
    group = drawing.add_group(layer, label="Front", lay={"cut": "2"})
    link = drawing.add("a", group)
    drawing.add_path("M 0 0 H 9", link, label="Hem", lay={"role": "mark", "one-side": "yes"})
    leaf = only(drawing)
    assert [(g.id, g.label, g.is_layer) for g in leaf.groups] == [
        ("Ebene 1", "Größe 38", True),
        ("g2", "Front", False),
        ("a1", "", False),
    ]
    assert [g.attributes for g in leaf.groups] == [{"size": "38"}, {"cut": "2"}, {}]
    assert (leaf.id, leaf.label) == ("path1", "Hem")
    assert leaf.attributes == {"role": "mark", "one-side": "yes"}


def test_objects_without_ids_are_called_by_kind_and_number() -> None:
    drawing = SvgBuilder()
    group = drawing.add_group(id="")
    for _ in range(2):
        drawing.add_path("M 0 0 H 9", group, id="")
    found = leaves_of(drawing)
    assert list(found) == ["path-1", "path-2"]
    assert found["path-1"].groups[0].id == "g-1"


@pytest.mark.parametrize(
    "tag",
    [
        "defs",
        "clipPath",
        "mask",
        "pattern",
        "marker",
        "symbol",
        "metadata",
        "linearGradient",
        "foreignObject",
        "title",
        "desc",
        "style",
        "filter",
        "unknown",
    ],
)
def test_what_is_never_drawn_is_never_read(tag: str) -> None:
    drawing = SvgBuilder()
    drawing.add_rect(0, 0, 9, 9, drawing.add_group(drawing.add(tag)))
    assert read_leaves(drawing.document()) == ()


def test_elements_of_other_namespaces_comments_and_instructions_are_passed_over() -> None:
    drawing = SvgBuilder()
    drawing.root.append(etree.Comment("a note"))
    drawing.root.append(etree.ProcessingInstruction("note", "x"))
    other = etree.SubElement(drawing.root, "{urn:other}rect", width="9", height="9")
    drawing.add_rect(0, 0, 9, 9, other)
    drawing.add_rect(0, 0, 5, 5, id="seen")
    assert list(leaves_of(drawing)) == ["seen"]


@pytest.mark.parametrize("mark", ["layout", "review", "table"])
def test_layouts_are_passed_over_unless_they_are_asked_for(mark: str) -> None:
    drawing = SvgBuilder()
    drawing.add_rect(0, 0, 9, 9, id="piece")
    layer = drawing.add_layer("Layout 1", lay={mark: "1"})
    drawing.add_rect(0, 0, 9, 9, drawing.add_group(layer), id="part")
    drawing.add_use(layer, id="clone of it")
    assert list(leaves_of(drawing)) == ["piece"]
    leaves = read_leaves(drawing.document(), include_layouts=True)
    assert [leaf.id for leaf in leaves] == ["piece", "part", "part"]


def test_images_have_a_box_and_no_rings() -> None:
    drawing = SvgBuilder()
    drawing.add("image", x=10, y=20, width=30, height=40, transform="scale(2)")
    leaf = only(drawing)
    assert (leaf.rings, leaf.text) == ((), "")
    assert leaf.box == pytest.approx((20, 40, 80, 120))


def test_shapes_that_draw_nothing_are_leaves_without_rings() -> None:
    drawing = SvgBuilder()
    drawing.add_path("", transform="translate(3 4)", lay={"cut": "2"})
    leaf = only(drawing)
    assert leaf.rings == ()
    assert leaf.box == pytest.approx((3, 4, 3, 4))
    assert leaf.attributes == {"cut": "2"}


def test_a_switch_shows_the_first_child_whose_conditions_hold() -> None:
    # The editor (1.2.2) shows "c" of these, run in English.
    drawing = SvgBuilder()
    switch = drawing.add("switch")
    for name, conditions in [
        ("a", {"requiredExtensions": "http://example.org/x"}),
        ("b", {"systemLanguage": "de"}),
        ("c", {"systemLanguage": "fr, en-GB"}),
        ("d", {}),
    ]:
        drawing.add_rect(0, 0, 9, 9, drawing.add_group(switch, attributes=conditions), id=name)
    assert list(leaves_of(drawing)) == ["c"]


def test_a_drawing_in_the_drawing_has_its_own_viewport() -> None:
    # The editor (1.2.2) shows "a" on 40 to 80 by 10 to 50, "b" half as wide.
    drawing = SvgBuilder()
    inner = drawing.add("svg", x=10, y=10, width="50%", height=40, viewBox="0 0 10 10")
    drawing.add("rect", inner, id="a", width=10, height=10)
    drawing.add("rect", inner, id="b", width="50%", height=10)
    drawing.add("rect", drawing.add("svg", x=5), id="c", width="50%", height="50%")
    found = leaves_of(drawing)
    assert found["a"].box == pytest.approx((40, 10, 80, 50))
    assert found["b"].box == pytest.approx((40, 10, 60, 50))
    assert found["c"].box == pytest.approx((5, 0, 105, 50))
    assert [group.id for group in found["a"].groups] == ["svg1"]
