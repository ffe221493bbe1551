# SPDX-License-Identifier: GPL-2.0-or-later
"""What a layout says about itself in plain sentences: on the drawing, the terminal, the report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from extension.job.bordered import border_lines, folded_border_lines
from extension.job.changes import Tried
from extension.job.compared import AS_SHORT
from extension.job.cutting_order import cloth_text, cuts_text, working_order
from extension.job.design import design_text, trimmed_text
from extension.job.edges import edges_of_pieces
from extension.job.flawed import flaw_lines
from extension.job.folded_design import moved_text, not_double_text
from extension.job.options import LayOutOptions
from extension.job.plan import Plan, consents, titled, uncertain_tops
from extension.job.remnant import remnant_text
from extension.job.short_cloth import short_cloth
from extension.job.tops import tops_text
from extension.language.cautions import CAUTIONS
from extension.language.rounding import (
    Purchase,
    at_least_text,
    least_text,
    length_text,
    less_text,
    purchase_text,
    share_text,
    small_text,
)
from extension.language.words import counted, listed
from extension.language.working_order import fold_cautions
from extension.svg.model import LeftOut
from nesting.model import Layout

_WORDS = {
    "other size": "of another size",
    "other material": "of another material",
    "no grainline": "without grainline",
    "mark of no piece": "mark that belongs to no piece",
    "too far away": "more than 1 km from the page",
    "flaw on no cloth": "flaw that lies on no cloth, so nothing was kept off it",
    "gone": "that was laid before and is no piece of the drawing any more",
}
"""Reasons that read better otherwise after a count."""
_WORDS_OF_MORE = {
    "frame": "frames",
    "test square": "test squares",
    "mark of no piece": "marks that belong to no piece",
    "flaw on no cloth": "flaws that lie on no cloth, so nothing was kept off them",
    "gone": "that were laid before and are no pieces of the drawing any more",
}
"""Reasons that read otherwise after a count of more than one."""

FIRST_DRAFT = (
    "First draft: the run ended before the search for a shorter layout had begun. "
    "More time will most likely shorten it."
)
FIRST_DRAFT_OF_SOME = (
    "First draft: the run ended before the search for a better layout had begun. "
    "With more time more may fit."
)
"""Where the cloth is too short for all."""

NapTrial = float | str
"""What the second run without nap came to: the length in mm, or why there is no figure."""


def summary(
    plan: Plan,
    options: LayOutOptions,
    layout: Layout,
    bought: Purchase,
    without_nap: NapTrial = "",
    *,
    is_draft: bool = False,
    all_need: float | None = None,
    fitting: Sequence[Tried] | None = (),
    beside: Sequence[str] = (),
    lay_before: bool = False,
) -> tuple[str, ...]:
    """Return the sentences that go with a layout, the most important first.

    `is_draft`: it is the first layout as it came, and may be improved; see `is_first_draft`.
    `all_need`: the length, mm, on which a short run laid all parts, when not all fit on the cloth
    that is there, `fitting` what was tried to make them fit; see `short_cloth`. `beside`:
    sentences on other ways in which the cloth was laid. `lay_before`: it is the layout that lay
    there already, for which nothing was tried.
    """
    return (
        _length_line(options, bought),
        *_cost_line(options, bought),
        *_draft_line(layout, is_draft),
        _width_line(options),
        *_design_line(options),
        *flaw_lines(plan, options, layout),
        *border_lines(plan.job, options.system, ", tinted on the cloth"),
        *folded_border_lines(plan.job, layout),
        f"{cloth_text(plan, options, layout)} {_nap_line(plan, options, layout, without_nap)}",
        *working_order(plan, options, layout),
        *beside,
        _parts_line(plan, options, layout),
        *short_cloth(plan, options, layout, all_need, fitting, lay_before=lay_before),
        *left_out_lines(plan.left_out),
        _use_line(options, layout),
        allowance_line(plan, options),
        *consents(plan),
        *_tops_line(plan),
        *_fold_line(plan, layout),
        *_note_lines(plan),
        *plan.notes,
        _run_line(layout),
        *fold_cautions(layout.sections),
        *CAUTIONS,
    )


def is_first_draft(plan: Plan, layout: Layout) -> bool:
    """Return whether a layout is the first columns, unsearched, and may well become shorter."""
    free = len(layout.placements) + len(layout.left_over) - len(plan.job.held)
    perfect = not layout.left_over and layout.length - layout.lower_bound < AS_SHORT
    return layout.rounds == 0 and free > 1 and not perfect and not layout.exhausted


def _draft_line(layout: Layout, is_draft: bool) -> list[str]:
    """Return what is said of a first draft."""
    if not is_draft:
        return []
    return [FIRST_DRAFT_OF_SOME if layout.left_over else FIRST_DRAFT]


def left_out_lines(left_out: Sequence[LeftOut]) -> list[str]:
    """Return what was not laid as a line of a summary; none where there is nothing."""
    return [f"Not laid: {left_out_text(left_out)}."] if left_out else []


def left_out_text(left_out: Sequence[LeftOut]) -> str:
    """Return what was not laid, by reason: `2 hidden (lid, back), 1 unmarked (rect12)`."""
    reasons = dict.fromkeys(left.reason for left in left_out)
    groups = []
    for reason in reasons:
        names = [
            left.label or left.seen or left.object_id for left in left_out if left.reason == reason
        ]
        words = _WORDS.get(reason, reason)
        if len(names) > 1:
            words = _WORDS_OF_MORE.get(reason, words)
        groups.append(f"{len(names)} {words} ({listed(names, most=3)})")
    return ", ".join(groups)


def _length_line(options: LayOutOptions, bought: Purchase) -> str:
    """Return length needed and to buy, end allowance and rounding."""
    text = purchase_text(bought)
    if bought.cloth is not None:
        return f"{text[0].upper()}{text[1:]} (no end allowance is kept)."
    step = {
        "none": "not rounded up to a step",
        "5cm": "rounded up to 5 cm and 1/8 yd",
    }.get(options.round_up, "rounded up to 10 cm and 1/8 yd")
    return f"{text[0].upper()}{text[1:]} ({step})."


def _cost_line(options: LayOutOptions, bought: Purchase) -> list[str]:
    """Return what the length to buy comes to, where a price was typed."""
    cost = options.cost(bought)
    if cost is not None:
        return [f"Costs {cost.money.text}: {cost.how}, plain arithmetic on the length to buy."]
    return ["The price changes nothing: this cloth is there already."] if options.price else []


def _width_line(options: LayOutOptions) -> str:
    """Return the width as typed, and the usable one; of a remnant what it is."""
    if options.remnant is not None:
        return remnant_text(options.remnant, options.system)
    width = small_text(options.fabric_width, options.system)
    usable = small_text(options.usable_width, options.system)
    lost = options.shrinkage_across
    washed = f"{share_text(lost)} of it lost across in the wash" if lost else ""
    if options.width_is == "usable":
        rest = f", {usable} usable: {washed}" if washed else ""
        return f"Width {width} between the selvedges{rest}."
    off = f"{small_text(options.kept_off, options.system)} of selvedge off each side"
    return (
        f"Width {width} as on the bolt, {usable} usable: {'; '.join(filter(None, (off, washed)))}."
    )


def _design_line(options: LayOutOptions) -> list[str]:
    """Return the design of the cloth, where it has one."""
    if options.design is None:
        return []
    line = design_text(options.design, options.kept_off, options.system)
    trimmed = trimmed_text(options.design, is_there=options.fabric_length is not None)
    asked = replace(options, repeat="", uneven=False, half_drop=False, first_line=0.0).sections
    moved = moved_text(asked, options.sections, options.system, options.design)
    singly = not_double_text(options.sections, options.design, options.usable_width)
    return [line, *trimmed, *moved, *singly]


def between_text(options: LayOutOptions) -> str:
    """Return the usable width, and beside it the one on the bolt where that was typed.

    `137.5 cm between the selvedges (140 cm as on the bolt)`.
    """
    if options.remnant is not None:
        return f"{at_least_text(options.remnant.width, options.system)} at its widest"
    words = f"{small_text(options.usable_width, options.system)} between the selvedges"
    typed = small_text(options.fabric_width, options.system)
    washed = ", before the wash" if options.shrinkage_across else ""
    if options.width_is == "usable":
        return f"{words} ({typed}{washed})" if washed else words
    return f"{words} ({typed} as on the bolt{washed})"


def _nap_line(plan: Plan, options: LayOutOptions, layout: Layout, without: NapTrial) -> str:
    """Return which way the tops lie, and what no nap would save."""
    if not plan.job.fabric.nap:
        return "No nap: parts may lie head to foot."
    line = f"With nap: {tops_text(plan, layout.placements)}."
    if isinstance(without, str):
        return f"{line} {without}".strip()
    if without >= layout.length - AS_SHORT:
        return f"{line} Without nap a short run found nothing shorter."
    saved = less_text(layout.length, without, options.system)
    if not saved:
        least = least_text(options.system)
        return f"{line} Without nap a short run saved less than {least}."
    needed = length_text(without, options.system)
    return f"{line} Without nap {needed} would do, {saved} less."


def _parts_line(plan: Plan, options: LayOutOptions, layout: Layout) -> str:
    """Return how much is cut of what, for how many garments."""
    laid = sum(len(placement.copies) for placement in layout.placements)
    sizes = ", ".join(f"size {size} × {count}" for size, count in options.sizes)
    garments = sizes or counted(options.garments, "garment")
    pieces = counted(len(plan.cuts), "piece")
    cuts = cuts_text(layout)
    wanted = laid + sum(len(one.copies) for one in layout.left_over)
    parts = counted(laid, "part") if wanted == laid else f"{laid} of {counted(wanted, 'part')}"
    line = f"{parts} from {pieces} of {plan.material}, for {garments}"
    return f"{line}: {cuts}." if cuts else f"{line}."


def _use_line(options: LayOutOptions, layout: Layout) -> str:
    """Return utilisation, lower bound and gap."""
    least = at_least_text(layout.lower_bound, options.system)
    bound = f"{least} is needed at the very least"
    if layout.left_over:
        bound = f"for all parts {least} is needed at the very least"
    elif layout.length - layout.lower_bound < AS_SHORT:
        bound = "no layout of them can be shorter"
    cloth = "usable cloth" if options.remnant is None else "remnant"
    return (
        f"Parts cover {layout.utilisation:.1%} of the {cloth}; {bound}. "
        f"Gap between parts {small_text(options.gap, options.system)}."
    )


def allowance_line(plan: Plan, options: LayOutOptions) -> str:
    """Return what was done about seam allowance."""
    titles: dict[float, list[str]] = {}
    pieces = list({cut.drawn.id: cut.drawn for cut in plan.cuts.values()}.values())
    for drawn in pieces:
        titles.setdefault(drawn.allowance, []).append(titled(drawn))
    edges = edges_of_pieces(pieces, options.system)
    own = f"; {edges}" if edges else ""
    if list(titles) == [0.0]:
        dashed = " (dashed: outline as drawn)" if own else ""
        return f"Seam allowance: included in the drawing{own and f', but added: {edges}'}{dashed}."
    added = {amount: names for amount, names in titles.items() if amount}
    if len(titles) == 1:
        amount = small_text(next(iter(added)), options.system)
        return (
            f"Seam allowance: {amount} added on every edge but the fold{own} (dashed: stitching "
            "line)."
        )
    lists = "; ".join(
        f"{small_text(amount, options.system)} added on {listed(names, most=12)}"
        for amount, names in added.items()
    )
    rest = "; included in the drawing on the others" if 0.0 in titles else ""
    return f"Seam allowance: {lists}{rest}{own} (dashed: stitching line)."


def _tops_line(plan: Plan) -> list[str]:
    """Return the pieces whose top is not certain."""
    names = uncertain_tops(plan)
    if not names:
        return []
    return [
        f"Top not certain: {listed(list(names), most=12)}. Check which end is up before cutting."
    ]


def _fold_line(plan: Plan, layout: Layout) -> list[str]:
    """Return what the dash-dot line on parts means, where there is one.

    A half that lies on the fold of the cloth has none.
    """
    opened = {id_ for id_, cut in plan.cuts.items() if cut.drawn.fold is not None}
    halves = {one.piece for one in layout.placements if one.on_fold}
    whole = {one.piece for one in layout.placements if not one.on_fold}
    if not opened - (halves - whole):
        return []
    return ["Dash-dot line: centre of a piece drawn on the fold, do not cut."]


def _note_lines(plan: Plan) -> list[str]:
    """Return what the designer tells whoever cuts; what she says of several pieces, once."""
    titles: dict[str, dict[str, None]] = {}
    for cut in plan.cuts.values():
        if cut.drawn.details.note:
            titles.setdefault(cut.drawn.details.note, {})[cut.title] = None
    return [f"Note on {listed(list(names), most=12)}: “{note}”." for note, names in titles.items()]


def _run_line(layout: Layout) -> str:
    """Return what is needed to repeat the run exactly."""
    rounds, workers = counted(layout.rounds, "round"), counted(layout.workers, "worker")
    return f"Seed {layout.seed}, {rounds}, {workers}, engine {layout.engine}."
