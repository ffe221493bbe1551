# SPDX-License-Identifier: GPL-2.0-or-later
"""Which attributes came from an earlier reading: `lay:read` keeps them, so that hers are known.

It holds the attributes that reading wrote on an object, as JSON. One whose value is still the same
is ours to replace; one that differs was set by hand since. A line that reading drew has an empty
one and is drawn anew each time, as long as it is as it was drawn (`lay:decoration` tells that): one
that she has corrected since, or that an earlier version drew without saying how, is hers.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace

from lxml import etree

from extension.language.names import lay
from extension.svg.decoration import is_as_drawn
from extension.svg.identities import lay_attributes
from extension.svg.model import Leaf

READ = "read"
DRAWN_BY_US: Mapping[str, str] = {}
"""What `lay:read` holds on a line that reading drew."""


def remembered(attributes: Mapping[str, str]) -> dict[str, str] | None:
    """Return what an earlier reading wrote on an object; None when it wrote nothing."""
    text = attributes.get(READ)
    if text is None:
        return None
    try:
        values = json.loads(text)
    except ValueError:
        return {}
    if not isinstance(values, dict):
        return {}
    return {str(name): str(value) for name, value in values.items()}


def remember(values: Mapping[str, str]) -> str:
    """Return the text of `lay:read` for attributes that are written now."""
    return json.dumps(dict(sorted(values.items())), ensure_ascii=False)


def is_ours(node: etree._Element) -> bool:
    """Return whether an element is a line that an earlier reading drew, and as it drew it."""
    return node.get(lay(READ)) == remember(DRAWN_BY_US) and is_as_drawn(node)


def by_hand(attributes: Mapping[str, str]) -> dict[str, str]:
    """Return the attributes that an earlier reading did not write."""
    ours = remembered(attributes) or {}
    return {
        name: value
        for name, value in attributes.items()
        if name != READ and ours.get(name) != value
    }


def without_read(leaves: Sequence[Leaf]) -> list[Leaf]:
    """Return leaves as they were before an earlier reading."""
    return [
        replace(leaf, attributes=_by_hand(leaf)) if READ in leaf.attributes else leaf
        for leaf in leaves
        if not is_ours(leaf.element)
    ]


def _by_hand(leaf: Leaf) -> dict[str, str]:
    """Return the attributes of a leaf without what was read of it, or of what a clone shows."""
    shown = remembered(lay_attributes(leaf.element)) or {}
    kept = by_hand(leaf.attributes)
    return {name: value for name, value in kept.items() if shown.get(name) != value}
