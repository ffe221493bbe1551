# SPDX-License-Identifier: GPL-2.0-or-later
"""Outlines with fewer points that contain the true ones: what the search works on.

Two steps, each adding a small triangle outside: an inward corner is cut across, or a short edge
between two outward corners is replaced by the corner in which its neighbours meet. The step that
adds the least area comes first, as long as no point of the new outline is farther than the
tolerance from the true one and the outline does not cross itself. Long straight edges are only
lengthened or shortened, never moved, so that what fits exactly still does.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from nesting.geometry.clip import following, grown
from nesting.geometry.lying import Orientation, Shape
from nesting.geometry.shapes import Points, frozen, oriented
from nesting.model import Point
from nesting.stop import go_on_unless, never

STRAIGHT = 50.0
"""An edge this many times as long as the tolerance is drawn straight, not a step of a curve."""
ENOUGH = 30
"""Points below which fewer would not make the search noticeably faster."""
ARC_TOLERANCE = 0.002
"""mm by which the gap may be exceeded round a corner."""
KEPT = 4096
"""Outlines remembered: the true and the simplified ones of the largest job."""
FLAT = 1e-12
"""Sine of a turn that counts as none."""


def bases_of(
    shapes: Sequence[Shape],
    gap: float,
    tolerance: float,
    should_stop: Callable[[], bool] = never,
) -> dict[str, Points]:
    """Return for each piece of some shapes the outline to search with, at turn 0 and not flipped.

    It is grown by half the gap, so that grown outlines may touch, and then simplified outward by
    at most `tolerance` mm; 0 keeps every point. Asking again for the same shapes costs nothing.
    Raises Stopped when told to stop.
    """
    bases: dict[str, Points] = {}
    for shape in shapes:
        if shape.piece not in bases:
            go_on_unless(should_stop)
            points = shape.points.tobytes()
            bases[shape.piece] = _base_of(points, shape.orientation, gap, tolerance)
    return bases


@lru_cache(maxsize=KEPT)
def _base_of(points: bytes, lying: Orientation, gap: float, tolerance: float) -> Points:
    """Return the outline to search with of the piece whose points, as it lies, are given.

    They are given as bytes, so that another problem with the same piece is known again: a process
    that works on many cells of a table sees the same pieces all the time.
    """
    laid = np.frombuffer(points).reshape(-1, 2)
    # F undoes itself and turns the sense of a rotation round: (R F)^-1 = R F.
    base = oriented(laid, 0.0, lying.turn if lying.flip else -lying.turn, lying.flip)
    return simplified(grown(base, gap / 2.0, ARC_TOLERANCE), tolerance)


def simplified(outline: Points, tolerance: float, enough: int = ENOUGH) -> Points:
    """Return a counter-clockwise outline that contains a given one, with fewer points.

    No point of it is farther than `tolerance` mm outside; it stops at `enough` points.
    """
    if tolerance <= 0.0 or len(outline) <= enough:
        return outline
    # Steps only ever add area, so an outline that ends up simple was so all the way: looking at
    # every step for crossings, which costs most, is needed only for the few that do not.
    ring = _reduced(_Ring(outline, tolerance, careful=False), enough)
    return ring if _is_simple(ring) else _reduced(_Ring(outline, tolerance, careful=True), enough)


def _reduced(ring: _Ring, enough: int) -> Points:
    """Take steps, the least area first, until none is left or the points are few enough."""
    heap: list[tuple[float, int, int]] = []
    for vertex in range(len(ring.versions)):
        ring.offer(vertex, heap)
    left = len(ring.versions)
    while heap and left > max(enough, 3):
        _, vertex, version = heapq.heappop(heap)
        if version == ring.versions[vertex] and ring.take(vertex):
            left -= 1
            for changed in ring.around(vertex):
                ring.offer(changed, heap)
    return ring.points()


class _Ring:
    """An outline being simplified: a linked ring of points, each edge knowing what it covers.

    `first[v]` and `count[v]` name the true edges that the edge from v to its successor stands
    for; `straight[v]` says that this edge may not be moved.
    """

    def __init__(self, outline: Points, tolerance: float, *, careful: bool) -> None:
        size = len(outline)
        self._true: list[Point] = [(float(x), float(y)) for x, y in outline]
        self._at = list(self._true)
        self._array = outline.copy()
        self._next = [*range(1, size), 0]
        self._previous = [size - 1, *range(size - 1)]
        self._alive = [True] * size
        self._first, self._count = list(range(size)), [1] * size
        self._tolerance = tolerance
        self._careful = careful
        self._straight = [
            math.dist(self._at[v], self._at[(v + 1) % size]) >= STRAIGHT * tolerance
            for v in range(size)
        ]
        self.versions = [0] * size
        self._steps: dict[int, tuple[Point | None, float]] = {}

    def points(self) -> Points:
        """Return what is left of the ring."""
        return frozen(self._array[self._alive])

    def around(self, vertex: int) -> list[int]:
        """Return the points whose steps a change at `vertex` may affect."""
        after = vertex if self._alive[vertex] else self._next[vertex]
        before = self._previous[after]
        return [self._previous[before], before, after, self._next[after]]

    def offer(self, vertex: int, heap: list[tuple[float, int, int]]) -> None:
        """Put the step that is possible at a point, if any, on the heap."""
        self.versions[vertex] += 1
        step = self._cut(vertex) if self._turn(vertex) <= FLAT else self._meet(vertex)
        if step is not None:
            self._steps[vertex] = step
            heapq.heappush(heap, (step[1], vertex, self.versions[vertex]))

    def take(self, vertex: int) -> bool:
        """Take the step offered at a point unless it goes too far out or crosses the outline."""
        corner, _ = self._steps[vertex]
        before, after = self._previous[vertex], self._next[vertex]
        first, count = self._first[before], self._count[before] + self._count[vertex]
        if corner is None:
            new = [(self._at[before], self._at[after], first, count)]
        else:
            second = self._count[vertex] + self._count[after]
            new = [
                (self._at[vertex], corner, first, count),
                (corner, self._at[after], self._first[vertex], second),
            ]
        if not all(self._is_near(*edge) for edge in new):
            return False
        if self._careful and not all(self._is_clear(before, after, *edge[:2]) for edge in new):
            return False
        self._count[before] = count
        if corner is None:
            self._straight[before] = False
        else:
            # The edge in between is covered by both of its neighbours from now on.
            self._first[after], self._count[after] = new[1][2:]
            self._at[after] = self._array[after] = corner
        self._next[before], self._previous[after] = after, before
        self._alive[vertex] = False
        self.versions[vertex] += 1
        return True

    def _turn(self, vertex: int) -> float:
        """Return the sine of the turn at a point, positive outward."""
        a, b, c = self._at[self._previous[vertex]], self._at[vertex], self._at[self._next[vertex]]
        scale = math.dist(a, b) * math.dist(b, c)
        return _cross(a, b, c) / scale if scale > 0.0 else 0.0

    def _cut(self, vertex: int) -> tuple[Point | None, float] | None:
        """Return the step that drops an inward corner, with the area it adds."""
        before, after = self._previous[vertex], self._next[vertex]
        a, b, c = self._at[before], self._at[vertex], self._at[after]
        twice = -_cross(a, b, c)
        if twice <= FLAT * math.dist(a, b) * math.dist(b, c):
            straight_on = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]) >= 0.0
            return (None, 0.0) if straight_on else None
        if self._straight[before] or self._straight[vertex]:
            return None
        if twice > self._tolerance * math.dist(a, c):
            return None
        return None, twice / 2.0

    def _meet(self, vertex: int) -> tuple[Point | None, float] | None:
        """Return the step that replaces the edge after an outward corner by a single corner."""
        before, after = self._previous[vertex], self._next[vertex]
        if self._straight[vertex] or self._turn(after) <= FLAT:
            return None
        a, b, c, d = (self._at[v] for v in (before, vertex, after, self._next[after]))
        if a == d:
            return None
        along, back = (b[0] - a[0], b[1] - a[1]), (c[0] - d[0], c[1] - d[1])
        spread = along[0] * back[1] - along[1] * back[0]
        if spread >= 0.0 or before == self._next[after]:
            return None
        share = ((c[0] - b[0]) * back[1] - (c[1] - b[1]) * back[0]) / spread
        corner = b[0] + share * along[0], b[1] + share * along[1]
        twice = _cross(b, corner, c)
        if twice > self._tolerance * math.dist(b, c):
            return None
        return corner, twice / 2.0

    def _is_near(self, start: Point, end: Point, first: int, count: int) -> bool:
        """Return whether every point of a segment is near enough to the true edges it covers.

        The stretch of the segment near one true edge is an interval (the points near an edge are
        a convex set): together the intervals must cover the segment.
        """
        size = len(self._true)
        near = sorted(
            _stretch(start, end, self._true[k % size], self._true[(k + 1) % size], self._tolerance)
            for k in range(first, first + count)
        )
        reached = 0.0
        for low, high in near:
            if low > reached:
                break
            reached = max(reached, high)
        return reached >= 1.0

    def _is_clear(self, before: int, after: int, start: Point, end: Point) -> bool:
        """Return whether no other edge of the ring meets a new edge."""
        others = np.array(self._alive)
        # The edges at and between these points touch the new one by construction.
        others[[before, self._next[before], after, self._previous[before]]] = False
        index = np.flatnonzero(others)
        a, b = self._array[index], self._array[np.array(self._next)[index]]
        return not bool(_meet(a, b, np.array(start), np.array(end)).any())


def _is_simple(ring: Points) -> bool:
    """Return whether no two edges meet but neighbours."""
    ends = following(ring)
    meeting = _meet(ring[:, None], ends[:, None], ring[None], ends[None])
    size = len(ring)
    apart = np.abs(np.arange(size)[:, None] - np.arange(size)[None])
    return not bool((meeting & (apart > 1) & (apart < size - 1)).any())


def _meet(a: Points, b: Points, p: Points, q: Points) -> NDArray[np.bool_]:
    """Return whether segments a-b and p-q have a point in common (broadcast)."""
    crossed: NDArray[np.bool_] = (_side(p, q, a) * _side(p, q, b) <= 0.0) & (
        _side(a, b, p) * _side(a, b, q) <= 0.0
    )
    return crossed


def _cross(a: Point, b: Point, c: Point) -> float:
    """Return the cross product of a-b and b-c, twice the area of a left turn."""
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def _side(a: Points, b: Points, c: Points) -> Points:
    """Return on which side of the lines a-b the points c lie, positive left."""
    found: Points = (b - a)[..., 0] * (c - a)[..., 1] - (b - a)[..., 1] * (c - a)[..., 0]
    return found


def _stretch(p: Point, q: Point, a: Point, b: Point, reach: float) -> tuple[float, float]:
    """Return from which to which share of p-q its points lie within `reach` of the edge a-b.

    (2, 2), beyond the end, when none does.
    """
    spans = [_in_disc(p, q, a, reach), _in_disc(p, q, b, reach), _in_slab(p, q, a, b, reach)]
    low, high = min(span[0] for span in spans), max(span[1] for span in spans)
    return (max(0.0, low), min(1.0, high)) if low <= high else (2.0, 2.0)


def _in_disc(p: Point, q: Point, centre: Point, radius: float) -> tuple[float, float]:
    """Return between which shares of the line p-q it runs within a disc; (inf, -inf) if not."""
    dx, dy, ex, ey = q[0] - p[0], q[1] - p[1], p[0] - centre[0], p[1] - centre[1]
    squared, half = dx * dx + dy * dy, dx * ex + dy * ey
    inner = half * half - squared * (ex * ex + ey * ey - radius * radius)
    if inner < 0.0 or squared == 0.0:
        return math.inf, -math.inf
    root = math.sqrt(inner)
    return (-half - root) / squared, (-half + root) / squared


def _in_slab(p: Point, q: Point, a: Point, b: Point, reach: float) -> tuple[float, float]:
    """Return the shares of the line p-q over the edge a-b and within `reach` to its sides."""
    length = math.dist(a, b)
    if length == 0.0:
        return math.inf, -math.inf
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    low, high = -math.inf, math.inf
    for (nx, ny), least, most in (((ux, uy), 0.0, length), ((-uy, ux), -reach, reach)):
        start = (p[0] - a[0]) * nx + (p[1] - a[1]) * ny
        slope = (q[0] - p[0]) * nx + (q[1] - p[1]) * ny
        if slope == 0.0:
            if not least <= start <= most:
                return math.inf, -math.inf
            continue
        ends = (least - start) / slope, (most - start) / slope
        low, high = max(low, min(ends)), min(high, max(ends))
    return (low, high) if low <= high else (math.inf, -math.inf)
