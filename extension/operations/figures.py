# SPDX-License-Identifier: GPL-2.0-or-later
"""What a layout's settings say about its result."""

from __future__ import annotations

from typing import Any

from extension.job.plan import Plan
from extension.job.settings import outline_sizes, stored_left_over, stored_sections
from extension.job.summary import NapTrial, left_out_text
from extension.language.rounding import Purchase, buy_text
from nesting.model import Layout


def figures_of(
    plan: Plan, layout: Layout, bought: Purchase, trial: NapTrial = "", *, is_draft: bool = False
) -> dict[str, Any]:
    """Return what a layout's settings say about its result; nothing that differs between runs."""
    fabric = plan.job.fabric
    is_there = fabric.length is not None or bool(fabric.outline)
    return {
        "engine": layout.engine,
        "rounds": layout.rounds,
        "workers": layout.workers,
        "seed": layout.seed,
        "material": plan.material,
        "usable_width_mm": layout.width,
        "length_mm": layout.length,
        "lower_bound_mm": layout.lower_bound,
        "utilisation": layout.utilisation,
        "buy": buy_text(bought),
        "pieces": len(plan.cuts),
        "parts": len(layout.placements),
        "not_laid": left_out_text(plan.left_out),
        "outlines": outline_sizes(layout.outlines),
        "asked": {id_: [cut.drawn.id, cut.title, cut.copies] for id_, cut in plan.cuts.items()},
        "without_nap_mm": trial if isinstance(trial, float) else None,
        "first_draft": is_draft,
        **({"left_over": stored_left_over(layout.left_over)} if is_there else {}),
        **({"sections": stored_sections(layout.sections)} if layout.sections else {}),
    }
