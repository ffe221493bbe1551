# SPDX-License-Identifier: GPL-2.0-or-later
"""The leftmost, then lowest, position that lies in a box and inside no no-fit polygon.

Such a position is a corner of the box, a corner of a no-fit polygon, an end of a slit, or where two
of all these lines cross. Each of them is tested against every no-fit polygon: on a boundary (within
`nesting.geometry.clip.TOUCH`) is free, so that exact fits are found among many parts as well.

Where numba is missing numpy gives the same answer.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count

import numpy as np
from numpy.typing import NDArray

from nesting.cloth.rooms import Axis, Room
from nesting.compiled import compiled, compiled_or
from nesting.geometry.clip import TOUCH, Region, following

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

World = tuple[Floats, Indices, Floats, Indices, Floats, Floats, Floats]
"""Edges, where each barrier's begin, slits, where theirs begin, bounding boxes from left to right,
the box of positions, and x, column and y that a position must not be short of."""

COLUMN = 1e-8
"""mm: positions whose x differs by less are equally far left, so that the lower one wins."""
BEYOND = 1e-8
"""mm by which a position may lie outside the box: what rounding adds up over a row of parts."""
BLOCK = 256
"""Lines whose crossings with all others numpy computes at a time, to bound the memory."""


@dataclass(frozen=True, eq=False, slots=True)
class Barrier:
    """A no-fit polygon as the arrays the search needs, relative to its fixed part.

    `edges` and `slits` hold (x, y, x, y) of segments, `box` the corners of the bounding box, mm.
    """

    edges: Floats
    slits: Floats
    box: Floats


def barrier_of(region: Region) -> Barrier:
    """Return a no-fit polygon as a barrier."""
    rings = [np.hstack([ring, following(ring)]) for ring in region.rings]
    edges = np.concatenate(rings) if rings else np.empty((0, 4))
    corners = edges[:, :2] if len(edges) else np.full((1, 2), math.nan)
    box = np.concatenate([corners.min(axis=0), corners.max(axis=0)])
    return Barrier(edges, region.slits.reshape(-1, 4), box)


def leftmost_in(
    room: Room,
    barriers: Sequence[tuple[Barrier, float, float]],
    at_least: tuple[float, float] = (-math.inf, -math.inf),
    at_most: float = math.inf,
) -> tuple[float, float] | None:
    """Return the leftmost, then lowest, free position (x, y) of a room, None when there is none.

    See `leftmost`; x must not be above `at_most`. Where the room has steps along the cloth they are
    tried from the left; where it has steps across it the best of all of them is taken.
    """
    along, across = room.axes
    x_high = min(along.high, at_most)
    if across.period:
        rows = _steps(across, across.low, across.high)
    else:
        rows = iter([(across.low, across.high)])
    best: tuple[float, float] | None = None
    for low, high in rows:
        found = _in_row(along, (low, high), barriers, at_least, x_high)
        if found is not None and (best is None or found < best):
            best, x_high = found, found[0]
    return best


def _in_row(
    along: Axis,
    row: tuple[float, float],
    barriers: Sequence[tuple[Barrier, float, float]],
    at_least: tuple[float, float],
    x_high: float,
) -> tuple[float, float] | None:
    """Return the leftmost, then lowest, free position whose y lies in a row."""
    if not along.period:
        return leftmost(barriers, (along.low, row[0], x_high, row[1]), at_least)
    low = max(along.low, at_least[0])
    # Beyond all barriers everything is free: what is not free on the first step there never is.
    ends = [barrier.box[2] + x for barrier, x, _ in barriers if len(barrier.edges)]
    beyond = max([low, *ends]) + 2.0 * along.period
    for x, _ in _steps(along, low, min(x_high, beyond)):
        found = leftmost(barriers, (x, row[0], x, row[1]))
        if found is not None:
            return x, found[1]
    return None


def _steps(axis: Axis, low: float, high: float) -> Iterator[tuple[float, float]]:
    """Yield the positions of an axis with a period from low to high, each as both ends of a box."""
    first = axis.at_least(low)
    for number in count():
        step = first + number * axis.period
        if not step <= high + BEYOND:
            return
        yield step, step


def leftmost(
    barriers: Sequence[tuple[Barrier, float, float]],
    box: tuple[float, float, float, float],
    at_least: tuple[float, float] = (-math.inf, -math.inf),
) -> tuple[float, float] | None:
    """Return the leftmost, then lowest, free position (x, y) in a box, None when there is none.

    `barriers` are no-fit polygons with the positions of their fixed parts. `at_least` is a
    position known to be no farther right (then up) than the answer: it saves looking at others.
    """
    if box[0] > box[2] or box[1] > box[3]:
        return None
    near = sorted(
        (
            (barrier, x, y)
            for barrier, x, y in barriers
            if barrier.box[2] + x >= max(at_least[0], box[0])
        ),
        key=lambda placed: float(placed[0].box[0]) + placed[1],
    )
    moves = np.array([(x, y, x, y) for _, x, y in near]).reshape(-1, 4)
    edges = [barrier.edges + move for (barrier, _, _), move in zip(near, moves, strict=True)]
    slits = [barrier.slits + move for (barrier, _, _), move in zip(near, moves, strict=True)]
    boxes = np.array([barrier.box for barrier, _, _ in near]).reshape(-1, 4) + moves
    found = search(
        (
            np.concatenate([np.empty((0, 4)), *edges]),
            np.cumsum([0, *(len(part) for part in edges)]),
            np.concatenate([np.empty((0, 4)), *slits]),
            np.cumsum([0, *(len(part) for part in slits)]),
            boxes,
            np.array(box),
            np.array([at_least[0], _column(at_least[0]), at_least[1]]),
        )
    )
    return (float(found[0]), float(found[1])) if found[0] < math.inf else None


def _column(x: float) -> float:
    """Return the number of the column of positions that count as equally far left."""
    return math.floor(x / COLUMN + 0.5) if math.isfinite(x) else x


# --- with numpy ---------------------------------------------------------------------------------


def search_numpy(world: World) -> Floats:
    """Return what `search` returns."""
    box, at_least = world[5], world[6]
    points = _candidates(world)
    inside = (points >= box[:2] - BEYOND).all(axis=1) & (points <= box[2:] + BEYOND).all(axis=1)
    points = points[inside]
    columns = np.floor(points[:, 0] / COLUMN + 0.5)
    ahead = (columns > at_least[1]) | (columns == at_least[1]) & (points[:, 1] >= at_least[2])
    points, columns = points[ahead], columns[ahead]
    points = points[np.lexsort((points[:, 0], points[:, 1], columns))]
    for begin in range(0, len(points), BLOCK):
        some = points[begin : begin + BLOCK]
        for barrier in range(len(world[4])):
            some = some[~_blocked(some, barrier, world)]
        if len(some):
            return np.array(some[0])
    return np.full(2, np.inf)


def _candidates(world: World) -> Floats:
    """Return every position that can be the leftmost, free or not."""
    box = world[5]
    lines, owners = _lines_in_box(world)
    x, y, u, v = lines.T
    found = [np.array([[box[0], box[1]], [box[0], box[3]]]), lines[:, :2], lines[:, 2:]]
    for side in (box[1], box[3]):
        k = np.flatnonzero((y < side) != (v < side))
        along = x[k] + (side - y[k]) / (v[k] - y[k]) * (u[k] - x[k])
        found.append(np.column_stack([along, np.full(len(k), side)]))
    k = np.flatnonzero((x < box[0]) != (u < box[0]))
    across = y[k] + (box[0] - x[k]) / (u[k] - x[k]) * (v[k] - y[k])
    found.append(np.column_stack([np.full(len(k), box[0]), across]))
    for begin in range(0, len(lines), BLOCK):
        found.append(_crossings(lines, owners, slice(begin, begin + BLOCK)))
    return np.concatenate(found)


def _crossings(lines: Floats, owners: Indices, block: slice) -> Floats:
    """Return where the lines of a block cross later lines of other barriers."""
    x, y, u, v = (column[block, None] for column in lines.T)
    p, q, r, s = lines.T
    apart = np.arange(len(lines))[block, None] < np.arange(len(lines))
    apart &= owners[block, None] != owners
    spread = (u - x) * (s - q) - (v - y) * (r - p)
    apart &= spread != 0.0
    with np.errstate(divide="ignore", invalid="ignore"):
        share = ((p - x) * (s - q) - (q - y) * (r - p)) / spread
        other = ((p - x) * (v - y) - (q - y) * (u - x)) / spread
    i, j = np.nonzero(apart & (share >= 0.0) & (share <= 1.0) & (other >= 0.0) & (other <= 1.0))
    share = share[i, j]
    x, y, u, v = lines[block][i].T
    return np.column_stack([x + share * (u - x), y + share * (v - y)])


def _blocked(points: Floats, barrier: int, world: World) -> NDArray[np.bool_]:
    """Return which positions are inside a barrier, farther than touching."""
    edges, edge_first, slits, slit_first, boxes, _, _ = world
    box = boxes[barrier]
    within = (points > box[:2] + TOUCH).all(axis=1) & (points < box[2:] - TOUCH).all(axis=1)
    x, y = points[within, 0, None], points[within, 1, None]
    p, q, r, s = edges[edge_first[barrier] : edge_first[barrier + 1]].T
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = ((q > y) != (s > y)) & (x < p + (y - q) / (s - q) * (r - p))
    inside = crossing.sum(axis=1) % 2 == 1
    for lines in (
        edges[edge_first[barrier] : edge_first[barrier + 1]],
        slits[slit_first[barrier] : slit_first[barrier + 1]],
    ):
        inside &= ~_on_any(x, y, lines)
    found = np.zeros(len(points), dtype=np.bool_)
    found[within] = inside
    return found


def _on_any(x: Floats, y: Floats, lines: Floats) -> NDArray[np.bool_]:
    """Return which positions (columns of x and y) lie on one of the segments."""
    p, q, r, s = lines.T
    on = (x >= np.minimum(p, r) - TOUCH) & (x <= np.maximum(p, r) + TOUCH)
    on &= (y >= np.minimum(q, s) - TOUCH) & (y <= np.maximum(q, s) + TOUCH)
    aside = (r - p) * (y - q) - (s - q) * (x - p)
    on &= aside * aside <= TOUCH * TOUCH * ((r - p) * (r - p) + (s - q) * (s - q))
    found: NDArray[np.bool_] = on.any(axis=1)
    return found


# --- loops --------------------------------------------------------------------------------------


@compiled_or(search_numpy)
def search(world: World) -> Floats:
    """Return the leftmost free position, (inf, inf) when there is none."""
    boxes, box = world[4], world[5]
    # Column, y and x of the best position so far, and how far right a barrier reaches at most; the
    # barrier that refused the last position.
    best, last = np.full(4, np.inf), np.zeros(1, dtype=np.int64)
    if len(boxes) > 0:
        best[3] = np.max(boxes[:, 2] - boxes[:, 0])
    _try(box[0], box[1], best, last, world)
    _try(box[0], box[3], best, last, world)
    lines, owners = _lines_in_box(world)
    for k in range(len(lines)):
        _try(lines[k, 0], lines[k, 1], best, last, world)
        _try(lines[k, 2], lines[k, 3], best, last, world)
        _try_box_crossings(lines[k], best, last, world)
    _try_crossings(lines, owners, best, last, world)
    return np.array([best[2], best[1]])


@compiled
def _lines_in_box(world: World) -> tuple[Floats, Indices]:
    """Return the edges and slits where positions may be, and which barrier each belongs to."""
    edges, edge_first, slits, slit_first, _, box, at_least = world
    lines = np.empty((len(edges) + len(slits), 4))
    owners = np.empty(len(lines), dtype=np.int64)
    count = 0
    for source, first in ((edges, edge_first), (slits, slit_first)):
        for owner in range(len(first) - 1):
            for k in range(first[owner], first[owner + 1]):
                x, y, u, v = source[k]
                if (
                    max(x, u) >= max(box[0], at_least[0]) - BEYOND
                    and min(x, u) <= box[2] + BEYOND
                    and max(y, v) >= box[1] - BEYOND
                    and min(y, v) <= box[3] + BEYOND
                ):
                    lines[count] = source[k]
                    owners[count] = owner
                    count += 1
    return lines[:count], owners[:count]


@compiled
def _try_box_crossings(line: Floats, best: Floats, last: Indices, world: World) -> None:
    """Try where a line crosses the lower, upper and left side of the box."""
    box = world[5]
    x, y, u, v = line
    for side in (box[1], box[3]):
        if (y < side) != (v < side):
            _try(x + (side - y) / (v - y) * (u - x), side, best, last, world)
    if (x < box[0]) != (u < box[0]):
        _try(box[0], y + (box[0] - x) / (u - x) * (v - y), best, last, world)


@compiled
def _try_crossings(
    lines: Floats, owners: Indices, best: Floats, last: Indices, world: World
) -> None:
    """Try where lines of different barriers cross, from left to right."""
    lows = np.minimum(lines[:, 0], lines[:, 2])
    highs = np.maximum(lines[:, 0], lines[:, 2])
    order = np.argsort(lows)
    for a in range(len(order)):
        one = order[a]
        if lows[one] > best[2] + COLUMN:
            return
        for b in range(a + 1, len(order)):
            two = order[b]
            if lows[two] > min(highs[one], best[2] + COLUMN):
                break
            if owners[one] == owners[two]:
                continue
            # Always from the same of the two lines: so both implementations round alike.
            x, y, u, v = lines[min(one, two)]
            p, q, r, s = lines[max(one, two)]
            if max(q, s) < min(y, v) or min(q, s) > max(y, v):
                continue
            spread = (u - x) * (s - q) - (v - y) * (r - p)
            if spread == 0.0:
                continue
            share = ((p - x) * (s - q) - (q - y) * (r - p)) / spread
            other = ((p - x) * (v - y) - (q - y) * (u - x)) / spread
            if 0.0 <= share <= 1.0 and 0.0 <= other <= 1.0:
                _try(x + share * (u - x), y + share * (v - y), best, last, world)


@compiled
def _try(x: float, y: float, best: Floats, last: Indices, world: World) -> None:
    """Make a position the best one if it is further left (then lower) and free."""
    box, at_least = world[5], world[6]
    if not (box[0] - BEYOND <= x <= box[2] + BEYOND and box[1] - BEYOND <= y <= box[3] + BEYOND):
        return
    column = math.floor(x / COLUMN + 0.5)
    if column > best[0] or (column == best[0] and (y > best[1] or (y == best[1] and x >= best[2]))):
        return
    if column < at_least[1] or (column == at_least[1] and y < at_least[2]):
        return
    boxes = world[4]
    if len(boxes) > 0 and _blocks(x, y, last[0], world):
        return
    for barrier in range(np.searchsorted(boxes[:, 0], x) - 1, -1, -1):
        if boxes[barrier, 0] < x - best[3]:
            break
        if _blocks(x, y, barrier, world):
            last[0] = barrier
            return
    best[0], best[1], best[2] = column, y, x


@compiled
def _blocks(x: float, y: float, barrier: int, world: World) -> bool:
    """Return whether a position is inside a barrier, farther than touching."""
    edges, edge_first, slits, slit_first, boxes, _, _ = world
    low_x, low_y, high_x, high_y = boxes[barrier]
    if not (low_x + TOUCH < x < high_x - TOUCH and low_y + TOUCH < y < high_y - TOUCH):
        return False
    inside = False
    for k in range(edge_first[barrier], edge_first[barrier + 1]):
        p, q, r, s = edges[k]
        if min(q, s) - TOUCH <= y <= max(q, s) + TOUCH:
            if _is_on(x, y, p, q, r, s):
                return False
            if (q > y) != (s > y) and x < p + (y - q) / (s - q) * (r - p):
                inside = not inside
    if inside:
        for k in range(slit_first[barrier], slit_first[barrier + 1]):
            if _is_on(x, y, slits[k, 0], slits[k, 1], slits[k, 2], slits[k, 3]):
                return False
    return inside


@compiled
def _is_on(x: float, y: float, p: float, q: float, r: float, s: float) -> bool:
    """Return whether a position lies on the segment (p, q)-(r, s), within touching."""
    if not (min(p, r) - TOUCH <= x <= max(p, r) + TOUCH):
        return False
    if not (min(q, s) - TOUCH <= y <= max(q, s) + TOUCH):
        return False
    aside = (r - p) * (y - q) - (s - q) * (x - p)
    return aside * aside <= TOUCH * TOUCH * ((r - p) * (r - p) + (s - q) * (s - q))
