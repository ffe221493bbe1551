# SPDX-License-Identifier: GPL-2.0-or-later
"""Where an outline lies: the rigid motions, mirrored or not, that lay another one exactly on it.

Nothing but the two outlines is asked, so it does not matter by what transforms, groups or rewritten
nodes an outline came to lie where it does. Points are complex numbers x + iy in mm, y up.

The outlines are compared at every cyclic shift at once, by their points when there are equally
many, and by points evenly spaced along them: the sum over k of p[k + j] * conj(s[k]) is, by the
correlation theorem, one Fourier transform, and its largest values are the shifts that fit, its
argument the rotation (least squares in the plane: Horn, "Closed-form solution of absolute
orientation", J. Opt. Soc. Am. A 4, 1987). What is not exact by then is made so by minimising the
distances to the nearest edges (Chen & Medioni, "Object modelling by registration of multiple range
images", Image and Vision Computing 10, 1992).
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from nesting.geometry.shapes import Points, counter_clockwise, signed_area

Ring = NDArray[np.complex128]

SAME = 0.2
"""mm within which an outline is another one, moved."""
EXACT = 0.001
"""mm within which point lies on point, so that nothing is left to improve."""
ALIKE = 1e-3
"""Radians within which two rotations are the same one, found twice."""
NEAR = 0.1
"""Radians by which a likely rotation may be wrong and still lead to the right one: others need not
be improved step by step to see that they do not fit."""
SAMPLES = 256
"""Points evenly spaced along an outline."""
SEEDS = 6
"""Shifts that are looked into for each hand."""
STEPS = 40
"""Improvements of one motion at most; a handful is usual."""
STILL = 1e-9
"""mm: a smaller improvement is none."""
STUCK = 1e-3
"""Share of the mean gap: where two steps running gain less each and the outlines are still apart,
they will not fit."""


@dataclass(frozen=True, slots=True)
class Motion:
    """p becomes turn . p + move, or turn . conj(p) + move when mirrored; `turn` has length 1.

    `away` is how far, in mm, the moved outline and the other one leave each other at most.
    """

    mirrored: bool
    turn: complex
    move: complex
    away: float

    @property
    def degrees(self) -> float:
        """The rotation, degrees counter-clockwise, 0 to 360."""
        return math.degrees(cmath.phase(self.turn)) % 360.0


@dataclass(frozen=True, eq=False, slots=True)
class Contour:
    """A closed outline made ready to be compared: counter-clockwise, its edges, its points spaced.

    `edges` finds the nearest of its edges, edge k being the one from point k on; `ends` is how far
    along it each of its points lies.
    """

    ring: Ring
    samples: Ring
    edges: shapely.STRtree
    ends: NDArray[np.float64]
    area: float

    @property
    def perimeter(self) -> float:
        """Length of the outline, mm."""
        return float(self.ends[-1])

    def mirrored(self) -> Contour:
        """Return the mirror image in the x axis."""
        return contour(_points(self.ring.conj()))


def contour(points: Points | Sequence[tuple[float, float]]) -> Contour:
    """Return an outline, (N, 2) in mm without a repeated last point, as a contour."""
    turned = counter_clockwise(np.asarray(points, dtype=np.float64))
    ring = turned[:, 0] + 1j * turned[:, 1]
    closed = np.append(ring, ring[0])
    ends = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(closed)))])
    spaced = np.arange(SAMPLES) * ends[-1] / SAMPLES
    samples = np.interp(spaced, ends, closed.real) + 1j * np.interp(spaced, ends, closed.imag)
    # A tree, because looking at every edge for every point takes minutes on a finely drawn outline.
    edges = shapely.STRtree(shapely.linestrings(np.stack([turned, np.roll(turned, -1, 0)], axis=1)))
    return Contour(ring, samples, edges, ends, signed_area(turned))


def motions(
    source: Contour, outline: Contour, likely: Iterable[tuple[bool, float]] = ()
) -> list[Motion]:
    """Return the motions that lay the source on the outline within `SAME`, the likely ones first.

    `likely` are pairs (mirrored, degrees) to try as well: an outline that is the same in several
    positions fits in all of them, a circle in any. What fits equally well is told once.
    """
    likely = list(likely)
    found: list[Motion] = []
    for mirrored in (False, True):
        own = source.mirrored() if mirrored else source
        for turn, move in _seeds(own, outline, [d for m, d in likely if m == mirrored]):
            motion = _refined(own, outline, mirrored, turn, move)
            if motion.away <= SAME and not any(_alike(motion, other) for other in found):
                found.append(motion)
    return sorted(found, key=lambda motion: _rank(motion, likely))


def nearest(source: Contour, outline: Contour) -> float:
    """Return how far, in mm, two outlines leave each other at the best motion that is found."""
    return min(
        _refined(own, outline, mirrored, turn, move).away
        for mirrored, own in ((False, source), (True, source.mirrored()))
        for turn, move in _seeds(own, outline, (), all_fits=True)
    )


def moved(source: Contour, motion: Motion) -> Ring:
    """Return the points of a source, counter-clockwise, where a motion lays them."""
    own = source.mirrored() if motion.mirrored else source
    return own.ring * motion.turn + motion.move


# --- first guesses ------------------------------------------------------------------------------


def _seeds(
    source: Contour, outline: Contour, likely: Sequence[float], *, all_fits: bool = False
) -> Iterator[tuple[complex, complex]]:
    """Yield rotations with their moves that may be right, for one hand."""
    if len(source.ring) == len(outline.ring):
        yield from _Shifts(source.ring, outline.ring).best(100.0 * EXACT)
    shifts = _Shifts(source.samples, outline.samples)
    # Points evenly spaced from different starts are up to half a step off along the outline.
    slack = math.inf if all_fits else outline.perimeter / SAMPLES + SAME
    for degrees in likely:
        turn = cmath.rect(1.0, math.radians(degrees))
        if shifts.off(turn) <= slack + NEAR * shifts.radius:
            yield shifts.motion(turn)
    yield from shifts.best(slack)


class _Shifts:
    """Two rings of equally many points, compared at all cyclic shifts at once."""

    def __init__(self, source: Ring, outline: Ring) -> None:
        self._middle, self._centre = source.mean(), outline.mean()
        one, two = source - self._middle, outline - self._centre
        self._sums = np.fft.ifft(np.fft.fft(two) * np.fft.fft(one).conj())
        self._size = np.abs(self._sums)
        self._total = float((np.abs(one) ** 2).sum() + (np.abs(two) ** 2).sum())
        self.radius = math.sqrt(float((np.abs(one) ** 2).mean()))

    def motion(self, turn: complex) -> tuple[complex, complex]:
        """Return a rotation with the move that lays middle on middle."""
        return turn, complex(self._centre - turn * self._middle)

    def off(self, turn: complex) -> float:
        """Return the root mean square distance, mm, that a rotation leaves at its best shift."""
        most = float((self._sums * turn.conjugate()).real.max())
        return math.sqrt(max(self._total - 2.0 * most, 0.0) / len(self._sums))

    def best(self, slack: float) -> Iterator[tuple[complex, complex]]:
        """Yield the best rotations, with their moves.

        `slack` is the root mean square distance, mm, up to which a shift may fit.
        """
        size = self._size
        off = np.sqrt(np.maximum(self._total - 2.0 * size, 0.0) / len(size))
        peaks = (size >= np.roll(size, 1)) & (size >= np.roll(size, -1)) & (off <= slack)
        fits = np.flatnonzero(peaks & (size > 0.0)).tolist()
        for shift in sorted(fits, key=lambda j: (off[j], j))[:SEEDS]:
            yield self.motion(complex(self._sums[shift] / size[shift]))


# --- made exact ---------------------------------------------------------------------------------


def _refined(
    source: Contour, outline: Contour, mirrored: bool, turn: complex, move: complex
) -> Motion:
    """Return a motion improved until it lies still."""
    # Of a finely drawn outline some points are enough to find the motion; all of them judge it.
    some = source.ring[:: math.ceil(len(source.ring) / SAMPLES)]
    points = np.concatenate([some, source.samples])
    before, stuck = math.inf, 0
    for _ in range(STEPS):
        here = points * turn + move
        normal, gap = _feet(outline, here)
        if float(np.abs(gap).max()) <= EXACT:
            break
        mean = math.sqrt(float((gap**2).mean()))
        stuck = stuck + 1 if mean > SAME and mean >= before * (1.0 - STUCK) else 0
        if stuck == 2:
            break
        before = mean
        # Turned by a small angle about its middle and moved a little, a point leaves the nearest
        # edge by gap + normal . (i angle (point - middle) + step): least squares in three unknowns.
        middle = here.mean()
        spin = (normal.conj() * 1j * (here - middle)).real
        rows = np.column_stack([spin, normal.real, normal.imag])
        angle, across, up = np.linalg.lstsq(rows, -gap, rcond=1e-9)[0]
        small = cmath.rect(1.0, float(np.clip(angle, -0.3, 0.3)))
        turn, move = turn * small, small * (move - middle) + middle + complex(across, up)
        if abs(across) + abs(up) + abs(angle) * float(np.abs(here - middle).max()) <= STILL:
            break
    turn = turn / abs(turn)
    return Motion(mirrored, turn, complex(move), _away(source, outline, turn, move))


def _feet(outline: Contour, points: Ring) -> tuple[Ring, NDArray[np.float64]]:
    """Return, for each point, a normal of the outline where it is nearest, and the gap along it."""
    spots = shapely.points(_points(points))
    edge = outline.edges.query_nearest(spots, all_matches=False)[1]
    start = outline.ring[edge]
    ahead = np.append(outline.ring[1:], outline.ring[0])[edge] - start
    long = np.abs(ahead)
    ahead = ahead / long
    foot = start + ahead * np.clip(((points - start) * ahead.conj()).real, 0.0, long)
    between = points - foot
    distance = np.abs(between)
    # Beside an edge this is the edge's normal, at a corner it leads to the corner.
    off = distance > EXACT
    normal = np.where(off, between / np.where(off, distance, 1.0), 1j * ahead)
    return normal, (normal.conj() * between).real


def _away(source: Contour, outline: Contour, turn: complex, move: complex) -> float:
    """Return the greatest distance between the moved source and the outline, both ways, mm."""
    there = source.ring * turn + move
    back = (outline.ring - move) * turn.conjugate()
    return max(_farthest(outline, there), _farthest(source, back))


def _farthest(outline: Contour, points: Ring) -> float:
    """Return the greatest distance of some points from an outline, mm."""
    spots = shapely.points(_points(points))
    _, away = outline.edges.query_nearest(spots, all_matches=False, return_distance=True)
    return float(away.max())


# --- alike or not -------------------------------------------------------------------------------


def _alike(one: Motion, other: Motion) -> bool:
    """Return whether two motions are the same one, found twice."""
    return one.mirrored == other.mirrored and abs(one.turn - other.turn) < ALIKE


def _rank(motion: Motion, likely: Sequence[tuple[bool, float]]) -> tuple[int, float]:
    """Return what motions are sorted by: the likely ones in their order, then how well they fit."""
    near = (
        mirrored == motion.mirrored
        and abs(motion.turn - cmath.rect(1.0, math.radians(degrees))) < ALIKE
        for mirrored, degrees in likely
    )
    return next((place for place, is_near in enumerate(near) if is_near), len(likely)), motion.away


def _points(ring: Ring) -> Points:
    """Return complex points as an (N, 2) array."""
    return np.column_stack([ring.real, ring.imag])
