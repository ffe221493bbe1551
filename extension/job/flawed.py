# SPDX-License-Identifier: GPL-2.0-or-later
"""What is said of the flaws of a layout's cloth: how many, and what lies over them."""

from __future__ import annotations

from extension.job.plan import Plan
from extension.language.words import counted, listed
from nesting.judge.flaws import lying_over_flaws
from nesting.judge.unfolding import unfold
from nesting.model import Layout

MOST = 12
"""Parts that one sentence names."""


def flaw_lines(plan: Plan, layout: Layout) -> list[str]:
    """Return that the cloth has flaws, and which hidden parts lie over one."""
    fabric = plan.job.fabric
    if not fabric.flaws:
        return []
    count = counted(len(fabric.flaws), "flaw")
    them = "it" if len(fabric.flaws) == 1 else "them"
    over = _over_flaws(plan, layout)
    if not over:
        return [f"{count} of the cloth, hatched on it: no part lies over {them}."]
    verb, what = ("lies", "a hidden piece") if len(over) == 1 else ("lie", "hidden pieces")
    return [
        f"{count} of the cloth, hatched on it: {listed(over, MOST)}, {what}, {verb} over {them}; "
        f"no other part does."
    ]


def _over_flaws(plan: Plan, layout: Layout) -> list[str]:
    """Return how sentences name the parts that lie over a flaw, in the order of the pieces."""
    pieces = {piece.id: piece for piece in plan.job.pieces}
    flat = unfold(plan.job.fabric, pieces, layout.placements, layout.sections)
    parts = {part.part for part, _ in lying_over_flaws(flat.laid, plan.job.fabric)}
    placed = [layout.placements[part] for part in sorted(parts)]
    return [plan.cuts[spot.piece].label_of(spot.copies) for spot in placed]
