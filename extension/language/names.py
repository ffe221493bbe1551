# SPDX-License-Identifier: GPL-2.0-or-later
"""Names that are ours: the attribute namespace, and the words attributes and marks may take."""

from __future__ import annotations

NAMESPACE = "urn:thriftlay:1"
PREFIX = "lay"


def lay(name: str) -> str:
    """Return an attribute name of ours in the form lxml wants, `{urn:thriftlay:1}name`."""
    return f"{{{NAMESPACE}}}{name}"


PIECE_ATTRIBUTES = {
    "name": "Left sleeve",
    "size": "38",
    "leave-out": "yes",
    "priority": "1",
    "cut": "2 main; 1 interfacing; 2 lining same",
    "hand": "mirrored",
    "side-up": "face",
    "grain": "up",
    "fold": "line12",
    "drawn": "(a fingerprint of the outline, written by Set Cutting Details)",
    "top": "end",
    "turns": "two-way",
    "turns-on-nap": "allow",
    "off-grain": "2deg",
    "allowance": "15mm",
    "match": "shoulder 120mm 80mm",
    "role": "grainline",
    "one-side": "yes",
    "read": '{"cut": "2", "name": "Front"}',
}
"""Every attribute that may stand on a piece or on a mark of it, with an example.

`read` is written by Read Pattern Markings: what it set, so that what she set by hand is known."""

RESULT_ATTRIBUTES = {
    "layout": "1",
    "settings": '{"options": {"fabric_width_mm": 1400}, "result": {"length_mm": 1840}}',
    "holds": "cloth",
    "called": "Layout 1 – 140 cm, main",
    "legend": '["1 = Tab"]',
    "decoration": "measures 3",
    "review": "thriftlay-1",
    "table": "1",
    "of": "path12",
    "copy": "2",
    "turned": "180",
    "flipped": "yes",
    "held": "yes",
    "sign": "held",
    "joined": "1",
    "joined-from": '["path12", "path14"]',
    "dashes": "8 2 1 2",
}
"""Every attribute that we write on layers of ours and on what lies on them."""

RESULT_LAYERS = ("layout", "review", "table")
"""Attributes of the layers that we draw: nothing on them is ever a piece."""

ROLES = ("outline", "grainline", "fold", "notch", "mark", "label", "stitching")
