# SPDX-License-Identifier: GPL-2.0-or-later
"""Choices of parts for cloth that is too short: those that would cover more than the best so far.

What covers most comes first. Choices of parts that are as good as each other count once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import product

MOST = 4096
"""Choices beyond which none are told: of 12 different parts there are as many."""


def choices(
    kinds: Sequence[Sequence[int]], areas: Sequence[float], floor: float, most: float
) -> list[tuple[int, ...]]:
    """Return choices of parts, by index, whose area is above `floor` and at most `most`, mm2.

    `kinds` are indices of parts that are as good as each other, `areas` those of all parts. None
    are told where there are too many.
    """
    if math.prod(len(kind) + 1 for kind in kinds) > MOST:
        return []
    found = []
    for counts in product(*(range(len(kind) + 1) for kind in kinds)):
        area = math.fsum(n * areas[kind[0]] for n, kind in zip(counts, kinds, strict=True))
        if floor < area <= most:
            chosen = [index for n, kind in zip(counts, kinds, strict=True) for index in kind[:n]]
            found.append((area, tuple(sorted(chosen))))
    found.sort(key=lambda one: (-one[0], one[1]))
    return [chosen for _, chosen in found]
