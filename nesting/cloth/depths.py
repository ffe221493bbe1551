# SPDX-License-Identifier: GPL-2.0-or-later
"""Depths worth trying where a section may be folded in as deep as is best.

What is cut double decides: the upper layer must reach over it. So the depths are those that hold a
part of each size, two of them side by side, and half the cloth; but none that does not hold every
half that can be cut on the fold: for these the cloth is folded.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import product

from nesting.cloth.lots import Lot
from nesting.cloth.strip import Strip
from nesting.model import Job, Section

MOST = 8
"""Depths that are tried of a fold."""
ALIKE = 5.0
"""mm: of depths nearer to each other the deeper one is tried, which holds what the other does."""


def spreads_of(job: Job, lots: Sequence[Lot]) -> tuple[tuple[Section, ...], ...]:
    """Return the ways in which the cloth of a job may lie, all depths known."""
    choices = [tuple(_spreads(job, section, lots)) for section in job.fabric.sections]
    return tuple(product(*choices))


def _spreads(job: Job, section: Section, lots: Sequence[Lot]) -> Iterable[Section]:
    """Yield a section with each choice of those of its depths that are to be searched."""
    unknown = section.depths.count(None)
    if not unknown:
        yield section
        return
    given = sum(depth for depth in section.depths if depth is not None)
    most = (job.fabric.width / 2.0 - given) / unknown
    for depth in _depths(job, lots, most):
        # Two unknown depths are the same: parts of all sizes go to either fold.
        lower, upper = (depth if known is None else known for known in section.depths)
        yield replace(section, lower=lower, upper=upper)


def _depths(job: Job, lots: Sequence[Lot], most: float) -> list[float]:
    """Return depths of a fold, mm, at most `most`, the deepest first."""
    margin, gap = job.fabric.edge_margin, job.fabric.gap
    deepest = Strip(job, 0, Section(most, 0.0))
    halves: set[float] = set()
    others: set[float] = set()
    for lot in lots:
        halves |= deepest.widths(lot, "fold")
        others |= deepest.widths(lot, "double")
    least = max(halves, default=0.0) + margin
    alone = {width + margin for width in halves}
    alone |= {width + gap / 2.0 + margin for width in others}
    pairs = {one + other + gap + margin for one in halves for other in others}
    pairs |= {one + other + 1.5 * gap + margin for one in others for other in others}
    found: list[float] = []
    for depth in (most, *sorted((alone | pairs), reverse=True)):
        if least <= depth <= most and (not found or depth < found[-1] - ALIKE):
            found.append(depth)
    if len(found) > MOST:
        found = [found[round(k * (len(found) - 1) / (MOST - 1))] for k in range(MOST)]
    return found
