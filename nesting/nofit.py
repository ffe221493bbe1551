# SPDX-License-Identifier: GPL-2.0-or-later
"""No-fit polygons: the positions of a moving shape at which it overlaps a fixed one.

Method. The moving shape at position t overlaps the fixed one exactly when t lies in the open
Minkowski sum of the fixed shape and the moving one reflected in the origin. The *full* convolution
of the two outlines, inward corners included with the opposite sense, winds round t as many times
as the overlap has separate parts (both outlines being free of holes, so are the parts). Hence the
sum is where the winding number is positive: one union with that fill rule, no false holes, holes
where the moving shape fits into the fixed one. Source: Guibas, Ramshaw, Stolfi, "A kinetic
framework for computational geometry", FOCS 1983; Wein, "Exact and efficient construction of planar
Minkowski sums using the convolution method", ESA 2006.

The convolution of two drawn outlines of 300 points has about 1,000 edges, where the sum over all
pairs of edges has 90,000: measured 2.5 ms against 10 s. No compiled code is needed.

"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.clip import (
    Grid,
    Region,
    clean_ring,
    cover,
    cross_sign,
    region_of,
    to_grid,
)
from nesting.shapes import Points, counter_clockwise

Mask = NDArray[np.bool_]


def nofit(fixed: Points, moving: Points) -> Region:
    """Return the positions of `moving` (its translation) at which it overlaps `fixed`.

    Outlines are (N, 2) mm, counter-clockwise, simple. Inside means overlap, on the boundary
    (slits included) means touching, outside and in holes means apart.
    """
    first = clean_ring(to_grid(counter_clockwise(fixed)))
    second = clean_ring(to_grid(counter_clockwise(moving)))
    if len(first) == 0 or len(second) == 0:
        return Region()
    return region_of(cover(convolution(first, -second)))


def convolution(first: Grid, second: Grid) -> list[Grid]:
    """Return the convolution of two counter-clockwise grid outlines as closed cycles.

    A state (i, j) is the point first[i] + second[j]; an edge of one outline goes with each vertex
    of the other whose turn passes through the edge's direction. Cycles are walked from the lowest
    state on, so the result depends on the input alone.
    """
    starts, ends = _steps(first, second)
    count = len(second)
    following: dict[int, list[int]] = {}
    for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
        following.setdefault(start, []).append(end)
    cycles = []
    for begin in sorted(following):
        while following[begin]:
            walk, state = [], begin
            while following[state]:
                walk.append(state)
                state = following[state].pop()
            states = np.array(walk)
            cycles.append(first[states // count] + second[states % count])
    return cycles


def _steps(first: Grid, second: Grid) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return start and end states of all edges of the convolution.

    Parallel edges are told apart as if `second` were turned a hair counter-clockwise: the turn at
    a vertex is open at one end and closed at the other, or the cycles would not close.
    """
    ahead_1, ahead_2 = np.roll(first, -1, axis=0) - first, np.roll(second, -1, axis=0) - second
    sides = cross_sign(ahead_1[:, None, :], ahead_2[None, :, :])
    turns_1 = cross_sign(np.roll(ahead_1, 1, axis=0), ahead_1)[:, None]
    turns_2 = cross_sign(np.roll(ahead_2, 1, axis=0), ahead_2)[None, :]
    into_2, into_1 = np.roll(sides, 1, axis=1), np.roll(sides, 1, axis=0)
    kinds: tuple[tuple[Mask, int, int, bool], ...] = (
        ((turns_2 > 0) & (into_2 < 0) & (sides >= 0), 1, 0, False),
        ((turns_2 < 0) & (into_2 >= 0) & (sides < 0), 1, 0, True),
        ((turns_1 > 0) & (into_1 >= 0) & (sides < 0), 0, 1, False),
        ((turns_1 < 0) & (into_1 < 0) & (sides >= 0), 0, 1, True),
    )
    starts, ends = [], []
    for mask, step_1, step_2, backwards in kinds:
        i, j = np.nonzero(mask)
        here = i * len(second) + j
        there = (i + step_1) % len(first) * len(second) + (j + step_2) % len(second)
        starts.append(there if backwards else here)
        ends.append(here if backwards else there)
    return np.concatenate(starts), np.concatenate(ends)
