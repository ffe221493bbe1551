# SPDX-License-Identifier: GPL-2.0-or-later
"""Drawn parts made dark on white, as a projector and a plotter need them."""

from __future__ import annotations

from lxml import etree

from extension.drawn.ink import dark_enough
from extension.language.names import NAMESPACE, lay
from extension.svg.building import number
from extension.svg.building import style as style_text
from extension.svg.scales import scale_of
from extension.svg.styles import parse_declarations
from extension.svg.transforms import multiply, parse_transform

BLACK = "#000000"
CUTTING = 0.8
"""mm: the line that is cut, if it was no wider."""
OTHERS = 0.4
"""mm: every other line, if it was no wider."""
_FAINT = ("opacity", "stroke-opacity", "fill-opacity")
_ELSEWHERE = ("marker-start", "marker-mid", "marker-end", "marker", "filter", "mask", "clip-path")
"""What points at definitions of the drawing that the page does not have."""


def strengthened(part: etree._Element) -> None:
    """Make every line of a part's group black and wide enough, and leave no area filled.

    Attributes that say what is a layout are taken away: the page is none.
    """
    for node in part.iter(etree.Element):
        is_outline = node is not part and node.get(lay("of")) is not None
        for name in [name for name in node.attrib if _is_ours(name)]:
            del node.attrib[name]
        if node.get("style"):
            node.set("style", _strong(node, CUTTING if is_outline else OTHERS))


def _is_ours(name: str | bytes) -> bool:
    """Return whether an attribute is one of ours."""
    return str(name).startswith(f"{{{NAMESPACE}}}")


def _strong(node: etree._Element, least: float) -> str:
    """Return the style of an element, dark on white; its lines are `least` mm wide or more."""
    plain, important = parse_declarations(node.get("style", ""))
    look = {**plain, **important}
    for name in (*_FAINT, *_ELSEWHERE):
        look.pop(name, None)
    is_text = etree.QName(node).localname in ("text", "tspan", "textPath")
    if look.get("stroke", "none") != "none":
        look["stroke"] = BLACK
        look["stroke-width"] = _width(look.get("stroke-width", ""), least, _scale(node))
    if is_text:
        look["fill"] = dark_enough(look.get("fill", "black"))
    elif look.get("stroke", "none") != "none":
        look["fill"] = "none"
    return style_text(look)


def _width(told: str, least: float, scale: float) -> str:
    """Return a width of a line in an element's own units, `least` mm or more."""
    try:
        width = float(told.removesuffix("px"))
    except ValueError:
        width = 0.0
    return number(max(width, least / scale))


def _scale(node: etree._Element) -> float:
    """Return how much an element is enlarged with all the groups round it."""
    matrix = parse_transform(node.get("transform"))
    for outer in node.iterancestors():
        matrix = multiply(parse_transform(outer.get("transform")), matrix)
    return scale_of(matrix) or 1.0
