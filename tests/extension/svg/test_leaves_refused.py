# SPDX-License-Identifier: GPL-2.0-or-later
"""What cannot be read is named with its remedy, and nothing makes reading endless."""

from __future__ import annotations

import pytest

from extension.svg import extents
from extension.svg.leaves import read_leaves
from tests.helpers.leaves import leaves_of, only, refusal
from tests.helpers.svg_builder import SvgBuilder

# Refusals.


@pytest.mark.parametrize(
    ("attributes", "words"),
    [
        ({"d": "M 0 0 L 5 x"}, "“Front” (bad) has a part that cannot be read (“5 x”)"),
        ({"d": "M 0 0 L 1e999 0"}, "1e999"),
        ({"transform": "rotate(left)"}, "rotate(left)"),
        ({"style": "transform:rotate(30deg)"}, "transform in its style"),
        ({"style": "scale: 2"}, "transform in its style"),
    ],
)
def test_an_object_that_cannot_be_read_is_named(attributes: dict[str, str], words: str) -> None:
    drawing = SvgBuilder()
    drawing.add("path", id="bad", label="Front", attributes=attributes)
    error = refusal(drawing)
    assert words in str(error)
    assert "“Front” (bad)" in str(error)
    assert error.object_id == "bad"


def test_several_faults_are_one_line_with_the_first_named_and_the_rest_counted() -> None:
    drawing = SvgBuilder()
    for name in ("one", "two", "three"):
        drawing.add_path("M 0", id=name)
    error = refusal(drawing)
    assert str(error).startswith("The line (one) ")
    assert "(and 2 more)" in str(error)
    assert error.object_id == "one"


def test_what_is_hidden_cannot_stop_a_run() -> None:
    drawing = SvgBuilder()
    drawing.add_path("M 0", style="display:none")
    drawing.add_path("M 0", drawing.add_layer("Hidden", style="display:none"), style="scale:2")
    drawing.add_rect(0, 0, 9, 9, id="seen")
    assert list(leaves_of(drawing)) == ["seen"]


def test_a_transform_in_the_style_of_the_whole_drawing_is_refused() -> None:
    drawing = SvgBuilder()
    drawing.root.set("id", "all")
    drawing.root.set("style", "transform:scale(2)")
    assert "The group (all) has a transform in its style" in str(refusal(drawing))
    drawing.root.set("style", "transform:none")
    assert read_leaves(drawing.document()) == ()


def test_a_drawing_in_the_drawing_that_is_moved_or_cloned_is_refused() -> None:
    # The editor (1.2.2) shows it unmoved, and its clone at another place and size.
    moved = SvgBuilder()
    moved.add("svg", id="inner", transform="scale(2)")
    assert "The group (inner) is a drawing inside the drawing" in str(refusal(moved))
    cloned = SvgBuilder()
    cloned.add("svg", cloned.defs, id="inner")
    cloned.add_use("inner", id="clone")
    assert "The group (clone) is a drawing inside the drawing" in str(refusal(cloned))


def test_a_clone_from_another_file_is_refused() -> None:
    drawing = SvgBuilder()
    drawing.add("use", id="far", href="sleeves.svg#left")
    assert "The clone (far) is a clone of something in another file (“sleeves.svg#left”)" in str(
        refusal(drawing)
    )


@pytest.mark.parametrize("size", ["wide", "1e999"])
def test_sizes_that_cannot_be_read_name_the_object(size: str) -> None:
    drawing = SvgBuilder()
    drawing.add("rect", id="r", width=size, height=5)
    assert f"The rectangle (r) has a part that cannot be read (“width={size}”)" in str(
        refusal(drawing)
    )


# Bombs.


def test_clones_that_show_themselves_are_named() -> None:
    drawing = SvgBuilder()
    drawing.add_use("self", id="self")
    assert "The clone (self) is a clone that shows itself" in str(refusal(drawing))
    pair = SvgBuilder()
    pair.add_use("two", id="one")
    pair.add_use("one", id="two")
    assert "The clone (one) is a clone that shows itself" in str(refusal(pair))
    inside = SvgBuilder()
    inside.add_use("g1", inside.add_group(), id="within")
    assert "The clone (within) is a clone that shows itself, or what it lies in" in str(
        refusal(inside)
    )


def test_clones_of_clones_that_never_end_are_stopped() -> None:
    for content in ("rect", "g"):
        drawing = SvgBuilder()
        drawing.add(content, drawing.defs, id="level0", attributes={"width": "1", "height": "1"})
        for level in range(1, 40):
            group = drawing.add_group(drawing.defs, id=f"level{level}")
            for _ in range(2):
                drawing.add_use(f"level{level - 1}", group)
        drawing.add_use("level39")
        assert "shows more than 40,000 objects" in str(refusal(drawing))


def test_chains_of_clones_may_be_long_but_not_endless() -> None:
    def chain(length: int) -> SvgBuilder:
        drawing = SvgBuilder()
        drawing.add_rect(0, 0, 9, 9, drawing.defs, id="link0")
        for link in range(1, length + 1):
            drawing.add_use(f"link{link - 1}", drawing.defs, id=f"link{link}", x=1)
        drawing.add_use(f"link{length}", id="last", x=1)
        return drawing

    assert only(chain(90)).box == pytest.approx((91, 0, 100, 9))
    assert "The clone (last) lies more than 100 groups and clones deep" in str(refusal(chain(200)))


def test_a_drawing_with_endless_curves_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    drawing = SvgBuilder()
    drawing.add_path("M 0 0 C 0 1e15 1e15 1e15 9 0", id="huge")
    error = refusal(drawing)
    assert "the line (huge)" in str(error)
    assert "2,000,000 points" in str(error)
    monkeypatch.setattr(extents, "MAX_POINTS", 10)
    many = SvgBuilder()
    for _ in range(3):
        many.add_rect(0, 0, 9, 9)
    assert "the rectangle (rect3)" in str(refusal(many))


def test_ten_thousand_paths_are_read() -> None:
    drawing = SvgBuilder()
    layer = drawing.add_layer("Many")
    for number in range(10_000):
        drawing.add_path(f"M {number} 0 h 1 v 1 z", layer, style="fill:none;stroke:black")
    leaves = read_leaves(drawing.document())
    assert len(leaves) == 10_000
    assert leaves[-1].box == pytest.approx((9999, 0, 10000, 1))
