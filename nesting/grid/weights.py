# SPDX-License-Identifier: GPL-2.0-or-later
"""How much the overlap of two parts weighs: at first by their size, then by how long it lasts.

Depth times the side of a part is about the area of an overlap. So a pair begins with the geometric
mean of the sides of its two parts, each the side of a square as large: large parts find their
places first, and small ones give way. Weights of pairs that stay in each other's way grow, those of
the others fade to what they began with. Source of the growing and fading: Umetani, Yagiura et al.
(see `nesting.grid.guided`); the first weights are our own.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from nesting.compiled import compiled_or

Weights = NDArray[np.int32]

UNIT = 256
"""The weight with which two parts of mean area begin, and any two where size does not count."""
MOST_UNLIKE = 4
"""By which factor a first weight may be more or less than the unit."""
MOST_FIRST = UNIT * MOST_UNLIKE
"""The greatest first weight."""
GROWTH_LEAST, GROWTH_MOST, FADING = 0.1, 0.5, 0.97
"""How much a weight grows for the least and the deepest overlap, and fades without one."""


class Weighing(NamedTuple):
    """The weights of all pairs of parts, what they fade to, their most, and how deep each overlaps.

    All but `most` are symmetric and (parts, parts).
    """

    weights: Weights
    first: Weights
    most: int
    depths: Weights


def alike(count: int) -> Weights:
    """Return first weights (count, count) that do not ask for the size of parts."""
    return np.full((count, count), UNIT, dtype=np.int32)


def by_size(areas: Sequence[float]) -> Weights:
    """Return the first weight of each pair of parts, whose areas are above 0 in any unit."""
    sides = np.sqrt(np.array(areas) / np.mean(areas))
    means = np.sqrt(sides[:, None] * sides)
    first: Weights = np.rint(UNIT * np.clip(means, 1 / MOST_UNLIKE, MOST_UNLIKE)).astype(np.int32)
    return first


def reweigh_numpy(weights: Weights, depths: Weights, first: Weights, most: int) -> None:
    """Write what `reweigh` writes."""
    deepest = int(depths.max(initial=0))
    if deepest == 0:
        return
    apart = ~np.eye(len(weights), dtype=np.bool_)
    share = GROWTH_LEAST + (GROWTH_MOST - GROWTH_LEAST) * (depths / deepest)
    grown = np.floor(weights * (1.0 + share)).astype(np.int64) + 1
    faded = np.maximum(first, np.floor(weights * FADING).astype(np.int64))
    weights[apart] = np.where(depths > 0, grown, faded)[apart]
    if weights[apart].max() > most:
        weights += 1
        weights //= 2


@compiled_or(reweigh_numpy)
def reweigh(weights: Weights, depths: Weights, first: Weights, most: int) -> None:
    """Let the weights of pairs that overlap grow and the others fade; halve all beyond the most.

    `first` are the weights that they began with; all are symmetric and (parts, parts).
    """
    count = len(weights)
    deepest, heaviest = 0, 0
    for i in range(count):
        for j in range(i):
            deepest = max(deepest, depths[i, j])
    if deepest == 0:
        return
    for i in range(count):
        for j in range(i):
            weight = weights[i, j]
            if depths[i, j] > 0:
                share = GROWTH_LEAST + (GROWTH_MOST - GROWTH_LEAST) * (depths[i, j] / deepest)
                weight = int(weight * (1.0 + share)) + 1
            else:
                weight = max(first[i, j], int(weight * FADING))
            weights[i, j] = weight
            weights[j, i] = weight
            heaviest = max(heaviest, weight)
    if heaviest > most:
        for i in range(count):
            for j in range(count):
                weights[i, j] = (weights[i, j] + 1) // 2
