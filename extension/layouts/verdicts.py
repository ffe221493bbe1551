# SPDX-License-Identifier: GPL-2.0-or-later
"""Which rules a layout breaks as it lies: by the judge's rules and names, and some of its own.

What cannot be measured on a drawing is no fault: the editor rounds the numbers it writes, so parts
may come nearer to each other, and to the edges of the cloth, by `ROUNDING`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from extension.language.words import listed
from extension.layouts.copies import Assigned
from extension.layouts.recognise import LaidPart
from extension.layouts.sides import is_flipped_whole, is_right_hand, turned_over
from extension.layouts.situation import Finding, Names, Situation
from extension.layouts.troubles import of_cloth, of_outlines
from nesting.judge.bookkeeping import COUNT, against_the_nap, wrong_hands, wrong_turns
from nesting.judge.outlines import common_area, off_the_cloth, overlaps, sound, too_near
from nesting.judge.verdict import Violation, capital, keys_of, part_key
from nesting.model import Fabric, Piece

ROUNDING = 0.01
"""mm that numbers rounded by the editor can be off."""


def findings(situation: Situation) -> tuple[Finding, ...]:
    """Return every fault of a layout, in the order of the rules."""
    names = Names(situation)
    return (
        *_of_pairs(situation, names),
        *_off(situation, names),
        *_counts(situation, names),
        *(_flipped(situation, names) or _hands(situation, names)),
        *_turns(situation, names),
        *of_outlines(situation, names),
        *of_cloth(situation.frame),
    )


# --- the judge's rules --------------------------------------------------------------------------


def _of_pairs(situation: Situation, names: Names) -> Iterator[Finding]:
    """Yield parts that overlap, and parts that lie too near to each other."""
    laid = [names.laid(part) for part in situation.parts]
    for violation in overlaps(laid):
        one, other = (names.part[key] for key in violation.parts)
        common = common_area(sound(one.polygon), sound(other.polygon)).item()
        deep = depth_of(common)
        if deep > ROUNDING:
            sentence = f"{_both(names, one, other)} overlap: {_area(common.area)}, {_mm(deep)} deep"
            yield _found(violation, names, sentence, common)
    for violation in too_near(laid, situation.gap):
        if violation.amount <= ROUNDING:
            continue
        one, other = (names.part[key] for key in violation.parts)
        apart = situation.gap - violation.amount
        how = f"lie {_mm(apart)} apart" if apart > ROUNDING else "touch"
        sentence = f"{_both(names, one, other)} {how}, the gap is {_mm(situation.gap)}"
        between = shapely.shortest_line(one.polygon, other.polygon)
        yield _found(violation, names, sentence, between)


def _off(situation: Situation, names: Names) -> Iterator[Finding]:
    """Yield parts that reach beyond the cloth."""
    width = situation.frame.width
    end = None if situation.plan is None else situation.plan.job.fabric.length
    cloth = shapely.box(0.0, 0.0, 1e7 if end is None else end, width)
    laid = [names.laid(part) for part in situation.parts]
    for violation in off_the_cloth(laid, Fabric(width, end)):
        if violation.amount <= ROUNDING:
            continue
        part = names.part[violation.parts[0]]
        low_x, low_y, high_x, high_y = part.polygon.bounds
        beyond = {
            "the cut end": -low_x,
            "the lower selvedge": -low_y,
            "the upper selvedge": high_y - width,
            "the end of the cloth": high_x - (math.inf if end is None else end),
        }
        edge = max(beyond, key=lambda name: beyond[name])
        sentence = f"{names.label(part)} reaches {_mm(violation.amount)} beyond {edge}"
        if not part.polygon.intersects(cloth):
            sentence = f"{names.label(part)} does not lie on the cloth"
        yield _found(violation, names, sentence, sound(part.polygon).difference(cloth))


def _counts(situation: Situation, names: Names) -> Iterator[Finding]:
    """Yield copies that are missing, and parts that are too many (the judge's rule "count")."""
    for id_, copies in situation.missing.items():
        cut = situation.cuts[id_]
        keys = tuple(part_key(id_, copy) for copy in copies)
        if len(copies) == cut.copies:
            sentence = f"{cut.title} is not on this layout" + (
                f" (cut {cut.copies})" if cut.copies > 1 else ""
            )
        else:
            numbers = listed([str(copy) for copy in copies])
            verb = "is" if len(copies) == 1 else "are"
            sentence = f"{cut.title}: {numbers} of {cut.copies} {verb} missing"
        yield Finding(COUNT, keys, (), float(len(copies)), sentence)
    for part in situation.tally.surplus:
        sentence = names.label(part)
        if part.cut is None:
            sentence += " is on the layout, but its original is not to be cut here any more"
        else:
            sentence = f"{part.cut.title} is there once too often: {part.cut.copies} are asked for"
        yield Finding(COUNT, (names.key(part),), (part.found.id,), 1.0, sentence, _outline(part))


def _flipped(situation: Situation, names: Names) -> list[Finding]:
    """Return that a layout lies mirrored as a whole; then no hand of a part is said to be wrong."""
    if not is_flipped_whole(situation):
        return []
    parts = [one.part for one in turned_over(situation)]
    sentence = (
        "The whole layout was flipped: what is shown printed side up now lies printed side down, "
        "and the other way round: flip it back (Object > Flip Horizontal or Flip Vertical)"
    )
    return [
        Finding(
            "flipped",
            tuple(names.key(part) for part in parts),
            tuple(part.found.id for part in parts),
            float(len(parts)),
            sentence,
            tuple(part.polygon for part in parts),
        )
    ]


def _hands(situation: Situation, names: Names) -> Iterator[Finding]:
    """Yield garments with too many parts of one hand."""
    known = _known(situation)
    for violation in wrong_hands(_pieces(situation), situation.placements):
        wrong = [known[key] for key in violation.parts if not is_right_hand(known[key])]
        parts = [one.part for one in wrong]
        flipped = wrong[0].pose is not None and wrong[0].pose.flip
        lies, should = ("down", "up") if flipped else ("up", "down")
        verb, be, it = ("lies", "is", "it") if len(parts) == 1 else ("lie", "are", "them")
        sentence = (
            f"{listed([names.label(part) for part in parts])} {verb} printed side {lies} but "
            f"{be} to be cut printed side {should}: flip {it}"
        )
        yield Finding(
            violation.kind,
            tuple(names.key(part) for part in parts),
            tuple(part.found.id for part in parts),
            violation.amount,
            sentence,
            tuple(place for part in parts for place in _outline(part)),
        )


def _turns(situation: Situation, names: Names) -> Iterator[Finding]:
    """Yield parts off the grain, and parts against the nap; for one turn only one of the two."""
    pieces, spots = _pieces(situation), situation.placements
    parts = {key: one.part for key, one in _known(situation).items()}
    flipped = is_flipped_whole(situation)
    off_grain = {violation.parts[0]: violation for violation in wrong_turns(pieces, spots)}
    for key, violation in off_grain.items():
        sentence = f"{names.label(parts[key])} lies {violation.amount:.3g}° off the grain"
        yield _found(violation, names, sentence, parts[key].polygon, parts[key])
    if situation.plan is None:
        return
    for violation in against_the_nap(situation.plan.job.fabric, pieces, spots):
        key = violation.parts[0]
        # A layout flipped end for end lies head to foot; flipped back it does not.
        if key in off_grain or (flipped and violation.amount == 180.0):
            continue
        how = "head to foot" if violation.amount == 180.0 else f"turned by {violation.amount:.3g}°"
        sentence = f"{names.label(parts[key])} lies {how}: against the nap"
        yield _found(violation, names, sentence, parts[key].polygon, parts[key])


def _pieces(situation: Situation) -> dict[str, Piece]:
    """Return the pieces that should lie there, by id."""
    return {id_: cut.piece for id_, cut in situation.cuts.items()}


def _known(situation: Situation) -> dict[str, Assigned]:
    """Return the parts whose outline is their piece's, by the judge's names."""
    known = (one for one in situation.tally.assigned if one.pose is not None)
    spots = situation.placements
    pairs = zip(spots, known, strict=True)
    return {key: one for spot, one in pairs for key in keys_of(spot)}


# --- words and figures --------------------------------------------------------------------------


def depth_of(area: shapely.Geometry) -> float:
    """Return how deep an overlap is: the diameter, mm, of the widest disc in it."""
    # An area may lie in a collection within a collection.
    every = shapely.get_parts(shapely.get_parts(area))
    parts = [one for one in every if one.geom_type == "Polygon" and one.area > 0]
    tolerance = 1e-3
    radii = [
        shapely.maximum_inscribed_circle(one, tolerance=max(tolerance, 1e-3 * one.length)).length
        for one in parts
    ]
    return 2.0 * max(radii, default=0.0)


def _found(
    violation: Violation,
    names: Names,
    sentence: str,
    place: shapely.Geometry,
    part: LaidPart | None = None,
) -> Finding:
    """Return a violation of the judge's as a finding in our words."""
    parts = [part] if part else [names.part[key] for key in violation.parts]
    keys = tuple(names.key(one) for one in parts)
    objects = tuple(dict.fromkeys(one.found.id for one in parts))
    return Finding(violation.kind, keys, objects, violation.amount, sentence, (place,))


def _outline(part: LaidPart) -> tuple[shapely.Geometry, ...]:
    """Return where a whole part lies."""
    return (part.polygon,)


def _both(names: Names, one: LaidPart, other: LaidPart) -> str:
    """Return two parts as the beginning of a sentence."""
    return capital(f"{names.label(one)} and {names.label(other)}")


def _area(area: float) -> str:
    """Return an area in mm2 in everyday figures."""
    return f"{area / 100.0:.3g} cm²" if area >= 100.0 else f"{area:.2g} mm²"


def _mm(length: float) -> str:
    """Return a length in mm in everyday figures."""
    return f"{length / 10.0:.4g} cm" if length >= 100.0 else f"{length:.3g} mm"
