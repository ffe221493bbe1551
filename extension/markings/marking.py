# SPDX-License-Identifier: GPL-2.0-or-later
"""The signs on one piece: its fold edge, grainline, notches and darts, and what to ask about."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from shapely.geometry import Point as Spot

from extension.language.words import begun
from extension.markings.arrows import Arrow, arrows_of
from extension.markings.blocks import Block
from extension.markings.brackets import three_lines
from extension.markings.foldmarks import (
    FoldMark,
    bracket_mark,
    is_bracket,
    line_mark,
    same_edge,
    straight_edges,
    words_mark,
)
from extension.markings.grains import GrainMark, find_grain
from extension.markings.merging import is_about_fold_alone
from extension.markings.strokes import Stroke, corners, meeting, strokes_of
from extension.pieces.objects import all_called, called
from extension.pieces.outlines import ClosedShape, drawn_lines
from extension.pieces.straight import Run
from extension.svg.model import Leaf

LONGEST_NOTCH = 16.0
"""mm that a notch is long at most."""
ON_LINE = 1.0
"""mm from the outline within which a notch or dart begins on it."""


@dataclass(frozen=True, eq=False, slots=True)
class Signs:
    """What was found on a piece."""

    fold: FoldMark | None
    grain: GrainMark | None
    notches: tuple[Leaf, ...]
    darts: tuple[Leaf, ...]
    arrows: tuple[Leaf, ...]
    """Leaves that are part of an arrow or bracket."""
    questions: tuple[str, ...]
    about_fold: tuple[str, ...] = ()
    """Those of the questions that ask for the fold edge."""


def settled(signs: Signs) -> Signs:
    """Return signs of a piece whose fold edge is known by other means: nothing is asked of it."""
    rest = tuple(each for each in signs.questions if each not in signs.about_fold)
    return replace(signs, questions=rest, about_fold=())


def without_fold(signs: Signs) -> Signs:
    """Return signs of a piece that is said to be drawn whole."""
    return replace(settled(signs), fold=None)


def signs_of(
    shape: ClosedShape,
    leaves: Sequence[Leaf],
    near: Sequence[Leaf],
    blocks: Sequence[Block],
    on_fold: bool,
) -> Signs:
    """Return the signs on a piece.

    `leaves` lie on it, `near` close by and on no other; `blocks` are its texts; `on_fold` says
    whether these put it on the fold.
    """
    lines = [leaf for leaf in leaves if leaf.rings]
    edges = straight_edges(shape.outline)
    # The legs of a bracket begin on the outline as notches do.
    brackets = brackets_at(three_lines([*lines, *near]), edges)
    legs = {leaf for stroke in brackets for leaf in stroke.leaves}
    notches = tuple(leaf for leaf in lines if leaf not in legs and is_notch(leaf, shape))
    lines = [leaf for leaf in lines if leaf not in notches]
    arrows = arrows_of(lines)
    fold, about_fold = _fold(edges, [*lines, *near], arrows, blocks, on_fold)
    taken = legs | (set(fold.leaves) if fold else set())
    rest = [
        arrow
        for arrow in arrows
        if not taken & set(arrow.leaves)
        and not _is_leg(arrow, edges)
        and not _on_edge(arrow, shape)
    ]
    grains = find_grain(rest, blocks, shape.polygon)
    darts = tuple(leaf for leaf in lines if is_dart(leaf, shape))
    parts = [leaf for arrow in arrows for leaf in arrow.leaves] + sorted(
        taken, key=lambda leaf: leaf.id
    )
    questions = (*about_fold, *grains.questions)
    leaves_of_arrows = tuple(dict.fromkeys(parts))
    return Signs(fold, grains.mark, notches, darts, leaves_of_arrows, questions, tuple(about_fold))


def _on_edge(arrow: Arrow, shape: ClosedShape) -> bool:
    """Return whether a line without heads lies on the outline."""
    if arrow.has_head:
        return False
    return bool(arrow.drawn.within(shape.polygon.exterior.buffer(0.6)))


def _is_leg(arrow: Arrow, edges: Sequence[Run]) -> bool:
    """Return whether an arrow is short and points square at an edge: part of a fold bracket."""
    if not arrow.has_head or arrow.heads == (True, True) or arrow.length > 40.0:
        return False
    tail, tip = arrow.start, arrow.end
    if arrow.heads[0]:
        tail, tip = tip, tail
    for edge in edges:
        along = np.subtract(edge.end, edge.start) / edge.length
        chord = np.subtract(tip, tail) / arrow.length
        off = np.subtract(tip, edge.start)
        reach, beside = float(off @ along), abs(float(off[0] * along[1] - off[1] * along[0]))
        if abs(float(chord @ along)) < 0.1 and 0.0 <= reach <= edge.length and beside <= 3.0:
            return True
    return False


def brackets_at(strokes: Sequence[Stroke], edges: Sequence[Run]) -> list[Stroke]:
    """Return the brackets among bent lines that point at one of these edges."""
    return [
        stroke
        for stroke in strokes
        if is_bracket(stroke.points) and bracket_mark(stroke, edges, (), ()) is not None
    ]


def _fold(
    edges: Sequence[Run],
    lines: Sequence[Leaf],
    arrows: Sequence[Arrow],
    blocks: Sequence[Block],
    on_fold: bool,
) -> tuple[FoldMark | None, list[str]]:
    """Return the fold edge of a piece, or why it is not known."""
    texts = [block for block in blocks if block.reading.fold]
    marks: list[FoldMark] = []
    questions: list[str] = []
    for stroke in (each for each in bent_lines(lines) if is_bracket(each.points)):
        mark = bracket_mark(stroke, edges, arrows, texts, lines)
        if mark is not None:
            marks.append(mark)
        elif has_heads(stroke):
            questions.append(
                f"{begun(called(stroke.leaves[0], 'bracket'))} points at no straight edge."
            )
    for arrow in arrows:
        if not arrow.has_head or arrow.line is None:
            mark = line_mark(arrow, edges, texts, on_fold)
            marks += [mark] if mark else []
    sure = [mark for mark in marks if mark.sure or on_fold]
    if not sure:
        alone = [block for block in texts if is_about_fold_alone(block)]
        sure = [mark for block in alone if (mark := words_mark(block, edges)) is not None]
    return _one_fold(sure, marks, questions, on_fold)


def _one_fold(
    sure: Sequence[FoldMark], marks: Sequence[FoldMark], questions: list[str], on_fold: bool
) -> tuple[FoldMark | None, list[str]]:
    """Return the one fold edge that all marks mean."""
    if any(not same_edge(mark.edge, sure[0].edge) for mark in sure):
        lines = all_called([mark.leaves[0] for mark in sure])
        return None, [*questions, f"The fold is marked at two edges, by {lines}: which is it?"]
    if sure:
        line = next((mark.line for mark in sure if mark.line is not None), None)
        leaves = tuple(dict.fromkeys(leaf for mark in sure for leaf in mark.leaves))
        words = tuple(dict.fromkeys(word for mark in sure for word in mark.words))
        return FoldMark(sure[0].edge, leaves, words, line), questions
    if on_fold and not questions:
        questions.append("It is cut on the fold: which edge lies there? No bracket or line says.")
    elif marks and marks[0].leaves:
        questions.append(f"Is {called(marks[0].leaves[0])} a fold bracket? It has no arrow heads.")
    return None, questions


def bent_lines(lines: Sequence[Leaf]) -> tuple[Stroke, ...]:
    """Return the lines by their corners, single ones and joined ones."""
    singly = [
        Stroke(points, (leaf,))
        for leaf in lines
        for ring in leaf.rings
        if not ring.closed and len(ring.points) >= 4 and len(points := corners(ring)) == 4
    ]
    joined = [stroke for stroke in strokes_of(meeting(lines)) if len(stroke.leaves) > 1]
    known = {frozenset(stroke.leaves) for stroke in joined}
    apart = [stroke for stroke in three_lines(lines) if frozenset(stroke.leaves) not in known]
    return (*singly, *joined, *apart)


def has_heads(stroke: Stroke) -> bool:
    """Return whether a bent line ends in arrow heads of the editor's own kind."""
    return any(
        leaf.style.get(name, "none") != "none"
        for leaf in stroke.leaves
        for name in ("marker-start", "marker-end")
    )


def is_notch(leaf: Leaf, shape: ClosedShape) -> bool:
    """Return whether a leaf is a short line, or a small wedge, that begins on an outline."""
    low_x, low_y, high_x, high_y = leaf.box
    if max(high_x - low_x, high_y - low_y) > LONGEST_NOTCH or len(leaf.rings) != 1:
        return False
    points = corners(leaf.rings[0])
    if not 2 <= len(points) <= 5 or math.dist(points[0], points[-1]) == 0.0:
        return False
    exterior = shape.polygon.exterior
    gaps = [float(exterior.distance(Spot(point))) for point in points]
    # A dash along the outline is no notch: some of it must leave the line.
    return min(gaps) <= ON_LINE and max(gaps) >= 1.5 and _starts_on(gaps, leaf)


def _starts_on(gaps: Sequence[float], leaf: Leaf) -> bool:
    if leaf.rings[0].closed:
        return True
    return len(gaps) == 2 or min(gaps[0], gaps[-1]) <= ON_LINE or min(gaps[1:-1]) <= ON_LINE


def is_dart(leaf: Leaf, shape: ClosedShape) -> bool:
    """Return whether a leaf is two legs from the outline to a point inside."""
    if len(leaf.rings) != 1 or leaf.rings[0].closed or not drawn_lines(leaf).length:
        return False
    points = corners(leaf.rings[0])
    if len(points) != 3:
        return False
    exterior = shape.polygon.exterior
    ends = [float(exterior.distance(Spot(point))) for point in (points[0], points[-1])]
    return max(ends) <= ON_LINE and float(exterior.distance(Spot(points[1]))) > 5.0
