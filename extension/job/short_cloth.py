# SPDX-License-Identifier: GPL-2.0-or-later
"""What is said of a piece of cloth that is there: what does not fit, and how much is missing."""

from __future__ import annotations

from collections.abc import Mapping

from extension.job.options import LayOutOptions
from extension.job.plan import Cut, Plan
from extension.language.rounding import at_least_text, length_text, told
from extension.language.words import listed
from nesting.model import Layout, LeftOver

MOST = 12
"""Pieces that a sentence names."""


def short_cloth(
    plan: Plan, options: LayOutOptions, layout: Layout, all_need: float | None
) -> list[str]:
    """Return what did not fit on the cloth that is there, and what priorities came to.

    `all_need` is the length, mm, on which a short run laid all parts; None when none was made.
    """
    said = []
    if layout.left_over:
        said.append(f"Did not fit: {listed(_left_over(plan, layout), MOST)}.")
    if layout.left_over and options.fabric_length is not None:
        said.append(_missing(options, options.fabric_length, layout, all_need))
    return [*said, *_priorities(plan, options, layout)]


def _left_over(plan: Plan, layout: Layout) -> list[str]:
    """Return what is left over, what should have been laid first at the beginning."""
    ordered = sorted(layout.left_over, key=lambda left: _place(plan.cuts, left))
    return [
        f"{plan.cuts[left.piece].title} × {len(left.copies)}{_with_priority(plan.cuts[left.piece])}"
        for left in ordered
    ]


def _place(cuts: Mapping[str, Cut], left: LeftOver) -> float:
    priority = cuts[left.piece].piece.priority
    return float("inf") if priority is None else priority


def _with_priority(cut: Cut) -> str:
    priority = cut.piece.priority
    return "" if priority is None else f" (priority {priority:g})"


def _missing(options: LayOutOptions, cloth: float, layout: Layout, all_need: float | None) -> str:
    """Return how much cloth is missing, as far as it is known."""
    system = options.system
    if all_need is not None and all_need > cloth:
        # From the length as it is printed, so that the figures agree.
        more = float(told(all_need, system)) - cloth
        return (
            f"A short run laid all parts on {length_text(all_need, system)}, so "
            f"{length_text(more, system)} more would do; a longer one may need less."
        )
    if all_need is not None:
        return "A short run found room for all of them on this cloth: run it again with more time."
    if layout.lower_bound > cloth + 10.0:
        least = at_least_text(layout.lower_bound - cloth, system)
        return f"At least {least} more is needed; how much exactly was not tried, for want of time."
    return "How much is missing was not tried, for want of time."


def _priorities(plan: Plan, options: LayOutOptions, layout: Layout) -> list[str]:
    """Return what the priorities of pieces did, or that they did nothing."""
    urgent = [cut for cut in plan.cuts.values() if cut.piece.priority is not None]
    if not urgent:
        return []
    if options.fabric_length is None:
        names = listed(list(dict.fromkeys(cut.title for cut in urgent)), MOST)
        return [
            f"Priority counts on cloth of a fixed length only, so it changes nothing here: {names}."
        ]
    if not layout.left_over:
        return ["All parts fit, so priority changes nothing."]
    urgent.sort(key=lambda cut: cut.piece.priority or 0.0)
    names = listed([f"{cut.title} ({cut.piece.priority:g})" for cut in urgent], MOST)
    return [f"Laid first, by priority: {names}; of the others as much as found room."]
