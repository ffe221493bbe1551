# SPDX-License-Identifier: GPL-2.0-or-later
"""Names that are ours: the attribute namespace, and the attributes that we write on results.

Those that stand on pieces and marks are named where they are read: `pieces/attributes.py`.
"""

from __future__ import annotations

NAMESPACE = "urn:thriftlay:1"
PREFIX = "lay"


def lay(name: str) -> str:
    """Return an attribute name of ours in the form lxml wants, `{urn:thriftlay:1}name`."""
    return f"{{{NAMESPACE}}}{name}"


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
    "section": "2",
    "layers": "2",
    "on-fold": "yes",
    "held": "yes",
    "sign": "held",
    "sheet": "1",
    "sheet-of": '["g12", "path14"]',
    "joined": "1",
    "joined-from": '["path12", "path14"]',
    "dashes": "8 2 1 2",
}
"""Every attribute that we write on layers of ours and on what lies on them."""

RESULT_LAYERS = ("layout", "review", "table")
"""Attributes of the layers that we draw: nothing on them is ever a piece."""
