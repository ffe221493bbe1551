# SPDX-License-Identifier: GPL-2.0-or-later
"""The match points of a piece: where its marks with `lay:match` have to lie in a design.

What meets in the garment meets at the stitching line. A mark on the cutting line stands for the
point of the stitching line beside it, where that is drawn or a label says how far inside it is, and
for one of the cutting line else.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import shapely

from extension.language.errors import DrawingError
from extension.pieces.allowance import MITRE_LIMIT
from extension.pieces.attributes import mark_details
from extension.pieces.edges import lies_on
from extension.pieces.folds import FoldEdge
from extension.pieces.grain import drawn_line
from extension.pieces.matchwords import Matching
from extension.pieces.model import Edge, Mark, MatchPoint
from extension.pieces.objects import Calling, called, carriers
from extension.pieces.outlines import ClosedShape, drawn_lines
from extension.svg.model import Leaf
from nesting.geometry.shapes import unfold
from nesting.model import Match, Point

NEAR = 0.5
"""mm from the outline within which a mark lies on it."""
MOST_MARK = 40.0
"""mm: what is longer than this shows no point."""


@dataclass(frozen=True, eq=False, slots=True)
class _Marked:
    """The leaves of one mark, and what it says."""

    owner: str
    id: str
    leaves: list[Leaf]
    role: str
    says: Matching


@dataclass(frozen=True, slots=True)
class Seams:
    """The mm of seam allowance that are `added` to an outline, and those `included` in it.

    Where some are added, on all edges or along some `edges`, the outline is the stitching line.
    """

    added: float = 0.0
    included: float = 0.0
    edges: Sequence[Edge] = ()


def match_points(
    shape: ClosedShape, marks: Sequence[Mark], fold: FoldEdge | None, seams: Seams, label: str
) -> tuple[MatchPoint, ...]:
    """Return the match points of a piece, in piece coordinates.

    Raises DrawingError, naming the mark, for one that shows no point.
    """
    return tuple(
        _on_line(one, fold, label)
        if one.role in ("grainline", "fold")
        else _at_mark(one, shape, marks, fold, seams)
        for one in _marked(shape, marks, label)
    )


def _marked(shape: ClosedShape, marks: Sequence[Mark], label: str) -> list[_Marked]:
    """Return the marks that are matched, those of several strokes in a group as one."""
    around = {group.id for group in shape.leaf.groups}
    found: dict[str, _Marked] = {}
    for mark in marks:
        carrier = next((each for each in carriers(mark.leaf) if "match" in each.attributes), None)
        if carrier is None:
            continue
        if carrier.id in around or carrier.id == shape.leaf.id:
            raise DrawingError(
                f"{called(carrier)} has lay:match, which is said of a mark, not of {label} as a "
                "whole: give it to a small mark at the point that is to match, or to the "
                "grainline, and remove it.",
                carrier.id,
            )
        says = mark_details(carrier.attributes, Calling(carrier), carrier.id).match
        if says is not None and carrier.id not in found:
            owner = called(carrier)
            found[carrier.id] = _Marked(owner, carrier.id, [], mark.role, says)
        if says is not None:
            found[carrier.id].leaves.append(mark.leaf)
    return list(found.values())


def _on_line(one: _Marked, fold: FoldEdge | None, label: str) -> MatchPoint:
    """Return the match point of a grainline or fold edge, which runs along the cloth."""
    if one.says.axes == "along":
        raise DrawingError(
            f"{one.owner} runs along the cloth, so lay:match can say of it how it lies across "
            "alone: leave “along” out, or give it to a small mark.",
            one.id,
        )
    if one.role == "fold" and fold is not None:
        start, end = fold.start, fold.end
    else:
        run = drawn_line(one.leaves, "grainline", label, one.id)
        start, end = run.start, run.end
    middle = (start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0
    return _point(one, middle, "line", 0.0, axes="across")


def _at_mark(
    one: _Marked, shape: ClosedShape, marks: Sequence[Mark], fold: FoldEdge | None, seams: Seams
) -> MatchPoint:
    """Return the match point of a small mark: its centre, or that of the seam that it lies on."""
    low_x, low_y, high_x, high_y = shapely.union_all(list(map(drawn_lines, one.leaves))).bounds
    if max(high_x - low_x, high_y - low_y) > MOST_MARK or any(leaf.text for leaf in one.leaves):
        raise DrawingError(
            f"{one.owner} shows no point that could match: give lay:match to a small mark, such as "
            f"a notch or a circle, at most {MOST_MARK:g} mm long.",
            one.id,
        )
    centre = shapely.Point((low_x + high_x) / 2.0, (low_y + high_y) / 2.0)
    outline = shapely.LinearRing(shape.outline)
    if not any(drawn_lines(leaf).distance(outline) <= NEAR for leaf in one.leaves):
        return _point(one, (centre.x, centre.y), "mark", 0.0)
    at = _nearest(outline, centre)
    if seams.added or lies_on(seams.edges, (at[0], -at[1]), NEAR):
        return _point(one, at, "stitching", 0.0)
    drawn = [drawn_lines(mark.leaf) for mark in marks if mark.role == "stitching"]
    if drawn:
        inside = _nearest(shapely.union_all(drawn), shapely.Point(at))
        return _point(one, inside, "stitching", math.dist(at, inside))
    line = _inside(shape, fold, seams.included) if seams.included else None
    if line is not None:
        inside = _nearest(line, shapely.Point(at))
        if math.dist(at, inside) <= MITRE_LIMIT * seams.included:
            return _point(one, inside, "labelled", math.dist(at, inside))
    return _point(one, at, "cutting", 0.0)


def _inside(shape: ClosedShape, fold: FoldEdge | None, included: float) -> shapely.Geometry | None:
    """Return the line so many mm inside an outline, on all edges but the fold; None for none."""
    ends = None if fold is None else (fold.start, fold.end)
    outline = shape.outline if fold is None else fold.outline
    whole = shapely.Polygon(outline if ends is None else unfold(outline, ends, shape.leaf.id))
    inner = whole.buffer(-included, join_style="mitre", mitre_limit=MITRE_LIMIT)
    return None if inner.is_empty else inner.boundary


def _nearest(line: shapely.Geometry, point: shapely.Point) -> Point:
    """Return the point of a line that is nearest to another."""
    near = shapely.get_point(shapely.shortest_line(line, point), 0)
    return float(near.x), float(near.y)


def _point(
    one: _Marked,
    at: Point,
    lies: Literal["mark", "line", "stitching", "labelled", "cutting"],
    moved: float,
    axes: Literal["across"] | None = None,
) -> MatchPoint:
    """Return a match point at a place on the page."""
    says = one.says
    upward = (at[0], -at[1])
    return MatchPoint(Match(upward, says.group, axes or says.axes, says.on), lies, moved)
