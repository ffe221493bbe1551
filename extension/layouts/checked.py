# SPDX-License-Identifier: GPL-2.0-or-later
"""Check Layout: what lies on the layouts of a drawing now, judged, marked and written down.

The one place that wires the steps together, for the command line and the editor alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from lxml import etree

from extension.drawn.sheet import Sheet
from extension.job.plan import Plan, make_plan, request_of
from extension.job.reading import read_pieces
from extension.job.summary import summary
from extension.language.names import RESULT_LAYERS, lay
from extension.language.rounding import buy_text
from extension.layouts.compare import Row, Table, aligned, table
from extension.layouts.copies import tally
from extension.layouts.found import FoundPart, astray, found_on, leaves_on, noted_parts
from extension.layouts.frame import Frame, frame_of
from extension.layouts.gone import gone_since
from extension.layouts.layers import LayoutLayer, chosen_layers, damaged_layers, layout_layers
from extension.layouts.marks import List, draw_marks, sweep
from extension.layouts.recognise import LaidPart, Recogniser
from extension.layouts.renew import renew, store
from extension.layouts.signs import renew_signs
from extension.layouts.situation import Finding, Situation
from extension.layouts.verdicts import findings
from extension.layouts.words import notes_on, verdict
from extension.svg.document import Document, serialise
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from nesting.cloth.bounds import utilisation
from nesting.cloth.problem import outline_tuple
from nesting.geometry.shapes import whole_outline
from nesting.judge.outlines import sound
from nesting.model import Fabric, Job, Layout, Placement

FORMAT = "thriftlay-check"
VERSION = 1


@dataclass(frozen=True, eq=False, slots=True)
class Checked:
    """One layout as it was found and judged."""

    layer: LayoutLayer
    situation: Situation
    findings: tuple[Finding, ...]
    notes: tuple[str, ...]

    @property
    def expected(self) -> int:
        """How many parts should lie there."""
        return self.situation.expected

    @property
    def verdict(self) -> str:
        """The result in one sentence, without its full stop."""
        situation = self.situation
        right = len(situation.tally.assigned)
        system = self.layer.options.system
        return verdict(right, self.expected, self.findings, situation.length, system)


@dataclass(frozen=True, eq=False, slots=True)
class Outcome:
    """The drawing with marks, what to say, the report; whether any rule is broken."""

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
        _write_down(document, one, table([_row(each) for each in checked]) if is_last else ())
    lines = [line for one in checked for line in _lines(one, titled=len(checked) > 1)]
    lines += [] if ids else damaged_layers(document)
    return Outcome(
        serialise(document),
        tuple(lines),
        _report(checked),
        not any(one.findings for one in checked),
    )


def examined(document: Document, leaves: Sequence[Leaf], layer: LayoutLayer) -> Checked:
    """Return what lies on one layout, judged; `leaves` are everything drawn in the document."""
    own = leaves_on(leaves, layer)
    frame = frame_of(document, layer, own)
    plan = plan_for(leaves, layer)
    found = found_on(own)
    ids = {str(one.get("id")) for one in document.root.iter(etree.Element) if one.get("id")}
    recogniser = Recogniser(plan, frame, layer.result.get("outlines") or {}, ids)
    strays = _strays_of(document, leaves, layer, frame)
    parts = recogniser.recognised([*found.parts, *strays])
    unnoted = [(one, recogniser.without_note(one)) for one in (*found.loose, *found.beside)]
    parts += [part for _, part in unnoted if part is not None]
    wrecks = [wreck for part in parts if (wreck := recogniser.wreck(part)) is not None]
    wrecks += [recogniser.wreck_of(remains) for remains in found.remains]
    parts = [part for part in parts if recogniser.wreck(part) is None]
    parts = _without_idle_strays(plan, frame, parts)
    situation = Situation(
        plan,
        frame,
        layer.options.gap,
        tuple(parts),
        tally({} if plan is None else plan.cuts, parts),
        tuple(wrecks),
        gone_since(document, plan, layer),
    )
    strangers = [one.id for one, part in unnoted if part is None and one not in found.beside]
    others = [*found.others, *strangers]
    notes = notes_on(situation, found.hidden, others)
    return Checked(layer, situation, findings(situation), notes)


def plan_for(leaves: Sequence[Leaf], layer: LayoutLayer) -> Plan | None:
    """Return what a layout ought to hold by its settings; None when every original is gone.

    Raises DrawingError when the pieces in the drawing cannot be read any more.
    """
    parts = {id(part.shape.leaf) for part in noted_parts(leaves)}
    drawn = [
        leaf
        for leaf in leaves
        if id(leaf) not in parts
        and not any("of" in group.attributes for group in leaf.groups)
        and not any(name in group.attributes for group in leaf.groups for name in RESULT_LAYERS)
    ]
    sources = {part.of for part in noted_parts(leaves_on(leaves, layer))}
    names = {leaf.id for leaf in drawn} | {group.id for leaf in drawn for group in leaf.groups}
    if sources and not sources & names:
        return None
    return make_plan(read_pieces(drawn, request_of(layer.options)), layer.options)


# --- parts that left their layer ----------------------------------------------------------------


def _strays_of(
    document: Document, leaves: Sequence[Leaf], layer: LayoutLayer, frame: Frame
) -> list[FoundPart]:
    """Return the parts on no layout that lie nearer to this one's cloth than to any other's."""
    strays = astray(leaves)
    if not strays:
        return []
    frames = {layer.id: frame}
    for other in layout_layers(document):
        if other.id != layer.id:
            frames[other.id] = frame_of(document, other, leaves_on(leaves, other))
    return [
        stray
        for stray in strays
        if min(frames, key=lambda id_: frames[id_].distance(stray.shape.outline)) == layer.id
    ]


def _without_idle_strays(
    plan: Plan | None, frame: Frame, parts: Sequence[LaidPart]
) -> list[LaidPart]:
    """Return the parts without those that lie astray, off the cloth, and are not needed there."""
    needed = {} if plan is None else plan.cuts
    spare = {id(part) for part in tally(needed, parts).surplus}
    return [
        part
        for part in parts
        if not part.found.astray
        or (part.cut is not None and id(part) not in spare)
        or frame.distance(part.found.shape.outline) == 0.0
    ]


# --- writing it down ----------------------------------------------------------------------------


def _row(checked: Checked) -> Row:
    """Return a layout as a row of the comparison."""
    layout = layout_now(checked)
    return Row(
        checked.layer,
        layout.length,
        layout.utilisation,
        len(checked.situation.tally.assigned),
        checked.expected,
        len(checked.findings),
    )


def _write_down(document: Document, checked: Checked, rows: Table) -> None:
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
    }
    store(layer, figures)
    first = f"Checked: {checked.verdict}."
    lines: tuple[str, ...] = (first,)
    plan = situation.plan
    if plan is not None:
        trial = layer.result.get("without_nap_mm")
        trial = min(float(trial), layout.length) if isinstance(trial, int | float) else ""
        whole = _with_all(layout, situation)
        lines = (first, *summary(plan, options, whole, bought, trial, is_draft=is_draft))
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
    )
    fits = abs(situation.frame.drawn_width - situation.frame.width) < 0.01
    if layout.length > 0.0:
        with_cloth = situation.frame.is_drawn and fits
        renew(document, layer, situation.frame, sheet, with_cloth=with_cloth)
    x = max(sheet.cloth_length, situation.frame.length) + 4.0 * sheet.letters
    beside = List(x, sheet.letters, "Check", f"{checked.verdict}.", checked.notes, rows)
    draw_marks(document, layer.id, situation.frame, checked.findings, beside)


def layout_now(checked: Checked) -> Layout:
    """Return a checked layout with its true figures; only parts whose outline is known are in it.

    What was worked out when it was laid (bound, seed, rounds) is as stored then.
    """
    situation, stored = checked.situation, checked.layer.result
    length, width = situation.length, situation.frame.width
    area = sum(sound(one).area for one in situation.on_cloth)
    pieces = {id_: cut.piece for id_, cut in situation.cuts.items()}

    def whole_number(name: str) -> int:
        value = stored.get(name)
        return value if isinstance(value, int) else 0

    bound = stored.get("lower_bound_mm")
    return Layout(
        width=width,
        length=length,
        utilisation=utilisation(area, width, length) if length > 0.0 else 0.0,
        lower_bound=min(float(bound), length) if isinstance(bound, int | float) else 0.0,
        seconds=0.0,
        seed=whole_number("seed"),
        rounds=whole_number("rounds"),
        workers=whole_number("workers"),
        engine=str(stored.get("engine", "")),
        placements=situation.placements,
        outlines={id_: outline_tuple(whole_outline(piece)) for id_, piece in pieces.items()},
    )


def _with_all(layout: Layout, situation: Situation) -> Layout:
    """Return a layout that counts the parts, too, of which it is not known how they lie."""
    more = [
        Placement(one.part.cut.piece.id, (one.copy,), 0, 0.0, False, 0.0, 0.0)
        for one in situation.tally.assigned
        if one.pose is None and one.part.cut is not None
    ]
    return replace(layout, placements=(*layout.placements, *more))


def compare_layouts(document: Document) -> tuple[tuple[str, ...], dict[str, Any]]:
    """Return the layouts of a drawing side by side: lines of text, and the report."""
    leaves = read_leaves(document, include_layouts=True)
    checked = [examined(document, leaves, layer) for layer in layout_layers(document)]
    return aligned(table([_row(one) for one in checked])), _report(checked)


def _fabric(checked: Checked) -> Fabric:
    """Return the cloth of a layout."""
    options = checked.layer.options
    return Fabric(options.usable_width, gap=options.gap, nap=options.nap)


def _lines(checked: Checked, *, titled: bool) -> list[str]:
    """Return what the terminal says about one layout."""
    head = f"{checked.layer.name}: " if titled else ""
    faults = [f"{n}. {one.sentence}." for n, one in enumerate(checked.findings, start=1)]
    return [f"{head}{checked.verdict}.", *faults, *checked.notes]


def _report(checked: Sequence[Checked]) -> dict[str, Any]:
    """Return the report: of the one layout, or of the last with all of them beside it.

    Violations are those of every layout that was checked; each tells its layer.
    """
    layouts = [_entry(one) for one in checked]
    last = layouts[-1]
    return {
        "format": FORMAT,
        "version": VERSION,
        **{name: last[name] for name in ("length", "parts", "expected", "utilisation", "verdict")},
        "violations": [violation for entry in layouts for violation in entry["violations"]],
        "notes": [note for entry in layouts for note in entry["notes"]],
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
