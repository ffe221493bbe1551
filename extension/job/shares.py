# SPDX-License-Identifier: GPL-2.0-or-later
"""How the time or the rounds of one run are shared out among the materials that it lays.

By area, since that is the cloth that can be saved, and by difficulty: more parts can lie in more
ways. No share is so small that nothing is searched for.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import shapely

from extension.job.options import LayOutOptions
from extension.job.plan import Plan
from nesting.geometry.shapes import whole_outline

LEAST = 0.25
"""Share of what each would get of equal shares, below which none falls."""


def shares(plans: Sequence[Plan]) -> list[float]:
    """Return the share of each plan, 0 to 1; they add up to 1."""
    weights = [_weight(plan) for plan in plans]
    all_together = sum(weights)
    even = 1.0 / len(plans)
    if all_together <= 0.0:
        return [even] * len(plans)
    return [LEAST * even + (1.0 - LEAST) * weight / all_together for weight in weights]


def _weight(plan: Plan) -> float:
    """Return area times the parts' ways to lie, on a scale of doublings; 0 for a single part."""
    free = plan.parts - len(plan.job.held)
    area = sum(
        shapely.Polygon(whole_outline(cut.piece)).area * cut.copies for cut in plan.cuts.values()
    )
    return float(area) * math.log2(max(free, 1))


def rounds_shared(rounds: int, parts: Sequence[float]) -> list[int]:
    """Return a number of rounds shared out by shares, each at least one; the largest rest first."""
    exact = [rounds * part for part in parts]
    whole = [max(math.floor(one), 1) for one in exact]
    rest = rounds - sum(whole)
    order = sorted(range(len(parts)), key=lambda number: (whole[number] - exact[number], number))
    for number in order[: max(rest, 0)]:
        whole[number] += 1
    return whole


def shared_out(
    plans: Sequence[Plan],
    options: Sequence[LayOutOptions],
    seconds: float,
    rounds: int | None,
) -> list[LayOutOptions]:
    """Return the options of each layout with its share of the time, or of the rounds, of all.

    `rounds` None: what each has of its own stays. The layout of a run with one alone has it all.
    """
    parts = shares(plans)
    each = [one.rounds for one in options] if rounds is None else rounds_shared(rounds, parts)
    if len(plans) == 1:
        return [replace(options[0], seconds=seconds, rounds=each[0])]
    return [
        replace(one, seconds=max(round(seconds * part, 1), 0.1), rounds=count)
        for one, part, count in zip(options, parts, each, strict=True)
    ]
