# SPDX-License-Identifier: GPL-2.0-or-later
"""Exact polygon arithmetic on one integer grid: the only module that knows pyclipper.

Millimetres in, millimetres out. Inside, every coordinate is a whole number of grid steps, so that
two outlines which share an edge share the very same integers and read as touching.

The step is 1e-10 mm. It is that fine because the judge forgives an overlap of 1e-9 of a part's
area: on a part of a few millimetres a step of 1e-6 mm along one edge is already more than that.
100 m are 1e15 steps, below 2**53 (so a float holds every grid number exactly) and far below
pyclipper's 2**62; a coarser grid was measured to be no faster.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

import numpy as np
import pyclipper
from numpy.typing import NDArray

from nesting.geometry.shapes import Points, frozen, signed_area

Grid = NDArray[np.int64]
Kind = TypeVar("Kind", bound=np.generic)

STEPS_PER_MM = 1e10
TOUCH = 4e-10
"""mm: a contact up to this deep is touching. Four steps: what rounding both shapes, a position
and a crossing can add up to."""

MITRE_LIMIT = 1000.0
"""Corners sharper than a tenth of a degree are cut off when rings are closed or shrunk."""

NO_SLITS = frozen(np.empty((0, 4))).reshape(0, 2, 2)


@dataclass(frozen=True, eq=False, slots=True)
class Region:
    """A set in the plane with its boundary: rings as read-only (N, 2) arrays in mm.

    `outers` are counter-clockwise, `holes` clockwise. For a no-fit polygon a hole is free room;
    `slits` (M, 2, 2) are free too: segments from end to end, inside the outer rings, along which
    the moving shape just fits; a single point has two equal ends.
    """

    outers: tuple[Points, ...] = ()
    holes: tuple[Points, ...] = ()
    slits: Points = field(default_factory=lambda: NO_SLITS)

    @property
    def rings(self) -> tuple[Points, ...]:
        """All rings, the outer ones first: with each, the set lies to the left of its edges."""
        return self.outers + self.holes

    @property
    def area(self) -> float:
        """Area in mm2."""
        return sum(signed_area(ring) for ring in self.rings)


def to_grid(points: Points) -> Grid:
    """Return (N, 2) points in mm as whole grid steps."""
    return np.rint(points * STEPS_PER_MM).astype(np.int64)


def from_grid(points: Grid) -> Points:
    """Return grid steps as read-only points in mm."""
    return frozen(points / STEPS_PER_MM)


def following(rows: NDArray[Kind]) -> NDArray[Kind]:
    """Return the rows of a closed ring moved up by one: the end of the edge that begins at each.

    What `numpy.roll` does, at a tenth of its overhead: outlines are short and asked about often.
    """
    return np.concatenate((rows[1:], rows[:1]))


def preceding(rows: NDArray[Kind]) -> NDArray[Kind]:
    """Return the rows of a closed ring moved down by one."""
    return np.concatenate((rows[-1:], rows[:-1]))


def cross_sign(first: Grid, second: Grid) -> NDArray[np.int8]:
    """Return the exact sign of the cross products of (..., 2) grid vectors, broadcast.

    The float product decides unless it is within its own rounding error; then the true value is
    below 2**63 and the product in wrapping 64-bit integers is exact.
    """
    with np.errstate(over="ignore"):
        wrapped = first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]
    left = first[..., 0].astype(np.float64) * second[..., 1]
    right = first[..., 1].astype(np.float64) * second[..., 0]
    certain = np.abs(left - right) > 1e-15 * (np.abs(left) + np.abs(right))
    return np.where(certain, np.sign(left - right), np.sign(wrapped)).astype(np.int8)


def clean_ring(ring: Grid) -> Grid:
    """Return a grid ring without repeated points, points within straight edges, and spikes.

    What is left of a ring without area is an empty (0, 2) array.
    """
    while len(ring) >= 3:
        turns = cross_sign(ring - preceding(ring), following(ring) - ring)
        flat = np.flatnonzero(turns == 0)
        if len(flat) == 0:
            return ring
        # Neighbours are not dropped in one go: of two equal points one has to stay.
        drop = [flat[0]]
        for index in flat[1:]:
            if index != drop[-1] + 1 and not (index == len(ring) - 1 and drop[0] == 0):
                drop.append(index)
        ring = np.delete(ring, drop, axis=0)
    return ring[:0]


def cover(cycles: Iterable[Grid]) -> list[Grid]:
    """Return the boundary of where closed cycles wind round a point at least once.

    Outer rings counter-clockwise, holes clockwise, in grid steps.
    """
    clipper = pyclipper.Pyclipper()
    for cycle in cycles:
        # A cycle of two points, or flat, encloses nothing; pyclipper refuses it.
        if len(cycle) >= 3:
            _add(clipper, cycle, pyclipper.PT_SUBJECT)
    found = clipper.Execute(pyclipper.CT_UNION, pyclipper.PFT_POSITIVE, pyclipper.PFT_POSITIVE)
    return [np.array(ring, dtype=np.int64) for ring in found]


def closed(rings: Sequence[Grid], steps: float) -> list[Grid]:
    """Return rings grown and shrunk again: gaps up to twice so many steps wide are closed."""
    return _offset(_offset(rings, steps), -steps)


def shrunk(ring: Grid, steps: float) -> list[Grid]:
    """Return what is left of a grid outline made smaller by so many steps all round."""
    return [clean_ring(part) for part in _offset([ring], -steps)]


def _offset(rings: Sequence[Grid], steps: float) -> list[Grid]:
    """Return rings moved outward by so many steps, corners kept sharp."""
    offset = pyclipper.PyclipperOffset(MITRE_LIMIT)
    for ring in rings:
        ahead = (following(ring) - ring).astype(np.float64)
        # A splinter, hole or not, can make pyclipper lose all the other rings.
        if abs(signed_area(ring.astype(np.float64))) > abs(steps) * np.hypot(*ahead.T).sum():
            offset.AddPath(ring.tolist(), pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    return [np.array(ring, dtype=np.int64) for ring in offset.Execute(steps)]


def overlap_area(first: Grid, second: Grid) -> float:
    """Return the common area of two grid outlines, in square steps."""
    found = _combined(pyclipper.CT_INTERSECTION, [first], [second])
    return sum(signed_area(ring.astype(np.float64)) for ring in found)


def minus(rings: Sequence[Grid], others: Sequence[Grid], hair: float) -> list[Grid]:
    """Return what is left of an area without another, where it is wider than `hair` steps.

    Both are grid rings: outer ones counter-clockwise, holes clockwise.
    """
    return _opened(_combined(pyclipper.CT_DIFFERENCE, rings, others), hair)


def common(first: Grid, second: Grid, hair: float) -> list[Grid]:
    """Return what two grid outlines have in common, where it is wider than `hair` steps."""
    return _opened(_combined(pyclipper.CT_INTERSECTION, [first], [second]), hair)


def _combined(kind: int, rings: Sequence[Grid], others: Sequence[Grid]) -> list[Grid]:
    """Return the rings of two areas combined as `kind` says."""
    clipper = pyclipper.Pyclipper()
    for ring in rings:
        _add(clipper, ring, pyclipper.PT_SUBJECT)
    for ring in others:
        _add(clipper, ring, pyclipper.PT_CLIP)
    found = clipper.Execute(kind, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    return [np.array(ring, dtype=np.int64) for ring in found]


def _opened(rings: Sequence[Grid], hair: float) -> list[Grid]:
    """Return rings without what is narrower than so many steps."""
    return _offset(_offset(rings, -hair / 2.0), hair / 2.0)


def region_of(rings: Iterable[Grid], slits: Points = NO_SLITS) -> Region:
    """Return grid rings as a region in mm: the counter-clockwise ones bound it from outside."""
    points = [from_grid(ring) for ring in rings]
    return Region(
        tuple(ring for ring in points if signed_area(ring) > 0),
        tuple(ring for ring in points if signed_area(ring) < 0),
        frozen(slits) if len(slits) else NO_SLITS,
    )


def grown(outline: Points, distance: float, tolerance: float) -> Points:
    """Return a counter-clockwise outline grown outward by `distance` mm, pockets closed over.

    Straight edges move by exactly the distance; a round corner is replaced by tangents, so the
    result is never nearer than `distance` and at most `tolerance` farther. A pocket whose mouth
    the growth closes is filled: the safe side.
    """
    if distance <= 0:
        return outline
    rings = cover([_offset_cycle(outline, distance, tolerance)])
    return from_grid(max(rings, key=lambda ring: signed_area(from_grid(ring))))


def _offset_cycle(outline: Points, distance: float, tolerance: float) -> Grid:
    """Return the raw offset curve: it winds round every grown point, and never backwards."""
    ahead = following(outline) - outline
    ahead /= np.hypot(ahead[:, 0], ahead[:, 1])[:, None]
    normals = np.column_stack([ahead[:, 1], -ahead[:, 0]])
    widest = 2.0 * np.arccos(distance / (distance + tolerance))
    points: list[Points] = []
    for vertex, before, after in zip(outline, preceding(normals), normals, strict=True):
        turn = np.arctan2(before[0] * after[1] - before[1] * after[0], before @ after)
        if turn <= 0:
            # Inward corner: by way of the vertex, so that the little loop winds backwards.
            points.append(np.array([vertex + distance * before, vertex, vertex + distance * after]))
            continue
        steps = int(np.ceil(turn / widest))
        middles = np.arctan2(before[1], before[0]) + turn * (np.arange(steps) + 0.5) / steps
        reach = distance / np.cos(turn / (2 * steps))
        points.append(vertex + reach * np.column_stack([np.cos(middles), np.sin(middles)]))
    return to_grid(np.concatenate(points))


def _add(clipper: pyclipper.Pyclipper, ring: Grid, role: int) -> None:
    """Hand one closed ring over; a ring that encloses nothing is left out."""
    try:
        clipper.AddPath(ring.tolist(), role, True)
    except pyclipper.ClipperException:
        # Raised for a ring flat to the grid: it has no area to add.
        return
