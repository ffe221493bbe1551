# SPDX-License-Identifier: GPL-2.0-or-later
"""inkex's element classes for our own strict reader, with every attribute as it stands in the file.

inkex's own `get` hands out what it makes of a transform, a style or a class, its `set` writes that,
and what is added to its trees gets other ids where it thinks that they are taken. So what lxml can
do stays lxml's (prefixes in names are understood all the same), and the rest is inkex's. Its table
of ids is made when it is first asked for, does not see what is added later, and knows the last
of an id, whatever it is: what is selected is looked up by ours.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from inkex.elements._parser import NodeBasedLookup
from inkex.elements._utils import NSS
from lxml import etree


def in_full(name: str) -> str:
    """Return a name such as `inkscape:label` as lxml wants it; others are as they are."""
    prefix, colon, local = name.partition(":")
    return f"{{{NSS[prefix]}}}{local}" if colon and prefix in NSS else name


class AsWritten:
    """What lxml can do with an element, before a class of inkex's that does it otherwise."""

    def __init_subclass__(cls) -> None:
        """Keep the class out of the table by which inkex's own parser chooses."""

    def get(self, name: str, default: str | None = None) -> str | None:
        """Return an attribute as it stands in the file."""
        return etree.ElementBase.get(self, in_full(name), default)  # type: ignore[call-overload, no-any-return]

    def set(self, name: str, value: object) -> None:
        """Write an attribute as it is given."""
        etree.ElementBase.set(self, in_full(name), str(value))  # type: ignore[arg-type]

    append = etree.ElementBase.append
    addnext = etree.ElementBase.addnext
    addprevious = etree.ElementBase.addprevious
    clear = etree.ElementBase.clear
    extend = etree.ElementBase.extend
    insert = etree.ElementBase.insert
    remove = etree.ElementBase.remove
    replace = etree.ElementBase.replace


@cache
def as_written(kind: type) -> type:
    """Return a class of inkex's with what lxml can do before it."""
    return type(kind)(kind.__name__, (AsWritten, kind), {"__module__": kind.__module__})


class Elements(NodeBasedLookup):  # type: ignore[misc]
    """Chooses the class of an element as inkex does."""

    def lookup(self, doc: Any, element: Any) -> type | None:
        """Return the class for an element; None for what is none, such as a comment."""
        kind = super().lookup(doc, element)
        return None if kind is None else as_written(kind)


ELEMENTS = Elements()
"""For the parser of `extension.svg.document`."""
