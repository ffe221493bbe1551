# SPDX-License-Identifier: GPL-2.0-or-later
"""A sheet with a front, its label and its arrow, and what reading its markings wrote."""

from __future__ import annotations

from extension.language.names import lay
from extension.operations.read_markings import ReadOutcome, read_markings
from extension.svg.document import parse
from tests.helpers.svg_builder import SvgBuilder

LOOK = "fill:none;stroke:#000000;stroke-width:0.5"
ARROW = f"{LOOK};marker-end:url(#h);marker-start:url(#h)"


def sheet(label: str = "Front\ncut 2") -> SvgBuilder:
    drawing = SvgBuilder("500mm", "500mm", (0, 0, 500, 500))
    drawing.add_rect(60, 40, 200, 320, id="front", style=LOOK)
    if label:
        drawing.add_text(label, 130, 150, id="label", font_size=10)
    drawing.add_line((100, 100), (100, 300), id="grain", style=ARROW)
    return drawing


def read(drawing: SvgBuilder, overwrite: bool = False) -> ReadOutcome:
    return read_markings(drawing.document(), overwrite=overwrite)


def value(outcome: ReadOutcome, object_id: str, name: str) -> str | None:
    root = parse(outcome.drawing).root
    (element,) = [each for each in root.iter("{*}*") if each.get("id") == object_id]
    return element.get(lay(name))
