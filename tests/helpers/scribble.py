# SPDX-License-Identifier: GPL-2.0-or-later
"""Drawings at random: shapes, lines, texts, groups and clones with all sorts of attributes."""

from __future__ import annotations

import random

from lxml import etree

from tests.helpers.drawn import sheet
from tests.helpers.svg_builder import SvgBuilder

_DETAILS = {
    "name": ("A", "B"),
    "size": ("38",),
    "cut": ("2", "1 main; 2 lining", "3"),
    "grain": ("up", "45", "line1"),
    "fold": ("left", "line1", "line2"),
    "top": ("start", "end"),
    "turns": ("free",),
    "allowance": ("15mm", "0"),
    "leave-out": ("yes",),
    "match": ("x",),
}
_ROLES = ("grainline", "fold", "mark", "stitching", "label", "notch")
_TRANSFORMS = ("rotate(30)", "scale(-1 1)", "translate(90 50)", "skewX(20)", "scale(.3)")
_KINDS = ("rect",) * 4 + ("line",) * 2 + ("curve", "circle", "text", "group", "layer", "use")


def scribble(source: random.Random) -> SvgBuilder:
    """Return a drawing of up to a dozen things side by side, on and in each other."""
    drawing = sheet()
    for _ in range(source.randrange(1, 13)):
        _add(source, drawing, drawing.root, depth=0)
    return drawing


def _add(source: random.Random, drawing: SvgBuilder, parent: etree._Element, depth: int) -> None:
    kind = source.choice(_KINDS)
    element = _made(source, drawing, parent, kind)
    if element is None:
        return
    if source.random() < 0.2:
        element.set("transform", source.choice(_TRANSFORMS))
    if source.random() < 0.06:
        drawing.hide(element)
    if source.random() < 0.06:
        drawing.lock(element)
    if kind in ("group", "layer") and depth < 3:
        for _ in range(source.randrange(6)):
            _add(source, drawing, element, depth + 1)


def _made(
    source: random.Random, drawing: SvgBuilder, parent: etree._Element, kind: str
) -> etree._Element | None:
    x, y = source.randrange(0, 1500, 50), source.randrange(0, 1000, 50)
    wide, high = source.choice((5, 20, 60, 200, 300)), source.choice((20, 100, 200, 400))
    closed = {"lay": _details(source)}
    role = {"lay": {"role": source.choice(_ROLES)} if source.random() < 0.5 else {}}
    match kind:
        case "rect":
            return drawing.add_rect(x, y, wide, high, parent, **closed)
        case "circle":
            return drawing.add("circle", parent, cx=x, cy=y, r=wide / 2, lay=closed["lay"])
        case "curve":
            data = f"M {x} {y} c 0 0 {wide} {high} {wide} 0 s 30 90 0 100 z"
            return drawing.add_path(data, parent, **closed)
        case "line":
            end = x + source.choice((0, 50)), y + source.choice((100, 300))
            return drawing.add_line((x, y), end, parent, **role)
        case "text":
            return drawing.add_text("Front", x, y, parent, font_size=20)
        case "group":
            return drawing.add_group(parent, **closed)
        case "layer":
            return drawing.add_layer("Layer", parent)
    shown = [each for each in drawing.root if each.get("id") and each is not parent]
    above = set(parent.iterancestors())
    free = [each for each in shown if each not in above]
    return drawing.add_use(source.choice(free), parent, x=x) if free else None


def _details(source: random.Random) -> dict[str, str]:
    names = [name for name in _DETAILS if source.random() < 0.08]
    return {name: source.choice(_DETAILS[name]) for name in names}
