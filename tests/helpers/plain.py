# SPDX-License-Identifier: GPL-2.0-or-later
"""Drawings as they are saved without the editor's own notes."""

from __future__ import annotations

from lxml import etree

EDITOR = (
    "{http://www.inkscape.org/namespaces/inkscape}",
    "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}",
)


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
