# SPDX-License-Identifier: GPL-2.0-or-later
"""Depths worth trying where a section may be folded in as deep as is best.

What is cut double decides: the upper layer must reach over it. So the depths are those that hold a
part of each size, two of them side by side, and half the cloth; but none that does not hold every
half that can be cut on the fold: for these the cloth is folded. Where something has to match an
even design, each fold lies where both layers show it alike: on a dominant line or midway.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import product

from nesting.cloth.lots import Lot
from nesting.cloth.repeats import Design
from nesting.cloth.rooms import FIT_TOLERANCE
from nesting.cloth.strip import Strip
from nesting.model import Job, Section

MOST = 8
"""Depths that are tried of a fold."""
SHALLOWEST = 10.0
"""mm: nothing is folded in less deep."""
ALIKE = 5.0
"""mm: of depths nearer to each other the deeper one is tried, which holds what the other does."""


def spreads_of(
    job: Job, lots: Sequence[Lot], design: Design | None = None
) -> tuple[tuple[Section, ...], ...]:
    """Return the ways in which the cloth of a job may lie, all depths known.

    `design` is that which parts have to match, if any.
    """
    choices = [tuple(_spreads(job, section, lots, design)) for section in job.fabric.sections]
    return tuple(product(*choices))


def no_deeper(used: float, known: float, design: Design | None) -> float:
    """Return the least depth, mm, that holds what is `used` of a `known` one.

    With a design the fold moves by whole repeats: what lies by the fold then lies in it as before.
    """
    period = 0.0 if design is None else 2.0 * design.fold_step
    return known - math.floor((known - used) / period) * period if period else used


def _spreads(
    job: Job, section: Section, lots: Sequence[Lot], design: Design | None
) -> Iterable[Section]:
    """Yield a section with each choice of those of its depths that are to be searched."""
    unknown = section.depths.count(None)
    if not unknown:
        yield section
        return
    given = sum(depth for depth in section.depths if depth is not None)
    most = (job.fabric.width / 2.0 - given) / unknown
    least, depths = _depths(job, lots, most)
    # Two unknown depths are the same: parts of all sizes go to either fold.
    found = [_folded(section, depth, depth) for depth in depths]
    if design is not None and design.fold_step:
        first = design.repeat.first
        lines = first, job.fabric.width - first
        alike = [
            [_lying_alike(depth, line, design.fold_step, most) for line in lines]
            for depth in depths
        ]
        whole = [pair for pair in alike if min(pair) >= max(least, SHALLOWEST)]
        found = [_folded(section, *pair) for pair in whole] or found
    yield from dict.fromkeys(found)


def _folded(section: Section, lower: float, upper: float) -> Section:
    """Return a section with depths in the place of those that are not known."""
    return replace(
        section,
        lower=lower if section.lower is None else section.lower,
        upper=upper if section.upper is None else section.upper,
    )


def _lying_alike(depth: float, line: float, step: float, most: float) -> float:
    """Return the least depth from `depth` on, else the greatest, at which a fold is on a step, mm.

    Steps count from a line so far from the selvedge that is folded in.
    """
    count = math.ceil((depth - line) / step - FIT_TOLERANCE)
    if line + count * step > most + FIT_TOLERANCE:
        count = math.floor((most - line) / step + FIT_TOLERANCE)
    return line + count * step


def _depths(job: Job, lots: Sequence[Lot], most: float) -> tuple[float, list[float]]:
    """Return the least depth of a fold, mm, and some, at most `most`, the deepest first."""
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
    return least, found
