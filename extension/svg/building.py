# SPDX-License-Identifier: GPL-2.0-or-later
"""Small builder of SVG elements: 10-digit numbers, one order of attributes, ids that are free."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from lxml import etree

from extension.language.names import NAMESPACE, PREFIX
from extension.svg.identities import INKSCAPE, SODIPODI, SVG
from nesting.model import Point

XML_SPACE = "{http://www.w3.org/XML/1998/namespace}space"
NSMAP: Any = {None: SVG, "inkscape": INKSCAPE, "sodipodi": SODIPODI, PREFIX: NAMESPACE}
"""`Any`, because the type hints of lxml forget that a default namespace has no prefix."""


def svg(tag: str) -> str:
    """Return a tag in the form lxml wants."""
    return f"{{{SVG}}}{tag}"


def inkscape(name: str) -> str:
    """Return an attribute name of the editor in the form lxml wants."""
    return f"{{{INKSCAPE}}}{name}"


def sodipodi(name: str) -> str:
    """Return an attribute name of the editor's older namespace in the form lxml wants."""
    return f"{{{SODIPODI}}}{name}"


def number(value: float) -> str:
    """Return a number with 10 significant digits; nothing under a tenth of a nanometre is kept."""
    if abs(value) < 1e-10:
        return "0"
    return f"{value:.10g}"


def style(properties: Mapping[str, str | float]) -> str:
    """Return the text of a style attribute, in the order given."""
    return ";".join(
        f"{name}:{value if isinstance(value, str) else number(value)}"
        for name, value in properties.items()
    )


def path_data(points: Iterable[Point], *, closed: bool) -> str:
    """Return path data of straight lines through the points, of which there is at least one."""
    pairs = [f"{number(x)},{number(y)}" for x, y in points]
    return f"M {' L '.join(pairs)}{' Z' if closed else ''}"


def element(
    tag: str, attributes: Mapping[str, str | float], children: Sequence[etree._Element] = ()
) -> etree._Element:
    """Return an SVG element; numbers are written with 10 digits."""
    made = etree.Element(svg(tag), nsmap=NSMAP)
    for name, value in attributes.items():
        made.set(name, value if isinstance(value, str) else number(value))
    made.extend(children)
    return made


def group(
    id_: str,
    label: str,
    children: Sequence[etree._Element] = (),
    attributes: Mapping[str, str | float] | None = None,
) -> etree._Element:
    """Return a group with an id and the label that the editor shows."""
    return element("g", {"id": id_, inkscape("label"): label, **(attributes or {})}, children)


def layer(
    id_: str,
    label: str,
    children: Sequence[etree._Element] = (),
    attributes: Mapping[str, str | float] | None = None,
) -> etree._Element:
    """Return a group that the editor shows as a layer."""
    return group(id_, label, children, {inkscape("groupmode"): "layer", **(attributes or {})})


class FreeIds:
    """Hands out ids that the document does not use yet, the same ones in every run."""

    def __init__(self, root: etree._Element) -> None:
        self._taken = {str(node.get("id")) for node in root.iter(etree.Element) if node.get("id")}

    def take(self, wanted: str) -> str:
        """Return `wanted`, with a number behind it when the document has that id already."""
        free, count = wanted, 1
        while free in self._taken:
            count += 1
            free = f"{wanted}-{count}"
        self._taken.add(free)
        return free
