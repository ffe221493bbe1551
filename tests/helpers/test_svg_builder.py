# SPDX-License-Identifier: GPL-2.0-or-later
"""The drawing that is built is the drawing that was asked for."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import etree

from extension.language.errors import DrawingError
from extension.language.names import lay
from extension.svg.document import parse
from tests.helpers.svg_builder import INKSCAPE, SODIPODI, XLINK, SvgBuilder


def test_elements_are_numbered_by_their_kind() -> None:
    drawing = SvgBuilder()
    ids = [drawing.add_path("M0 0H1").get("id") for _ in range(2)]
    ids.append(drawing.add_rect(0, 0, 1, 1).get("id"))
    assert ids == ["path1", "path2", "rect1"]


def test_an_empty_id_leaves_the_element_without_one() -> None:
    assert SvgBuilder().add_path("M0 0H1", id="").get("id") is None


def test_attributes_of_every_kind_arrive() -> None:
    drawing = SvgBuilder()
    layer = drawing.add_layer("Pieces", transform="scale(2)")
    path = drawing.add_path(
        "M0 0H1", layer, stroke_width=0.1, label="Front", lay={"cut": "2", "leave-out": "yes"}
    )
    use = drawing.add_use(path, x=3)
    drawing.lock(path)
    drawing.hide(use)
    assert layer.get(f"{{{INKSCAPE}}}groupmode") == "layer"
    assert layer.get("transform") == "scale(2)"
    assert path.getparent() is layer
    assert path.get("stroke-width") == "0.1"
    assert path.get(f"{{{INKSCAPE}}}label") == "Front"
    assert path.get(lay("cut")) == "2"
    assert path.get(lay("leave-out")) == "yes"
    assert path.get(f"{{{SODIPODI}}}insensitive") == "true"
    assert use.get(f"{{{XLINK}}}href") == f"#{path.get('id')}"
    assert "display:none" in (use.get("style") or "")


def test_a_text_has_one_span_per_line() -> None:
    text = SvgBuilder().add_text("Front\nCut 2", 5, 10, font_size=8)
    spans = [(span.text, span.get("y")) for span in text]
    assert spans == [("Front", "10.0"), ("Cut 2", "20.0")]


def test_what_is_written_is_read_again(tmp_path: Path) -> None:
    drawing = SvgBuilder(width="20cm", height="10cm", view_box=(0, 0, 400, 200))
    drawing.add_symbol("0 0 1 1", id="é")
    drawing.add_style(".a { fill: none }")
    drawing.add_line((0, 0), (1, 2))
    document = parse(drawing.write(tmp_path / "a drawing.svg"))
    assert etree.tostring(document.root, method="c14n") == etree.tostring(
        drawing.root, method="c14n"
    )


def test_a_page_without_size_is_built_as_asked_and_refused_by_the_reader() -> None:
    with pytest.raises(DrawingError, match="no usable size"):
        SvgBuilder(width="0mm").document()
