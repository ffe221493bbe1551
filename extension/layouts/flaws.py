# SPDX-License-Identifier: GPL-2.0-or-later
"""Flaws that she has drawn on the cloth of a layout: closed shapes on its layer that say so.

By `lay:role="flaw"`, or by being called “flaw” in the editor. Flaws that we drew are in the
settings of the layout already. On folded cloth one counts as a flaw of the lower layer, as that
lies there. What lies beside the cloth is no flaw of it, and is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from extension.drawn.lying import lies_wrong_side_up
from extension.job.lying_flaws import FAR, rings_of
from extension.job.remnant import Remnant
from extension.language.words import listed
from extension.layouts.frame import Frame
from extension.pieces.objects import called
from extension.pieces.remnants import closed_flaw, says_flaw
from extension.svg.model import Group, Leaf
from nesting.cloth.problem import outline_tuple
from nesting.geometry.shapes import Points
from nesting.model import Outline, Sides


def is_flaw(leaf: Leaf) -> bool:
    """Return whether a leaf on the layer of a layout is said to be a flaw, and is not of ours."""
    carriers: tuple[Leaf | Group, ...] = (leaf, *leaf.groups)
    return says_flaw(leaf) and not any("decoration" in one.attributes for one in carriers)


def flaws_drawn(
    leaves: Sequence[Leaf], frame: Frame, sides: Sides, remnant: Remnant | None
) -> tuple[Outline, ...]:
    """Return the flaws among the leaves of a layer as outlines on its cloth; hidden ones not.

    `sides` are how folded cloth lies: what is drawn is seen on its lower layer. Raises DrawingError
    for one that is open.
    """
    found: list[Outline] = []
    for _, points in _drawn(leaves, frame):
        area = shapely.make_valid(shapely.Polygon(points))
        on_it = shapely.intersection(area, _cloth(area, frame, remnant))
        if on_it.area <= 0.0:
            continue
        # Beyond a fold there is no cloth, least of all that of the other layer.
        is_cut = bool(frame.lying) and on_it.area < area.area
        rings = [np.asarray(ring) for ring in rings_of(on_it)] if is_cut else [points]
        found += [outline_tuple(_on_flat_cloth(ring, frame, sides)) for ring in rings]
    return tuple(found)


def flaws_beside(leaves: Sequence[Leaf], frame: Frame, remnant: Remnant | None) -> str:
    """Return that flaws are drawn on a layer, but not on its cloth; "" where none is."""
    names = []
    for leaf, points in _drawn(leaves, frame):
        area = shapely.make_valid(shapely.Polygon(points))
        if shapely.intersection(area, _cloth(area, frame, remnant)).area <= 0.0:
            names.append(called(leaf))
    if not names:
        return ""
    lies, it = ("lies", "it") if len(names) == 1 else ("lie", "them")
    return (
        f"{listed(names, 8)} {lies} beside the cloth, so nothing is kept off {it}: move {it} onto "
        "the cloth as it is drawn."
    )


def _drawn(leaves: Sequence[Leaf], frame: Frame) -> Iterator[tuple[Leaf, Points]]:
    """Yield the flaws that are seen, with their outlines in the frame of the layout."""
    for leaf in leaves:
        shape = closed_flaw(leaf) if is_flaw(leaf) and not leaf.hidden else None
        if shape is not None:
            yield leaf, frame.to_engine(shape.outline)


def _cloth(area: shapely.Geometry, frame: Frame, remnant: Remnant | None) -> shapely.Geometry:
    """Return where there is cloth for what is drawn somewhere; behind its end it goes on."""
    if remnant is not None:
        return remnant.cloth
    section = frame.section_of(area)
    if section is None:
        return shapely.box(0.0, 0.0, FAR, frame.width)
    return shapely.box(section.start, section.low, FAR, section.high)


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
