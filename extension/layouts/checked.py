# SPDX-License-Identifier: GPL-2.0-or-later
"""One layout of a drawing as it lies now: its parts, what is wrong with them, its true figures."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from lxml import etree

from extension.job.options import LayOutOptions
from extension.job.plan import Plan, make_plan, request_of
from extension.job.reading import read_pieces
from extension.language.names import RESULT_LAYERS
from extension.layouts.cloth_since import changed_since
from extension.layouts.copies import tally
from extension.layouts.flaws import flaws_beside, flaws_drawn, is_flaw
from extension.layouts.found import FoundPart, astray, found_on, leaves_on, noted_parts
from extension.layouts.frame import Frame, frame_of
from extension.layouts.gone import gone_since
from extension.layouts.layers import LayoutLayer, layout_layers
from extension.layouts.over import left_over_then
from extension.layouts.recognise import LaidPart, Recogniser
from extension.layouts.situation import Finding, Situation
from extension.layouts.verdicts import findings
from extension.layouts.words import notes_on, verdict
from extension.svg.document import Document
from extension.svg.identities import put_together
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from nesting.model import OPEN, Fabric, Layout, Section


@dataclass(frozen=True, eq=False, slots=True)
class Checked:
    """One layout as it was found and judged."""

    layer: LayoutLayer
    situation: Situation
    findings: tuple[Finding, ...]
    notes: tuple[str, ...]

    @property
    def expected(self) -> int:
        """How many parts should lie there, without those that were left over."""
        return self.situation.expected

    @property
    def left_over(self) -> int:
        """How many copies were left over when it was laid, and are still."""
        return sum(map(len, self.situation.left_over.values()))

    @property
    def right(self) -> int:
        """How many of the copies that are asked for lie there."""
        return sum(len(one.copies) for one in self.situation.tally.assigned)

    @property
    def verdict(self) -> str:
        """The result in one sentence, without its full stop."""
        system = self.layer.options.system
        return verdict(
            self.right,
            self.expected,
            self.findings,
            self.situation.length,
            system,
            left_over=self.left_over,
        )


def examined(document: Document, leaves: Sequence[Leaf], layer: LayoutLayer) -> Checked:
    """Return what lies on one layout, judged; `leaves` are everything drawn in the document."""
    drawn = leaves_on(leaves, layer)
    frame = frame_of(document, layer, drawn)
    was = layer.options
    flaws = (*was.flaws, *flaws_drawn(drawn, frame, was.sides, was.remnant))
    own = [leaf for leaf in drawn if not is_flaw(leaf)]
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
        layer.sections,
        flaws,
        layer.options.remnant,
        layer.options.sides,
        left_over_then(plan, layer),
    )
    strangers = [one.id for one, part in unnoted if part is None and one not in found.beside]
    others = [*found.others, *strangers]
    notes = notes_on(situation, found.hidden, others)
    if was.remnant is not None:
        since = changed_since(read_leaves(document), was.remnant, flaws)
        notes += (since,) if since else ()
    beside = flaws_beside(drawn, frame, was.remnant)
    notes += (beside,) if beside else ()
    return Checked(layer, situation, findings(situation), notes)


def plan_for(leaves: Sequence[Leaf], layer: LayoutLayer) -> Plan | None:
    """Return what a layout ought to hold by its settings; None when every original is gone.

    Raises DrawingError when the pieces in the drawing cannot be read any more.
    """
    parts = {id(part.shape.leaf) for part in noted_parts(leaves)}
    pages = put_together(layer.element.getroottree().getroot())
    drawn = [
        leaf
        for leaf in leaves
        if id(leaf) not in parts
        and not _is_on_a_page(leaf, pages)
        and not any("of" in group.attributes for group in leaf.groups)
        and not any(name in group.attributes for group in leaf.groups for name in RESULT_LAYERS)
    ]
    sources = {part.of for part in noted_parts(leaves_on(leaves, layer))}
    names = {leaf.id for leaf in drawn} | {group.id for leaf in drawn for group in leaf.groups}
    if sources and not sources & names:
        return None
    plan = make_plan(read_pieces(drawn, request_of(layer.options)), layer.options)
    return replace(plan, job=replace(plan.job, fabric=fabric_as_laid(plan, layer)))


def _is_on_a_page(leaf: Leaf, pages: Collection[str]) -> bool:
    """Return whether a sheet stands in for a leaf, as for what lies on the pages it came of.

    A clone of such a thing is one of its own elsewhere.
    """
    around = list(takewhile(lambda group: not group.is_clone, leaf.groups))
    is_own = len(around) == len(leaf.groups) and leaf.id in pages
    return is_own or any(group.id in pages for group in around)


def fabric_as_laid(plan: Plan, layer: LayoutLayer) -> Fabric:
    """Return the cloth of a layout as it was laid, whatever of it was searched for then."""
    known = tuple(
        Section(one.lower, one.upper, one.crosswise, one.turned) for one in layer.sections
    )
    return replace(plan.job.fabric, sections=known or (OPEN,))


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


def options_now(checked: Checked) -> LayOutOptions:
    """Return the options of a checked layout, with the flaws that were drawn on it since."""
    return replace(checked.layer.options, flaws=checked.situation.flaws)


def layout_now(checked: Checked) -> Layout:
    """Return a checked layout with its true figures; only parts whose outline is known are in it.

    What was worked out when it was laid (bound, seed, rounds) is as stored then.
    """
    layout, stored = checked.situation.layout, checked.layer.result

    def whole_number(name: str) -> int:
        value = stored.get(name)
        return value if isinstance(value, int) else 0

    bound = stored.get("lower_bound_mm")
    return replace(
        layout,
        lower_bound=min(float(bound), layout.length) if isinstance(bound, int | float) else 0.0,
        seed=whole_number("seed"),
        rounds=whole_number("rounds"),
        workers=whole_number("workers"),
        engine=str(stored.get("engine", "")),
    )
