# SPDX-License-Identifier: GPL-2.0-or-later
"""Check Layout: what lies on the layouts of a drawing now, judged, marked and written down.

The one place that wires the steps together, for the command line and the editor alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from extension.drawn.sheet import Sheet
from extension.job.plan import Plan
from extension.job.settings import stored_sections
from extension.job.summary import summary
from extension.language.names import lay
from extension.language.rounding import buy_text
from extension.layouts.checked import Checked, examined, layout_now
from extension.layouts.compare import Row, Table, aligned, table
from extension.layouts.found import leaves_on
from extension.layouts.layers import chosen_layers, damaged_layers, layout_layers
from extension.layouts.marks import List, draw_marks, sweep
from extension.layouts.renew import renew, store
from extension.layouts.sides import is_folded_cloth_flipped
from extension.layouts.signs import renew_signs
from extension.layouts.situation import Situation
from extension.pieces.objects import draws
from extension.svg.document import Document, serialise
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from extension.svg.transforms import apply
from nesting.model import Fabric, Job, Layout, Placement, Point

FORMAT = "thriftlay-check"
VERSION = 1


@dataclass(frozen=True, eq=False, slots=True)
class Outcome:
    """The drawing with marks, what to say, the report.

    `is_clean`: every layout that was asked for could be judged and breaks no rule.
    """

    drawing: bytes
    summary: tuple[str, ...]
    report: dict[str, Any]
    is_clean: bool


def check_layouts(document: Document, ids: Sequence[str] = ()) -> Outcome:
    """Return the layouts of a drawing judged as they lie now; `ids` choose some, none all.

    The document's tree gains a layer of marks for each, in place of that of an earlier check, and
    their measures are brought up to date. Raises DrawingError when there is no layout, or when the
    drawing or the settings of a layout cannot be read.
    """
    leaves = read_leaves(document, include_layouts=True)
    layers = chosen_layers(document, ids)
    checked = [examined(document, leaves, layer) for layer in layers]
    sweep(document, {layer.id for layer in layout_layers(document)} - {one.id for one in layers})
    for layer in layers:
        renew_signs(document, leaves, layer)
    for one in checked:
        is_last = one is checked[-1] and len(checked) > 1
        _write_down(
            document, leaves, one, table([_row(each) for each in checked]) if is_last else ()
        )
    lines = [line for one in checked for line in _lines(one, titled=len(checked) > 1)]
    damaged = () if ids else damaged_layers(document)
    return Outcome(
        serialise(document),
        (*lines, *damaged),
        _report(checked, damaged),
        not damaged and not any(one.findings for one in checked),
    )


def _row(checked: Checked) -> Row:
    """Return a layout as a row of the comparison."""
    layout = layout_now(checked)
    return Row(
        checked.layer,
        layout.length,
        layout.utilisation,
        checked.right,
        checked.expected,
        len(checked.findings),
        checked.left_over,
    )


def _write_down(document: Document, leaves: Sequence[Leaf], checked: Checked, rows: Table) -> None:
    """Bring measures and stored figures of a layout up to date, and draw the marks."""
    layer, situation = checked.layer, checked.situation
    layout = layout_now(checked)
    options = layer.options
    bought = options.bought(layout.length)
    is_draft = layer.is_still_a_draft(layout.length)
    figures = {
        "first_draft": is_draft,
        "length_mm": layout.length,
        "utilisation": layout.utilisation,
        "parts": len(situation.parts),
        "buy": buy_text(bought),
        "faults": len(checked.findings),
        **({"sections": stored_sections(layout.sections)} if layout.sections else {}),
    }
    store(layer, figures)
    first = f"Checked: {checked.verdict}."
    lines: tuple[str, ...] = (first,)
    plan = situation.plan
    if plan is not None:
        trial = layer.result.get("without_nap_mm")
        trial = min(float(trial), layout.length) if isinstance(trial, int | float) else ""
        whole = _with_all(layout, situation)
        told = summary(plan, options, whole, bought, trial, is_draft=is_draft, lay_before=True)
        lines = (first, *told)
    empty = Plan(Job(_fabric(checked), ()), {}, options.material, (), ())
    number = str(layer.element.get(lay("layout")))
    sheet = Sheet(
        int(number) if number.isdigit() else 0,
        plan or empty,
        layout,
        options,
        bought,
        lines,
        settings="",
        title=layer.name.partition(" – ")[2],
        starts={one.number: one.start for one in situation.frame.lying},
    )
    fits = abs(situation.frame.drawn_width - situation.frame.width) < 0.01
    if layout.length > 0.0:
        with_cloth = situation.frame.is_drawn and fits and not is_folded_cloth_flipped(situation)
        renew(document, layer, situation.frame, sheet, with_cloth=with_cloth)
    place = _beside(leaves, checked, sheet)
    beside = List(place, sheet.letters, "Check", f"{checked.verdict}.", checked.notes, rows)
    draw_marks(document, layer.id, situation.frame, checked.findings, beside)


def _beside(leaves: Sequence[Leaf], checked: Checked, sheet: Sheet) -> Point:
    """Return where the list of a check begins, page mm: beside the far end of the cloth.

    Where the layout was turned as a whole, that is right of all that is drawn on it.
    """
    frame, room = checked.situation.frame, 4.0 * sheet.letters
    length = max(sheet.reach, frame.length)
    if frame.is_upright:
        return apply(frame.from_sheet, (length + room, 0.0))
    cloth = [apply(frame.from_sheet, (x, y)) for x in (0.0, length) for y in (0.0, frame.width)]
    boxes = [leaf.box for leaf in leaves_on(leaves, checked.layer) if draws(leaf)]
    right = max(*(x for x, _ in cloth), *(box[2] for box in boxes))
    return right + room, min(y for _, y in cloth)


def _with_all(layout: Layout, situation: Situation) -> Layout:
    """Return a layout that counts the parts, too, of which it is not known how they lie."""
    more = [
        Placement(one.part.cut.piece.id, one.copies, 0, 0.0, False, 0.0, 0.0)
        for one in situation.tally.assigned
        if one.pose is None and one.part.cut is not None
    ]
    return replace(layout, placements=(*layout.placements, *more))


def compare_layouts(document: Document) -> tuple[tuple[str, ...], dict[str, Any]]:
    """Return the layouts of a drawing side by side: lines of text, and the report."""
    leaves = read_leaves(document, include_layouts=True)
    checked = [examined(document, leaves, layer) for layer in layout_layers(document)]
    damaged = damaged_layers(document)
    rows = aligned(table([_row(one) for one in checked]))
    return (*rows, *damaged), _report(checked, damaged)


def _fabric(checked: Checked) -> Fabric:
    """Return the cloth of a layout."""
    options = checked.layer.options
    return Fabric(options.usable_width, gap=options.gap, nap=options.nap)


def _lines(checked: Checked, *, titled: bool) -> list[str]:
    """Return what the terminal says about one layout."""
    head = f"{checked.layer.name}: " if titled else ""
    faults = [f"{n}. {one.sentence}." for n, one in enumerate(checked.findings, start=1)]
    return [f"{head}{checked.verdict}.", *faults, *checked.notes]


def _report(checked: Sequence[Checked], damaged: Sequence[str]) -> dict[str, Any]:
    """Return the report: of the one layout, or of the last with all of them beside it.

    Violations are those of every layout that was checked; each tells its layer. What is said of
    those that are `damaged` is among the notes.
    """
    layouts = [_entry(one) for one in checked]
    last = layouts[-1]
    return {
        "format": FORMAT,
        "version": VERSION,
        **{
            name: last[name]
            for name in ("length", "parts", "expected", "left_over", "utilisation", "verdict")
        },
        "violations": [violation for entry in layouts for violation in entry["violations"]],
        "notes": [*(note for entry in layouts for note in entry["notes"]), *damaged],
        "layouts": layouts,
    }


def _entry(checked: Checked) -> dict[str, Any]:
    """Return the report on one layout."""
    layout = layout_now(checked)
    return {
        "layer": checked.layer.id,
        "label": checked.layer.label,
        "name": checked.layer.name,
        "length": layout.length,
        "width": layout.width,
        "utilisation": layout.utilisation,
        "parts": len(checked.situation.parts),
        "expected": checked.expected,
        "left_over": [
            {"piece": id_, "copies": list(copies)}
            for id_, copies in checked.situation.left_over.items()
        ],
        "verdict": checked.verdict,
        "violations": [
            {
                "kind": one.kind,
                "parts": list(one.parts),
                "amount": one.amount,
                "sentence": one.sentence,
                "objects": list(one.objects),
                "layer": checked.layer.id,
            }
            for one in checked.findings
        ],
        "notes": list(checked.notes),
    }
