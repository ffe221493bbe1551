# SPDX-License-Identifier: GPL-2.0-or-later
"""What is kept is written again number for number, without the ids it had."""

from __future__ import annotations

from lxml import etree

from extension.drawn.kept import Kept
from extension.language.names import lay
from tests.helpers.svg_builder import SvgBuilder


def kept(*transforms: str) -> Kept:
    drawing = SvgBuilder()
    outline = drawing.add_path("M 0.1234567891,2 H 30 V 40 z", lay={"copy": "1"})
    text = drawing.add_text("two\nlines")
    return Kept(outline, (text,), transforms)


def test_the_outline_keeps_its_numbers_and_takes_new_notes() -> None:
    before = kept()
    again = before.outline_again({lay("copy"): "3", lay("held"): "yes"})
    assert again.get("d") == "M 0.1234567891,2 H 30 V 40 z"
    assert (again.get(lay("copy")), again.get(lay("held"))) == ("3", "yes")
    assert before.outline.get(lay("copy")) == "1"


def test_marks_come_whole_and_without_ids() -> None:
    (text,) = kept().marks_again()
    assert [span.text for span in text] == ["two", "lines"]
    assert all(node.get("id") is None for node in text.iter(etree.Element))


def test_transforms_are_nested_as_they_were() -> None:
    before = kept("translate(1,2)", "rotate(30, 4, 5)")
    (outer,) = before.wrapped([before.outline_again({})])
    assert outer.get("transform") == "translate(1,2)"
    assert outer[0].get("transform") == "rotate(30, 4, 5)"
    assert outer[0][0].get("d") is not None


def test_without_transforms_nothing_is_wrapped() -> None:
    before = kept()
    inside = [before.outline_again({}), *before.marks_again()]
    assert before.wrapped(inside) == inside
