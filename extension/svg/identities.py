# SPDX-License-Identifier: GPL-2.0-or-later
"""What an element is called and what is written on it: kind, id, label, our attributes, clones."""

from __future__ import annotations

import contextlib
import json
import re

from lxml import etree

from extension.language.names import NAMESPACE, RESULT_LAYERS, lay

SVG = "http://www.w3.org/2000/svg"
INKSCAPE = "http://www.inkscape.org/namespaces/inkscape"
SODIPODI = "http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"
_SVG = f"{{{SVG}}}"
_CALLED = lay("called")
_OUR_LAYERS = tuple(map(lay, (*RESULT_LAYERS, "joined", "sheet")))
_SHEET_OF = lay("sheet-of")
_HREFS = ("href", "{http://www.w3.org/1999/xlink}href")


_MADE = re.compile(
    r"(?:path|rect|circle|ellipse|polygon|polyline|line|g|use|svg|symbol|sheet|joined|SVGID|XMLID)"
    r"[-_]?\d[\w-]*\+*"
)
"""Ids that an editor or a command of ours makes; `front2` is one that a person wrote."""


def is_made_id(object_id: str) -> bool:
    """Return whether an id was made by a program, so that it says nothing to a person."""
    return all(_MADE.fullmatch(part) for part in object_id.split("/"))


def kind_of(element: etree._Element) -> str:
    """Return the tag of an SVG element without its namespace; "" for everything else."""
    tag = element.tag
    if isinstance(tag, str) and tag.startswith(_SVG):
        return tag.removeprefix(_SVG)
    return ""


def label_of(element: etree._Element) -> str:
    """Return the name that a person gave an object in the editor, "" when there is none.

    What we named ourselves says so a second time, for files without the editor's own attributes
    ("Plain SVG").
    """
    label = element.get(f"{{{INKSCAPE}}}label") or element.get(_CALLED) or ""
    return str(label).strip()


def is_layer(element: etree._Element) -> bool:
    """Return whether a group is a layer of the editor, or was drawn by us as one.

    A "Plain SVG" has lost the editor's word for it; ours stays.
    """
    if element.get(f"{{{INKSCAPE}}}groupmode") == "layer":
        return True
    return kind_of(element) == "g" and any(element.get(name) is not None for name in _OUR_LAYERS)


def is_locked(element: etree._Element) -> bool:
    """Return whether the element itself is locked in the editor."""
    return element.get(f"{{{SODIPODI}}}insensitive") in ("true", "1")


def lay_attributes(element: etree._Element) -> dict[str, str]:
    """Return our attributes that stand on an element, by their names without the prefix."""
    start = f"{{{NAMESPACE}}}"
    return {
        str(name).removeprefix(start): str(value)
        for name, value in element.attrib.items()
        if str(name).startswith(start)
    }


def plain_attributes(element: etree._Element) -> dict[str, str]:
    """Return the attributes of an element as text by name."""
    return {str(name): str(value) for name, value in element.attrib.items()}


def put_together(root: etree._Element) -> frozenset[str]:
    """Return the ids of what a sheet stands in for: pages that were put together to it."""
    found: set[str] = set()
    for element in root.iter(f"{_SVG}g"):
        with contextlib.suppress(ValueError):
            names = json.loads(element.get(_SHEET_OF) or "[]")
            found.update(map(str, names) if isinstance(names, list) else ())
    return frozenset(found)


def described(object_id: str, name: str, seen: str) -> str:
    """Return how messages call an object: by its name, or by what is `seen` of it, never by its id.

    The id follows in brackets, for those who look for it in the file.
    """
    if name == object_id:
        return f"“{name}”"
    return f"“{name}” ({object_id})" if name else f"{seen} ({object_id})"


class Identities:
    """The ids of one drawing, with made ones for objects that have none.

    An object without an id is called by its kind and its number among all of that kind, like
    `path-3`: what is added at the end of a drawing does not rename what was there before.
    """

    def __init__(self, root: etree._Element) -> None:
        self._elements: dict[str, etree._Element] = {}
        nameless: list[tuple[etree._Element, str]] = []
        counts: dict[str, int] = {}
        for element in root.iter(f"{_SVG}*"):
            kind = kind_of(element)
            counts[kind] = counts.get(kind, 0) + 1
            object_id = element.get("id")
            if object_id:
                self._elements.setdefault(object_id, element)
            else:
                nameless.append((element, f"{kind}-{counts[kind]}"))
        self._made = {element: self._unused(name) for element, name in nameless}

    def id_of(self, element: etree._Element) -> str:
        """Return the id of an element, or the one made for it."""
        return element.get("id") or self._made.get(element, "")

    def find(self, object_id: str) -> etree._Element | None:
        """Return the first element with an id, given or made; None when there is none."""
        if object_id in self._elements:
            return self._elements[object_id]
        return next((found for found, made in self._made.items() if made == object_id), None)

    def shown_by(self, element: etree._Element) -> etree._Element | None:
        """Return what a clone or a text path refers to; None when nothing is there.

        Raises ValueError when it refers to another file.
        """
        reference = next((element.get(name) for name in _HREFS if element.get(name)), "") or ""
        reference = reference.strip()
        if reference and not reference.startswith("#"):
            raise ValueError(reference[:40])
        return self._elements.get(reference[1:])

    def _unused(self, name: str) -> str:
        """Return a made name that no object has."""
        while name in self._elements:
            name += "+"
        return name
