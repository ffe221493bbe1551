# SPDX-License-Identifier: GPL-2.0-or-later
"""Copies of drawn things as real geometry of their own: no clones, no classes, look written out."""

from __future__ import annotations

import copy
import re
from collections.abc import Mapping

from lxml import etree

from extension.drawn.frames import transform_text
from extension.language.names import NAMESPACE
from extension.svg.building import XML_SPACE, element, number
from extension.svg.building import style as style_text
from extension.svg.model import Leaf, Matrix
from extension.svg.texts import TEXTS
from extension.svg.transforms import multiply

_XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
_TEXT = ("x", "y", "dx", "dy", "rotate", "textLength", "lengthAdjust", XML_SPACE)
_IMAGE = ("x", "y", "width", "height", "preserveAspectRatio", "href", _XLINK_HREF)
_MEASURED = ("rect", "circle", "ellipse", "line", "image")
_ACROSS = ("x", "cx", "x1", "x2", "width", "rx")
_DOWN = ("y", "cy", "y1", "y2", "height", "ry")
_RELATIVE = re.compile(r"(?:%|em|ex)\s*$", re.IGNORECASE)
_GEOMETRY: dict[str, tuple[str, ...]] = {
    "path": ("d",),
    "rect": ("x", "y", "width", "height", "rx", "ry"),
    "circle": ("cx", "cy", "r"),
    "ellipse": ("cx", "cy", "rx", "ry"),
    "line": ("x1", "y1", "x2", "y2"),
    "polyline": ("points",),
    "polygon": ("points",),
    "text": _TEXT,
    "image": _IMAGE,
}
"""What makes the geometry of an element; all else is look, names, or the editor's own notes."""


def copied(
    leaf: Leaf, to_sheet: Matrix, look: Mapping[str, str | float] | None = None
) -> etree._Element:
    """Return a copy of a leaf as it lies on the sheet; its look is the leaf's own unless given."""
    tag = etree.QName(leaf.element).localname
    made = element(tag, {})
    for name in _GEOMETRY.get(tag, ()):
        value = leaf.element.get(name)
        if value is not None:
            made.set(name, _settled(name, value, leaf) if tag in _MEASURED else value)
    made.set("style", style_text(dict(sorted(leaf.style.items())) if look is None else look))
    made.set("transform", transform_text(multiply(to_sheet, leaf.matrix)))
    if tag in TEXTS:
        made.text = leaf.element.text
        made.extend(_bare(child) for child in leaf.element.iterchildren(etree.Element))
    return made


def _settled(name: str, value: str, leaf: Leaf) -> str:
    """Return a length in percentages or letters as what it is where its element stands.

    On the layout these would be other ones.
    """
    if not _RELATIVE.search(value):
        return value
    axis = "x" if name in _ACROSS else "y" if name in _DOWN else ""
    return number(leaf.measures.of({name: value}, name, axis))


def _bare(child: etree._Element) -> etree._Element:
    """Return a deep copy of a part of a text without ids and attributes of ours."""
    bare = copy.deepcopy(child)
    for node in bare.iter(etree.Element):
        for name in list(node.attrib):
            if name == "id" or str(name).startswith(f"{{{NAMESPACE}}}"):
                del node.attrib[name]
    etree.cleanup_namespaces(bare)
    return bare


def is_text(leaf: Leaf) -> bool:
    """Return whether a leaf is a text."""
    return etree.QName(leaf.element).localname in TEXTS
