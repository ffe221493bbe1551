# SPDX-License-Identifier: GPL-2.0-or-later
"""The report of a run as plain values for JSON: the engine's result plus what was read."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from extension.job.changes import Tried
from extension.job.cutting_order import cloth_text, working_order
from extension.job.options import LayOutOptions
from extension.job.plan import Cut, Plan, consents, uncertain_tops
from extension.job.settings import settings_of
from extension.job.shopping import Item, shopping_values
from extension.job.short_cloth import rest_of
from extension.language.cautions import CAUTIONS
from extension.language.rounding import Purchase, buy_text, purchase_text
from extension.language.working_order import fold_cautions
from extension.pieces.model import Reading
from extension.svg.model import LeftOut
from nesting.jobs.jobfile import layout_to_json
from nesting.model import Layout

FORMAT = "thriftlay-report"
VERSION = 1


def report_of(
    reading: Reading,
    plan: Plan,
    options: LayOutOptions,
    layout: Layout,
    bought: Purchase,
    summary: Sequence[str],
    *,
    layer: str,
    without_nap_mm: float | None,
    plain_mm: float | None = None,
    is_draft: bool = False,
    all_need_mm: float | None = None,
    fitting: Sequence[Tried] | None = (),
    beside: Sequence[Mapping[str, Any]] = (),
) -> dict[str, Any]:
    """Return the report: the keys of the engine's result, and beside them what led to it.

    `layer` is the id of the drawn layer; `without_nap_mm` the length of the trial without nap,
    `plain_mm` that of the trial on plain cloth, where something matches,
    `all_need_mm` that of the trial with what does not fit on the cloth that is there,
    `is_draft` whether the run ended before it could look for anything shorter, `beside` the ways
    in which the cloth was laid besides, and this one.
    """
    folded = fold_cautions(layout.sections)
    return {
        **json.loads(layout_to_json(layout)),
        "format": FORMAT,
        "version": VERSION,
        "layer": layer,
        "options": settings_of(options),
        "material": plan.material,
        "pieces": [_piece(cut) for cut in plan.cuts.values()],
        "left_out": [_left_out(left) for left in plan.left_out],
        "sizes": list(reading.sizes),
        "notes": list(plan.notes),
        "consents": list(consents(plan)),
        "top_not_certain": list(uncertain_tops(plan)),
        "buy": purchase_values(bought, options),
        "without_nap_mm": without_nap_mm,
        "plain_mm": plain_mm,
        "all_need_mm": all_need_mm,
        "left_in_one_piece_mm": rest_of(options, layout),
        "would_fit": [_tried(one) for one in fitting or ()],
        "first_draft": is_draft,
        "summary": [line for line in summary if line not in (*folded, *CAUTIONS)],
        "lies": cloth_text(plan, options, layout),
        "working_order": list(working_order(plan, options, layout)),
        "compared": list(beside),
        "cautions": [*folded, *CAUTIONS],
    }


def report_of_all(
    reports: Sequence[Mapping[str, Any]], items: Sequence[Item], to_buy: Sequence[str]
) -> dict[str, Any]:
    """Return the report of a run with several layouts: each as it is told alone, and what to buy.

    `to_buy` are the sentences of the list. Cautions are told once: those of folded cloth first.
    """
    cautions = dict.fromkeys(line for report in reports for line in report["cautions"])
    return {
        "format": FORMAT,
        "version": VERSION,
        "layouts": list(reports),
        "to_buy": shopping_values(items),
        "summary": list(to_buy),
        "cautions": [*(line for line in cautions if line not in CAUTIONS), *CAUTIONS],
    }


def _piece(cut: Cut) -> dict[str, Any]:
    """Return what was read of one piece of the job."""
    drawn, piece = cut.drawn, cut.piece
    return {
        "id": piece.id,
        "of": drawn.id,
        "name": drawn.name,
        "size": drawn.size,
        "material": cut.demand.material,
        "cut": piece.cut,
        "garments": piece.garments,
        "copies": cut.copies,
        "hand": piece.hand,
        "on_fold": drawn.fold is not None,
        "grain": drawn.grain,
        "grain_from": drawn.grain_from,
        "top_certain": drawn.top_certain,
        "turns": list(piece.turns),
        "off_grain": piece.off_grain,
        "allowance_mm": drawn.allowance,
        "edges": [{"name": one.name, "allowance_mm": one.allowance} for one in drawn.edges],
        "marks": len(drawn.marks),
        "notes": list(drawn.notes),
    }


def _tried(tried: Tried) -> dict[str, Any]:
    """Return what a change came to, that was to make all parts fit."""
    layout = tried.layout
    return {
        "change": tried.change.told(),
        "gives_up": tried.change.gives_up,
        "length_mm": None if layout is None else layout.length,
        "fits": tried.fits,
        "pieces": [] if layout is None else tried.change.used_by(layout),
    }


def _left_out(left: LeftOut) -> dict[str, str]:
    """Return an object that was not laid, and why."""
    return {"id": left.object_id, "label": left.label, "reason": left.reason}


def purchase_values(bought: Purchase, options: LayOutOptions) -> dict[str, Any]:
    """Return the lengths to buy, exact in mm and in words, and what they cost where it is known."""
    cost = options.cost(bought)
    return {
        "needed_mm": bought.needed,
        "end_allowance_mm": bought.end_allowance,
        "repeat_mm": bought.repeat,
        "round_up": bought.round_up,
        "metric_mm": float(bought.metric),
        "yards_mm": float(bought.yards),
        "shrinkage": bought.shrinkage,
        "text": buy_text(bought),
        "sentence": purchase_text(bought),
        "cost": None if cost is None else float(cost.money.amount),
        "cost_text": None if cost is None else cost.money.text,
        "cost_how": None if cost is None else cost.how,
    }
