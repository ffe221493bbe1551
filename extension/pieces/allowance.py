# SPDX-License-Identifier: GPL-2.0-or-later
"""Seam allowance: the cutting line round a stitching line, on every edge but the fold.

Edges may have an allowance of their own, as a hem has.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import Polygon

from extension.pieces.growing import grown_by_edges
from extension.pieces.model import Edge
from nesting.geometry.shapes import unfold
from nesting.model import Outline, Point

MITRE_LIMIT = 3.0
"""How far, in allowances, a sharp corner may reach before it is cut off square: sharper than
about 39 degrees. Common practice, no source: long points are trimmed away in sewing."""
KINK = 0.1
"""mm between two points of an outline below which the second makes no corner of its own. Where two
lines were joined, a step too small to be seen would make the cutting line stick out by some
millimetres, or not: as the outline happens to run one way round or the other."""
_ON_FOLD = 1e-6
"""mm from the fold line within which a corner of the clipped outline lies on it."""
_CORNERS = 3
"""Points that an outline has at least."""

Fold = tuple[Point, Point]


def with_allowance(
    outline: Outline,
    fold: Fold | None,
    allowance: float,
    label: str,
    edges: Sequence[Edge] = (),
) -> tuple[Outline, Fold | None, tuple[str, ...]]:
    """Return the cutting line, the fold's ends on it, and notes.

    Everything in piece coordinates, mm; `allowance` 0 or more, on every edge but those of `edges`,
    which have their own. A half on the fold is grown as the
    whole it stands for, then halved again, so that the corners at the fold come out right. An
    opening that the allowance closes is filled, and told.
    """
    if allowance == 0.0 and not any(edge.allowance for edge in edges):
        return outline, fold, ()
    whole = Polygon(outline if fold is None else unfold(outline, fold, label))
    smooth = _without_kinks(whole)
    if edges:
        grown = grown_by_edges(smooth, allowance, _both_halves(edges, fold), MITRE_LIMIT)
    else:
        grown = smooth.buffer(allowance, join_style="mitre", mitre_limit=MITRE_LIMIT)
    notes = _notes(grown, max(allowance, *(edge.allowance for edge in edges), 0.0), label)
    if fold is None:
        return _points(Polygon(grown.exterior)), None, notes
    side = _side(outline, fold, 4.0 * _reach(grown, fold))
    # Where the grown whole is tangent to the fold line, slivers may come with the half.
    halves = shapely.get_parts(Polygon(grown.exterior).intersection(side))
    half = max(halves, key=lambda part: part.area)
    cutting, ends = _on_fold(_points(half), fold)
    return cutting, ends, notes


def _both_halves(edges: Sequence[Edge], fold: Fold | None) -> list[tuple[float, Outline]]:
    """Return the edges of the whole that a half stands for: each, and its mirror image."""
    lines = [(edge.allowance, edge.line) for edge in edges]
    if fold is None:
        return lines
    start, _, normal = _frame(fold)

    def mirrored(line: Outline) -> Outline:
        points = np.array(line)
        seen = points - 2.0 * ((points - start) @ normal)[:, None] * normal
        return tuple((float(x), float(y)) for x, y in seen)

    return [*lines, *((by, mirrored(line)) for by, line in lines)]


def _without_kinks(whole: Polygon) -> Polygon:
    """Return an outline without the points that follow another at once, if it can do without."""
    first, *others = points = list(whole.exterior.coords[:-1])
    kept = [first]
    for point in others:
        if math.dist(point, kept[-1]) >= KINK:
            kept.append(point)
    while len(kept) > _CORNERS and math.dist(kept[-1], first) < KINK:
        kept.pop()
    if len(kept) == len(points) or len(kept) < _CORNERS:
        return whole
    smooth = Polygon(kept)
    return smooth if smooth.is_valid else whole


def _notes(grown: Polygon, allowance: float, label: str) -> tuple[str, ...]:
    if not grown.interiors:
        return ()
    return (
        f"The seam allowance of {allowance:g} mm closes an opening in the outline of {label}: "
        "it is laid as if the opening were filled.",
    )


def _points(polygon: Polygon) -> Outline:
    return tuple((float(x), float(y)) for x, y in polygon.exterior.coords[:-1])


def _reach(polygon: Polygon, fold: Fold) -> float:
    corners = np.array(polygon.exterior.coords)
    return float(np.abs(corners - np.array(fold[0])).max()) + 1.0


def _frame(fold: Fold) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return the start of a fold, the direction along it and the normal to it."""
    start, end = np.array(fold[0]), np.array(fold[1])
    along = (end - start) / np.hypot(*(end - start))
    return start, along, np.array([-along[1], along[0]])


def _side(outline: Outline, fold: Fold, reach: float) -> Polygon:
    """Return a square on the outline's side of the fold, large enough to hold all of it."""
    start, along, normal = _frame(fold)
    beside = (np.array(outline) - start) @ normal
    if abs(beside.min()) > abs(beside.max()):
        normal = -normal
    corners = [start - reach * along, start + reach * along]
    return Polygon([*corners, corners[1] + reach * normal, corners[0] + reach * normal])


def _on_fold(cutting: Outline, fold: Fold) -> tuple[Outline, Fold]:
    """Return the half with the ends of its fold edge exactly on the fold line."""
    start, along, normal = _frame(fold)
    offsets = np.array(cutting) - start
    on_line = np.abs(offsets @ normal) <= _ON_FOLD
    reach = np.where(on_line, offsets @ along, np.nan)
    first, last = int(np.nanargmin(reach)), int(np.nanargmax(reach))

    def exact(index: int) -> Point:
        x, y = start + along * reach[index]
        return float(x), float(y)

    kept = tuple(
        exact(index) if index in (first, last) else point
        for index, point in enumerate(cutting)
        if index in (first, last) or not on_line[index]
    )
    return kept, (exact(first), exact(last))
