# SPDX-License-Identifier: GPL-2.0-or-later
"""The resolved style of an element is the one that the cascade gives it."""

from __future__ import annotations

import pytest
import tinycss2
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from extension.language.errors import DrawingError
from extension.language.units import MEDIUM
from extension.svg import styles as styles_module
from extension.svg.styles import Styles, font_size, inherit, parse_declarations
from tests.helpers.svg_builder import SvgBuilder


def resolved(drawing: SvgBuilder, element: etree._Element) -> dict[str, str]:
    """Return the resolved style of an element of a drawing."""
    styles = Styles(drawing.root)
    style: dict[str, str] = {}
    for each in [*reversed(list(element.iterancestors())), element]:
        style = inherit(styles.own(each), style)
    return style


def test_the_cascade_goes_attribute_rule_style() -> None:
    drawing = SvgBuilder()
    drawing.add_style("path { fill: green; stroke: green } .a { stroke: blue }")
    path = drawing.add_path("", fill="red", stroke="red", opacity="0.5", style="stroke:black")
    path.set("class", "a")
    assert resolved(drawing, path) == {"fill": "green", "stroke": "black", "opacity": "0.5"}


def test_the_more_specific_rule_wins_then_the_later_one() -> None:
    drawing = SvgBuilder()
    drawing.add_style("#p { fill: id } .a { fill: class } path { fill: tag } .b { stroke: late }")
    drawing.add_style(".a { stroke: later }")
    path = drawing.add_path("", id="p")
    path.set("class", "b a")
    assert resolved(drawing, path) == {"fill": "id", "stroke": "later"}


def test_important_declarations_win_over_the_style_attribute() -> None:
    drawing = SvgBuilder()
    drawing.add_style(".a { fill: red !important; stroke: red !important }")
    path = drawing.add_path("", style="fill: blue; stroke: blue !important")
    path.set("class", "a")
    assert resolved(drawing, path) == {"fill": "red", "stroke": "blue"}


def test_rules_of_the_file_of_another_program_are_read() -> None:
    # The way large drawing programs save styles: classes in a CDATA section, comments, a list.
    drawing = SvgBuilder()
    drawing.add_style(
        "\n.st0,.st1{fill:none;}\n/* .st0{fill:red} */ .st1 > .st2{display:none}"
        "@media print{.st0{fill:black}} @import url(x.css); .st3{stroke:url(#a;b)}"
    )
    outer = drawing.add_group()
    inner = drawing.add_path("", outer)
    outer.set("class", "st1")
    inner.set("class", "st2 st3")
    assert resolved(drawing, outer) == {"fill": "none"}
    assert resolved(drawing, inner) == {"fill": "none", "display": "none", "stroke": "url(#a;b)"}


def test_a_sheet_of_another_language_is_left_alone() -> None:
    drawing = SvgBuilder()
    drawing.add_style("path { fill: red }").set("type", "text/x-other")
    assert resolved(drawing, drawing.add_path("")) == {}


@pytest.mark.parametrize(
    ("name", "inherited"),
    # SVG 1.1, appendix N.2, column "Inherited?".
    [
        ("fill", True),
        ("stroke", True),
        ("stroke-width", True),
        ("stroke-dasharray", True),
        ("visibility", True),
        ("font-family", True),
        ("marker-end", True),
        ("text-anchor", True),
        ("display", False),
        ("opacity", False),
        ("clip-path", False),
        ("mask", False),
        ("filter", False),
        ("overflow", False),
        ("text-decoration", False),
    ],
)
def test_properties_are_inherited_as_the_standard_says(name: str, inherited: bool) -> None:
    drawing = SvgBuilder()
    outer = drawing.add_group(attributes={name: "x"})
    middle = drawing.add_group(outer)
    inner = drawing.add_path("", middle)
    asked = drawing.add_path("", outer, attributes={name: "inherit"})
    assert resolved(drawing, inner).get(name) == ("x" if inherited else None)
    assert resolved(drawing, asked).get(name) == "x"
    assert resolved(drawing, drawing.add_path("", outer, attributes={name: "y"}))[name] == "y"


def test_what_is_no_presentation_attribute_is_no_style() -> None:
    drawing = SvgBuilder()
    assert resolved(drawing, drawing.add_rect(0, 0, 1, 1, transform="scale(2)")) == {}


@pytest.mark.parametrize(
    ("sizes", "expected"),
    [
        ([], MEDIUM),
        (["10"], 10),
        (["10px", "2em"], 20),
        (["10px", "150%", "2ex"], 15),
        (["1in", "inherit"], 96),
        (["large"], 14),
        (["10px", "larger"], 12),
        (["12px", "smaller"], 10),
        (["10px", "nonsense"], 10),
        (["10px", "-3px"], 10),
    ],
)
def test_font_sizes_are_numbers_of_user_units(sizes: list[str], expected: float) -> None:
    style: dict[str, str] = {}
    for size in sizes:
        style = inherit({"font-size": size}, style)
    assert font_size(style) == pytest.approx(expected)


def test_shorthands_are_spelt_out() -> None:
    drawing = SvgBuilder()
    path = drawing.add_path("", style="marker:url(#arrow);marker-end:none")
    style = resolved(drawing, path)
    assert style["marker-start"] == style["marker-mid"] == "url(#arrow)"
    assert style["marker-end"] == "none"
    text = drawing.add_text("x", style="font: italic bold 12px/30px Georgia, serif")
    assert font_size(resolved(drawing, text)) == 12


def test_the_colour_word_for_the_current_colour_is_looked_up() -> None:
    drawing = SvgBuilder()
    outer = drawing.add_group(color="red")
    assert resolved(drawing, drawing.add_path("", outer, fill="currentColor"))["fill"] == "red"
    assert resolved(drawing, drawing.add_path("", stroke="currentColor"))["stroke"] == "black"


names = st.sampled_from(["fill", "stroke-width", "font-family", "-inkscape-stroke"])
values = st.sampled_from(
    ["none", "#fff", "'a;b'", '"x:y"', "url(data:image/png;base64,AA==)", "1px 2px", "url(#a)"]
)


@given(st.lists(st.tuples(names, values, st.booleans()), max_size=6))
def test_declarations_are_read_as_an_independent_reader_reads_them(
    declarations: list[tuple[str, str, bool]],
) -> None:
    text = "; ".join(f"{n}: {v}{' !important' * loud}" for n, v, loud in declarations)
    normal: dict[str, str] = {}
    important: dict[str, str] = {}
    for each in tinycss2.parse_declaration_list(text, skip_whitespace=True):
        target = important if each.important else normal
        target[each.lower_name] = tinycss2.serialize(each.value).strip()
    expected = with_one_quote(normal), with_one_quote(important)
    assert tuple(map(with_one_quote, parse_declarations(text))) == expected


def with_one_quote(declarations: dict[str, str]) -> dict[str, str]:
    """Return declarations with one kind of quotation mark; the reader rewrites them."""
    return {name: value.replace('"', "'") for name, value in declarations.items()}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", {}),
        (";;", {}),
        ("fill", {}),
        ("fill:", {}),
        ("FILL : none", {"fill": "none"}),
        ("/* x */fill:none/* y */", {"fill": "none"}),
        ("fill:'never closed;stroke:red", {"fill": "'never closed;stroke:red"}),
        ("fill:none;fill:red", {"fill": "red"}),
    ],
)
def test_untidy_declarations(text: str, expected: dict[str, str]) -> None:
    assert parse_declarations(text) == (expected, {})


def test_hostile_declarations_are_read_at_once() -> None:
    for sign in "('\":;":
        parse_declarations("fill:" + sign * 200_000)


def test_more_rules_than_can_be_looked_at_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(styles_module, "MAX_LOOKS", 100)
    drawing = SvgBuilder()
    drawing.add_style("* * { fill: none } " * 10)
    paths = [drawing.add_path("") for _ in range(11)]
    styles = Styles(drawing.root)
    for path in paths[:10]:
        assert styles.own(path) == {"fill": "none"}
    with pytest.raises(DrawingError, match="too many style rules"):
        styles.own(paths[10])
