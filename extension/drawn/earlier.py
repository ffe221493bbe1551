# SPDX-License-Identifier: GPL-2.0-or-later
"""What an earlier version drew, before decoration said of itself what it is (`lay:decoration`).

Such layouts tell by ids alone what is ours, and ids prove little: parts and what lies on them were
numbered in one row with cloth and measures. So only what can be nothing else is taken for ours: a
plain line, area or text with an id of exactly the form that was given, without any note on it, and
with a number that no part of the layout can have. What is in doubt stays, and an old length may
then stand beside the new one: better than the loss of something of hers. A layout that has been
renewed once says all of it by itself.
"""

from __future__ import annotations

import re

from lxml import etree

from extension.svg.decoration import DECORATION, Kind, inside
from extension.svg.identities import kind_of, lay_attributes

EARLIER = "earlier"
"""What a sublayer says of itself beside what it holds, as long as it was not drawn anew."""
LAST_OF_CLOTH = 20.0
"""The highest number of cloth: 17 or 18 elements after two layers; no outline had less than 22."""
_PLAIN = ("text", "path", "rect", "g")
_FIRST = re.compile(r"thriftlay-\d+-item-(\d+)")
_RENEWED = {
    "cloth": re.compile(r"thriftlay-\d+-cloth-\d+"),
    "measures": re.compile(r"thriftlay-\d+-measures-\d+"),
}


def drawn_earlier(number: str, sublayer: etree._Element, kind: Kind) -> list[etree._Element]:
    """Return what an earlier version drew as cloth or measures, in document order.

    `number` is that of the layout (`lay:layout`).
    """
    low, high = _numbers(number, sublayer, kind)
    return [node for node in inside(sublayer) if _is_plain(node) and _fits(node, kind, low, high)]


def marks_drawn_earlier(review: etree._Element, name: str) -> list[etree._Element]:
    """Return what an earlier version drew on a layer of marks, the layer first; or nothing.

    `name` is the id that it gave to such a layer.
    """
    form = re.compile(re.escape(name) + r"(-(\d+|numbers|list|pieces|item-\d+))?")
    if review.get(DECORATION) is not None or _id(review) != name:
        return []
    plain = (*_PLAIN, "circle")
    ours = [one for one in inside(review) if form.fullmatch(_id(one)) and kind_of(one) in plain]
    return [review, *(one for one in ours if not lay_attributes(one))]


def is_drawn_earlier(id_: str) -> bool:
    """Return whether an id has the form that an earlier version gave to what is on a layout."""
    return any(form.fullmatch(id_) for form in (_FIRST, *_RENEWED.values()))


def _numbers(number: str, sublayer: etree._Element, kind: Kind) -> tuple[float, float]:
    """Return the lowest and highest number in the row that only a decoration can have.

    The cloth came first in the row, then the parts. Measures came last, and their title
    was the first of them: without it nobody can say where they begin.
    """
    if kind == "cloth":
        return 0.0, LAST_OF_CLOTH
    title = f"Layout {number} – "
    for child in sublayer.iterchildren("{*}text"):
        found = _FIRST.fullmatch(_id(child))
        if found and "".join(map(str, child.itertext())).strip().startswith(title):
            return float(found[1]), float("inf")
    return 1.0, 0.0


def _fits(node: etree._Element, kind: Kind, low: float, high: float) -> bool:
    """Return whether an id can only be that of a decoration."""
    found = _FIRST.fullmatch(_id(node))
    if found:
        return low <= int(found[1]) <= high
    return _RENEWED[kind].fullmatch(_id(node)) is not None


def _is_plain(node: etree._Element) -> bool:
    """Return whether an element is a line, an area or a text that carries no note."""
    return kind_of(node) in _PLAIN and not lay_attributes(node)


def _id(node: etree._Element) -> str:
    """Return the id of an element, "" without one."""
    return str(node.get("id", ""))
