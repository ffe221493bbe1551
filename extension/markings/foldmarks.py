# SPDX-License-Identifier: GPL-2.0-or-later
"""Which straight edge of an outline lies on the fold: by a bracket, a line on it, or its words."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry import LineString
from shapely.geometry import Point as Spot

from extension.markings.arrows import HEAD_REACH, Arrow, heads_at
from extension.markings.blocks import Block
from extension.markings.strokes import Stroke
from extension.pieces.folds import ON_EDGE
from extension.pieces.straight import Run, straight_runs
from extension.svg.model import Leaf
from nesting.model import Outline, Point

LEAST_EDGE = 15.0
"""mm; a shorter straight stretch of an outline is no fold edge."""
PARALLEL = 3.0
"""Degrees between a bracket, or words, and the edge they mean."""
REACH = 0.75
"""How far the tips of a bracket may end before the edge, in lengths of its legs."""
NEAREST = 6.0
"""mm, the same at least."""
WORDS_NEAR = 2.5
"""Font sizes from words to the edge that they run along, at most."""
LARGEST_HEAD = 9.0
"""mm by which a head at a tip of a bracket may reach farther than its leg, at most."""
CLEARER = 0.6
"""How much nearer one edge must be than the next for words to mean it."""


@dataclass(frozen=True, eq=False, slots=True)
class FoldMark:
    """A sign that an edge lies on the fold. `line` is a leaf that lies on the edge itself.

    `sure`: what is drawn says so by itself (arrow heads, words), not by its shape alone.
    """

    edge: Run
    leaves: tuple[Leaf, ...]
    words: tuple[str, ...] = ()
    line: Leaf | None = None
    sure: bool = True


def straight_edges(outline: Outline) -> tuple[Run, ...]:
    """Return the straight edges of an outline that may lie on a fold, longest first."""
    runs = [r for r in straight_runs(outline, closed=True) if r.length >= LEAST_EDGE]
    return tuple(sorted(runs, key=lambda run: (-run.length, run.first)))


def is_bracket(points: Outline) -> bool:
    """Return whether a line has the shape of a fold bracket: a base and two short legs."""
    if len(points) != 4:
        return False
    tip, first, second, other = (np.array(point) for point in points)
    base, legs = second - first, (tip - first, other - second)
    length = float(np.hypot(*base))
    sizes = [float(np.hypot(*leg)) for leg in legs]
    if length < LEAST_EDGE or min(sizes) < 1.0 or max(sizes) > 0.6 * length:
        return False
    square = all(
        abs(float(leg @ base)) <= 0.3 * size * length for leg, size in zip(legs, sizes, strict=True)
    )
    return square and float(legs[0] @ legs[1]) > 0.9 * sizes[0] * sizes[1]


def bracket_mark(
    stroke: Stroke,
    edges: Sequence[Run],
    arrows: Sequence[Arrow],
    texts: Sequence[Block],
    lines: Sequence[Leaf] = (),
) -> FoldMark | None:
    """Return the edge that a bracket points at, None when it points at no straight edge.

    `arrows` are heads and lines that may be part of it, `texts` blocks that say fold; `lines` what
    is drawn there, heads of its own among it.
    """
    tip, first, second, other = stroke.points
    leg = max(math.dist(tip, first), math.dist(other, second))
    out = np.add(np.subtract(tip, first), np.subtract(other, second))
    out = out / np.hypot(*out)
    best: tuple[float, Run] | None = None
    for edge in edges:
        gap = _gap_ahead(edge, (tip, other), out, (first, second))
        near = gap is not None and -1.5 <= gap <= max(REACH * leg, NEAREST)
        if gap is not None and near and (best is None or gap < best[0] - 1e-9):
            best = (gap, edge)
    if best is None:
        return None
    headed = any(
        leaf.style.get(name, "none") != "none"
        for leaf in stroke.leaves
        for name in ("marker-start", "marker-end")
    )
    near = LineString(stroke.points)
    told = [text for text in texts if text.area.distance(near) <= WORDS_NEAR * text.height]
    words = tuple(text.plain for text in told)
    heads = tuple(
        leaf
        for arrow in arrows
        if arrow.has_head and _is_at_tip(arrow, stroke)
        for leaf in arrow.leaves
    )
    heads += tuple(leaf for leaf in _heads_apart(stroke, out, lines) if leaf not in stroke.leaves)
    sure = headed or bool(heads) or bool(told) or best[0] <= 1.5
    if not sure and best[0] > NEAREST:
        return None
    leaves = tuple(dict.fromkeys((*stroke.leaves, *heads)))
    return FoldMark(best[1], leaves, words, None, sure)


def _heads_apart(stroke: Stroke, out: np.ndarray, lines: Sequence[Leaf]) -> list[Leaf]:
    """Return the heads at the tips of a bracket, its legs of any length, drawn by themselves.

    As a PDF has them, which knows no markers.
    """
    found: list[Leaf] = []
    for tip in (stroke.points[0], stroke.points[-1]):
        x, y = np.array(tip) - out * (LARGEST_HEAD / HEAD_REACH)
        found += heads_at(lines, (float(x), float(y)), tip)
    return found


def _is_at_tip(arrow: Arrow, stroke: Stroke) -> bool:
    """Return whether a head, or a leg with its head, is at a tip of a bracket.

    A grainline may cross the bracket; it is longer than a leg.
    """
    tip, first, second, other = stroke.points
    legs = ((tip, first), (other, second))
    return any(
        arrow.drawn.distance(Spot(end)) <= 1.0
        and arrow.drawn.hausdorff_distance(Spot(end)) <= math.dist(end, corner) + LARGEST_HEAD
        for end, corner in legs
    )


def _gap_ahead(
    edge: Run, tips: tuple[Point, Point], out: np.ndarray, base: tuple[Point, Point]
) -> float | None:
    """Return how far before an edge the tips of a bracket end; None when it means another."""
    along = np.subtract(edge.end, edge.start) / edge.length
    chord = np.subtract(base[1], base[0])
    chord = chord / np.hypot(*chord)
    if abs(along[0] * chord[1] - along[1] * chord[0]) > math.sin(math.radians(PARALLEL)):
        return None
    offsets = np.array([np.subtract(tip, edge.start) for tip in tips])
    reach = sorted(float(value) for value in offsets @ along)
    shared = min(reach[1], edge.length) - max(reach[0], 0.0)
    if shared < 0.8 * (reach[1] - reach[0]):
        return None
    return float(np.mean([-offset @ out for offset in offsets]))


def line_mark(
    arrow: Arrow, edges: Sequence[Run], texts: Sequence[Block], told: bool
) -> FoldMark | None:
    """Return the edge that a straight line lies on, when anything says that it is the fold.

    That is dashes, words beside it, or a label that puts the piece on the fold (`told`).
    """
    if arrow.line is None or arrow.filled:
        return None
    for edge in edges:
        if not _lies_on(arrow, edge):
            continue
        dashed = arrow.line.style.get("stroke-dasharray", "none") not in ("none", "0", "")
        beside = [t for t in texts if t.area.distance(arrow.drawn) <= WORDS_NEAR * t.height]
        if dashed or beside or told:
            words = tuple(text.plain for text in beside)
            return FoldMark(edge, arrow.leaves, words, arrow.line, True)
    return None


def _lies_on(arrow: Arrow, edge: Run) -> bool:
    along = np.subtract(edge.end, edge.start) / edge.length
    offsets = np.array([np.subtract(p, edge.start) for p in (arrow.start, arrow.end)])
    beside = np.abs(offsets @ np.array([-along[1], along[0]]))
    low, high = sorted(float(value) for value in offsets @ along)
    shared = min(high, edge.length) - max(low, 0.0)
    return bool(beside.max() <= ON_EDGE and shared >= 0.5 * min(edge.length, high - low))


def words_mark(block: Block, edges: Sequence[Run]) -> FoldMark | None:
    """Return the edge that words like *place on fold* run along, close to it and to no other."""
    line = block.lines[0]
    found: list[tuple[float, int, Run]] = []
    for order, edge in enumerate(edges):
        along = np.subtract(edge.end, edge.start) / edge.length
        twist = abs(along[0] * line.along[1] - along[1] * line.along[0])
        gap = block.area.distance(LineString([edge.start, edge.end]))
        if twist <= math.sin(math.radians(5.0)) and gap <= WORDS_NEAR * block.height:
            found.append((gap, order, edge))
    found.sort(key=lambda each: each[:2])
    if not found or (len(found) > 1 and found[0][0] > CLEARER * found[1][0]):
        return None
    return FoldMark(found[0][2], block.leaves, (block.plain,))


def same_edge(one: Run, other: Run) -> bool:
    """Return whether two marks mean one edge."""
    return one.first == other.first and one.steps == other.steps
