# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether an outline is still drawn as it was when a direction was typed for it.

The editor can turn a bare path by rewriting its nodes: a typed direction then no longer fits, and
nothing else would show it. The fingerprint is a few points of the outline in the element's own
coordinates, seen from their middle: how numbers are written, a change of `transform` and a plain
move of the nodes leave it as it is; turned, mirrored, stretched or redrawn nodes change it.
"""

from __future__ import annotations

import math

import numpy as np

from extension.pieces.outlines import closed_shape
from extension.svg.model import Leaf
from extension.svg.transforms import apply, inverse

_POINTS = 8
_TOLERANCE = 0.004
"""Share of the outline's size by which a point may have moved: a turn of about half a degree."""


def fingerprint(leaf: Leaf) -> str:
    """Return the text to store beside a typed direction, "" when the leaf has no outline.

    It holds points evenly spaced along the outline from its first one, in own units.
    """
    points = _points(leaf)
    if points is None:
        return ""
    digits = 3 - math.floor(math.log10(float(np.abs(points).max())))
    rounded = np.round(points, digits).ravel()
    return " ".join(f"{number:.10g}" for number in rounded + 0.0)


def is_as_drawn(leaf: Leaf, stored: str) -> bool:
    """Return whether an outline still matches a stored fingerprint."""
    points = _points(leaf)
    try:
        before = np.array([float(number) for number in stored.split()])
    except ValueError:
        return False
    if points is None or before.size != points.size or not np.isfinite(before).all():
        return False
    size = float(np.abs(points).max())
    return bool(np.abs(before.reshape(points.shape) - points).max() <= _TOLERANCE * size)


def _points(leaf: Leaf) -> np.ndarray | None:
    """Return points along the outline in the element's own coordinates, their middle at 0."""
    shape = closed_shape(leaf)
    if shape is None or shape.polygon.is_empty:
        return None
    try:
        back = inverse(leaf.matrix)
    except ValueError:
        return None
    ring = next(ring.points for ring in leaf.rings if ring.points[0] in shape.outline)
    own = np.array([apply(back, point) for point in (*ring, ring[0])])
    lengths = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(own, axis=0).T))])
    steps = np.arange(_POINTS) * lengths[-1] / _POINTS
    points = np.column_stack([np.interp(steps, lengths, own[:, axis]) for axis in (0, 1)])
    return np.asarray(points - points.mean(axis=0))
