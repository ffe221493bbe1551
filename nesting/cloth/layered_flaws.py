# SPDX-License-Identifier: GPL-2.0-or-later
"""Where flaws of the cloth lie on the table when it is folded.

A flaw lies on the flat cloth. Where that is folded it lies in one of the layers, and what is cut
through both may not lie over it in either: seen on the table, a flaw of the upper layer lies where
the fold mirrors it to.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from nesting.cloth.zones import known_depths
from nesting.geometry.clip import STEPS_PER_MM, common, from_grid, to_grid
from nesting.geometry.shapes import Points, counter_clockwise
from nesting.model import Fabric, Outline, Section

HAIR = 1e-3
"""mm: of a flaw that reaches over a fold or an edge no narrower strip lies on the other layer."""


def flaws_on_table(fabric: Fabric, section: Section, begin: float) -> tuple[Outline, ...]:
    """Return the flaws of cloth as they lie on the table in a section, those of both layers.

    The depths of the section are known, and it is not folded crosswise. x counts from its start,
    `begin` mm from the cut end; y is on its lower layer as if that were spread out.
    """
    if fabric.is_plain:
        return fabric.flaws
    (lower, upper), width = known_depths(section), fabric.width
    found: list[Outline] = []
    for flaw in fabric.flaws:
        flat = np.array(flaw) - (begin, 0.0)
        if fabric.sides == "apart" and not section.is_open:
            flat = _turned_over(flat, width / 2.0)  # its right side lies below
        seen = [flat]
        if lower > 0.0:
            seen += [_turned_over(part, lower) for part in _within(flat, 0.0, lower)]
        if upper > 0.0:
            fold = width - upper
            seen += [_turned_over(part, fold) for part in _within(flat, fold, width)]
        found += [_outline(one) for one in seen if _is_seen(one, lower, width - upper)]
    return tuple(found)


def _turned_over(points: Points, y: float) -> Points:
    """Return an outline turned over about a line along the cloth."""
    return np.column_stack([points[:, 0], 2.0 * y - points[:, 1]])


def _within(points: Points, low: float, high: float) -> Iterator[Points]:
    """Yield what of an outline lies in a strip along the cloth."""
    least, most = points.min(axis=0), points.max(axis=0)
    if low <= least[1] and most[1] <= high:
        yield points
    elif least[1] < high and low < most[1]:
        strip = [(least[0], low), (most[0], low), (most[0], high), (least[0], high)]
        ring = to_grid(counter_clockwise(points))
        for part in common(ring, to_grid(np.array(strip)), HAIR * STEPS_PER_MM):
            yield from_grid(part)


def _is_seen(points: Points, low: float, high: float) -> bool:
    """Return whether any of an outline lies on the table, which reaches from `low` to `high`."""
    least, most = points.min(axis=0), points.max(axis=0)
    return bool(most[0] > 0.0 and least[1] < high and low < most[1])


def _outline(points: Points) -> Outline:
    """Return points as an outline."""
    return tuple((float(x), float(y)) for x, y in points)
