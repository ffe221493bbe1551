# SPDX-License-Identifier: GPL-2.0-or-later
"""The fold edge of a piece: the straight edge of its outline that lies on the fold of the cloth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from shapely.geometry import LineString, Polygon

from extension.language.errors import DrawingError
from extension.pieces.straight import Run, straight_runs
from extension.svg.model import Matrix
from extension.svg.transforms import apply, inverse
from nesting.model import Outline, Point

ON_EDGE = 0.5
"""mm by which a drawn fold line may lie beside the edge it means."""
ACROSS = 0.1
"""mm by which the outline may reach over its own fold line: rounding of the drawing."""
_CLEAR = 1e-3
"""mm from the fold line that every point but the ends of the fold edge is kept."""
_SIDE = 1e-3
"""Share of a piece's extent within which an edge lies at its very side."""
_STRAY = 0.1
"""Share of the fold line that may lie on another edge than the fold."""


@dataclass(frozen=True, slots=True)
class FoldEdge:
    """A fold edge in page mm, from `start` to `end`, both points of `outline`.

    Points of the drawn edge between them are dropped from `outline`, so that the edge is one
    segment of it.
    """

    start: Point
    end: Point
    outline: Outline


def fold_along(outline: Outline, line: Run, label: str, object_id: str) -> FoldEdge:
    """Return the edge of an outline (page mm) that a drawn fold line means: all of it.

    The line may be shorter or longer than the edge. Raises DrawingError when it lies on no
    straight edge, or on several.
    """
    runs = straight_runs(outline, closed=True)
    shared = [(_overlap(run, line), run) for run in runs]
    most, edge = max(shared, key=lambda each: each[0], default=(0.0, line))
    if most < 0.5 * min(edge.length, line.length) or most <= ON_EDGE:
        raise _not_on_edge(outline, line, label, object_id)
    others = [
        run for length, run in shared if length > _STRAY * line.length and not _meet(run, edge)
    ]
    if others:
        raise DrawingError(
            f"The fold of {label} runs along an edge that is not straight throughout: mark the "
            "one straight edge that lies on the fold.",
            object_id,
        )
    start, end = edge.start, edge.end
    if np.dot(np.subtract(end, start), np.subtract(line.end, line.start)) < 0.0:
        start, end = end, start
    return _checked(outline, edge, start, end, label, object_id)


def fold_at_side(
    outline: Outline, own_direction: Point, matrix: Matrix, label: str, object_id: str
) -> FoldEdge:
    """Return the straight edge at one side of a piece, as typed with `lay:fold="left"`.

    `own_direction` points to that side in the element's own coordinates, which `matrix` maps to
    the page. Raises DrawingError when there is no straight edge at that side.
    """
    own = np.array([apply(inverse(matrix), point) for point in outline])
    reach = own @ np.array(own_direction)
    outmost = reach >= reach.max() - _SIDE * (reach.max() - reach.min())
    count = len(outline)
    edges = [
        run
        for run in straight_runs(outline, closed=True)
        if outmost[run.first] and outmost[(run.first + run.steps) % count]
    ]
    if not edges:
        raise DrawingError(
            f"{label} has no straight edge at the side named by lay:fold: draw a line on the edge "
            "that lies on the fold and give it lay:role=“fold”.",
            object_id,
        )
    edge = max(edges, key=lambda run: run.length)
    return _checked(outline, edge, edge.start, edge.end, label, object_id)


def _overlap(run: Run, line: Run) -> float:
    """Return the length over which a line lies on a straight run; 0 when it leads away from it."""
    if run.length == 0.0:
        return 0.0
    along = np.subtract(run.end, run.start) / run.length
    offsets = np.array([np.subtract(line.start, run.start), np.subtract(line.end, run.start)])
    low, high = sorted(float(value) for value in offsets @ along)
    within = np.clip([low, high], 0.0, run.length)
    beside = offsets @ np.array([-along[1], along[0]])
    # The distance counts where the two lie side by side, not at an end that runs past the edge.
    if high - low > 0.0:
        beside = np.interp(within, [low, high], beside[np.argsort(offsets @ along)])
    return float(within[1] - within[0]) if np.abs(beside).max() <= ON_EDGE else 0.0


def _meet(run: Run, other: Run) -> bool:
    """Return whether two runs of one outline share an end or overlap."""
    ends = {run.start, run.end} & {other.start, other.end}
    return bool(ends) or (
        run.first < other.first + other.steps and other.first < run.first + run.steps
    )


def _not_on_edge(outline: Outline, line: Run, label: str, object_id: str) -> DrawingError:
    ring = Polygon(outline).exterior
    touching = LineString([line.start, line.end]).intersection(ring.buffer(ON_EDGE))
    if touching.length > 0.5 * line.length:
        return DrawingError(
            f"The fold of {label} runs along an edge that is not straight: mark the straight edge "
            "that lies on the fold.",
            object_id,
        )
    return DrawingError(
        f"The fold line of {label} does not lie on its outline: move it onto the straight edge "
        "that lies on the fold.",
        object_id,
    )


def _checked(
    outline: Outline, edge: Run, start: Point, end: Point, label: str, object_id: str
) -> FoldEdge:
    """Return the fold edge, when the whole outline lies on one side of it."""
    points = np.array(outline)
    along = np.subtract(end, start) / edge.length
    normal = np.array([-along[1], along[0]])
    beside = (points - np.array(start)) @ normal
    if abs(beside.min()) > beside.max():
        normal, beside = -normal, -beside
    if beside.min() < -ACROSS:
        raise DrawingError(
            f"{label} lies on both sides of its fold: draw the half that lies on one side of it.",
            object_id,
        )
    # Any other point on the line would meet its own mirror image when the half is unfolded.
    lift = np.maximum(0.0, _CLEAR - beside)[:, None] * normal
    steps = [(index - edge.first) % len(outline) for index in range(len(outline))]
    kept = []
    for index, step in enumerate(steps):
        if step in (0, edge.steps):
            kept.append(outline[index])
        elif step > edge.steps:
            x, y = points[index] + lift[index]
            kept.append((float(x), float(y)))
    return FoldEdge(start, end, tuple(kept))
