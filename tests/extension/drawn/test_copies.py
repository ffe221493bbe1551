# SPDX-License-Identifier: GPL-2.0-or-later
"""A copy looks like its original and is geometry of its own."""

from __future__ import annotations

from lxml import etree

from extension.drawn.copies import copied, is_text
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from extension.svg.transforms import IDENTITY, parse_transform, translation
from tests.helpers.svg_builder import SvgBuilder


def only_leaf(drawing: SvgBuilder) -> Leaf:
    (leaf,) = read_leaves(drawing.document())
    return leaf


def test_the_look_is_written_out_and_classes_are_gone() -> None:
    drawing = SvgBuilder()
    drawing.add_style(".seam { stroke: #ff0000; stroke-dasharray: 4 2 } g { fill: none }")
    layer = drawing.add_group(stroke_width=3)
    drawing.add_path("M 0 0 H 10", layer, attributes={"class": "seam"}, stroke_linecap="round")
    made = copied(only_leaf(drawing), IDENTITY)
    style = dict(part.split(":") for part in made.get("style", "").split(";"))
    assert style["stroke"] == "#ff0000"
    assert style["stroke-dasharray"] == "4 2"
    assert style["stroke-width"] == "3"
    assert style["fill"] == "none"
    assert style["stroke-linecap"] == "round"
    assert made.get("class") is None
    assert made.get("stroke-linecap") is None


def test_every_transform_round_it_becomes_one_matrix() -> None:
    drawing = SvgBuilder("200mm", "100mm", (0, 0, 400, 200))
    layer = drawing.add_group(transform="translate(10 20)")
    drawing.add_rect(1, 2, 3, 4, layer, transform="rotate(90)", rx=1)
    made = copied(only_leaf(drawing), translation(100.0, 0.0))
    assert parse_transform(made.get("transform")) == ((0.0, -0.5, 105.0), (0.5, 0.0, 10.0))
    assert {name: made.get(name) for name in ("x", "y", "width", "height", "rx")} == {
        "x": "1", "y": "2", "width": "3", "height": "4", "rx": "1"
    }  # fmt: skip


def test_a_clone_is_copied_as_what_it_shows() -> None:
    drawing = SvgBuilder()
    drawing.add("circle", drawing.defs, id="dot", cx=5, cy=5, r=2)
    drawing.add_use("dot", x=30, y=40)
    made = copied(only_leaf(drawing), IDENTITY)
    assert etree.QName(made).localname == "circle"
    assert parse_transform(made.get("transform")) == ((1.0, 0.0, 30.0), (0.0, 1.0, 40.0))


def test_a_text_keeps_its_words_but_no_ids_and_none_of_our_attributes() -> None:
    drawing = SvgBuilder()
    text = drawing.add_text("Front\ncut 2", 5, 6, id="words", lay={"role": "label"})
    text[0].set("id", "first")
    text[0].set("style", "font-weight:bold")
    leaf = only_leaf(drawing)
    made = copied(leaf, IDENTITY)
    assert is_text(leaf)
    assert [span.text for span in made] == ["Front", "cut 2"]
    assert made[0].get("style") == "font-weight:bold"
    assert all(node.get("id") is None for node in made.iter())
    assert not any("thriftlay" in name for node in made.iter() for name in map(str, node.attrib))


def test_live_effects_of_the_editor_are_not_copied() -> None:
    drawing = SvgBuilder()
    effect = {"{http://www.inkscape.org/namespaces/inkscape}path-effect": "#spiro"}
    drawing.add_path("M 0 0 H 10 V 10 Z", attributes=effect)
    made = copied(only_leaf(drawing), IDENTITY)
    assert set(made.attrib) == {"d", "style", "transform"}


def test_the_original_is_not_touched() -> None:
    drawing = SvgBuilder()
    drawing.add_text("Front", 5, 6, id="words")
    document = drawing.document()
    before = etree.tostring(document.root, method="c14n")
    copied(read_leaves(document)[0], translation(1.0, 2.0))
    assert etree.tostring(document.root, method="c14n") == before
