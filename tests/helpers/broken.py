# SPDX-License-Identifier: GPL-2.0-or-later
"""Outlines to be broken and joined again, and segments of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray
from shapely.geometry import Polygon

from extension.joining.join import Joined
from extension.joining.segments import Look, Segment
from tests.helpers.chopping import apart
from tests.helpers.drafting.curves import line, ring, sweep

NEAR = 0.2
"""mm between area and area: what is asked of a joined outline."""
Points = NDArray[np.float64]

BLACK = Look("#000000", 0.5)
RED = Look("#ff0000", 0.8)


def bodice() -> Points:
    """Return half a bodice: straight and curved edges, sharp and blunt corners; 600 mm long."""
    edges = (
        line("centre", 600j, 80j),
        sweep("neck", 80j, 0, 70 + 0j, -90),
        line("shoulder", 70 + 0j, 190 + 35j),
        sweep("armhole", 190 + 35j, 100, 240 + 220j, 10),
        line("side", 240 + 220j, 225 + 420j),
        sweep("hip", 225 + 420j, 95, 250 + 600j, 90),
        line("hem", 250 + 600j, 600j),
    )
    return np.array([[point.real, point.imag] for point in ring(edges)])


def grown(outline: Points, by: float) -> Points:
    """Return an outline moved outwards on every side, corners mitred: the next size of a nest."""
    shape = Polygon(outline).buffer(by, join_style="mitre") if by else Polygon(outline)
    points: Points = np.asarray(shape.exterior.coords[:-1], dtype=float)
    return points


def rectangle(x: float, y: float, width: float, height: float) -> Points:
    """Return a rectangle, clockwise as seen."""
    corners = [[x, y], [x + width, y], [x + width, y + height], [x, y + height]]
    return np.array(corners, dtype=float)


def segments(parts: Iterable[Points], look: Look = BLACK, source: int = 0) -> list[Segment]:
    """Return lines as segments of one drawn object."""
    return [Segment(np.asarray(part, dtype=float), look, source) for part in parts]


def misses(joined: Joined, truths: Sequence[Points]) -> list[float]:
    """Return how far (mm) the outline nearest to each true one is from it; all must be used."""
    assert len(joined.outlines) == len(truths)
    found = [[apart(one.points, truth) for one in joined.outlines] for truth in truths]
    best = [int(np.argmin(row)) for row in found]
    assert sorted(best) == list(range(len(truths)))
    return [min(row) for row in found]


@st.composite
def pieces(draw: st.DrawFn) -> Points:
    """Pieces of 4 to 6 corners, every second edge a curve; no edge under 40 mm."""
    corners = draw(st.integers(4, 6))
    radii = draw(st.lists(st.integers(90, 160), min_size=corners, max_size=corners))
    angles = [
        2.0 * np.pi * (number + draw(st.integers(-10, 10)) / 100.0) / corners
        for number in range(corners)
    ]
    points = [radius * np.exp(1j * angle) for radius, angle in zip(radii, angles, strict=True)]
    edges = []
    for number, (start, end) in enumerate(zip(points, [*points[1:], points[0]], strict=True)):
        heading = float(np.degrees(np.angle(end - start)))
        bulge = draw(st.integers(-20, 20))
        curved = number % 2 and abs(bulge) > 5
        edge = sweep("curve", start, heading - bulge, end, heading + bulge)
        edges.append(edge if curved else line("line", start, end))
    return np.array([[point.real, point.imag] for point in ring(edges)])
