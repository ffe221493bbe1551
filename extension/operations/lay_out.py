# SPDX-License-Identifier: GPL-2.0-or-later
"""Lay out on fabric: from a drawing and options to the drawing with a layout on a new layer.

The one place that wires reading, planning, engine, judge and writing together, for the command
line and the editor alike. A run makes one layout, or one for each material, one below the other.
Files, clocks and windows are the caller's.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from extension.drawn.layer import draw_layout, next_number
from extension.drawn.place import where_free
from extension.drawn.sheet import Sheet
from extension.job.advice import advice_text, advice_values
from extension.job.compared import compared_text, compared_values, folded_text
from extension.job.matched import cost_text
from extension.job.materials import MOST, materials_in
from extension.job.options import LayOutOptions
from extension.job.plan import Plan, make_plan
from extension.job.report import report_of, report_of_all
from extension.job.settings import settings_text
from extension.job.shares import shared_out
from extension.job.shopping import Item, shopping_list
from extension.job.summary import is_first_draft, summary
from extension.job.wishes import Wishes, on_remnant, with_select
from extension.language.errors import DrawingError
from extension.language.rounding import Purchase
from extension.language.words import begun, listed
from extension.layouts.gone import as_left_out, gone_since
from extension.layouts.holding import Held, HoldRequest, held_parts, held_sources, request_for
from extension.layouts.layers import one_layer
from extension.layouts.signs import sign_held
from extension.operations.drawing import Drawing
from extension.operations.figures import figures_of
from extension.operations.running import Found, Run, find
from extension.operations.several_remnants import not_less, share_out
from extension.operations.since import told_since
from extension.operations.untold import not_laid_on
from extension.pieces.model import Reading
from extension.pieces.remnants import chosen_cloths
from extension.svg.document import Document, serialise
from extension.svg.model import LeftOut
from nesting.cloth.problem import build_problem
from nesting.errors import JobError
from nesting.jobs.validation import validated
from nesting.model import Layout


@dataclass(frozen=True, slots=True)
class Outcome:
    """The drawing with its new layers, what to say about them, and the report as plain values.

    `to_buy` are the sentences over all layouts, none where there is one; `summary` holds them too.
    `where` says in words where the first of the layouts was put, `count` how many there are.
    """

    drawing: bytes
    summary: tuple[str, ...]
    report: dict[str, Any]
    to_buy: tuple[str, ...] = ()
    all_fit: bool = True
    where: str = ""
    count: int = 1


_HELD = (
    "Held parts lie as the cloth lay then, so several ways to lay it cannot be compared: release "
    "the parts, or choose one way."
)
_HELD_ON_ONE = (
    "Parts are held where they lie on one piece of cloth, so they cannot be shared out among "
    "several remnants: release them, or lay out on one remnant."
)
NOTHING_HELD = HoldRequest()


@dataclass(frozen=True, slots=True)
class Order:
    """One layout that is wanted of a run, and which parts stay where they are on it.

    `known` is one that was found before, which holds as much of it as can be expected.
    """

    options: LayOutOptions
    hold: HoldRequest = NOTHING_HELD
    known: Layout | None = None


@dataclass(frozen=True, eq=False, slots=True)
class _Planned:
    """An order with what was read for it."""

    options: LayOutOptions
    reading: Reading
    plan: Plan
    held: Held


@dataclass(frozen=True, eq=False, slots=True)
class _Laid:
    """A layout that was found and drawn."""

    planned: _Planned
    found: Found
    bought: Purchase
    lines: tuple[str, ...]
    layer: str
    label: str

    @property
    def item(self) -> Item:
        """What is bought for it."""
        layout = self.found.layout
        is_draft = is_first_draft(self.planned.plan, layout)
        return Item(self.planned.options, self.bought, bool(layout.left_over), is_draft)


def lay_out(
    document: Document, options: LayOutOptions, run: Run, hold: HoldRequest = NOTHING_HELD
) -> Outcome:
    """Return the document with one layout of its pieces on a new layer; see `lay_out_again`."""
    return lay_out_again(document, [Order(options, hold)], run)


def lay_out_materials(
    document: Document,
    wishes: Wishes,
    run: Run,
    hold: HoldRequest = NOTHING_HELD,
    cloths: Sequence[str] = (),
) -> Outcome:
    """Return the document with a layout for each material that is wished for, each on a layer.

    They share the time, or the rounds, of the run. `cloths` are ids or names of a piece of cloth
    that is drawn, and laid on; one that is selected with the pieces is meant as well. Raises as
    `lay_out_again` does.
    """
    drawing = Drawing(document)
    remnants, select = chosen_cloths(drawing.drawn, cloths, wishes.base.select)
    wishes = replace(wishes, base=replace(wishes.base, select=select))
    options = wishes.options(materials_in([drawing.reading(wishes.base)]))
    if remnants:
        options = on_remnant(options, remnants)
    if len(remnants) > 1:
        return _on_several(drawing, options, run, hold, wishes)
    laid = [one.material for one in options]
    orders = [
        Order(one, request_for(document, drawing.everything, hold, one.material, laid))
        for one in options
    ]
    alike = wishes.taken_alike(laid)
    notes = (*((alike,) if alike else ()), *(() if remnants else not_laid_on(drawing.drawn)))
    return _lay(drawing, orders, run, wishes.base.seconds, wishes.rounds, lambda _: notes)


def _on_several(
    drawing: Drawing,
    options: Sequence[LayOutOptions],
    run: Run,
    hold: HoldRequest,
    wishes: Wishes,
) -> Outcome:
    """Return a layout on each remnant that is used. Raises OptionError for parts to be held."""
    if hold.ids:
        raise DrawingError(_HELD_ON_ONE, hold.ids[0])
    plan = make_plan(drawing.reading(options[0]), options[0])
    shared = share_out(plan, options, run, wishes.base.seconds, wishes.rounds)
    orders = [Order(one.options, known=one.known) for one in shared.layouts]
    return _lay(drawing, orders, run, wishes.base.seconds, None, shared.told)


def lay_out_again(
    document: Document,
    orders: Sequence[Order],
    run: Run,
    seconds: float | None = None,
    rounds: int | None = None,
) -> Outcome:
    """Return the document with a layout for each order on a new layer.

    `seconds` or `rounds` are those of the whole run; None: what the orders have of their own. The
    document's tree gains those layers and is otherwise as before. Parts of an earlier layout
    that are held, by their notes or by an order, stay where they are on the new layer. Raises a
    ThriftlayError with one sentence when the pieces cannot be read, planned, held or laid; the
    tree is untouched then.
    """
    own = sum(order.options.seconds for order in orders)
    seconds = own if seconds is None else seconds
    return _lay(Drawing(document), orders, run, seconds, rounds, lambda _: ())


def _lay(
    drawing: Drawing,
    orders: Sequence[Order],
    run: Run,
    seconds: float,
    rounds: int | None,
    told: Callable[[Sequence[Layout]], tuple[str, ...]],
) -> Outcome:
    """Plan every layout before the first search begins, draw them when all are found.

    `told` says what goes with all the layouts together.
    """
    planned = [_planned(drawing, order) for order in orders]
    if len(planned) > 1:
        planned = _among_others(planned)
    plans = [one.plan for one in planned]
    where = where_free(drawing.everything)
    options = shared_out(plans, [one.options for one in planned], seconds, rounds)
    results = find(plans, options, seconds, run)
    found = [not_less(one, order.known) for one, order in zip(results, orders, strict=True)]
    laid = [
        _drawn(
            drawing,
            replace(one, options=result.options, plan=result.plan),
            result,
            more=one is not planned[-1],
        )
        for one, result in zip(planned, found, strict=True)
    ]
    notes = told([one.layout for one in found])
    return replace(_outcome(drawing.document, laid, notes), where=where, count=len(laid))


# --- before the search --------------------------------------------------------------------------


def _planned(drawing: Drawing, order: Order) -> _Planned:
    """Return what is to be laid for one order."""
    document, everything, hold = drawing.document, drawing.everything, order.hold
    options = with_select(order.options, held_sources(document, everything, hold))
    reading = drawing.reading(options)
    plan = make_plan(reading, options)
    held = held_parts(document, everything, plan, hold)
    if options.compares and held.placements:
        raise DrawingError(_HELD)
    plan = replace(
        plan,
        job=replace(plan.job, held=held.placements, fabric=held.fabric or plan.job.fabric),
        left_out=(*_gone(document, plan, hold), *plan.left_out),
        notes=(*told_since(drawing, options, hold.layer), *held.notes, *plan.notes),
    )
    return _Planned(options, reading, plan, held)


def _gone(document: Document, plan: Plan, hold: HoldRequest) -> tuple[LeftOut, ...]:
    """Return the pieces of the layout that is laid again whose originals are gone."""
    if not hold.layer:
        return ()
    return tuple(map(as_left_out, gone_since(document, plan, one_layer(document, hold.layer))))


def _among_others(planned: Sequence[_Planned]) -> list[_Planned]:
    """Return what is to be laid, each without what another layout of the run lays.

    Raises JobError for a layout that cannot be laid, before any time is spent on the others.
    """
    told = {cut.drawn.id for one in planned for cut in one.plan.cuts.values()}
    told |= {
        left.object_id
        for one in planned
        for left in one.plan.left_out
        if left.reason != "other material"
    }
    for one in planned:
        try:
            build_problem(validated(one.plan.job))
        except JobError as fault:
            raise JobError(f"{begun(one.plan.material)}: {fault}") from fault
    return [replace(one, plan=_told_apart(one, planned, told)) for one in planned]


def _told_apart(one: _Planned, planned: Sequence[_Planned], elsewhere: set[str]) -> Plan:
    """Return a plan that says which others are laid in the same run, and what none of them lays.

    Of what is laid, or said not to be, on the layout of its own material `elsewhere`, it is silent.
    """
    plan = one.plan
    left_out = tuple(
        left
        for left in plan.left_out
        if left.reason != "other material" or left.object_id not in elsewhere
    )
    others = dict.fromkeys(_cloth_of(other) for other in planned if other is not one)
    told = f"Laid in one run with {listed(list(others), MOST)}, each on cloth of its own."
    return replace(plan, left_out=left_out, notes=(*plan.notes, told))


def _cloth_of(planned: _Planned) -> str:
    remnant = planned.options.remnant
    return planned.plan.material if remnant is None else remnant.title


# --- after the search ---------------------------------------------------------------------------


def _drawn(drawing: Drawing, planned: _Planned, found: Found, *, more: bool) -> _Laid:
    """Add the layer of a layout to the document, below those that are there.

    `more`: another one follows.
    """
    document = drawing.document
    plan, options, layout = planned.plan, planned.options, found.layout
    bought = options.bought(layout.length)
    is_draft = is_first_draft(plan, layout)
    trial, all_need = found.without_nap, found.all_need
    lines = summary(
        plan,
        options,
        layout,
        bought,
        trial,
        is_draft=is_draft,
        all_need=all_need,
        fitting=found.fitting,
        beside=_beside(found),
    )
    figures = figures_of(plan, layout, bought, trial, is_draft=is_draft)
    sheet = Sheet(
        next_number(document),
        plan,
        layout,
        options,
        bought,
        lines,
        settings_text(options, figures),
        kept=planned.held.kept,
    )
    layer = draw_layout(document, drawing.everything, sheet)
    if planned.held.kept:
        sign_held(document, layer.get("id", ""))
    if more:
        drawing.added(layer)
    return _Laid(planned, found, bought, lines, layer.get("id", ""), sheet.label)


def _beside(found: Found) -> tuple[str, ...]:
    """Return what is told of plain cloth, and of other ways to lay the same cloth."""
    taken, system = found.taken, found.options.system
    told = cost_text(found.layout.length, found.plain, system)
    if taken.is_compared:
        told = (*told, *compared_text(taken.laid, taken.place))
    elif found.folded is not None:
        told = (*told, folded_text(taken.best, found.folded))
    return (*told, *advice_text(found.advice))


def _outcome(document: Document, laid: Sequence[_Laid], notes: tuple[str, ...]) -> Outcome:
    """Return the result of a run; of one layout alone all is said as of that layout."""
    reports = [_report(one) for one in laid]
    items = [one.item for one in laid]
    all_fit = not any(item.is_short for item in items)
    if len(laid) == 1:
        lines = (*laid[0].lines, *notes)
        return Outcome(serialise(document), lines, reports[0], (), all_fit)
    to_buy = (*shopping_list(items), *notes)
    report = report_of_all(reports, items, to_buy)
    cautions = report["cautions"]
    each = [
        line
        for one in laid
        for line in (f"{one.label}:", *(line for line in one.lines if line not in cautions))
    ]
    return Outcome(serialise(document), (*to_buy, *each, *cautions), report, to_buy, all_fit)


def _report(laid: _Laid) -> dict[str, Any]:
    """Return the report of one layout."""
    planned, found = laid.planned, laid.found
    report = report_of(
        planned.reading,
        planned.plan,
        planned.options,
        found.layout,
        laid.bought,
        laid.lines,
        layer=laid.layer,
        without_nap_mm=found.without_nap_mm,
        plain_mm=found.plain_mm,
        is_draft=is_first_draft(planned.plan, found.layout),
        all_need_mm=found.all_need,
        fitting=found.fitting,
        beside=_ways(found),
    )
    advice = advice_values(found.advice)
    return report if advice is None else {**report, "advice": advice}


def _ways(found: Found) -> list[dict[str, Any]]:
    """Return the ways that were tried beside each other as plain values."""
    taken = found.taken
    if found.folded is not None:
        return compared_values([taken.best, found.folded], 0)
    return compared_values(taken.laid, taken.place) if taken.is_compared else []
