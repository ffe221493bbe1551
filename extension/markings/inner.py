# SPDX-License-Identifier: GPL-2.0-or-later
"""Fold lines inside a piece, of a hem, a pleat or a waistband: they put it on no fold."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from shapely.geometry import LineString

from extension.labels.unfolded import says_on_fold
from extension.language.words import folded
from extension.markings.arrows import arrows_of
from extension.markings.blocks import Block
from extension.markings.foldmarks import WORDS_NEAR, is_bracket, straight_edges
from extension.markings.marking import bent_lines
from extension.markings.merging import is_about_fold_alone
from extension.pieces.objects import role_carrier
from extension.pieces.outlines import ClosedShape, drawn_lines
from extension.pieces.straight import Run, longest_run
from extension.svg.model import Leaf

SAME_WAY = 5.0
"""Degrees between words and the line that they are written along."""


def inner_folds(
    shape: ClosedShape, lines: Sequence[Leaf], blocks: Sequence[Block]
) -> tuple[Block, ...]:
    """Return the texts on a piece that say *fold* or *fold line*, and stand along a line inside it.

    What says *on fold* or *place on fold* is none of them, nor what stands by a bracket or arrow.
    """
    bare = [b for b in blocks if is_about_fold_alone(b) and not says_on_fold(b.text)]
    if not bare:
        return ()
    drawn = [leaf for leaf in lines if leaf.rings]
    signs = {
        leaf for stroke in bent_lines(drawn) if is_bracket(stroke.points) for leaf in stroke.leaves
    }
    signs |= {leaf for arrow in arrows_of(drawn) if arrow.has_head for leaf in arrow.leaves}
    edges = straight_edges(shape.outline)
    plain = [leaf for leaf in drawn if leaf not in signs]
    return tuple(block for block in bare if runs_along_inner_line(block, plain, edges, shape))


def runs_along_inner_line(
    block: Block, lines: Sequence[Leaf], edges: Sequence[Run], shape: ClosedShape
) -> bool:
    """Return whether words stand along a line inside an outline, not along an edge of it."""
    along, reach = block.lines[0].along, WORDS_NEAR * block.height
    inner = [
        block.area.distance(drawn_lines(leaf))
        for leaf in lines
        if _is_inner(leaf, shape) and _runs(leaf, along)
    ]
    beside = [
        block.area.distance(LineString([edge.start, edge.end]))
        for edge in edges
        if _parallel(np.subtract(edge.end, edge.start), along)
    ]
    return bool(inner) and min(inner) <= min(reach, *beside)


def _is_inner(leaf: Leaf, shape: ClosedShape) -> bool:
    """Return whether a line lies inside an outline and is no grainline of it."""
    carrier = role_carrier(leaf)
    if carrier is not None and folded(carrier.attributes["role"]) in ("grainline", "fold"):
        return False
    line = drawn_lines(leaf)
    inside = shape.polygon.buffer(-1.0)
    return bool(line.length and line.intersection(inside).length > 0.5 * line.length)


def _runs(leaf: Leaf, along: tuple[float, float]) -> bool:
    """Return whether the longest straight run of a line goes the way of `along`."""
    run = longest_run(leaf.rings)
    return run is not None and _parallel(np.subtract(run.end, run.start), along)


def _parallel(line: np.ndarray, along: tuple[float, float]) -> bool:
    length = float(np.hypot(*line))
    if length == 0.0:
        return False
    sine = abs(float(line[0] * along[1] - line[1] * along[0])) / length
    return sine <= math.sin(math.radians(SAME_WAY))
