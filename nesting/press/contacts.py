# SPDX-License-Identifier: GPL-2.0-or-later
"""What keeps near parts apart: half-planes of relative positions, one per pair of convex parts.

For two convex polygons that are apart, an edge of one of them separates them; keeping to its side
keeps them apart, wherever else they move. Sources: Li, Milenkovic, "Compaction and separation
algorithms for non-convex polygons and their applications", EJOR 84(3), 1995; Gomes, Oliveira, EJOR
171(3), 2006.
"""

from __future__ import annotations

import numpy as np

from nesting.compiled import compiled, compiled_or
from nesting.geometry.arrays import Bools, Ints
from nesting.geometry.clip import following
from nesting.geometry.shapes import Points

TOUCHING = 1e-9
"""Overlap, in scaled units, that is rounding."""
STANDING = 1e-12
"""Cosine of a direction that runs along an edge and never leaves it."""
FAR = 1e300


# --- with numpy ---------------------------------------------------------------------------------


def edge_planes(first: Points, second: Points) -> Points:
    """Return the half-planes (u, v, c) of all edges of two convex polygons, as `edge_plane` has it.

    Sums are made one term after the other as there, so they are the same to the last bit.
    """
    planes = np.empty((len(first) + len(second), 3))
    for ring, side, some in (
        (first, 1.0, planes[: len(first)]),
        (second, -1.0, planes[len(first) :]),
    ):
        along = following(ring) - ring
        length = np.sqrt(along[:, 0] * along[:, 0] + along[:, 1] * along[:, 1])
        some[:, 0], some[:, 1] = side * along[:, 1] / length, -side * along[:, 0] / length
    u, v = planes[: len(first), 0], planes[: len(first), 1]
    least = (u[:, None] * second[:, 0] + v[:, None] * second[:, 1]).min(axis=1)
    planes[: len(first), 2] = u * first[:, 0] + v * first[:, 1] - least
    u, v = planes[len(first) :, 0], planes[len(first) :, 1]
    most = (u[:, None] * first[:, 0] + v[:, None] * first[:, 1]).max(axis=1)
    planes[len(first) :, 2] = most - u * second[:, 0] - v * second[:, 1]
    return planes


def separating_numpy(first: Points, second: Points, dx: float, dy: float, out: Points) -> float:
    """Return and write what `separating` does."""
    planes = edge_planes(first, second)
    apart = planes[:, 0] * dx + planes[:, 1] * dy - planes[:, 2]
    best = int(apart.argmax())
    out[:] = planes[best]
    return float(apart[best])


def leaving_numpy(
    first: Points, second: Points, dx: float, dy: float, ux: float, uy: float
) -> float:
    """Return what `leaving` returns."""
    planes = edge_planes(first, second)
    missing = planes[:, 2] - planes[:, 0] * dx - planes[:, 1] * dy
    if missing.min() <= TOUCHING:
        return 0.0
    speed = planes[:, 0] * ux + planes[:, 1] * uy
    ahead = speed > STANDING
    return float((missing[ahead] / speed[ahead]).min(initial=FAR))


# --- loops --------------------------------------------------------------------------------------


@compiled
def edge_plane(first: Points, second: Points, k: int, out: Points) -> None:
    """Write the half-plane of edge k of two convex polygons: those of `first` come first.

    `out` (3,) gets the unit normal u and the c: the edge keeps them apart while the second lies
    moved by d with u . d >= c.
    """
    n, m = len(first), len(second)
    if k < n:
        after = k + 1 if k + 1 < n else 0
        ex, ey = first[after, 0] - first[k, 0], first[after, 1] - first[k, 1]
        length = np.sqrt(ex * ex + ey * ey)
        ux, uy = ey / length, -ex / length
        least = FAR
        for q in range(m):
            least = min(least, ux * second[q, 0] + uy * second[q, 1])
        out[2] = ux * first[k, 0] + uy * first[k, 1] - least
    else:
        e = k - n
        after = e + 1 if e + 1 < m else 0
        ex, ey = second[after, 0] - second[e, 0], second[after, 1] - second[e, 1]
        length = np.sqrt(ex * ex + ey * ey)
        ux, uy = -ey / length, ex / length
        most = -FAR
        for q in range(n):
            most = max(most, ux * first[q, 0] + uy * first[q, 1])
        out[2] = most - ux * second[e, 0] - uy * second[e, 1]
    out[0], out[1] = ux, uy


@compiled_or(separating_numpy)
def separating(first: Points, second: Points, dx: float, dy: float, out: Points) -> float:
    """Return the greatest distance by which an edge separates two convex polygons.

    The second lies moved by (dx, dy). Negative: they overlap by at least that. `out` (3,) gets the
    half-plane of that edge, as `edge_plane` has it.
    """
    best, plane = -FAR, np.empty(3)
    for k in range(len(first) + len(second)):
        edge_plane(first, second, k, plane)
        apart = plane[0] * dx + plane[1] * dy - plane[2]
        if apart > best:
            best = apart
            out[0], out[1], out[2] = plane[0], plane[1], plane[2]
    return best


@compiled
def _beside(boxes: Points, i: int, j: int, dx: float, dy: float, reach: float) -> bool:
    """Return whether two boxes, the second moved by (dx, dy), are farther apart than `reach`."""
    return bool(
        boxes[j, 0] + dx >= boxes[i, 2] + reach
        or boxes[j, 2] + dx <= boxes[i, 0] - reach
        or boxes[j, 1] + dy >= boxes[i, 3] + reach
        or boxes[j, 3] + dy <= boxes[i, 1] - reach
    )


@compiled
def overlap(
    a: int,
    b: int,
    dx: float,
    dy: float,
    points: Points,
    starts: Ints,
    firsts: Ints,
    boxes: Points,
    plane: Points,
    out: Points,
) -> float:
    """Return how deep two shapes overlap in their deepest pair of convex parts; 0 when apart.

    `out` gets the normal along which that pair comes apart soonest. `plane` is scratch.
    """
    deepest = 0.0
    for i in range(firsts[a], firsts[a + 1]):
        for j in range(firsts[b], firsts[b + 1]):
            if _beside(boxes, i, j, dx, dy, 0.0):
                continue
            first = points[starts[i] : starts[i + 1]]
            second = points[starts[j] : starts[j + 1]]
            apart = separating(first, second, dx, dy, plane)
            if -apart > deepest:
                deepest = -apart
                out[0], out[1] = plane[0], plane[1]
    return deepest


@compiled_or(leaving_numpy)
def leaving(first: Points, second: Points, dx: float, dy: float, ux: float, uy: float) -> float:
    """Return how far a polygon at (dx, dy) must go along (ux, uy) to leave another; 0 if apart."""
    way, plane = FAR, np.empty(3)
    for k in range(len(first) + len(second)):
        edge_plane(first, second, k, plane)
        missing = plane[2] - plane[0] * dx - plane[1] * dy
        if missing <= TOUCHING:
            return 0.0
        speed = plane[0] * ux + plane[1] * uy
        if speed > STANDING:
            way = min(way, missing / speed)
    return way


@compiled
def way_out(
    a: int,
    b: int,
    dx: float,
    dy: float,
    ux: float,
    uy: float,
    points: Points,
    starts: Ints,
    firsts: Ints,
    boxes: Points,
    limit: float,
) -> float:
    """Return how far shape b must go along (ux, uy) until it overlaps a no more; FAR if beyond."""
    way = 0.0
    for _ in range(200):
        moved = False
        for i in range(firsts[a], firsts[a + 1]):
            for j in range(firsts[b], firsts[b + 1]):
                x, y = dx + way * ux, dy + way * uy
                if _beside(boxes, i, j, x, y, -TOUCHING):
                    continue
                first = points[starts[i] : starts[i + 1]]
                second = points[starts[j] : starts[j + 1]]
                more = leaving(first, second, x, y, ux, uy)
                if more > 0.0:
                    way += more
                    moved = True
                    if way > limit:
                        return FAR
        if not moved:
            return way
    return FAR


@compiled
def half_planes(
    shapes: Ints,
    xs: Points,
    ys: Points,
    movable: int,
    points: Points,
    starts: Ints,
    firsts: Ints,
    boxes: Points,
    sizes: Points,
    passing: Bools,
    reach: float,
    separate: bool,
    ways: Points,
    rows: Ints,
    values: Points,
) -> tuple[int, int]:
    """List the half-planes of all pairs of parts that can meet when each moves up to `reach`.

    `passing` (shapes, shapes) says which may lie over each other. `rows` gets (part, part, pair)
    and `values` (ux, uy, c) with u . (p2 - p1) >= c. With `separate`, parts that overlap get the
    half-planes of where they come apart soonest, among the directions `ways` and the normal of
    their deepest overlap. Returns the number of rows and of pairs; as many rows as there is room
    for when there are more.
    """
    found = pairs = 0
    far = 2.0 * reach
    plane, normal = np.empty(3), np.empty(2)
    for p in range(movable):
        for q in range(p + 1, len(shapes)):
            dx, dy = xs[q] - xs[p], ys[q] - ys[p]
            a, b = shapes[p], shapes[q]
            if _beside(sizes, a, b, dx, dy, far) or passing[a, b]:
                continue
            at_x, at_y = dx, dy
            if separate:
                deep = overlap(a, b, dx, dy, points, starts, firsts, boxes, plane, normal)
                if deep > TOUCHING:
                    ux, uy = normal[0], normal[1]
                    least = way_out(a, b, dx, dy, ux, uy, points, starts, firsts, boxes, FAR)
                    for k in range(len(ways)):
                        way = way_out(
                            a,
                            b,
                            dx,
                            dy,
                            ways[k, 0],
                            ways[k, 1],
                            points,
                            starts,
                            firsts,
                            boxes,
                            least,
                        )
                        if way < least:
                            least, ux, uy = way, ways[k, 0], ways[k, 1]
                    at_x, at_y = dx + least * ux, dy + least * uy
            known = found
            for i in range(firsts[a], firsts[a + 1]):
                for j in range(firsts[b], firsts[b + 1]):
                    if _beside(boxes, i, j, dx, dy, far):
                        continue
                    first = points[starts[i] : starts[i + 1]]
                    second = points[starts[j] : starts[j + 1]]
                    separating(first, second, at_x, at_y, plane)
                    span = (abs(plane[0]) + abs(plane[1])) * far
                    if plane[0] * dx + plane[1] * dy - plane[2] > span or found == len(rows):
                        continue
                    rows[found, 0], rows[found, 1], rows[found, 2] = p, q, pairs
                    values[found] = plane
                    found += 1
            if found > known:
                pairs += 1
    return found, pairs
