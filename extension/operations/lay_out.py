# SPDX-License-Identifier: GPL-2.0-or-later
"""Lay out on fabric: from a drawing and options to the drawing with a layout on a new layer.

The one place that wires reading, planning, engine, judge and writing together, for the command
line and the editor alike. Files, clocks and windows are the caller's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from extension.drawn.layer import draw_layout, next_number
from extension.drawn.sheet import Sheet
from extension.job.options import LayOutOptions
from extension.job.plan import Plan, make_plan, request_of
from extension.job.reading import read_pieces
from extension.job.report import report_of
from extension.job.settings import outline_sizes, settings_text
from extension.job.summary import NapTrial, is_first_draft, left_out_text, summary
from extension.language.rounding import Purchase, buy_text
from extension.layouts.gone import as_left_out, gone_since
from extension.layouts.holding import HoldRequest, held_parts, held_sources
from extension.layouts.layers import one_layer
from extension.layouts.signs import sign_held
from extension.svg.document import Document, serialise
from extension.svg.leaves import read_leaves
from extension.svg.model import LeftOut
from nesting.cloth.problem import allowed_turns
from nesting.errors import BrokenLayout
from nesting.judge.check import check
from nesting.model import Job, Layout
from nesting.search.keeper import OnProgress
from nesting.solve import solve
from nesting.stop import AfterRounds, AfterSeconds, AnyOf, Clock, StopRule

TRIAL_SHARE = 0.15
"""Share of the time limit that is kept to find out what no nap would save, or what is missing."""
TRIAL_LEAST = 2.0
"""Seconds below which such a trial says nothing."""
TRIAL_ROUNDS = 4
"""A trial gets one round for so many rounds of the run."""

NOT_TRIED = "What no nap would save was not tried: the time was too short."
NO_OTHER_WAY = "No piece may be turned without nap either."


@dataclass(frozen=True, slots=True)
class Outcome:
    """The drawing with its new layer, what to say about it, and the report as plain values."""

    drawing: bytes
    summary: tuple[str, ...]
    report: dict[str, Any]


@dataclass(frozen=True, eq=False, slots=True)
class Run:
    """How the engine is run: seconds since the start, whether to stop, and who hears of it."""

    clock: Clock
    stop: StopRule
    on_progress: OnProgress | None = None


NOTHING_HELD = HoldRequest()


def lay_out(
    document: Document, options: LayOutOptions, run: Run, hold: HoldRequest = NOTHING_HELD
) -> Outcome:
    """Return the document with a layout of its pieces on a new layer.

    The document's tree gains that layer and is otherwise as before. Parts of an earlier layout
    that are held, by their notes or by `hold`, stay where they are on the new layer. Raises a
    ThriftlayError with one sentence when the pieces cannot be read, planned, held or laid; the
    tree is untouched then.
    """
    everything = read_leaves(document, include_layouts=True)
    options = _with_held(options, held_sources(document, everything, hold))
    reading = read_pieces(read_leaves(document), request_of(options))
    plan = make_plan(reading, options)
    held = held_parts(document, everything, plan, hold)
    plan = replace(
        plan,
        job=replace(plan.job, held=held.placements),
        left_out=(*_gone(document, plan, hold), *plan.left_out),
        notes=(*held.notes, *plan.notes),
    )
    tries_more = _has_time_for_trial(options)
    tries_nap = _nap_may_matter(plan) and tries_more
    leave_some = tries_nap or (options.fabric_length is not None and tries_more)
    layout = _solved(plan.job, options, run, _limit(options, run, leave_some=leave_some))
    trial = "" if layout.left_over else _without_nap(plan, options, run, layout, tries_nap)
    all_need = _needed_by_all(plan, options, run, layout) if tries_more else None
    bought = options.bought(layout.length)
    is_draft = is_first_draft(plan, layout)
    lines = summary(plan, options, layout, bought, trial, is_draft=is_draft, all_need=all_need)
    figures = figures_of(plan, layout, bought, trial, is_draft=is_draft)
    sheet = Sheet(
        next_number(document),
        plan,
        layout,
        options,
        bought,
        lines,
        settings_text(options, figures),
        kept=held.kept,
    )
    layer = draw_layout(document, everything, sheet)
    if held.kept:
        sign_held(document, layer.get("id", ""))
    report = report_of(
        reading,
        plan,
        options,
        layout,
        bought,
        lines,
        layer=layer.get("id", ""),
        without_nap_mm=trial if isinstance(trial, float) else None,
        is_draft=is_draft,
        all_need_mm=all_need,
    )
    return Outcome(serialise(document), lines, report)


def _with_held(options: LayOutOptions, sources: Sequence[str]) -> LayOutOptions:
    """Return options under which the pieces of held parts are chosen as well."""
    if not options.select:
        return options
    return replace(options, select=tuple(dict.fromkeys((*options.select, *sources))))


def _gone(document: Document, plan: Plan, hold: HoldRequest) -> tuple[LeftOut, ...]:
    """Return the pieces of the layout that is laid again whose originals are gone."""
    if not hold.layer:
        return ()
    return tuple(map(as_left_out, gone_since(document, plan, one_layer(document, hold.layer))))


def _limit(options: LayOutOptions, run: Run, *, leave_some: bool) -> StopRule:
    """Return when the run itself stops; it may have to leave time for a trial without nap."""
    if options.rounds is not None:
        return AnyOf(AfterRounds(options.rounds), run.stop)
    share = 1.0 - TRIAL_SHARE if leave_some else 1.0
    return AnyOf(AfterSeconds(share * options.seconds, run.clock), run.stop)


def _solved(job: Job, options: LayOutOptions, run: Run, limit: StopRule) -> Layout:
    """Return the engine's layout. The judge is asked here once more: nothing passes it unseen."""
    layout = solve(
        job,
        seed=options.seed,
        stop=limit,
        workers=options.workers,
        clock=run.clock,
        on_progress=run.on_progress,
    )
    violations = check(job, layout)
    if violations:
        raise BrokenLayout(violations)
    return layout


def _nap_may_matter(plan: Plan) -> bool:
    """Return whether some piece could lie in another way if the cloth had no nap."""
    fabric = plan.job.fabric
    free = replace(fabric, nap=False)
    return fabric.nap and any(
        allowed_turns(piece, free) != allowed_turns(piece, fabric) for piece in plan.job.pieces
    )


def _has_time_for_trial(options: LayOutOptions) -> bool:
    """Return whether a trial without nap would have enough time to say anything."""
    return options.rounds is not None or TRIAL_SHARE * options.seconds >= TRIAL_LEAST


def _without_nap(
    plan: Plan, options: LayOutOptions, run: Run, layout: Layout, tried: bool
) -> NapTrial:
    """Return the length that a short run without nap needs, or why there is none."""
    if not plan.job.fabric.nap:
        return ""
    if not _nap_may_matter(plan):
        return NO_OTHER_WAY
    if not tried or run.stop(0):
        return NOT_TRIED
    free = replace(plan.job, fabric=replace(plan.job.fabric, nap=False, length=None))
    # A layout with nap is one without as well: no nap never needs more.
    return min(_trial(free, options, run).length, layout.length)


def _needed_by_all(plan: Plan, options: LayOutOptions, run: Run, layout: Layout) -> float | None:
    """Return the length on which a short run lays all parts that do not fit on the cloth."""
    if not layout.left_over or run.stop(0):
        return None
    longer = replace(plan.job, fabric=replace(plan.job.fabric, length=None))
    return _trial(longer, options, run).length


def _trial(job: Job, options: LayOutOptions, run: Run) -> Layout:
    """Return a layout by a short run beside the main one."""
    if options.rounds is not None:
        rule: StopRule = AfterRounds(max(options.rounds // TRIAL_ROUNDS, 1))
    else:
        rule = AfterSeconds(options.seconds, run.clock)
    return _solved(job, options, replace(run, on_progress=None), AnyOf(rule, run.stop))


def figures_of(
    plan: Plan, layout: Layout, bought: Purchase, trial: NapTrial = "", *, is_draft: bool = False
) -> dict[str, Any]:
    """Return what a layout's settings say about its result; nothing that differs between runs."""
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
    }
