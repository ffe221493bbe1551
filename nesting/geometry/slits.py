# SPDX-License-Identifier: GPL-2.0-or-later
"""Exact fits inside a no-fit polygon: room without area, which a union of areas cannot show.

Where a slot is exactly as wide as the moving shape, two opposite edges of the convolution fall on
one line; where a shape fits a pocket in one place only, corners of the convolution fall on one
point. Both are looked for among the edges of the convolution and then tested for being free.
Where they are many (two pinked edges) they are sieved first: a moving shape made a hair smaller
opens every slit to a narrow gap, and only what lies along such a gap is tested.
Coordinates are whole grid steps; nearness is `nesting.geometry.clip.TOUCH`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from nesting.geometry.clip import (
    STEPS_PER_MM,
    TOUCH,
    Grid,
    cover,
    cross_sign,
    following,
    overlap_area,
    shrunk,
)
from nesting.geometry.convolution import convolution

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]
Segment = tuple[Floats, Floats]

NEAR = TOUCH * STEPS_PER_MM
"""Steps within which two lines or points count as one."""
BESIDE = 2.0 * NEAR
"""Steps to step aside from a line, to look at what lies beside it."""
FEW = 40
"""Lines and points that are tested without a sieve: making the smaller shape costs as much."""
LOOSER = 2.0 * BESIDE
"""Steps by which the moving shape is made smaller all round."""
ALONG = 1000.0
"""Steps (a ten-millionth of a millimetre) from a gap within which lines and points are tested."""
PARALLEL = 1e-8
"""Radians: only a first sieve, the distance of the lines decides."""


def slits(cycles: Sequence[Grid], rings: Sequence[Grid], fixed: Grid, moving: Grid) -> Floats:
    """Return the places (M, 2, 2), in steps, inside the rings where `moving` touches `fixed` only.

    `cycles` is the convolution of `fixed` with `moving` reflected, `rings` the area it covers.
    """
    starts, ends = _edges(cycles)
    reach = float(np.abs(np.diff(moving, axis=0, append=moving[:1])).sum())

    def is_free(place: Floats) -> bool:
        return overlap_area(fixed, moving + np.rint(place).astype(np.int64)) <= NEAR * reach

    lines = list(double_lines(starts.astype(np.float64), ends.astype(np.float64)))
    points = list(_double_points(starts))
    if len(lines) + len(points) > FEW:
        gaps = _gaps(rings, fixed, moving)
        lines = [line for line in lines if _is_along(line, gaps)]
        points = [point for point in points if _is_along((point, point), gaps)]
    found = [slit for line in lines for slit in _free_stretches(line, starts, ends, is_free)]
    for point in points:
        if not _near_any(point, found) and _strictly_inside(point, rings) and is_free(point):
            found.append((point, point))
    return _once_each(found)


def _gaps(rings: Sequence[Grid], fixed: Grid, moving: Grid) -> list[Segment]:
    """Return edges of the no-fit polygon of a slightly smaller shape that the true one lacks.

    Its other edges run along those of the true one, `LOOSER` steps away.
    """
    smaller = shrunk(moving, LOOSER)
    loose = cover([cycle for ring in smaller for cycle in convolution(fixed, -ring)])
    if not loose or not rings:
        return []
    starts, ends = (part.astype(np.float64) for part in _edges(loose))
    middles = (starts + ends) / 2.0
    true_starts, true_ends = (part.astype(np.float64) for part in _edges(rings))
    gaps = []
    for start, middle, end in zip(starts, middles, ends, strict=True):
        nearest = [_distances(p, true_starts, true_ends).min() for p in (start, middle, end)]
        if max(nearest) > 2.0 * LOOSER:
            gaps.append((start, end))
    return gaps


def _edges(rings: Sequence[Grid]) -> tuple[Grid, Grid]:
    """Return the starts and ends of all edges of rings."""
    return np.concatenate(rings), np.concatenate([following(ring) for ring in rings])


def _is_along(segment: Segment, others: Sequence[Segment]) -> bool:
    """Return whether an end of a segment lies beside one of the others, or the other way round."""
    if not others:
        return False
    both = np.array(others)
    one, two = segment
    near = [_distances(end, both[:, 0], both[:, 1]).min() for end in segment]
    near += [_distances(end, one[None], two[None])[0] for pair in others for end in pair]
    return bool(min(near) <= ALONG)


def _once_each(found: Sequence[Segment]) -> Floats:
    """Return slits as (M, 2, 2), each from its lower left end and without repetitions."""
    both = [np.array(sorted(map(tuple, slit))) for slit in found]
    kept: list[Floats] = []
    for slit in both:
        if all(np.abs(slit - other).max() > BESIDE for other in kept):
            kept.append(slit)
    return np.array(kept, dtype=np.float64).reshape(-1, 2, 2)


def double_lines(starts: Floats, ends: Floats) -> Iterator[Segment]:
    """Yield, in steps, each stretch along which two opposite edges lie on one line."""
    ahead = ends - starts
    lengths = np.hypot(ahead[:, 0], ahead[:, 1])
    one, two = _on_lines_alike(starts, ahead, lengths)
    opposite = np.einsum("ij,ij->i", ahead[one], ahead[two]) < 0
    one, two = one[opposite], two[opposite]
    # The longer edge's direction is the truer one: rounding turns short edges most.
    shorter = lengths[one] < lengths[two]
    one, two = np.where(shorter, two, one), np.where(shorter, one, two)
    along = ahead[one] / lengths[one, None]
    to_start, to_end = starts[two] - starts[one], ends[two] - starts[one]
    low = np.maximum(np.einsum("ij,ij->i", to_end, along), 0.0)
    high = np.minimum(np.einsum("ij,ij->i", to_start, along), lengths[one])
    aside = np.maximum(np.abs(_cross(along, to_start)), np.abs(_cross(along, to_end)))
    seen = set()
    for k in np.flatnonzero((high - low > BESIDE) & (aside <= NEAR)):
        segment = starts[one[k]] + low[k] * along[k], starts[one[k]] + high[k] * along[k]
        key = tuple(np.sort(np.rint(np.concatenate(segment) / BESIDE).reshape(2, 2), axis=0).flat)
        if key not in seen:
            seen.add(key)
            yield segment


def _on_lines_alike(starts: Floats, ahead: Floats, lengths: Floats) -> tuple[Indices, Indices]:
    """Return the pairs of edges whose lines have nearly the same direction and place: a sieve.

    Edges are grouped by direction; in a group, those on one line are neighbours when sorted by
    their line's distance from the middle of all.
    """
    angles = np.arctan2(ahead[:, 1], ahead[:, 0]) % np.pi
    # Angles just below pi are neighbours of those just above 0.
    angles = np.where(angles > np.pi - PARALLEL, angles - np.pi, angles)
    by_angle = np.argsort(angles, kind="stable")
    groups = np.empty(len(angles))
    groups[by_angle] = np.cumsum(np.diff(angles[by_angle], prepend=-np.inf) > PARALLEL)
    middled = starts - starts.mean(axis=0)
    places = np.cos(angles) * middled[:, 1] - np.sin(angles) * middled[:, 0]
    reach = float(np.abs(middled).max())
    keys = groups * (8.0 * reach) + places
    order = np.argsort(keys, kind="stable")
    stop = np.searchsorted(keys[order], keys[order] + PARALLEL * reach + BESIDE, side="right")
    counts = stop - np.arange(len(order)) - 1
    first = np.repeat(np.arange(len(order)), counts)
    second = first + 1 + np.arange(len(first)) - np.repeat(np.cumsum(counts) - counts, counts)
    return order[first], order[second]


def _free_stretches(
    segment: Segment, starts: Grid, ends: Grid, is_free: Callable[[Floats], bool]
) -> Iterator[Segment]:
    """Yield the stretches of a double line along which there is touching and no overlap.

    Between two crossings a line is free throughout or not at all. It can only be free when there
    is overlap on both sides (else it is no slit), and when enough edges end on the line for every
    part of the overlap on its left: that sieve spares most of the exact tests.
    """
    origin, far = segment
    length = float(np.hypot(*(far - origin)))
    along = (far - origin) / length
    normal = np.array([-along[1], along[0]])
    aside_1, aside_2 = (starts - origin) @ normal, (ends - origin) @ normal
    reach_1, reach_2 = (starts - origin) @ along, (ends - origin) @ along
    marks = _crossings(aside_1, aside_2, reach_1, reach_2)
    inner = marks[(marks > NEAR) & (marks < length - NEAR)]
    inner = np.sort(inner)[np.diff(np.sort(inner), prepend=0.0) > NEAR]
    marks = np.concatenate([[0.0], inner, [length]])
    begin: float | None = None
    for low, high in pairwise(marks):
        middle = (low + high) / 2.0
        passing = (reach_1 < middle) & (middle < reach_2)
        share = (middle - reach_1[passing]) / (reach_2[passing] - reach_1[passing])
        aside = aside_1[passing] + share * (aside_2[passing] - aside_1[passing])
        forward = int((np.abs(aside) <= BESIDE).sum())
        place = origin + middle * along
        free = (
            0 < winding(place + BESIDE * normal, starts, ends) <= forward
            and winding(place - BESIDE * normal, starts, ends) > 0
            and is_free(place)
        )
        if free and begin is None:
            begin = low
        if not free and begin is not None:
            yield origin + begin * along, origin + low * along
            begin = None
    if begin is not None:
        yield origin + begin * along, far


def _crossings(aside_1: Floats, aside_2: Floats, reach_1: Floats, reach_2: Floats) -> Floats:
    """Return where edges cross or end on a line, measured along it."""
    crossing = (aside_1 < -NEAR) & (aside_2 > NEAR) | (aside_1 > NEAR) & (aside_2 < -NEAR)
    share = aside_1[crossing] / (aside_1[crossing] - aside_2[crossing])
    return np.concatenate(
        [
            reach_1[crossing] + share * (reach_2[crossing] - reach_1[crossing]),
            reach_1[np.abs(aside_1) <= NEAR],
            reach_2[np.abs(aside_2) <= NEAR],
        ]
    )


def winding(point: Floats, starts: Grid, ends: Grid) -> int:
    """Return how often closed cycles, given as their edges, wind round a point off them."""
    place = np.rint(point).astype(np.int64)
    upward = (starts[:, 1] <= place[1]) & (ends[:, 1] > place[1])
    downward = (starts[:, 1] > place[1]) & (ends[:, 1] <= place[1])
    side = cross_sign(ends - starts, place - starts)
    return int((upward & (side > 0)).sum()) - int((downward & (side < 0)).sum())


def _double_points(corners: Grid) -> Iterator[Floats]:
    """Yield, in order, each place where two corners of the convolution fall together."""
    cell = 4.0 * NEAR
    seen: set[tuple[float, ...]] = set()
    for shift in (0.0, 0.5):
        # Two near points can lie on either side of a cell's border, but not in both rasters.
        cells = np.floor(corners / cell + shift)
        _, first, counts = np.unique(cells, axis=0, return_index=True, return_counts=True)
        for index in first[counts > 1]:
            point = corners[index].astype(np.float64)
            key = tuple(np.rint(point / cell))
            if key not in seen:
                seen.add(key)
                yield point


def _strictly_inside(point: Floats, rings: Sequence[Grid]) -> bool:
    """Return whether a point lies inside the rings and not on one of them."""
    starts, ends = _edges(rings)
    nearest = _distances(point, starts.astype(np.float64), ends.astype(np.float64)).min()
    return bool(nearest > BESIDE) and winding(point, starts, ends) > 0


def _near_any(point: Floats, segments: Sequence[Segment]) -> bool:
    """Return whether a point lies on one of the segments."""
    if not segments:
        return False
    both = np.array(segments)
    return bool(_distances(point, both[:, 0], both[:, 1]).min() <= BESIDE)


def _distances(point: Floats, starts: Floats, ends: Floats) -> Floats:
    """Return the distance of a point from each of the segments."""
    ahead, away = ends - starts, point - starts
    squared = np.maximum(np.einsum("ij,ij->i", ahead, ahead), 1.0)
    share = np.clip(np.einsum("ij,ij->i", ahead, away) / squared, 0.0, 1.0)
    rest: Floats = away - share[:, None] * ahead
    return np.hypot(rest[:, 0], rest[:, 1])


def _cross(first: Floats, second: Floats) -> Floats:
    """Return the cross products of rows."""
    return first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
