# SPDX-License-Identifier: GPL-2.0-or-later
"""What we draw round parts and on pieces, known by an attribute of ours on each element of it.

An id tells nothing: the editor gives ids like ours to what a person copies. So everything that we
may draw anew says so itself (`lay:decoration`: of what kind, and which one of its layer); all else
is hers and stays, wherever it lies. Hers are also a copy of a decoration, a text of ours that she
has written anew, and what she put into a group of ours.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal
from zlib import crc32

from lxml import etree

from extension.language.names import RESULT_LAYERS, lay

Kind = Literal["cloth", "measures", "part", "check", "markings", "joined", "table", "sheet"]
"""What a decoration belongs to; those of a `part` are drawn once and then move with it."""

DECORATION = lay("decoration")
USABLE_CLOTH = "cloth 1"
"""What the area between the selvedges says."""
_SPACE = re.compile(r"\s+")


def declare(drawn: Iterable[etree._Element], kind: Kind, stem: str = "") -> None:
    """Say of elements, and all in them, that they are decoration: the first number 1.

    A text says, too, which words it was given; what is in it belongs to it. With a `stem` they
    get ids that end in their numbers, so that what is drawn anew has the id that it had before:
    her clones of it go on showing it.
    """
    number = 0
    for one in drawn:
        for node in _with_inner(one):
            number += 1
            words = f" {_digest(node)}" if _is_text(node) else ""
            node.set(DECORATION, f"{kind} {number}{words}")
            if stem:
                node.set("id", f"{stem}-{number}")


def declare_place(group: etree._Element, kind: Kind, stem: str) -> None:
    """Say of a group round decoration, which only puts it in its place, that it is ours."""
    group.set(DECORATION, f"{kind} 0")
    group.set("id", f"{stem}-0")


def declare_part(drawn: Iterable[etree._Element]) -> None:
    """Say of the marks and the label of a part, and of all in them, that we drew them."""
    for one in drawn:
        for node in _with_inner(one):
            node.set(DECORATION, "part")


def declare_line(line: etree._Element) -> None:
    """Say of a line on a piece that we drew it, and how, so that she may correct it."""
    line.set(DECORATION, f"line {_look(line)}")


def is_as_drawn(line: etree._Element) -> bool:
    """Return whether a line that we drew on a piece is as it was drawn."""
    return line.get(DECORATION) == f"line {_look(line)}"


def decoration_of(node: etree._Element) -> str:
    """Return the kind of decoration that an element is, "" for everything else.

    A text of ours that says something else by now is hers.
    """
    kind, _, rest = node.get(DECORATION, "").partition(" ")
    digest = rest.partition(" ")[2]
    return "" if _is_text(node) and digest != _digest(node) else kind


def take_away(within: etree._Element, kind: Kind) -> None:
    """Remove all decoration of a kind from a layer; all else stays, groups round it as well.

    Layers of ours that lie within are left alone.
    """
    seen: set[str] = set()
    ours = []
    for node in inside(within):
        number = " ".join(node.get(DECORATION, "").split()[:2])
        # Her copy of a decoration has the number of what it was copied from and lies above it.
        if decoration_of(node) == kind and number not in seen:
            ours.append(node)
        seen.add(number)
    remove_all(ours)


def remove_all(nodes: Sequence[etree._Element]) -> None:
    """Remove elements, given in document order, but no group in which there is something else."""
    for node in reversed(nodes):
        parent = node.getparent()
        if parent is not None and (_is_text(node) or len(node) == 0):
            parent.remove(node)


def take_layer_away(layer: etree._Element, kind: Kind) -> None:
    """Remove a layer that is decoration as a whole, unless something of hers lies on it."""
    take_away(layer, kind)
    if decoration_of(layer) == kind:
        remove_all([layer])


def lies_on_ours(node: etree._Element) -> bool:
    """Return whether an element is, or lies on, a layer that we draw and that is never read."""
    lines = (node, *node.iterancestors())
    return any(one.get(lay(name)) is not None for one in lines for name in RESULT_LAYERS)


def inside(within: etree._Element) -> Iterator[etree._Element]:
    """Yield every element in a layer, in document order, but none of other layers of ours."""
    for child in within.iterchildren(etree.Element):
        if not any(child.get(lay(name)) is not None for name in RESULT_LAYERS):
            yield child
            yield from () if _is_text(child) else inside(child)


def _with_inner(node: etree._Element) -> Iterator[etree._Element]:
    """Yield an element and all in it, but nothing that is in a text."""
    yield node
    if not _is_text(node):
        for child in node.iterchildren(etree.Element):
            yield from _with_inner(child)


def _is_text(node: etree._Element) -> bool:
    """Return whether an element is a text."""
    return isinstance(node.tag, str) and etree.QName(node).localname == "text"


def _look(line: etree._Element) -> str:
    """Return what tells where and how a line is drawn."""
    told = "|".join(line.get(name, "") for name in ("d", "transform", "style"))
    return f"{crc32(told.encode()):08x}"


def _digest(node: etree._Element) -> str:
    """Return what tells the words of a text, however the editor breaks its lines."""
    words = _SPACE.sub("", "".join(map(str, node.itertext())))
    return f"{crc32(words.encode()):08x}"
