# SPDX-License-Identifier: GPL-2.0-or-later
"""Outlines cut into slices across the cloth: what parts are laid by when there are many.

A slice is a strip of a shape, `wide` mm along the cloth. What the shape covers of it, from selvedge
to selvedge, is told in rows `tall` mm high; a row counts as covered when any of it is, anywhere in
the slice. So shapes whose slices do not meet are apart, exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from nesting.geometry.arrays import Ints
from nesting.geometry.clip import following
from nesting.geometry.shapes import Points

Mask = NDArray[np.bool_]

HAIR = 1e-7
"""Rows by which what is covered may pass an edge of a row: rounding."""


@dataclass(frozen=True, slots=True)
class Raster:
    """The size of a cell: `wide` mm along the cloth and `tall` mm across it."""

    wide: float
    tall: float


class Slices(NamedTuple):
    """A shape in slices.

    Those of slice k are the `spans` (low row, row after the last) from `starts[k]` to
    `starts[k + 1]`; the longest of them has `tallest[k]` rows.
    """

    starts: Ints
    spans: Ints
    tallest: Ints


def slices_of(mask: Mask) -> Slices:
    """Return cells that are covered (slices, rows) as slices."""
    edges = np.diff(np.pad(mask, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    column, low = np.nonzero(edges == 1)
    high = np.nonzero(edges == -1)[1]
    tallest = np.zeros(len(mask), dtype=np.int64)
    np.maximum.at(tallest, column, high - low)
    starts = np.searchsorted(column, np.arange(len(mask) + 1)).astype(np.int64)
    return Slices(starts, np.column_stack((low, high)).astype(np.int64), tallest)


def covered(outline: Points, anchor: tuple[float, float], raster: Raster) -> Mask:
    """Return which cells (slices, rows), counted from an anchor, a closed outline covers.

    A row of a slice is covered when an edge runs through it there, or when it lies within the
    outline on one of the two lines that end the slice: a point inside either sees, along the
    cloth, one of these lines or such an edge.
    """
    start = (outline - np.array(anchor)) / (raster.wide, raster.tall)
    end = following(start)
    turned = start[:, 0] > end[:, 0]
    start, end = np.where(turned[:, None], end, start), np.where(turned[:, None], start, end)
    wide, tall = (int(most) + 1 for most in np.floor(start.max(axis=0).clip(end.max(axis=0))))
    first = np.floor(start[:, 0]).astype(np.int64)
    counts = np.floor(end[:, 0]).astype(np.int64) - first + 1
    edge = np.repeat(np.arange(len(start)), counts)
    column = np.arange(len(edge)) - np.repeat(np.cumsum(counts) - counts, counts) + first[edge]
    (x0, y0), (x1, y1) = start[edge].T, end[edge].T
    slope = (y1 - y0) / np.where(x1 > x0, x1 - x0, 1.0)
    left = np.where(column > x0, y0 + slope * (column - x0), y0)
    right = np.where(column + 1 < x1, y0 + slope * (column + 1 - x0), y1)
    low = np.floor(np.minimum(left, right) - HAIR).astype(np.int64).clip(0, tall - 1)
    high = np.floor(np.maximum(left, right) + HAIR).astype(np.int64).clip(0, tall - 1)
    steps = np.zeros((wide, tall + 1), dtype=np.int32)
    np.add.at(steps, (column, low), 1)
    np.add.at(steps, (column, high + 1), -1)
    through: Mask = steps[:, :-1].cumsum(axis=1) > 0
    # On the line before a slice every edge that crosses it ends or begins the inside.
    crossing = (column > x0) & (column <= x1)
    crossed = np.zeros((wide + 1, tall + 1), dtype=np.int32)
    row = np.floor(left[crossing]).astype(np.int64).clip(0, tall - 1)
    np.add.at(crossed, (column[crossing], row + 1), 1)
    inside: Mask = crossed[:, :-1].cumsum(axis=1) % 2 == 1
    through |= inside[:-1] | inside[1:]
    return through
