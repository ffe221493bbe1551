# SPDX-License-Identifier: GPL-2.0-or-later
"""A drawing that shows a fault made smaller, as long as it shows the same fault."""

from __future__ import annotations

import time
from collections.abc import Callable

from lxml import etree


def smallest(data: bytes, shows: Callable[[bytes], bool], seconds: float = 20.0) -> bytes:
    """Return a drawing with elements and attributes taken away, as many as can be in the time."""
    try:
        root = etree.fromstring(data, etree.XMLParser(resolve_entities=False))
    except etree.XMLSyntaxError:
        return data
    plain = etree.tostring(root)
    if not shows(plain):
        return data
    end = time.monotonic() + seconds
    best, place = plain, 0
    while time.monotonic() < end:
        root = etree.fromstring(best)
        every = list(root.iterdescendants())
        if place >= len(every):
            break
        node = every[place]
        parent = node.getparent()
        assert parent is not None
        parent.remove(node)
        tried = etree.tostring(root)
        if shows(tried):
            best = tried
        else:
            place += 1
    return best
