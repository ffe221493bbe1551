# SPDX-License-Identifier: GPL-2.0-or-later
"""A small grid of four shapes, one of many blocks, and parts that lie on it anyhow."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from hypothesis import strategies as st

from nesting.geometry.arrays import Ints
from nesting.geometry.convex import convex_parts
from nesting.geometry.shapes import Points
from nesting.grid.choices import Choices, Scratch
from nesting.grid.maps import Grid, build_grid
from nesting.grid.scan import scratch_for
from nesting.grid.weights import UNIT, Weights


def shape(*points: tuple[float, float]) -> tuple[Points, ...]:
    """Return the convex parts of an outline."""
    return convex_parts(np.array(points, dtype=np.float64))


def laid_on(
    shapes: Sequence[Sequence[Points]],
    step: float,
    workers: int = 1,
    half_turns: Sequence[int] | None = None,
) -> Grid:
    """Return the grid of shapes, given as convex parts from the low corner of their box."""
    high = [np.concatenate(parts).max(axis=0) for parts in shapes]
    sizes = [(float(x), float(y)) for x, y in high]
    return build_grid(shapes, sizes, step, workers=workers, half_turns=half_turns)


GRID: Grid = laid_on(
    [
        shape((0, 0), (9, 0), (9, 6), (0, 6)),
        shape((0, 0), (8, 0), (0, 7)),
        shape((0, 0), (12, 0), (12, 3), (3, 3), (3, 10), (0, 10)),
        shape((0, 0), (45, 0), (45, 20), (20, 20), (20, 64), (0, 64)),
    ],
    1.0,
)
SIZES = np.array([[9, 6], [8, 7], [12, 10], [45, 64]])


def box_of(size: tuple[int, int], low: tuple[int, int] = (0, 0)) -> Ints:
    """Return a room on the grid of so many positions, all of them open."""
    return np.array([*size, *low, -1, -1])


def scratch(room: Ints, parts: int, grid: Grid = GRID) -> Scratch:
    """Return where the loops write for one room."""
    one = np.zeros(1, dtype=np.int64)
    return scratch_for(parts, Choices(one, np.array([0, 1]), room[None], NO_MARKS), grid.maps)


NO_MARKS = np.zeros(0, dtype=np.uint8)


@st.composite
def tangles(draw: st.DrawFn) -> tuple[Ints, Weights]:
    """Return kinds and places (3, parts), and symmetric weights."""
    count = draw(st.integers(2, 7))
    rows = [
        draw(st.lists(st.integers(0, most), min_size=count, max_size=count)) for most in (3, 40, 30)
    ]
    weights = np.array(
        [[draw(st.integers(UNIT, 5 * UNIT)) for _ in range(count)] for _ in range(count)],
        dtype=np.int32,
    )
    return np.array(rows, dtype=np.int64), np.minimum(weights, weights.T)
