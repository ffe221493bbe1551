# SPDX-License-Identifier: GPL-2.0-or-later
"""The parts: each a group with the piece's own look and marks, its label, and where it is from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import shapely
from lxml import etree

from extension.drawn.centre import centre_line
from extension.drawn.cutting import cutting_line, stitching_line
from extension.drawn.frames import mapped, page_point
from extension.drawn.ink import AS_DRAWN, FLIPPED
from extension.drawn.kept import Kept
from extension.drawn.labels import Face, Labels, caption_of
from extension.drawn.marks import DrawnMark, drawn_marks
from extension.drawn.repeat import match_signs
from extension.drawn.seen import seen_from_above
from extension.drawn.sheet import Sheet
from extension.language.names import lay
from extension.pieces.model import DrawnPiece
from extension.svg.building import group, number
from extension.svg.decoration import declare_part
from extension.svg.model import Matrix
from nesting.model import Outline, Placement


def parts(sheet: Sheet, prefix: str) -> tuple[list[etree._Element], tuple[str, ...]]:
    """Return one group for each placement, and the legend of parts too small for a label.

    `prefix` starts every id.
    """
    labels = Labels()
    groups = [
        _part(sheet, placement, f"{prefix}-part-{count}", labels)
        for count, placement in enumerate(sheet.layout.placements, start=1)
    ]
    return groups, labels.legend


def _part(sheet: Sheet, placement: Placement, id_: str, labels: Labels) -> etree._Element:
    """Return the group of one part."""
    cut = sheet.plan.cuts[placement.piece]
    seen = seen_from_above(sheet, placement)
    drawn, to_sheet = seen.drawn, seen.to_sheet
    outline = mapped(to_sheet, tuple(map(page_point, seen.outline)))
    marks = _marks(sheet, drawn, outline, to_sheet)
    copies = (placement.piece, placement.copies)
    nap, called = sheet.plan.job.fabric.nap, sheet.numbers.get(copies, "")
    caption = replace(caption_of(cut, placement, nap, called), flipped=seen.flipped)
    facts = _facts(sheet, placement, seen.flipped)
    kept = sheet.kept.get(copies)
    fill = FLIPPED if seen.flipped else AS_DRAWN
    kind = (placement.piece, placement.turn, seen.flipped, placement.on_fold, placement.layers)
    face = Face(kind, outline, marks, placement.turn)
    if not _has_all_words(kept, marks):
        face = labels.shown(caption, face)
    elements = [mark.element for mark in face.marks]
    declare_part(elements)
    if kept is not None:
        facts[lay("held")] = "yes"
        body = _body_again(kept, facts, elements, sheet.start_of(placement.section))
    else:
        body = [cutting_line(drawn, seen.outline, to_sheet, fill), *elements]
        for name, value in facts.items():
            body[0].set(name, value)
    words = labels.label(caption, face)
    label = group(f"{id_}-label", "label", words, {lay("role"): "label"})
    declare_part([label])
    return group(id_, caption.line, [*body, label], {**facts, lay("called"): caption.line})


def _has_all_words(kept: Kept | None, marks: Sequence[DrawnMark]) -> bool:
    """Return whether a part that stays as it is has the designer's label on it."""
    if kept is None:
        return False
    texts = [one for mark in kept.marks for one in mark.iter("{*}text", "{*}flowRoot")]
    return len(texts) >= sum(mark.is_text for mark in marks) > 0


def _body_again(
    kept: Kept, facts: dict[str, str], marks: list[etree._Element], start: float
) -> list[etree._Element]:
    """Return outline and marks of a part that stays; marks that it has lost are drawn anew.

    `start` is where its section begins now, mm on the sheet.
    """
    kept = kept.moved_along(start)
    if kept.marks:
        return kept.wrapped([kept.outline_again(facts), *kept.marks_again()])
    return [*kept.wrapped([kept.outline_again(facts)]), *marks]


def _marks(
    sheet: Sheet, drawn: DrawnPiece, outline: Outline, to_sheet: Matrix
) -> tuple[DrawnMark, ...]:
    """Return all that is drawn inside a part but its label."""
    part = shapely.Polygon(outline).buffer(0)
    marks = (
        *stitching_line(drawn, to_sheet),
        *drawn_marks(drawn, part, to_sheet),
    )
    repeat = sheet.plan.job.fabric.repeat
    marks = (*marks, *match_signs(drawn, part, to_sheet, repeat, marks))
    return (*centre_line(drawn, part, marks, to_sheet), *marks)


def _facts(sheet: Sheet, placement: Placement, flipped: bool) -> dict[str, str]:
    """Return the attributes that say what a part is; on its group and on its outline."""
    facts = {
        lay("of"): sheet.plan.cuts[placement.piece].drawn.id,
        lay("copy"): " ".join(map(str, placement.copies)),
        lay("turned"): number(placement.turn),
        lay("flipped"): "yes" if flipped else "no",
    }
    if sheet.is_folded:
        facts[lay("section")] = str(placement.section)
        facts[lay("layers")] = str(placement.layers)
        facts[lay("on-fold")] = "yes" if placement.on_fold else "no"
    return facts
