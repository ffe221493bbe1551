# SPDX-License-Identifier: GPL-2.0-or-later
"""What has no name is called by what she sees of it: its words, kind, size and place."""

from __future__ import annotations

import pytest

from extension.pieces.objects import called
from extension.svg.leaves import read_leaves
from tests.helpers.svg_builder import SvgBuilder


def drawing() -> SvgBuilder:
    """Return a sheet with a piece that has words, one that has a name, and things on them."""
    built = SvgBuilder("900mm", "600mm", (0, 0, 900, 600))
    built.add_path("M 20 20 h 300 v 400 h -300 z", id="a1")
    built.add_text("Front 38", 120, 200, font_size=14)
    built.add_text("cut 1 on fold", 120, 230, font_size=14)
    built.add_path("M 600 300 h 200 v 250 h -200 z", id="a2", lay={"name": "Collar"})
    built.add("circle", cx=40, cy=40, r=4, id="hole")
    built.add_line((700, 350), (700, 500), id="grain")
    built.add_rect(450, 20, 60, 30, id="square")
    built.add_path("M 400 500 l 20 0 l 0 20", id="bent", stroke_dasharray="3 2")
    return built


@pytest.mark.parametrize(
    ("id_", "told"),
    [
        ("a1", "the outline with the words “Front 38” (a1)"),
        ("a2", "“Collar” (a2)"),
        ("hole", "the circle of 0.8 × 0.8 cm on the outline with the words “Front 38” (hole)"),
        ("grain", "the straight line 15 cm long on “Collar” (grain)"),
        ("square", "the rectangle of 6 × 3 cm at the top of the drawing (square)"),
        ("bent", "the dashed open line of 2 × 2 cm at the bottom of the drawing (bent)"),
    ],
)
def test_a_thing_without_a_name_is_called_by_what_is_seen(id_: str, told: str) -> None:
    assert {leaf.id: called(leaf) for leaf in read_leaves(drawing().document())}[id_] == told


def test_words_are_of_the_innermost_outline_and_of_all_that_coincide_with_it() -> None:
    built = SvgBuilder("900mm", "600mm", (0, 0, 900, 600))
    for name, side in (("outer", 400), ("twin", 300), ("inner", 300)):
        built.add_path(f"M 20 20 h {side} v {side} h -{side} z", id=name)
    built.add_text("Back 40", 120, 120, font_size=14)
    told = {leaf.id: called(leaf) for leaf in read_leaves(built.document()) if not leaf.text}
    assert told["twin"] == "the outline with the words “Back 40” (twin)"
    assert told["inner"] == "the outline with the words “Back 40” (inner)"
    assert told["outer"] == "the outline of 40 × 40 cm (outer)"


def test_groups_layers_and_texts_are_called_by_their_words_too() -> None:
    built = SvgBuilder("900mm", "600mm", (0, 0, 900, 600))
    layer = built.add_layer("", id="l1")
    group = built.add_group(layer, id="g1")
    built.add_rect(20, 20, 100, 100, parent=group, id="r1")
    other = built.add_group(id="g2")
    built.add_text("This is a very long sentence about nothing", 500, 500, parent=other, id="t1")
    leaves = read_leaves(built.document())
    assert called(leaves[0].groups[0]) == (
        "the layer of 1 object, 10 × 10 cm at the upper left of the drawing (l1)"
    )
    assert (
        called(leaves[1].groups[0])
        == "the group with the words “This is a very long sentence …” (g2)"
    )
    assert called(leaves[1]) == "the text “This is a very long sentence …” (t1)"
