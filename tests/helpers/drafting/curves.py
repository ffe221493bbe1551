# SPDX-License-Identifier: GPL-2.0-or-later
"""Lines and cubic curves of a pattern draft.

Points are complex numbers, x + y*1j, millimetres, y down as on the page. Directions are degrees as
seen on the page: 0 to the right, 90 down, 180 to the left, 270 up. An outline is a chain of edges
that runs clockwise as seen, so that the outside is on the left hand of the walker.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

SAMPLES = 64
"""Chords per curve when a length is measured: the error is under 0.02 % for a half circle."""


@dataclass(frozen=True, slots=True)
class Edge:
    """One named stretch of an outline: two points make a line, four a cubic Bezier curve."""

    name: str
    points: tuple[complex, ...]

    @property
    def start(self) -> complex:
        """First point, mm."""
        return self.points[0]

    @property
    def end(self) -> complex:
        """Last point, mm."""
        return self.points[-1]

    @property
    def is_line(self) -> bool:
        """Whether the edge is straight by construction."""
        return len(self.points) == 2


Chain = tuple[Edge, ...]


def towards(degrees: float) -> complex:
    """Return the unit vector of a direction on the page."""
    return cmath.rect(1.0, math.radians(degrees))


def line(name: str, start: complex, end: complex) -> Edge:
    """Return a straight edge."""
    return Edge(name, (start, end))


def sweep(
    name: str,
    start: complex,
    leaving: float,
    end: complex,
    arriving: float,
    fullness: float = 1.0,
) -> Edge:
    """Return the natural curve that leaves `start` and arrives at `end` in the given directions.

    `fullness` above 1 makes it rounder, below 1 flatter. The lengths of the two handles follow
    Hobby, "Smooth, easy to compute interpolating splines", Discrete & Computational Geometry 1
    (1986), 123-140 (formula from memory; the tests check that it turns a quarter circle).
    """
    chord = end - start
    first = cmath.phase(towards(leaving) / chord)
    last = cmath.phase(chord / towards(arriving))
    near = abs(chord) * _handle(first, -last) * fullness
    far = abs(chord) * _handle(-last, first) * fullness
    return Edge(name, (start, start + near * towards(leaving), end - far * towards(arriving), end))


def _handle(here: float, there: float) -> float:
    """Return the length of a handle as a share of the chord, from the angles at both ends."""
    sine, other = math.sin(here), math.sin(-there)
    top = 2.0 + math.sqrt(2.0) * (sine - other / 16.0) * (other - sine / 16.0) * (
        math.cos(here) - math.cos(there)
    )
    root = math.sqrt(5.0)
    below = 1.0 + 0.5 * (root - 1.0) * math.cos(here) + 0.5 * (3.0 - root) * math.cos(there)
    return top / (3.0 * below)


def smooth(name: str, points: Sequence[complex], leaving: float, arriving: float) -> Chain:
    """Return a chain of curves through the points without a kink at any of them.

    At an inner point the curve runs along the tangent of the circle through it and its neighbours.
    """
    directions = [leaving]
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        first, second = here - before, after - here
        tangent = first / abs(first) ** 2 + second / abs(second) ** 2
        directions.append(math.degrees(cmath.phase(tangent)))
    directions.append(arriving)
    return tuple(
        sweep(name, points[i], directions[i], points[i + 1], directions[i + 1])
        for i in range(len(points) - 1)
    )


def polyline(names: Sequence[str], points: Sequence[complex]) -> Chain:
    """Return straight edges through the points, one name for each."""
    return tuple(line(n, a, b) for n, a, b in zip(names, points, points[1:], strict=False))


def rounded(name: str, corner: complex, before: complex, after: complex, radius: float) -> Edge:
    """Return the curve that cuts a corner off at `radius` mm from it along both sides."""
    start = corner + radius * _unit(before - corner)
    end = corner + radius * _unit(after - corner)
    leaving = math.degrees(cmath.phase(corner - start))
    arriving = math.degrees(cmath.phase(end - corner))
    return sweep(name, start, leaving, end, arriving)


def rounded_below(width: float, height: float, radius: float) -> tuple[Edge, ...]:
    """Return the outline of a patch: a straight opening above, both corners below cut off."""
    right, left = complex(width, height), complex(0, height)
    first = rounded("edge", right, complex(width, 0), left, radius)
    second = rounded("edge", left, right, 0j, radius)
    return (
        line("opening", 0j, complex(width, 0)),
        line("edge", complex(width, 0), first.start),
        first,
        line("edge", first.end, second.start),
        second,
        line("edge", second.end, 0j),
    )


def position(edge: Edge, share: float) -> complex:
    """Return the point at parameter `share` (0 at the start, 1 at the end)."""
    points = edge.points
    while len(points) > 1:
        points = tuple(a + (b - a) * share for a, b in pairwise(points))
    return points[0]


def tangent(edge: Edge, share: float) -> complex:
    """Return the unit vector along the edge at parameter `share`."""
    points = tuple(b - a for a, b in zip(edge.points, edge.points[1:], strict=False))
    return _unit(position(Edge(edge.name, points), share))


def outward(edge: Edge, share: float) -> complex:
    """Return the unit vector that points out of a clockwise outline at parameter `share`."""
    return tangent(edge, share) * -1j


def sampled(edge: Edge, chords: int = SAMPLES) -> tuple[complex, ...]:
    """Return points along the edge: its two ends, and more between them on a curve."""
    if edge.is_line:
        return edge.points
    return tuple(position(edge, i / chords) for i in range(chords + 1))


def ring(chain: Iterable[Edge], chords: int = SAMPLES) -> tuple[complex, ...]:
    """Return the points of a closed chain, each corner once."""
    return tuple(point for edge in chain for point in sampled(edge, chords)[:-1])


def length(chain: Iterable[Edge]) -> float:
    """Return the length of the edges in mm."""
    total = 0.0
    for edge in chain:
        points = sampled(edge)
        total += sum(abs(b - a) for a, b in pairwise(points))
    return total


def named(chain: Iterable[Edge], name: str) -> Chain:
    """Return the edges of that name in their order."""
    return tuple(edge for edge in chain if edge.name == name)


def share_at(edge: Edge, distance: float) -> float:
    """Return the parameter at `distance` mm from the start of the edge."""
    points = sampled(edge)
    steps = len(points) - 1
    for index, (a, b) in enumerate(pairwise(points)):
        step = abs(b - a)
        if distance <= step:
            return (index + distance / step) / steps
        distance -= step
    return 1.0


def spot_on(chain: Iterable[Edge], distance: float) -> tuple[Edge, float]:
    """Return the edge and parameter at `distance` mm along a chain (its end when past it)."""
    edges = tuple(chain)
    for edge in edges:
        own = length((edge,))
        if distance <= own:
            return edge, share_at(edge, distance)
        distance -= own
    return edges[-1], 1.0


def split(edge: Edge, share: float) -> tuple[Edge, Edge]:
    """Return the two parts of an edge, cut at parameter `share` (de Casteljau)."""
    points, first, last = edge.points, [edge.start], [edge.end]
    while len(points) > 1:
        points = tuple(a + (b - a) * share for a, b in pairwise(points))
        first.append(points[0])
        last.append(points[-1])
    return replace(edge, points=tuple(first)), replace(edge, points=tuple(reversed(last)))


def renamed(chain: Iterable[Edge], name: str) -> Chain:
    """Return the same edges under another name."""
    return tuple(replace(edge, name=name) for edge in chain)


def moved(chain: Iterable[Edge], change: Callable[[complex], complex]) -> Chain:
    """Return the edges with every point passed through an affine map."""
    return tuple(replace(edge, points=tuple(map(change, edge.points))) for edge in chain)


def backwards(chain: Iterable[Edge]) -> Chain:
    """Return the chain walked the other way."""
    return tuple(replace(edge, points=edge.points[::-1]) for edge in reversed(tuple(chain)))


def trued(measure: Callable[[float], float], wanted: float, low: float, high: float) -> float:
    """Return the value at which a growing measure becomes `wanted` (halving, to 1e-9 of the span).

    This is what a drafter does by walking one seam along the other until both are equally long.
    Raises ValueError when it is not between the two bounds.
    """
    if not measure(low) <= wanted <= measure(high):
        raise ValueError(f"{wanted:.1f} is not between {measure(low):.1f} and {measure(high):.1f}")
    for _ in range(30):
        middle = (low + high) / 2.0
        low, high = (middle, high) if measure(middle) < wanted else (low, middle)
    return (low + high) / 2.0


def _unit(vector: complex) -> complex:
    return vector / abs(vector)
