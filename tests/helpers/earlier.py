# SPDX-License-Identifier: GPL-2.0-or-later
"""Drawings as other hands leave them: as an earlier version wrote them, and without labels."""

from __future__ import annotations

from lxml import etree

from extension.names import lay

EDITOR = (
    "{http://www.inkscape.org/namespaces/inkscape}",
    "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}",
)
SVG = "{http://www.w3.org/2000/svg}"
NEW = ("decoration", "holds", "called")


def as_written_earlier(root: etree._Element) -> None:
    """Make a drawing what the version wrote that knew its decoration by ids: in one row each."""
    for layer in root.iter(f"{SVG}g"):
        prefix = str(layer.get("id"))
        if layer.get(lay("layout")) or layer.get(lay("review")):
            for count, node in enumerate(layer.iter(etree.Element), start=1):
                if _is_unnamed(node):
                    node.set("id", f"{prefix}-item-{count}")
    for node in root.iter(etree.Element):
        for name in NEW:
            node.attrib.pop(lay(name), "")


def _is_unnamed(node: etree._Element) -> bool:
    """Return whether the earlier version gave an element its number for a name."""
    words = str(node.get("id", "item")).split("-")
    is_decoration = node.get(lay("decoration"), "part").split()[0] in ("cloth", "measures")
    return is_decoration or "item" in words


def without_the_editor(root: etree._Element) -> None:
    """Drop all that the editor drops from a "Plain SVG": its own elements and attributes."""
    for node in list(root.iter(etree.Element)):
        if str(node.tag).startswith(EDITOR):
            parent = node.getparent()
            assert parent is not None
            parent.remove(node)
        for name in list(node.attrib):
            if str(name).startswith(EDITOR):
                del node.attrib[name]
