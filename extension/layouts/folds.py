# SPDX-License-Identifier: GPL-2.0-or-later
"""Faults of parts on folded cloth that are seen on the table: beyond an edge, too near to a fold.

Overlaps and gaps are the same on the table and on each layer; what the layers make of a part is for
the judge, who unfolds the cloth.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import shapely
from shapely import affinity

from extension.job.lying_flaws import flaws_lying, rings_of
from extension.language.rounding import figures, metric_text
from extension.language.spreads import BOTH_SELVEDGES
from extension.layouts.recognise import LaidPart
from extension.layouts.situation import Finding, Names, Situation
from extension.layouts.spots import ROUNDING
from nesting.judge.bookkeeping import COUNT
from nesting.judge.outlines import GAP, OFF_THE_CLOTH, Laid, sound
from nesting.judge.verdict import part_key
from nesting.model import Outline


def on_table(situation: Situation, names: Names) -> list[Laid]:
    """Return the placements' outlines, each as it is seen in the frame of its section.

    Of a half on the fold also what is cut of it on the upper layer, as the judge sees it.
    """
    found = []
    for one in situation.tally.assigned:
        if one.pose is not None:
            laid, start = names.laid(one.part), one.part.spot.start
            whole = _whole(situation, one.part, sound(laid.polygon))
            polygon = affinity.translate(whole, -start) if start else whole
            found.append(replace(laid, polygon=polygon))
    return found


def _whole(situation: Situation, part: LaidPart, polygon: shapely.Geometry) -> shapely.Geometry:
    """Return what is cut of a part: of a half on the fold its image beyond that, too."""
    section = situation.frame.section_of(polygon)
    if not part.on_fold or section is None or not section.folds or polygon.is_empty:
        return polygon
    _, low, _, high = polygon.bounds
    fold = min(section.folds, key=lambda y: min(abs(y - low), abs(y - high)))
    image = affinity.scale(polygon, 1.0, -1.0, origin=(0.0, fold))
    return shapely.union(polygon, image)


def flaws_on_table(situation: Situation) -> tuple[Outline, ...]:
    """Return the flaws of folded cloth as they lie in its sections, in the frame of the layout."""
    return tuple(
        tuple((x + one.start, y) for x, y in ring)
        for one in situation.frame.lying
        for flaw in flaws_lying(
            situation.flaws,
            situation.laid_sections,
            one.number,
            situation.frame.width,
            situation.sides,
        )
        for ring in rings_of(flaw.area)
    )


def off_sections(situation: Situation, names: Names) -> Iterator[Finding]:
    """Yield parts that reach beyond the section they lie in, and cloth that is too short."""
    for part in situation.parts:
        beyond = _beyond(situation, part)
        edge = max(beyond, key=lambda name: beyond[name])
        if beyond[edge] <= ROUNDING:
            continue
        area = sound(part.polygon)
        label = names.label(part)
        sentence = f"{label} reaches {small_mm(beyond[edge])} beyond {edge}"
        if not area.intersects(situation.frame.cloth) and not _lies_behind(situation, part):
            sentence = f"{label} does not lie on the cloth"
        place = area.difference(_section_box(situation, part))
        yield _of_part(OFF_THE_CLOTH, part, names, beyond[edge], sentence, place)
    there = None if situation.plan is None else situation.plan.job.fabric.length
    short = 0.0 if there is None else situation.length - there
    if there is not None and short > ROUNDING:
        sentence = (
            f"All sections need {metric_text(situation.length)} of cloth, "
            f"{small_mm(short)} more than there is"
        )
        yield Finding(OFF_THE_CLOTH, (), (), short, sentence)


def too_near_to_folds(situation: Situation, names: Names, gap: float) -> Iterator[Finding]:
    """Yield parts on two layers so near to a fold that their copies lie too near to each other."""
    for part in situation.parts:
        section = situation.frame.section_of(part.polygon)
        # Of what is not recognised nobody knows whether it is a half, which belongs on the fold.
        if section is None or part.spot.layers != 2 or part.on_fold or not part.poses:
            continue
        _, low, _, high = part.polygon.bounds
        for fold in section.folds:
            apart = low - fold if fold == section.low else fold - high
            amount = gap - 2.0 * apart
            if apart < -ROUNDING or amount <= ROUNDING:
                continue
            sentence = (
                f"{names.label(part)} lies {small_mm(max(apart, 0.0))} from the fold of the cloth, "
                f"so its two copies lie {small_mm(max(2.0 * apart, 0.0))} apart, the gap is "
                f"{small_mm(gap)}: move it away from the fold"
            )
            yield _of_part(GAP, part, names, amount, sentence, part.polygon)


def cut_too_often(situation: Situation, names: Names) -> Iterator[Finding]:
    """Yield parts that lie on two layers though only one copy more is needed."""
    for one in situation.tally.assigned:
        if one.cuts_too_many:
            sentence = (
                f"{names.label(one.part)} lies where the cloth is double, so it would be cut once "
                "too often: move it to where the cloth lies single"
            )
            yield _of_part(COUNT, one.part, names, 1.0, sentence, one.part.polygon)


def why_cut_once(situation: Situation, names: Names, piece: str) -> str:
    """Return why a copy of a piece is missing: one part that was to cut two lies on one layer."""
    for one in situation.tally.assigned:
        part = one.part
        own = part.cut is not None and part.cut.piece.id == piece and not part.on_fold
        if own and situation.frame.lying and len(part.found.copies) == 2 and part.spot.layers == 1:
            return (
                f", because {names.label(part)} lies where the cloth is single and is cut once: "
                "move it to where the cloth lies double"
            )
    return ""


def has_its_zone(situation: Situation, part: LaidPart) -> bool:
    """Return whether the section that a part lies in has a place for what is cut like it."""
    section = situation.frame.section_of(part.polygon)
    if section is None:
        return True
    if part.on_fold:
        return bool(section.folds)
    return part.spot.layers in {zone.layers for zone in section.zones}


def small_mm(length: float) -> str:
    """Return a length in mm in everyday figures."""
    return f"{figures(length / 10.0, 4)} cm" if length >= 100.0 else f"{figures(length, 3)} mm"


def _beyond(situation: Situation, part: LaidPart) -> dict[str, float]:
    """Return by how many mm a part reaches beyond each edge of its section.

    Where a part whose outline is known passes a fold, the judge tells it.
    """
    one = situation.frame.section_of(part.polygon)
    assert one is not None  # the cloth is folded
    low_x, low_y, high_x, high_y = part.polygon.bounds
    lying = situation.frame.lying
    behind = next((other for other in lying if other.start > one.start), None)
    is_first = one == lying[0]
    beyond = {"the cut end" if is_first else "the start of its section": one.start - low_x}
    if behind is not None:
        beyond["the end of its section, into the next one"] = high_x - behind.start
    for edge, reach in ((one.lower_edge, one.low - low_y), (one.upper_edge, high_y - one.high)):
        if not edge.is_fold or not part.poses:
            beyond[edge.words if edge.words == BOTH_SELVEDGES else f"the {edge.words}"] = reach
    return beyond


def _lies_behind(situation: Situation, part: LaidPart) -> bool:
    """Return whether a part lies where the cloth of its section goes on, behind what is drawn."""
    return bool(sound(part.polygon).intersects(_section_box(situation, part)))


def _section_box(situation: Situation, part: LaidPart) -> shapely.Geometry:
    """Return the cloth of the section that a part lies in, up to where the next one begins."""
    one = situation.frame.section_of(part.polygon)
    assert one is not None
    behind = [other.start for other in situation.frame.lying if other.start > one.start]
    return shapely.box(one.start, one.low, behind[0] if behind else 1e7, one.high)


def _of_part(
    kind: str,
    part: LaidPart,
    names: Names,
    amount: float,
    sentence: str,
    place: shapely.Geometry,
) -> Finding:
    """Return a fault of one part by the name of a rule."""
    copies = names.assigned[id(part)].copies if id(part) in names.assigned else ()
    keys: tuple[str, ...] = (names.key(part),)
    if len(copies) > 1 and part.cut is not None:
        keys = tuple(part_key(part.cut.piece.id, copy) for copy in copies)
    return Finding(kind, keys, (part.found.id,), amount, sentence, (place,))
