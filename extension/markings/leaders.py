# SPDX-License-Identifier: GPL-2.0-or-later
"""Leader lines: the line that leads from a label to the piece it belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Point as Spot

from extension.markings.blocks import Block
from extension.markings.strokes import MEET, strokes_of
from extension.pieces.objects import draws
from extension.svg.model import Leaf
from nesting.model import Point

STARTS = 1.0
"""Font sizes from a label to the line that leads from it, at most."""
STARTS_MM = 3.0
"""mm, the same at least."""
MOST_CORNERS = 5
"""A line with more corners is none that leads: a shelf under the words, a bend, a head."""


@dataclass(frozen=True, eq=False, slots=True)
class Leader:
    """A line that begins at a label: the point it leads to, and the leaves that it is drawn by."""

    tip: Point
    leaves: tuple[Leaf, ...]


class Leaders:
    """Finds the lines that lead from labels, among the open lines of a drawing."""

    def __init__(self, leaves: Sequence[Leaf], blocks: Sequence[Block]) -> None:
        self._strokes = strokes_of(_near(leaves, blocks))
        ends = [p for stroke in self._strokes for p in (stroke.points[0], stroke.points[-1])]
        self._tree = shapely.STRtree([Spot(point) for point in ends])

    def of(self, block: Block) -> list[Leader]:
        """Return the lines that begin at a label and end away from it."""
        if not self._strokes:
            return []
        reach = _reach(block)
        found: list[Leader] = []
        for hit in sorted(int(each) for each in self._tree.query(block.area, "dwithin", reach)):
            stroke = self._strokes[hit // 2]
            tip = stroke.points[-1 if hit % 2 == 0 else 0]
            away = float(block.area.distance(Spot(tip)))
            if len(stroke.points) <= MOST_CORNERS and away > 2.0 * reach:
                found.append(Leader(tip, stroke.leaves))
        return found


def _reach(block: Block) -> float:
    return max(STARTS * block.height, STARTS_MM)


def _near(leaves: Sequence[Leaf], blocks: Sequence[Block]) -> list[Leaf]:
    """Return the leaves with an open line that ends beside a label, or where such a line ends."""
    open_ones = [
        leaf
        for leaf in leaves
        if leaf.rings
        and not leaf.text
        and draws(leaf)
        and not any(ring.closed or len(ring.points) < 2 for ring in leaf.rings)
    ]
    if not open_ones or not blocks:
        return []
    ends = [
        p for leaf in open_ones for ring in leaf.rings for p in (ring.points[0], ring.points[-1])
    ]
    whose = np.array(
        [place for place, leaf in enumerate(open_ones) for _ in leaf.rings for _ in (0, 1)]
    )
    tree = shapely.STRtree(shapely.points(ends))
    kept: set[int] = set()
    for block in blocks:
        kept |= set(whose[tree.query(block.area, "dwithin", distance=_reach(block))].tolist())
    tips = [place for place, owner in enumerate(whose.tolist()) if owner in kept]
    for place in tips:
        hits = tree.query(Spot(ends[place]), "dwithin", distance=MEET)
        kept |= set(whose[hits].tolist())
    return [open_ones[place] for place in sorted(kept)]
