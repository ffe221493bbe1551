# SPDX-License-Identifier: GPL-2.0-or-later
"""Flaws that she has drawn on the cloth of a layout: closed shapes on its layer that say so.

By `lay:role="flaw"`, or by being called “flaw” in the editor. Flaws that we drew are in the
settings of the layout already.
"""

from __future__ import annotations

from collections.abc import Sequence

from extension.language.words import folded
from extension.layouts.frame import Frame
from extension.pieces.outlines import closed_shape
from extension.svg.model import Leaf
from nesting.cloth.problem import outline_tuple
from nesting.model import Outline

WORD = "flaw"


def is_flaw(leaf: Leaf) -> bool:
    """Return whether a leaf on the layer of a layout is said to be a flaw, and is not of ours."""
    said = leaf.attributes.get("role", ""), leaf.label
    return "decoration" not in leaf.attributes and any(folded(one) == WORD for one in said if one)


def flaws_drawn(leaves: Sequence[Leaf], frame: Frame) -> tuple[Outline, ...]:
    """Return the flaws among the leaves of a layer as outlines on its cloth; hidden ones not."""
    shapes = [closed_shape(leaf) for leaf in leaves if is_flaw(leaf) and not leaf.hidden]
    return tuple(
        outline_tuple(frame.to_engine(shape.outline))
        for shape in shapes
        if shape is not None and not shape.polygon.is_empty
    )
