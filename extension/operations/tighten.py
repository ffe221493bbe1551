# SPDX-License-Identifier: GPL-2.0-or-later
"""Tighten Layout: the parts of a layout pressed together from where they lie, on a new layer.

What pressing cannot put right (a missing part, a wrong hand, an edited original) is refused and
told; parts turned by a hand's slip are straightened, and overlaps are undone.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from extension.drawn.layer import draw_layout, next_number
from extension.drawn.place import where_free
from extension.drawn.sheet import Sheet
from extension.job.plan import Plan
from extension.job.settings import settings_text
from extension.job.summary import summary
from extension.language.errors import DrawingError
from extension.language.rounding import least_text, length_text, less_text
from extension.language.words import listed
from extension.layouts.checked import Checked, examined
from extension.layouts.cloth_since import changed_since
from extension.layouts.folds import has_its_zone
from extension.layouts.holding import HoldRequest, held_parts
from extension.layouts.layers import one_layer
from extension.layouts.over import Copies
from extension.layouts.recognise import placement
from extension.layouts.signs import sign_held
from extension.layouts.situation import Finding
from extension.layouts.words import counted_kinds
from extension.operations.figures import figures_of
from extension.operations.running import Run
from extension.svg.document import Document, serialise
from extension.svg.leaves import read_leaves
from nesting.cloth.problem import lying_turns
from nesting.geometry.shapes import oriented, whole_outline
from nesting.jobs.jobfile import layout_to_json
from nesting.judge.rules import named
from nesting.model import Job, Layout, Piece, Placement
from nesting.stop import StopRule
from nesting.tighten import tighten

FORMAT, VERSION = "thriftlay-tighten", 1

CROOKED = 15.0
"""Degrees up to which a part is taken to be turned by a slip of the hand and is straightened."""
WORTHWHILE = 0.5
"""mm: a clean layout that would become shorter by less stays as it is."""
REPAIRED = named("outlines", "parts")
"""Faults that are put right; others have to be put right by hand first."""
TURNED = named("parts", units=("°",))
"""Those that are put right when they come from a slip of the hand alone."""


class _Remembered:
    """A stop rule that remembers whether it ended the work, which asks it until all is done."""

    def __init__(self, rule: StopRule) -> None:
        self._rule = rule
        self.was_early = False

    def __call__(self, rounds: int) -> bool:
        """Return whether the rule says stop."""
        self.was_early = self._rule(rounds) or self.was_early
        return self.was_early


@dataclass(frozen=True, slots=True)
class TightenOutcome:
    """The drawing with its new layer, None when there is nothing to gain; what to say; report.

    `said` is the part of the summary that tells what was done, `where` where the new layer is.
    """

    drawing: bytes | None
    summary: tuple[str, ...]
    report: dict[str, Any]
    said: tuple[str, ...] = ()
    where: str = ""


def tighten_layout(document: Document, layer_id: str, run: Run) -> TightenOutcome:
    """Return the document with a layout made tighter on a new layer; held parts stay.

    `layer_id` is that of a layout or of anything on it, "" for the only one. Raises a
    ThriftlayError with one sentence when there is a fault that tightening cannot put right.
    """
    leaves = read_leaves(document, include_layouts=True)
    layer = one_layer(document, layer_id)
    before = examined(document, leaves, layer)
    plan = before.situation.plan
    _refuse(before)
    assert plan is not None
    held = held_parts(document, leaves, plan, HoldRequest(layer.id))
    straight, straightened = _straightened(before, plan, held.placements)
    cloth = replace(plan.job.fabric, flaws=before.situation.flaws)
    plan = replace(plan, job=replace(plan.job, fabric=cloth, held=held.placements))
    stop = _Remembered(run.stop)
    layout = tighten(
        _without_left_over(plan.job, before.situation.left_over),
        straight,
        stop=stop,
        clock=run.clock,
        on_progress=run.on_progress,
    )
    layout = _with_origin(layout, before)
    since = changed_since(read_leaves(document), before.layer.options.remnant, cloth.flaws)
    done = _what_was_done(before, layout, straightened, stop.was_early)
    said = (*done, *((since,) if since else ()), *held.notes)
    gained = before.situation.length - layout.length
    if not before.findings and gained < WORTHWHILE:
        return TightenOutcome(None, said, _report(before, layout, said, ""))
    drawn = _drawn(document, before, plan, layout, said)
    new = draw_layout(document, leaves, replace(drawn, kept=held.kept))
    if held.kept:
        sign_held(document, new.get("id", ""))
    report = _report(before, layout, said, new.get("id", ""))
    return TightenOutcome(serialise(document), drawn.summary, report, said, where_free(leaves))


def _refuse(checked: Checked) -> None:
    """Raise for the first fault that tightening cannot put right, or where nothing lies."""
    for finding in checked.findings:
        crooked = finding.amount <= CROOKED or finding.kind not in TURNED
        if finding.kind not in REPAIRED or not crooked or not _may_stay(checked, finding):
            raise DrawingError(
                f"This cannot be tightened as it is: {finding.sentence}. Put that right first; "
                "Check Layout marks it.",
                finding.objects[0] if finding.objects else checked.layer.id,
            )
    if not checked.situation.tally.assigned:
        raise DrawingError(
            f"No part lies on {checked.layer.title}, so there is nothing to tighten: lay out on "
            "more cloth.",
            checked.layer.id,
        )


def _may_stay(checked: Checked, finding: Finding) -> bool:
    """Return whether the parts of a fault can be put right in the section where they lie."""
    parts = [one for one in checked.situation.parts if one.found.id in finding.objects]
    return all(has_its_zone(checked.situation, one) for one in parts)


def _without_left_over(job: Job, left_over: Copies) -> Job:
    """Return a job of the copies that lie there, without those that were left over."""
    if not left_over:
        return job
    numbers = {
        piece.id: tuple(copy for copy in piece.numbers if copy not in left_over.get(piece.id, ()))
        for piece in job.pieces
    }
    pieces = (replace(one, copies=numbers[one.id]) for one in job.pieces if numbers[one.id])
    return replace(job, pieces=tuple(pieces))


# --- where parts lie ----------------------------------------------------------------------------


def _straightened(
    checked: Checked, plan: Plan, held: Sequence[Placement]
) -> tuple[list[Placement], list[str]]:
    """Return the parts that may move, in turns they may take, and which had to be turned."""
    kept = {(spot.piece, spot.copies) for spot in held}
    spots, turned = [], []
    for one in checked.situation.tally.assigned:
        assert one.part.cut is not None
        assert one.pose is not None
        spot = placement(one.part, one.pose, one.copies)
        if (spot.piece, spot.copies) in kept:
            continue
        piece = one.part.cut.piece
        turns = lying_turns(piece, plan.job.fabric)
        nearest = min(turns, key=lambda turn: abs((spot.turn - turn + 180.0) % 360.0 - 180.0))
        if nearest != spot.turn:
            spot = _turned(piece, spot, nearest)
            turned.append(one.label)
        spots.append(spot)
    return spots, turned


def _turned(piece: Piece, spot: Placement, turn: float) -> Placement:
    """Return a placement turned about the middle of its box."""
    whole = whole_outline(piece)
    there = oriented(whole, piece.grain, spot.turn, spot.flip) + np.array([spot.x, spot.y])
    after = oriented(whole, piece.grain, turn, spot.flip)
    middle = (there.min(axis=0) + there.max(axis=0) - after.min(axis=0) - after.max(axis=0)) / 2.0
    return replace(spot, turn=turn, x=float(middle[0]), y=float(middle[1]))


# --- what is said and drawn ---------------------------------------------------------------------


def _what_was_done(
    before: Checked, layout: Layout, straightened: Sequence[str], was_early: bool
) -> tuple[str, ...]:
    """Return what became of the layout, the length first; why, when it is longer.

    `was_early`: it was stopped before all was pressed, so that there may be more to gain.
    """
    system = before.layer.options.system
    was, now = before.situation.length, layout.length
    said = []
    if now < was - WORTHWHILE:
        shorter = less_text(was, now, system)
        from_to = (
            f"from {length_text(was, system)} to {length_text(now, system)}: {shorter} shorter"
        )
        same = f"by less than {least_text(system)}: still {length_text(now, system)}"
        said.append(f"Tightened {from_to if shorter else same}.")
    elif now > was + WORTHWHILE:
        longer = less_text(now, was, system) or "a little"
        said.append(
            f"Now {length_text(now, system)}, {longer} longer than before, because "
            f"{_faults(before.findings)} had to be put right."
        )
    else:
        what = "Nothing gained yet" if was_early else "Nothing to gain by pressing"
        said.append(f"{what}: {length_text(now, system)} as before.")
    if was_early:
        said.append("It was stopped before all was pressed: with more time it may become shorter.")
    if before.findings and now <= was + WORTHWHILE:
        said.append(f"Put right: {_faults(before.findings)}.")
    if straightened:
        said.append(f"Straightened: {', '.join(straightened)}.")
    return tuple(said)


def _faults(findings: Sequence[Finding]) -> str:
    """Return how many faults of what kinds there were."""
    return listed(counted_kinds([finding.kind for finding in findings]))


def _with_origin(layout: Layout, before: Checked) -> Layout:
    """Return a layout that says by which run it was first laid, and what was left over then."""
    stored = before.layer.result
    seed, rounds, workers = (
        value if isinstance(value := stored.get(name), int) else 0
        for name in ("seed", "rounds", "workers")
    )
    was = before.situation.layout
    return replace(
        layout,
        seed=seed,
        rounds=rounds,
        workers=workers,
        left_over=was.left_over,
        outlines=was.outlines,
    )


def _drawn(
    document: Document, before: Checked, plan: Plan, layout: Layout, said: Sequence[str]
) -> Sheet:
    """Return what is drawn for the tightened layout; what was done comes first."""
    # Flaws that were drawn since the layout was made are flaws of its cloth from now on.
    layer, flaws = before.layer, before.situation.flaws
    options = replace(layer.options, flaws=flaws)
    bought = options.bought(layout.length)
    lines = (*said, *summary(plan, options, layout, bought, lay_before=True))
    figures = figures_of(plan, layout, bought)
    return Sheet(
        next_number(document),
        plan,
        layout,
        options,
        bought,
        lines,
        settings_text(options, figures),
        title=layer.label.partition(" – ")[2],
    )


def _report(before: Checked, layout: Layout, said: Sequence[str], new: str) -> dict[str, Any]:
    """Return the engine's result, and what was there before; `new` is the id of the new layer."""
    return {
        **json.loads(layout_to_json(layout)),
        "format": FORMAT,
        "version": VERSION,
        "layer": new,
        "from_layer": before.layer.id,
        "length_before": before.situation.length,
        "violations_before": [finding.kind for finding in before.findings],
        "summary": list(said),
    }
