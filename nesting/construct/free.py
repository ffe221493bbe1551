# SPDX-License-Identifier: GPL-2.0-or-later
"""The leftmost, then lowest, place on a cloth of cells where the slices of a shape are free.

`taken` (columns, rows) are the cells that are covered. For each column `spans` (columns, most, 2)
holds them once more, low row and row after the last, the first `counts` of them, and `longest` the
rows of the longest stretch that is free. A shape lies at (column, row) when its slice 0 is in that
column and its row 0 in that row.

`along` and `across` tell where it may: 0 not, 1 exactly there, 2 a little beyond, up to the next
column or row, where both must be free then.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import compiled, compiled_or
from nesting.construct.slices import Mask, Slices, slices_of
from nesting.geometry.arrays import Ints

Marks = NDArray[np.uint8]


class Cloth:
    """Cells of a cloth, and which of them are covered."""

    def __init__(self, columns: int, rows: int) -> None:
        self.taken: Mask = np.zeros((columns, rows), dtype=np.bool_)
        self.spans: Ints = np.zeros((columns, 8, 2), dtype=np.int64)
        self.counts: Ints = np.zeros(columns, dtype=np.int64)
        self.longest: Ints = np.full(columns, rows, dtype=np.int64)

    def cover(self, column: int, mask: Mask, row: int) -> None:
        """Cover cells (slices, rows) from a column and a row on."""
        last, top = column + len(mask), row + mask.shape[1]
        self.taken[column:last, row:top] |= mask
        starts, spans, _ = slices_of(self.taken[column:last])
        counts = np.diff(starts)
        most = int(counts.max())
        if most > self.spans.shape[1]:
            more = ((0, 0), (0, 2 * most - self.spans.shape[1]), (0, 0))
            self.spans = np.pad(self.spans, more)
        self.counts[column:last] = counts
        which = np.repeat(np.arange(column, last), counts)
        self.spans[which, np.arange(len(spans)) - np.repeat(starts[:-1], counts)] = spans
        self.longest[column:last] = slices_of(~self.taken[column:last]).tallest


# --- with numpy ---------------------------------------------------------------------------------


def leftmost_free_numpy(
    taken: Mask,
    spans: Ints,
    counts: Ints,
    longest: Ints,
    shape: Slices,
    along: Marks,
    across: Marks,
    first: int,
    last: int,
) -> tuple[int, int]:
    """Return what `leftmost_free` returns."""
    size = len(shape.tallest)
    columns = np.arange(first, max(first, min(last, len(longest) - size)))
    columns = columns[along[columns] > 0]
    wide = columns[:, None] + np.arange(size)
    columns = columns[(longest[wide] >= shape.tallest).all(axis=1)] if len(columns) else columns
    summed = np.zeros((taken.shape[0], taken.shape[1] + 1), dtype=np.int32)
    np.cumsum(taken, axis=1, out=summed[:, 1:])
    slices = np.repeat(np.arange(size), np.diff(shape.starts))
    rows = np.flatnonzero(across)
    for column in columns.tolist():
        shut = np.zeros(len(across) + 1, dtype=np.bool_)
        shut[-1] = True
        for one in range(column, column + int(along[column])):
            for slice_, (low, high) in zip(slices.tolist(), shape.spans.tolist(), strict=True):
                own = summed[one + slice_]
                tops = np.minimum(np.arange(len(across)) + high, taken.shape[1])
                bottoms = np.minimum(np.arange(len(across)) + low, taken.shape[1])
                shut[:-1] |= own[tops] > own[bottoms]
        free = rows[~shut[rows] & ((across[rows] == 1) | ~shut[rows + 1])]
        if len(free):
            return column, int(free[0])
    return -1, -1


# --- loops --------------------------------------------------------------------------------------


@compiled
def _shut_out(
    column: int, spans: Ints, counts: Ints, shape: Slices, steps: NDArray[np.int32]
) -> None:
    """Count in `steps` where stretches of rows begin and end that a shape may not lie at."""
    rows = len(steps) - 1
    for k in range(len(shape.tallest)):
        for own in range(shape.starts[k], shape.starts[k + 1]):
            low, high = shape.spans[own, 0], shape.spans[own, 1]
            for other in range(counts[column + k]):
                begin = max(0, spans[column + k, other, 0] - high + 1)
                end = min(rows, spans[column + k, other, 1] - low)
                if begin < end:
                    steps[begin] += 1
                    steps[end] -= 1


@compiled_or(leftmost_free_numpy)
def leftmost_free(
    taken: Mask,
    spans: Ints,
    counts: Ints,
    longest: Ints,
    shape: Slices,
    along: Marks,
    across: Marks,
    first: int,
    last: int,
) -> tuple[int, int]:
    """Return the leftmost, then lowest, place of a shape from column `first` to before `last`.

    (-1, -1) when there is none.
    """
    size, rows = len(shape.tallest), len(across)
    steps = np.zeros(rows + 1, np.int32)
    for column in range(first, min(last, len(longest) - size)):
        if along[column] == 0:
            continue
        fits = True
        for k in range(size):
            if longest[column + k] < shape.tallest[k]:
                fits = False
                break
        if not fits:
            continue
        steps[:] = 0
        for one in range(column, column + along[column]):
            _shut_out(one, spans, counts, shape, steps)
        shut, before = 0, -1
        for row in range(rows):
            shut += steps[row]
            if shut > 0:
                before = -1
            elif before >= 0:
                return column, before
            elif across[row] == 1:
                return column, row
            elif across[row] == 2:
                before = row
    return -1, -1
