# SPDX-License-Identifier: GPL-2.0-or-later
"""Texts are read as their words, line by line, and stand roughly where they are seen."""

from __future__ import annotations

import pytest
from lxml import etree

from extension.language.errors import DrawingError
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from tests.helpers.svg_builder import SODIPODI, SvgBuilder


def only(drawing: SvgBuilder) -> Leaf:
    (leaf,) = read_leaves(drawing.document())
    return leaf


def with_text(content: str, **attributes: str) -> SvgBuilder:
    """Return a drawing whose one text has the given content of elements."""
    drawing = SvgBuilder()
    text = drawing.add("text", **attributes)  # type: ignore[arg-type]
    inside = etree.fromstring(
        f'<t xmlns="http://www.w3.org/2000/svg" xmlns:sodipodi="{SODIPODI}" '
        f'xmlns:xlink="http://www.w3.org/1999/xlink">{content}</t>'
    )
    text.text = inside.text
    text.extend(list(inside))
    return drawing


def test_lines_of_the_editor_are_lines() -> None:
    drawing = SvgBuilder()
    drawing.add_text("Front\nCut 2", 10, 20, font_size=8)
    assert only(drawing).text == "Front\nCut 2"


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("Front", "Front"),
        ("", ""),
        ("\n   Front   38\n", "Front 38"),
        ("Fr<tspan>on</tspan>t <tspan>38</tspan>", "Front 38"),
        (
            "<tspan sodipodi:role='line'>Front</tspan><tspan sodipodi:role='line'>38</tspan>",
            "Front\n38",
        ),
        ("<tspan x='0' y='1'>Front</tspan>\n  <tspan x='0' y='9'>38</tspan>", "Front\n38"),
        ("Front<tspan x='0' dy='1.2em'>Cut 2</tspan>", "Front\nCut 2"),
        ("<tspan x='0' dy='0'>Front</tspan><tspan x='0' dy='-9'>38</tspan>", "Front\n38"),
        ("H<tspan dy='3'>2</tspan><tspan x='9'>O</tspan><tspan x='9' dy='0em'>!</tspan>", "H2O!"),
        ("<tspan sodipodi:role='line'> </tspan><tspan>Cut</tspan><!-- no --> 2", "Cut 2"),
        ("<title>no</title><desc>no</desc>Front", "Front"),
        ("<a><tspan>Front</tspan></a>", "Front"),
        ("<textPath xlink:href='#none'>Hem</textPath>", "Hem"),
        ("Cut 2<tspan style='display:none'> pairs</tspan> main", "Cut 2 main"),
        ("Cut 2<tspan visibility='hidden'> pairs</tspan>", "Cut 2"),
        ("Cut <tspan text-decoration='line-through'>4</tspan> 2", "Cut 2"),
        ("Cut <tspan style='text-decoration:underline'>4</tspan>", "Cut 4"),
        (
            "Cut <tspan style='text-decoration-line:line-through'>4 <tspan>or</tspan></tspan> 2",
            "Cut 2",
        ),
    ],
)
def test_words_of_a_text(content: str, words: str) -> None:
    assert only(with_text(content)).text == words


def test_line_breaks_that_are_shown_are_lines() -> None:
    assert only(with_text("Front\nCut 2", style="white-space:pre")).text == "Front\nCut 2"
    assert only(with_text("Front\nCut 2")).text == "Front Cut 2"


def test_flowed_text_has_its_paragraphs_and_its_frame() -> None:
    drawing = SvgBuilder()
    flow = drawing.add("flowRoot")
    drawing.add_rect(50, 20, 30, 40, drawing.add("flowRegion", flow))
    for words in ("Front", "Cut 2"):
        drawing.add("flowPara", flow).text = words
    leaf = only(drawing)
    assert leaf.text == "Front\nCut 2"
    assert leaf.rings == ()
    assert leaf.box[:2] == (50, 20)
    assert 70 < leaf.box[2] <= 80
    assert 20 < leaf.box[3] <= 60


def test_flowed_text_stands_at_the_top_of_a_large_frame() -> None:
    drawing = SvgBuilder("2000mm", "2000mm", (0, 0, 2000, 2000))
    flow = drawing.add("flowRoot", style="font-size:10px")
    drawing.add_rect(400, 600, 900, 700, drawing.add("flowRegion", flow))
    for words in ("Front", "Cut 2"):
        drawing.add("flowPara", flow).text = words
    low_x, low_y, high_x, high_y = only(drawing).box
    assert (low_x, low_y) == (400, 600)
    assert high_x - low_x == pytest.approx(5 * 0.6 * 10)
    assert high_y - low_y == pytest.approx(2 * 1.25 * 10)


def test_the_box_is_about_as_large_as_the_editor_shows_it() -> None:
    # The editor (1.2.2) shows "Front 38" in 20 px sans-serif at (10, 50) on
    # 12.0 to 91.0 by 35.2 to 50.3 px.
    drawing = SvgBuilder("200", "100", (0, 0, 200, 100))
    drawing.add_text("Front 38", 10, 50, font_size="20px")
    px = [side * 96 / 25.4 for side in only(drawing).box]
    assert px == pytest.approx([12.0, 35.2, 91.0, 50.3], abs=16)


@pytest.mark.parametrize(("anchor", "share"), [("start", 0.0), ("middle", 0.5), ("end", 1.0)])
def test_the_box_lies_where_the_anchor_puts_it(anchor: str, share: float) -> None:
    drawing = SvgBuilder()
    drawing.add_text("Front", 100, 50, font_size=10, style=f"text-anchor:{anchor}")
    low, _, high, _ = only(drawing).box
    assert low == pytest.approx(100 - share * (high - low))
    assert high - low == pytest.approx(5 * 0.6 * 10)


def test_the_box_holds_every_line_and_follows_the_transform() -> None:
    drawing = SvgBuilder()
    drawing.add_text("Front\nCut 2", 10, 20, font_size=8, transform="rotate(90)")
    low_x, low_y, high_x, high_y = only(drawing).box
    # Turned a quarter clockwise about the origin, the text runs down and its lines go left.
    assert low_y == pytest.approx(10)
    assert high_y == pytest.approx(10 + 5 * 0.6 * 8)
    assert high_x == pytest.approx(-(20 - 0.8 * 8))
    assert low_x == pytest.approx(-(30 + 0.25 * 8))


def test_positions_take_units_lists_and_shifts() -> None:
    plain = only(with_text("Front", x="10", y="20")).box
    assert only(with_text("Front", x="10px 15 20", y="20,20")).box == plain
    assert only(with_text("Front", x="5", dx="5", y="30", dy="-10")).box == plain
    # 10 % of the viewBox: 20 across, 10 down.
    assert only(with_text("Front", x="5%", y="20%")).box == plain


def test_a_larger_font_in_a_span_needs_more_room() -> None:
    small = only(with_text("ab<tspan>cd</tspan>", x="0", y="0")).box
    large = only(with_text("ab<tspan style='font-size:200%'>cd</tspan>", x="0", y="0")).box
    assert large[2] == pytest.approx(1.5 * small[2])
    assert large[1] == pytest.approx(2 * small[1])


def test_a_text_on_a_path_lies_where_the_path_does() -> None:
    drawing = SvgBuilder()
    drawing.add_path("M 10 10 H 60 V 40", drawing.defs, id="way", transform="translate(5 0)")
    text = drawing.add("text", transform="scale(2)")
    span = drawing.add("textPath", text, href="#way")
    span.text = "Hem"
    leaf = only(drawing)
    assert leaf.text == "Hem"
    assert leaf.box == pytest.approx((30, 20, 130, 80))


def test_a_position_that_cannot_be_read_names_the_text() -> None:
    with pytest.raises(DrawingError, match=r"The text .* has a part that cannot be read .*x=here"):
        only(with_text("Front", x="here"))
