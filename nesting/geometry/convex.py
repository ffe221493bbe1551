# SPDX-License-Identifier: GPL-2.0-or-later
"""Convex parts of an outline: what overlap maps and contacts are made of.

Two outlines overlap exactly when some convex part of one and some convex part of the other do, and
for convex polygons that is a matter of their edges alone. Ears are cut off by their shortest
diagonal, then pieces are joined again over the longest diagonals as long as they stay convex.
Source: Hertel & Mehlhorn, "Fast triangulation of simple polygons", FCT 1983 (at most four times
the least number of parts).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import compiled, compiled_or
from nesting.geometry.clip import following, preceding
from nesting.geometry.lying import Shape
from nesting.geometry.shapes import Points, from_lowest, frozen, oriented, signed_area
from nesting.geometry.simplify import KEPT
from nesting.stop import go_on_unless, never

Indices = NDArray[np.int64]
Edge = tuple[int, int]

FLAT = 1e-12
"""Twice the area of a triangle that counts as none, as a share of the outline's extent squared."""
WHOLE = 1e-6
"""Share of the area by which the parts may miss the outline before they are not trusted."""


def cut_up(
    shapes: Sequence[Shape],
    bases: Mapping[str, Points],
    should_stop: Callable[[], bool] = never,
) -> tuple[tuple[Points, ...], ...]:
    """Return the convex parts of each shape's outline, in mm from the low corner of its box.

    `bases` are the outlines of the pieces at turn 0, not flipped. Each is cut up once, and its
    parts are laid as the shapes lie. Raises Stopped when told to stop.
    """
    parts: dict[str, tuple[Points, ...]] = {}
    made = []
    for shape in shapes:
        if shape.piece not in parts:
            go_on_unless(should_stop)
            parts[shape.piece] = _parts_of(bases[shape.piece].tobytes())
        lying = shape.orientation
        turned = (oriented(part, 0.0, lying.turn, lying.flip) for part in parts[shape.piece])
        made.append(tuple(from_lowest(part - np.array(shape.low)) for part in turned))
    return tuple(made)


@lru_cache(maxsize=KEPT)
def _parts_of(points: bytes) -> tuple[Points, ...]:
    """Return the convex parts of the outline whose points are given.

    They are given as bytes, so that another problem with the same piece is known again.
    """
    return tuple(map(frozen, convex_parts(np.frombuffer(points).reshape(-1, 2))))


def convex_parts(outline: Points) -> tuple[Points, ...]:
    """Return convex polygons that fill a simple counter-clockwise outline without overlap.

    Each is counter-clockwise, without straight corners, and starts at its lowest (then leftmost)
    vertex. Coordinates are those of the outline, bit for bit. An outline so thin or twisted that
    it cannot be cut up is covered by its convex hull instead: too much, never too little.
    """
    points = outline[(following(outline) != outline).any(axis=1)]
    flat = FLAT * float(np.ptp(points, axis=0).max()) ** 2 if len(points) else 0.0
    rings = _joined(points, flat)
    parts = [points[_without_straight(points, ring, flat)] for ring in rings]
    area = signed_area(outline)
    if abs(sum(signed_area(part) for part in parts) - area) > WHOLE * abs(area):
        parts = [points[_hull(points)]]
    return tuple(from_lowest(part) for part in parts if len(part) >= 3)


def _joined(points: Points, flat: float) -> list[list[int]]:
    """Return rings of vertex indices: the triangles of an outline, joined while convex."""
    rings: dict[int, list[int]] = {}
    owner: dict[Edge, int] = {}

    def take(number: int, ring: list[int]) -> None:
        rings[number] = ring
        for start, end in zip(ring, [*ring[1:], ring[0]], strict=True):
            owner[start, end] = number

    for number, (a, b, c) in enumerate(triangles(points, flat).tolist()):
        if _cross(points, a, b, c) > flat:
            take(number, [a, b, c])
    diagonals = [(a, b) for a, b in owner if a < b and (b, a) in owner]
    lengths = {(a, b): float(((points[a] - points[b]) ** 2).sum()) for a, b in diagonals}
    for a, b in sorted(diagonals, key=lambda edge: (-lengths[edge], edge)):
        first, second = owner[a, b], owner[b, a]
        ring = _over(points, rings[first], rings[second], (a, b), flat)
        if ring is not None:
            del rings[second], owner[a, b], owner[b, a]
            take(first, ring)
    return list(rings.values())


def _over(
    points: Points, first: list[int], second: list[int], edge: Edge, flat: float
) -> list[int] | None:
    """Return two rings joined over the edge they share, None when that is not convex."""
    a, b = edge
    start, end = first.index(b), second.index(a)
    first, second = first[start:] + first[:start], second[end:] + second[:end]
    # `first` runs b ... a and `second` a ... b.
    if _cross(points, second[-2], b, first[1]) < -flat:
        return None
    if _cross(points, first[-2], a, second[1]) < -flat:
        return None
    return first[:-1] + second[:-1]


def _without_straight(points: Points, ring: list[int], flat: float) -> list[int]:
    """Return a ring without the corners that are none."""
    around = zip([ring[-1], *ring], ring, [*ring[1:], ring[0]], strict=False)
    return [b for a, b, c in around if _cross(points, a, b, c) > flat]


def _hull(points: Points) -> list[int]:
    """Return the corners of the convex hull, counter-clockwise."""
    order = np.lexsort((points[:, 1], points[:, 0])).tolist()

    def chain(indices: list[int]) -> list[int]:
        kept: list[int] = []
        for index in indices:
            while len(kept) >= 2 and _cross(points, kept[-2], kept[-1], index) <= 0.0:
                kept.pop()
            kept.append(index)
        return kept[:-1]

    return chain(order) + chain(order[::-1])


def _cross(points: Points, a: int, b: int, c: int) -> float:
    """Return twice the area of a triangle of vertices, positive when it turns left."""
    return float(twice_area(points[a], points[b], points[c]))


def twice_area(a: Points, b: Points, c: Points) -> Points:
    """Return twice the area of triangles, corners (2,) or (2, N), positive when they turn left."""
    area: Points = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return area


# --- with numpy ---------------------------------------------------------------------------------


def shortest_ear_numpy(points: Points, ring: Indices, flat: float) -> int:
    """Return what `shortest_ear` returns."""
    corners = points[ring]
    before, after = preceding(corners), following(corners)
    twice = twice_area(before.T, corners.T, after.T)
    lengths = (before[:, 0] - after[:, 0]) ** 2 + (before[:, 1] - after[:, 1]) ** 2
    lengths[twice <= flat] = np.inf
    for ear in np.argsort(lengths, kind="stable").tolist():
        if not np.isfinite(lengths[ear]):
            break
        a, b, c = before[ear], corners[ear], after[ear]
        near = np.ones(len(ring), dtype=np.bool_)
        near[[ear - 1, ear, (ear + 1) % len(ring)]] = False
        for one, two in ((a, b), (b, c), (c, a)):
            near &= twice_area(one, two, corners.T) >= -flat
            near &= (corners != one).any(axis=1)
        if not near.any():
            return int(ear)
    dropped = np.flatnonzero(np.abs(twice) <= flat)
    return -1 - int(dropped[-1]) if len(dropped) else -1


# --- loops --------------------------------------------------------------------------------------


@compiled
def triangles(points: Points, flat: float) -> Indices:
    """Return (M, 3) vertex indices of triangles that fill an outline; flat corners give none."""
    ring = np.arange(len(points))
    found = np.empty((max(len(points), 1), 3), dtype=np.int64)
    count = 0
    while len(ring) >= 3:
        ear = shortest_ear(points, ring, flat)
        if ear >= 0:
            found[count, 0] = ring[ear - 1]
            found[count, 1] = ring[ear]
            found[count, 2] = ring[(ear + 1) % len(ring)]
            count += 1
        # A flat corner is dropped without a triangle; so is the first one when rounding has
        # left no ear at all, which the area shows afterwards.
        ear = ear if ear >= 0 else -1 - ear
        ring = np.concatenate((ring[:ear], ring[ear + 1 :]))
    return found[:count]


@compiled_or(shortest_ear_numpy)
def shortest_ear(points: Points, ring: Indices, flat: float) -> int:
    """Return the ear with the shortest diagonal; -1 - i when corner i can only be dropped."""
    best, shortest, dropped = -1, np.inf, -1
    size = len(ring)
    for ear in range(size):
        a, b, c = ring[ear - 1], ring[ear], ring[(ear + 1) % size]
        twice = _twice(points[a], points[b], points[c])
        if abs(twice) <= flat:
            dropped = -1 - ear
        elif twice > 0.0:
            length = (points[a, 0] - points[c, 0]) ** 2 + (points[a, 1] - points[c, 1]) ** 2
            if length < shortest and _is_empty(points, ring, a, b, c, flat):
                best, shortest = ear, length
    return best if best >= 0 else dropped


@compiled
def _is_empty(points: Points, ring: Indices, a: int, b: int, c: int, flat: float) -> bool:
    """Return whether no other vertex of a ring lies in a triangle or on its edges."""
    for other in ring:
        if other in (a, b, c):
            continue
        p = points[other]
        if (
            _twice(points[a], points[b], p) >= -flat
            and _twice(points[b], points[c], p) >= -flat
            and _twice(points[c], points[a], p) >= -flat
            and not _is_at(p, points[a])
            and not _is_at(p, points[b])
            and not _is_at(p, points[c])
        ):
            return False
    return True


@compiled
def _is_at(p: Points, q: Points) -> bool:
    """Return whether two vertices are the same point."""
    return bool(p[0] == q[0] and p[1] == q[1])


_twice = compiled(twice_area)
