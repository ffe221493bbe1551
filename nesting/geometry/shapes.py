# SPDX-License-Identifier: GPL-2.0-or-later
"""Shapes of pieces: unfolded about the fold edge, turned to an orientation.

This is the one place that knows the placement formula of `model.Placement`.
Arrays are (N, 2) float64, mm, counter-clockwise, read-only, without a repeated last point.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from nesting.errors import JobError
from nesting.model import Outline, Piece, Point

Points = NDArray[np.float64]

FOLD_TOLERANCE = 0.01
"""How far, in mm, an outline point may lie off the fold edge's line and still count as on it."""


def signed_area(points: Points) -> float:
    """Return the area in mm2 of a closed outline, positive when counter-clockwise (shoelace)."""
    x, y = points[:, 0], points[:, 1]
    # The edge back to the start by itself: numpy.roll would cost more than all the rest.
    within = np.dot(x[:-1], y[1:]) - np.dot(y[:-1], x[1:])
    return 0.5 * float(within + x[-1] * y[0] - y[-1] * x[0])


def frozen(points: Points) -> Points:
    """Return a read-only, contiguous float64 copy."""
    copy = np.array(points, dtype=np.float64, order="C")
    copy.flags.writeable = False
    return copy


def counter_clockwise(points: Points) -> Points:
    """Return the outline read-only and counter-clockwise, starting at the same point."""
    if signed_area(points) < 0:
        points = np.concatenate([points[:1], points[:0:-1]])
    return frozen(points)


def from_lowest(points: Points) -> Points:
    """Return the same ring, starting at its lowest, then leftmost, vertex."""
    return np.ascontiguousarray(np.roll(points, -int(np.lexsort(points.T)[0]), axis=0))


def key_of(points: Points, within: float) -> bytes:
    """Return what two outlines have in common that differ by a movement only, to `within` mm."""
    steps = np.rint((points - points.min(axis=0)) / within).astype(np.int64)
    return bytes(steps[np.lexsort(steps.T)].tobytes())


def starts_of(parts: Sequence[Points]) -> NDArray[np.int64]:
    """Return where each of some arrays begins in their concatenation, and its end."""
    return np.cumsum([0, *(len(part) for part in parts)]).astype(np.int64)


def unit_vector(degrees: float) -> Point:
    """Return (cos, sin), exact at multiples of a quarter turn so that squares stay squares."""
    quarter = {0: (1.0, 0.0), 90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}
    reduced = degrees % 360.0
    if reduced in quarter:
        return quarter[int(reduced)]
    return math.cos(math.radians(reduced)), math.sin(math.radians(reduced))


def placement_matrix(grain: float, turn: float, flip: bool) -> NDArray[np.float64]:
    """Return the 2 x 2 matrix R(turn) . F(flip) . R(-grain)."""
    # R(turn) R(-grain) = R(turn - grain), and F R(-g) = R(g) F: one rotation, so that a quarter
    # turn of a vertical grainline is exact and not a product of two rounded ones.
    cos, sin = unit_vector(turn + grain if flip else turn - grain)
    rotation = np.array([[cos, -sin], [sin, cos]])
    return rotation @ np.diag([1.0, -1.0]) if flip else rotation


def unfold(outline: Outline, fold: tuple[Point, Point], label: str = "piece") -> Points:
    """Return the whole outline of a half that is drawn on the fold.

    The half and its mirror image about the line through `fold` meet in the two ends of the fold
    edge; points on the edge between them are dropped, so that neither gap nor double edge is left.
    Raises JobError when the fold is not an edge of the outline.
    """
    half, first, normal = _half(outline, fold, label)
    inner = half[1:-1]
    mirrored = inner - 2.0 * ((inner - first) @ normal)[:, None] * normal
    return counter_clockwise(np.concatenate([half, mirrored[::-1]]))


def half_outline(piece: Piece) -> Points:
    """Return the half that is drawn of a piece, its fold edge exactly one straight edge.

    Raises JobError when the fold is not an edge of the outline.
    """
    assert piece.fold is not None
    return counter_clockwise(_half(piece.outline, piece.fold, piece.label)[0])


def _half(outline: Outline, fold: tuple[Point, Point], label: str) -> tuple[Points, Points, Points]:
    """Return a half from one end of its fold edge to the other, a point and the normal of that."""
    points = np.asarray(outline, dtype=np.float64)
    first, last = np.asarray(fold[0], dtype=np.float64), np.asarray(fold[1], dtype=np.float64)
    length = float(np.hypot(*(last - first)))
    if length <= FOLD_TOLERANCE:
        raise JobError(f"The fold of {label} has no length: mark the whole fold edge.")
    along = (last - first) / length
    normal = np.array([-along[1], along[0]])
    start = int(np.argmin(np.hypot(*(points - first).T)))
    end = int(np.argmin(np.hypot(*(points - last).T)))
    if max(np.hypot(*(points[start] - first)), np.hypot(*(points[end] - last))) > FOLD_TOLERANCE:
        raise JobError(
            f"The fold of {label} does not start and end on its outline: "
            "mark the straight edge that lies on the fold."
        )
    on_line = np.abs((points - first) @ normal) <= FOLD_TOLERANCE
    forward = _walk(len(points), start, end)
    backward = _walk(len(points), end, start)
    if on_line[forward].all():
        open_half = backward
    elif on_line[backward].all():
        open_half = forward
    else:
        raise JobError(
            f"The fold of {label} is not a straight edge of its outline: "
            "mark the straight edge that lies on the fold."
        )
    half = points[open_half].copy()
    # The two shared points are put exactly on the fold line, else the halves cross by a hair.
    for index in (0, -1):
        half[index] = first + along * float((half[index] - first) @ along)
    return half, first, normal


def whole_outline(piece: Piece) -> Points:
    """Return the outline that is cut: unfolded when the piece is drawn on the fold."""
    if piece.fold is not None:
        return unfold(piece.outline, piece.fold, piece.label)
    return counter_clockwise(np.asarray(piece.outline, dtype=np.float64))


def oriented(whole: Points, grain: float, turn: float, flip: bool) -> Points:
    """Return a whole outline turned (and mirrored) for a placement, before its translation."""
    return counter_clockwise(whole @ placement_matrix(grain, turn, flip).T)


def _walk(count: int, start: int, end: int) -> NDArray[np.intp]:
    """Return the indices from `start` forward to `end`, both included, round a ring of `count`."""
    steps = (end - start) % count
    return (start + np.arange(steps + 1)) % count
