# SPDX-License-Identifier: GPL-2.0-or-later
"""The result of a check in plain sentences: the verdict, and what is worth saying but no fault."""

from __future__ import annotations

from collections.abc import Sequence

from extension.language.rounding import length_text
from extension.language.units import System
from extension.language.words import counted, listed
from extension.layouts.found import FoundPart
from extension.layouts.recognise import LaidPart
from extension.layouts.sides import is_flipped_whole, is_right_hand, turned_over
from extension.layouts.situation import Finding, Names, Situation
from extension.svg.identities import described
from nesting.judge import rules
from nesting.judge.bookkeeping import COUNT
from nesting.judge.outlines import OVERLAP

_OWN = {
    "outline": ("outline not recognised", "outlines not recognised"),
    "edited": ("original edited since", "originals edited since"),
    "resized": ("part resized", "parts resized"),
    "original": ("original gone", "originals gone"),
    "cloth": ("width that is not the layout's", "widths that are not the layout's"),
}


def verdict(
    right: int,
    expected: int,
    findings: Sequence[Finding],
    length: float,
    system: System,
    *,
    left_over: int = 0,
) -> str:
    """Return the result in one line: `28 of 28 parts, no overlap, 1.84 m`."""
    none = "no part laid" if left_over else "no part can be counted"
    words = [f"{right} of {counted(expected, 'part')}" if expected else none]
    words += [f"{left_over} left over"] if left_over else []
    kinds: list[str] = [finding.kind for finding in findings]
    extra = round(sum(one.amount for one in findings if one.kind == COUNT and one.objects))
    if extra:
        words.append(f"{extra} too many")
    if OVERLAP not in kinds and "outline" not in kinds:
        words.append("no overlap")
    words += counted_kinds(kinds)
    if "flipped" in kinds:
        words.append("flipped as a whole")
    return f"{', '.join(words)}, {length_text(length, system)}"


def counted_kinds(kinds: Sequence[str]) -> list[str]:
    """Return how many faults there are of each kind: `2 overlaps`."""
    counted = {rule.name: rule.words for rule in rules.RULES if rule.words} | _OWN
    return [
        f"{kinds.count(kind)} {one if kinds.count(kind) == 1 else several}"
        for kind, (one, several) in counted.items()
        if kind in kinds
    ]


def notes_on(
    situation: Situation, hidden: Sequence[FoundPart], others: Sequence[str]
) -> tuple[str, ...]:
    """Return what is worth saying about what lies on a layout, each in a sentence."""
    notes = []
    if not situation.frame.is_drawn:
        notes.append(
            "The cloth is not drawn any more: its place was taken from the layer, its width from "
            "the settings."
        )
    notes += _left_over(situation)
    names = Names(situation)
    for part in situation.parts:
        if part.found.astray:
            notes.append(
                f"{_found(names, part)} lies on {part.found.astray}, not on the layout: it was "
                "counted, but is hidden and moved with that layer."
            )
    # Of what was put into another one's outline marks are left, but the remedy is told there.
    merged = {cut.piece.id for one in situation.wrecks if one.kind == "several" for cut in one.cuts}
    notes += [
        f"What is left of {wreck.cuts[0].title if wreck.cuts else 'a part'} ({wreck.id}) is no "
        "part: delete it."
        for wreck, claim in zip(situation.wrecks, situation.claims, strict=True)
        if not claim and not wreck.needs_cloth and not merged & {cut.piece.id for cut in wreck.cuts}
    ]
    over = [one for one in turned_over(situation) if is_right_hand(one)]
    if over and not is_flipped_whole(situation):
        labels = [one.label for one in over]
        notes.append(
            f"Flipped since they were drawn: {listed(labels, most=12)}. Left and right still come "
            "out even, but their shading and words show the other side."
        )
    renamed = [_found(names, part) for part in situation.parts if part.renamed]
    if renamed:
        verb = "is" if len(renamed) == 1 else "are"
        notes.append(
            f"The notes on {listed(renamed)} were changed or lost: what "
            f"{'it' if len(renamed) == 1 else 'they'} {verb} was told by the outline."
        )
    if hidden:
        titles = {cut.drawn.id: cut.title for cut in situation.cuts.values()}
        told = listed([described(part.id, titles.get(part.of, ""), "a part") for part in hidden])
        notes.append(f"Hidden, so not counted: {told}.")
    if others:
        notes.append(
            f"On the layout but no part of it, so not judged: {listed(list(others))}. Move it to "
            "another layer, or lay it out."
        )
    return tuple(notes)


def _left_over(situation: Situation) -> list[str]:
    """Return what was left over when it was laid."""
    over = situation.left_over
    if not over:
        return []
    named = listed([f"{situation.cuts[id_].title} × {len(over[id_])}" for id_ in over], most=12)
    them = "it" if sum(map(len, over.values())) == 1 else "them"
    return [
        f"Left over when it was laid, since no room was found: {named}. Cut {them} from other "
        "cloth."
    ]


def _found(names: Names, part: LaidPart) -> str:
    """Return a part by its name and the id that it is found by: `Back (thriftlay-1-part-3)`."""
    return described(part.found.id, names.label(part), "") if part.cut else names.label(part)
