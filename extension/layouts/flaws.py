# SPDX-License-Identifier: GPL-2.0-or-later
"""Flaws that she has drawn on the cloth of a layout: closed shapes on its layer that say so.

By `lay:role="flaw"`, or by being called “flaw” in the editor. Flaws that we drew are in the
settings of the layout already. On folded cloth one counts as a flaw of the lower layer, as that
lies there.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from extension.drawn.lying import lies_wrong_side_up
from extension.layouts.frame import Frame
from extension.pieces.remnants import closed_flaw, says_flaw
from extension.svg.model import Group, Leaf
from nesting.cloth.problem import outline_tuple
from nesting.geometry.shapes import Points
from nesting.model import Outline, Sides


def is_flaw(leaf: Leaf) -> bool:
    """Return whether a leaf on the layer of a layout is said to be a flaw, and is not of ours."""
    carriers: tuple[Leaf | Group, ...] = (leaf, *leaf.groups)
    return says_flaw(leaf) and not any("decoration" in one.attributes for one in carriers)


def flaws_drawn(leaves: Sequence[Leaf], frame: Frame, sides: Sides) -> tuple[Outline, ...]:
    """Return the flaws among the leaves of a layer as outlines on its cloth; hidden ones not.

    `sides` are how folded cloth lies: what is drawn is seen on its lower layer. Raises DrawingError
    for one that is open.
    """
    shapes = [closed_flaw(leaf) for leaf in leaves if is_flaw(leaf) and not leaf.hidden]
    return tuple(
        outline_tuple(_on_flat_cloth(frame.to_engine(shape.outline), frame, sides))
        for shape in shapes
        if shape is not None
    )


def _on_flat_cloth(points: Points, frame: Frame, sides: Sides) -> Points:
    """Return points of the frame of a layout on the cloth as it is before it is folded."""
    section = frame.section_of(shapely.Polygon(points))
    if section is None:
        return points
    before = sum(one.section.length for one in frame.lying if one.number < section.number)
    x, y = points.T
    if lies_wrong_side_up(section.section, sides):
        y = frame.width - y
    return np.column_stack([x - section.start + before, y])
