# SPDX-License-Identifier: GPL-2.0-or-later
"""No-fit polygons: the positions of a moving shape at which it overlaps a fixed one.

The moving shape at position t overlaps the fixed one exactly when t lies in the open Minkowski sum
of the fixed shape and the moving one reflected in the origin: where their convolution
(`nesting.geometry.convolution`) winds round t at least once. That is one union with this fill rule:
no false holes, and true ones where the moving shape fits into the fixed one. What a union cannot
show is room without area, where a shape just fits: see `nesting.geometry.slits`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nesting.geometry.clip import (
    STEPS_PER_MM,
    TOUCH,
    Grid,
    Region,
    clean_ring,
    closed,
    cover,
    following,
    preceding,
    region_of,
    to_grid,
)
from nesting.geometry.convolution import convolution
from nesting.geometry.lying import Shape
from nesting.geometry.shapes import (
    Points,
    counter_clockwise,
    frozen,
    oriented,
    placement_matrix,
    signed_area,
)
from nesting.geometry.slits import BESIDE, NEAR, double_lines, slits


def nofit(fixed: Points, moving: Points) -> Region:
    """Return the positions of `moving` (its translation) at which it overlaps `fixed`.

    Outlines are (N, 2) mm, counter-clockwise, simple. Inside means overlap, on the boundary
    (slits included) means touching, outside and in holes means apart.
    """
    first = clean_ring(to_grid(counter_clockwise(fixed)))
    second = clean_ring(to_grid(counter_clockwise(moving)))
    if len(first) == 0 or len(second) == 0:
        return Region()
    cycles = convolution(first, -second)
    rings = _sound([ring for ring in cover(cycles) if not _is_rounding(ring)])
    return region_of(rings, slits(cycles, rings, first, second) / STEPS_PER_MM)


@dataclass(frozen=True, slots=True)
class _Key:
    """A pair up to symmetry: two outlines by class, the second turned and flipped to the first."""

    fixed: int
    moving: int
    turn: float
    flip: bool


class NoFits:
    """No-fit polygons of all pairs of shapes, computed when first asked for, once per symmetry.

    `bases` holds the outline of each piece that the search works with (grown, simplified or true)
    as it lies at turn 0 and not flipped. Turning or flipping both shapes of a pair turns or flips
    its no-fit polygon, and swapping them reflects it in the origin; pieces with equal outlines
    share theirs. The result does not depend on the order of asking.
    """

    def __init__(self, shapes: Sequence[Shape], bases: Mapping[str, Points]) -> None:
        classes: dict[bytes, int] = {}
        self._class_of = {
            piece: classes.setdefault(to_grid(base).tobytes(), len(classes))
            for piece, base in bases.items()
        }
        self._bases: dict[int, Points] = {}
        for piece, base in bases.items():
            self._bases.setdefault(self._class_of[piece], base)
        self._orientations = [
            (self._class_of[shape.piece], shape.orientation.turn, shape.orientation.flip)
            for shape in shapes
        ]
        self._canonical: dict[_Key, Region] = {}
        self._regions: dict[tuple[int, int], Region] = {}

    def outline(self, shape: int) -> Points:
        """Return the outline of a shape by index, as it lies, to which a position is added."""
        base, turn, flip = self._orientations[shape]
        return oriented(self._bases[base], 0.0, turn, flip)

    def region(self, fixed: int, moving: int) -> Region:
        """Return the no-fit polygon of two shapes, given by index."""
        pair = (fixed, moving)
        if pair not in self._regions:
            straight, swapped = self._key(fixed, moving), self._key(moving, fixed)
            # The lower class is the fixed one; between equals the smaller turn decides.
            if _rank(swapped) < _rank(straight):
                first, sign, key = moving, -1.0, swapped
            else:
                first, sign, key = fixed, 1.0, straight
            _, turn, flip = self._orientations[first]
            matrix = sign * placement_matrix(0.0, turn, flip)
            self._regions[pair] = _mapped(self._of_key(key), matrix)
        return self._regions[pair]

    def _key(self, fixed: int, moving: int) -> _Key:
        """Return a pair seen from its first shape: as if that lay at turn 0 and not flipped."""
        base, turn, flip = self._orientations[fixed]
        other, other_turn, other_flip = self._orientations[moving]
        relative = turn - other_turn if flip else other_turn - turn
        return _Key(base, other, round(relative % 360.0, 9) % 360.0, other_flip != flip)

    def _of_key(self, key: _Key) -> Region:
        """Return the no-fit polygon of a pair in its own frame."""
        if key not in self._canonical:
            moving = oriented(self._bases[key.moving], 0.0, key.turn, key.flip)
            self._canonical[key] = nofit(self._bases[key.fixed], moving)
        return self._canonical[key]


def _rank(key: _Key) -> tuple[int, int, float, bool]:
    """Return the order in which one of two views of a pair is chosen."""
    return key.fixed, key.moving, key.turn, key.flip


def _mapped(region: Region, matrix: NDArray[np.float64]) -> Region:
    """Return a region turned or mirrored by a 2 x 2 matrix, its rings still the right way round."""
    forward = 1 if np.linalg.det(matrix) > 0 else -1
    return Region(
        tuple(frozen((ring @ matrix.T)[::forward]) for ring in region.outers),
        tuple(frozen((ring @ matrix.T)[::forward]) for ring in region.holes),
        frozen(region.slits @ matrix.T),
    )


def _sound(rings: list[Grid]) -> list[Grid]:
    """Return rings without gaps that have no width.

    Where edges of the convolution cancel each other, rounding can leave a gap a step wide that
    reads as touching, deep inside an overlap. True gaps of that kind are slits. Most are spikes of
    one ring; the few others are closed by growing and shrinking, which costs a step of precision.
    """
    rings = [ring for ring in map(_without_spikes, rings) if len(ring) >= 3]
    if not rings:
        return rings
    starts = np.concatenate(rings).astype(np.float64)
    ends = np.concatenate([following(ring) for ring in rings]).astype(np.float64)
    return closed(rings, BESIDE) if any(True for _ in double_lines(starts, ends)) else rings


def _without_spikes(ring: Grid) -> Grid:
    """Return a ring without corners at which it runs back along itself."""
    while len(ring) >= 3:
        ahead = (following(ring) - ring).astype(np.float64)
        behind = preceding(ahead)
        longer = np.sqrt(np.maximum((ahead**2).sum(axis=1), (behind**2).sum(axis=1)))
        aside = np.abs(behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0]) / longer
        spikes = np.flatnonzero(((behind * ahead).sum(axis=1) < 0.0) & (aside <= NEAR))
        if len(spikes) == 0:
            break
        # One at a time: two neighbours can be the two corners of one blunt spike.
        ring = np.delete(ring, spikes[0], axis=0)
    return ring


def _is_rounding(ring: Grid) -> bool:
    """Return whether a ring is a hole thinner than what counts as touching.

    Where many edges meet in one point, rounding can leave such a splinter; where it is true room
    it is a slit.
    """
    ahead = np.diff(ring, axis=0, append=ring[:1]).astype(np.float64)
    area = signed_area(ring.astype(np.float64))
    return area <= 0 and -area <= TOUCH * STEPS_PER_MM * float(np.hypot(*ahead.T).sum())
