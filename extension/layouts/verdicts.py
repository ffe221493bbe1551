# SPDX-License-Identifier: GPL-2.0-or-later
"""Which rules a layout breaks as it lies: the judge's, by their table, and some of its own.

A rule is told in the judge's words unless it has a way of its own here, by what a drawing knows.
What cannot be measured on a drawing is no fault: the editor rounds the numbers it writes, so parts
may come nearer to each other, and to the edges of the cloth, by `ROUNDING`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from extension.language.rounding import figures
from extension.language.words import listed
from extension.layouts.copies import Assigned, copies_cut
from extension.layouts.folds import (
    cut_too_often,
    flaws_on_table,
    off_sections,
    on_table,
    small_mm,
    too_near_to_folds,
    why_cut_once,
)
from extension.layouts.recognise import LaidPart
from extension.layouts.sides import (
    is_flipped_whole,
    is_folded_cloth_flipped,
    is_right_hand,
    turned_over,
)
from extension.layouts.situation import Finding, Names, Situation
from extension.layouts.spots import ROUNDING
from extension.layouts.troubles import of_cloth, of_outlines, of_parts
from nesting.geometry.inscribed import widest_disc
from nesting.judge import rules
from nesting.judge.bookkeeping import COUNT, HAND, NAP, TURN, wrong_turns
from nesting.judge.borders import BORDER
from nesting.judge.flaws import FLAW, over_flaws
from nesting.judge.outlines import GAP, OFF_THE_CLOTH, OVERLAP, common_area, sound
from nesting.judge.rules import Case, Rule
from nesting.judge.unfolding import unfold
from nesting.judge.verdict import Violation, capital, keys_of, part_key
from nesting.judge.zones import ZONE
from nesting.model import EDGE_WORDS, Fabric

_CAUSES = ("outline", "edited", "resized", "cloth")
"""What is told first: of these come overlaps, gaps and parts that lie off the cloth."""


def findings(situation: Situation) -> tuple[Finding, ...]:
    """Return every fault of a layout: what may be the cause of others first, then by the rules.

    A part that was resized overlaps all its neighbours.
    """
    view = _view(situation)
    own = [*of_outlines(situation, view.names), *of_cloth(situation.frame)]
    return (
        *(one for one in own if one.kind in _CAUSES),
        *(one for rule in rules.RULES for one in TOLD.get(rule.name, _plainly)(view, rule)),
        *(one for one in own if one.kind not in _CAUSES),
    )


@dataclass(frozen=True, eq=False, slots=True)
class _View:
    """A layout as rules are asked about it; `known` are parts of pieces by the judge's names."""

    situation: Situation
    names: Names
    case: Case
    known: Mapping[str, Assigned]

    def parts(self, rule: Rule, violation: Violation) -> list[LaidPart]:
        """Return the parts that a violation is about, each once."""
        if rule.of == "outlines":
            return [self.names.part[key] for key in violation.parts]
        return self.known_parts(violation)

    def known_parts(self, violation: Violation) -> list[LaidPart]:
        """Return the parts by whose copies a violation is told, each once."""
        keys = [key for key in violation.parts if key in self.known]
        return list(dict.fromkeys(self.known[key].part for key in keys))


def _view(situation: Situation) -> _View:
    """Return a layout as rules are asked about it.

    The width is that of the settings. Without any original only outlines can be judged.
    """
    names, plan = Names(situation), situation.plan
    laid = [names.laid(part) for part in situation.parts]
    if plan is None:
        remnant = situation.remnant
        shape = (remnant.outline, remnant.holes) if remnant else ((), ())
        fabric = Fabric(situation.frame.width, gap=situation.gap, flaws=situation.flaws)
        fabric = replace(fabric, outline=shape[0], holes=shape[1])
        return _View(situation, names, Case(fabric, laid, {}), {})
    cloth = plan.job.fabric
    width, flaws = situation.frame.width, situation.flaws
    fabric = replace(cloth, width=width, gap=situation.gap, flaws=flaws)
    pieces = {id_: cut.piece for id_, cut in situation.cuts.items()}
    spots = situation.placements
    job, layout = replace(plan.job, fabric=fabric), situation.layout
    known = (one for one in situation.tally.assigned if one.pose is not None)
    pairs = zip(spots, known, strict=True)
    by_key = {key: one for spot, one in pairs for key in keys_of(spot)}
    unfolded = None
    if situation.frame.lying:  # from what is seen of it on the table
        unfolded = unfold(fabric, pieces, spots, situation.sections, on_table(situation, names))
    return _View(situation, names, Case(fabric, laid, pieces, spots, job, layout, unfolded), by_key)


# --- the judge's rules --------------------------------------------------------------------------


def _plainly(view: _View, rule: Rule) -> Iterator[Finding]:
    """Yield what breaks a rule in the judge's words.

    What nobody counts (the table has no words for it) can be broken by a program alone.
    """
    if rule.words is None or (rule.of != "outlines" and view.case.job is None):
        return
    for violation in rule.broken(view.case):
        if rule.unit != "mm" or violation.amount > ROUNDING:
            parts = view.parts(rule, violation)
            places = tuple(part.polygon for part in parts)
            yield _found(violation, view, str(violation), parts, *places)


def _overlaps(view: _View, rule: Rule) -> Iterator[Finding]:
    """Yield parts that overlap, with how deep."""
    for violation in rule.broken(view.case):
        one, other = view.parts(rule, violation)
        common = common_area(sound(one.polygon), sound(other.polygon)).item()
        deep = depth_of(common)
        if deep > ROUNDING:
            both = _both(view.names, one, other)
            sentence = f"{both} overlap: {_area(common.area)}, {small_mm(deep)} deep"
            yield _found(violation, view, sentence, [one, other], common)


def _gaps(view: _View, rule: Rule) -> Iterator[Finding]:
    """Yield parts that lie too near to each other."""
    gap = view.case.fabric.gap
    for violation in rule.broken(view.case):
        if violation.amount <= ROUNDING:
            continue
        one, other = view.parts(rule, violation)
        apart = gap - violation.amount
        how = f"lie {small_mm(apart)} apart" if apart > ROUNDING else "touch"
        sentence = f"{_both(view.names, one, other)} {how}, the gap is {small_mm(gap)}"
        between = shapely.shortest_line(one.polygon, other.polygon)
        yield _found(violation, view, sentence, [one, other], between)
    if not is_folded_cloth_flipped(view.situation):
        yield from too_near_to_folds(view.situation, view.names, gap)


def _off(view: _View, rule: Rule) -> Iterator[Finding]:
    """Yield parts that reach beyond the cloth."""
    if is_folded_cloth_flipped(view.situation):
        return
    if view.situation.frame.lying:
        yield from off_sections(view.situation, view.names)
        return
    width, end = view.case.fabric.width, view.case.fabric.length
    cloth = shapely.box(0.0, 0.0, 1e7 if end is None else end, width)
    for violation in rule.broken(view.case):
        if violation.amount <= ROUNDING:
            continue
        (part,) = view.parts(rule, violation)
        low_x, low_y, high_x, high_y = part.polygon.bounds
        beyond = {
            "the cut end": -low_x,
            "the lower selvedge": -low_y,
            "the upper selvedge": high_y - width,
            "the end of the cloth": high_x - (math.inf if end is None else end),
        }
        edge = max(beyond, key=lambda name: beyond[name])
        label = view.names.label(part)
        sentence = f"{label} reaches {small_mm(violation.amount)} beyond {edge}"
        if not part.polygon.intersects(cloth):
            sentence = f"{label} does not lie on the cloth"
        yield _found(violation, view, sentence, [part], sound(part.polygon).difference(cloth))


def _counts(view: _View, rule: Rule) -> Iterator[Finding]:
    """Yield copies that are missing, and parts that are too many: wrecks count as neither."""
    situation, names = view.situation, view.names
    titles = [cut.title for cut in situation.cuts.values()]
    for id_, copies in situation.missing.items():
        cut = situation.cuts[id_]
        # Of two pieces of one name, one may lie there.
        title = cut.title if titles.count(cut.title) == 1 else f"{cut.title} ({cut.drawn.id})"
        keys = tuple(part_key(id_, copy) for copy in copies)
        if len(copies) == cut.copies:
            sentence = f"{title} is not on this layout" + (
                f" (cut {cut.copies})" if cut.copies > 1 else ""
            )
        else:
            numbers = listed([str(copy) for copy in copies])
            verb = "is" if len(copies) == 1 else "are"
            sentence = f"{title}: {numbers} of {cut.of} {verb} missing"
        sentence += why_cut_once(situation, names, id_)
        yield Finding(rule.name, keys, (), float(len(copies)), sentence)
    yield from cut_too_often(situation, names)
    for part in situation.tally.surplus:
        sentence, count = names.label(part), copies_cut(part)
        if part.cut is None:
            sentence += " is on the layout, but its original is not to be cut here any more"
        else:
            asked = "one is" if part.cut.copies == 1 else f"{part.cut.copies} are"
            how = "is there once" if count == 1 else "would be cut twice"
            sentence = f"{part.cut.title} {how} too often: {asked} asked for"
        objects, places = (part.found.id,), (part.polygon,)
        yield Finding(rule.name, (names.key(part),), objects, float(count), sentence, places)


def _flipped(view: _View) -> Finding:
    """Return that a layout lies mirrored as a whole; then no hand of a part is said to be wrong."""
    parts = [one.part for one in turned_over(view.situation)]
    sentence = (
        "The whole layout was flipped: what is shown printed side up now lies printed side down, "
        "and the other way round: flip it back (Object > Flip Horizontal or Flip Vertical)"
    )
    return of_parts("flipped", parts, view.names, float(len(parts)), sentence)


def _hands(view: _View, rule: Rule) -> Iterator[Finding]:
    """Yield garments with too many parts of one hand, or that the whole layout was flipped."""
    if is_flipped_whole(view.situation):
        yield _flipped(view)
        return
    for violation in rule.broken(view.case):
        known = [view.known[key] for key in violation.parts if key in view.known]
        wrong = [one for one in dict.fromkeys(known) if not is_right_hand(one)]
        parts = [one.part for one in wrong]
        if not wrong:  # hands do not come out even for another reason than how a part lies
            parts = view.parts(rule, violation)
            places = [one.polygon for one in parts]
            yield from [_found(violation, view, str(violation), parts, *places)] if parts else ()
            continue
        flipped = wrong[0].pose is not None and wrong[0].pose.flip
        lies, should = ("down", "up") if flipped else ("up", "down")
        verb, be, it = ("lies", "is", "it") if len(parts) == 1 else ("lie", "are", "them")
        sentence = (
            f"{listed([view.names.label(part) for part in parts])} {verb} printed side {lies} but "
            f"{be} to be cut printed side {should}: flip {it}"
        )
        yield _found(violation, view, sentence, parts, *(part.polygon for part in parts))


def _turns(view: _View, rule: Rule) -> Iterator[Finding]:
    """Yield parts off the grain."""
    for violation, part in _each_once(view, rule):
        sentence = f"{view.names.label(part)} lies {figures(violation.amount, 3)}° off the grain"
        yield _found(violation, view, sentence, [part], part.polygon)


def _nap(view: _View, rule: Rule) -> Iterator[Finding]:
    """Yield parts against the nap; one that lies off the grain is told for that alone."""
    flipped = is_flipped_whole(view.situation)
    off_grain = {one.parts for one in wrong_turns(view.case.pieces, view.case.cut)}
    for violation, part in _each_once(view, rule):
        # A layout flipped end for end lies head to foot; flipped back it does not.
        if violation.parts in off_grain or (flipped and violation.amount == 180.0):
            continue
        how = (
            "head to foot"
            if violation.amount == 180.0
            else f"turned by {figures(violation.amount, 3)}°"
        )
        sentence = f"{view.names.label(part)} lies {how}: against the nap"
        yield _found(violation, view, sentence, [part], part.polygon)


def _each_once(view: _View, rule: Rule) -> Iterator[tuple[Violation, LaidPart]]:
    """Yield what breaks a rule about single parts; what is cut of one on two layers, once."""
    told: list[tuple[LaidPart, float]] = []
    for violation in rule.broken(view.case):
        # What would be cut too often is no copy: its other layer tells it.
        for part in view.parts(rule, violation):
            if (part, violation.amount) not in told:
                told.append((part, violation.amount))
                yield violation, part


def _zones(view: _View, rule: Rule) -> Iterator[Finding]:
    """Yield parts that leave their zone of folded cloth, in the judge's words."""
    if is_folded_cloth_flipped(view.situation):
        return
    for finding in _plainly(view, rule):
        if math.isfinite(finding.amount):
            yield finding
        else:  # there is no such zone: nothing can be measured but the part itself
            _, low, _, high = shapely.total_bounds(np.array(finding.places, dtype=object))
            yield replace(finding, amount=float(high - low))


def _flaws(view: _View, rule: Rule) -> Iterator[Finding]:
    """Yield parts that lie over a flaw; on folded cloth as each layer is cut.

    What is no copy of a piece nobody can unfold: it is seen as it lies on the table.
    """
    situation, fabric = view.situation, view.case.fabric
    if not situation.frame.lying:
        yield from _plainly(view, rule)
        return
    flat = [] if view.case.unfolded is None else view.case.unfolded.laid
    known = {id(one.part) for one in view.known.values()}
    unknown = [view.names.laid(part) for part in situation.parts if id(part) not in known]
    on_table = replace(fabric, flaws=flaws_on_table(situation))
    found = [(one, view.known_parts(one)) for one in over_flaws(flat, fabric)]
    found += [(one, view.parts(rule, one)) for one in over_flaws(unknown, on_table)]
    told: set[int] = set()
    for violation, parts in found:
        for part in parts:
            if id(part) not in told:
                told.add(id(part))
                sentence = f"{view.names.label(part)} lies over a flaw of the cloth"
                sentence = f"{sentence}: {_area(violation.amount)}"
                yield _found(violation, view, sentence, [part], part.polygon)


def _borders(view: _View, rule: Rule) -> Iterator[Finding]:
    """Yield parts that do not lie with their edge on the border, with how far they are off it."""
    told: set[int] = set()
    for violation in rule.broken(view.case):
        for part in view.parts(rule, violation) if violation.amount > ROUNDING else ():
            assert part.cut is not None
            if id(part) in told:
                continue  # one cut through both layers is told once
            told.add(id(part))
            edge, off = EDGE_WORDS[part.cut.piece.band], small_mm(violation.amount)
            sentence = f"{view.names.label(part)} lies with its {edge} {off} off the border"
            yield _found(violation, view, sentence, [part], part.polygon)


TOLD: Mapping[str, Callable[[_View, Rule], Iterator[Finding]]] = {
    OVERLAP: _overlaps,
    GAP: _gaps,
    OFF_THE_CLOTH: _off,
    COUNT: _counts,
    HAND: _hands,
    TURN: _turns,
    NAP: _nap,
    ZONE: _zones,
    FLAW: _flaws,
    BORDER: _borders,
}
"""Rules of which a drawing knows more to tell than the judge."""


# --- words and figures --------------------------------------------------------------------------


def depth_of(area: shapely.Geometry) -> float:
    """Return how deep an overlap is: the diameter, mm, of the widest disc in it."""
    # An area may lie in a collection within a collection.
    every = shapely.get_parts(shapely.get_parts(area))
    parts = [one for one in every if one.geom_type == "Polygon" and one.area > 0]
    radii = [widest_disc(one, max(1e-3, 1e-3 * one.length))[1] for one in parts]
    return 2.0 * max(radii, default=0.0)


def _found(
    violation: Violation,
    view: _View,
    sentence: str,
    parts: Sequence[LaidPart],
    *places: shapely.Geometry,
) -> Finding:
    """Return a violation of the judge's as a finding about parts."""
    keys = tuple(view.names.key(one) for one in parts)
    objects = tuple(dict.fromkeys(one.found.id for one in parts))
    return Finding(violation.kind, keys, objects, violation.amount, sentence, places)


def _both(names: Names, one: LaidPart, other: LaidPart) -> str:
    """Return two parts as the beginning of a sentence."""
    return capital(f"{names.label(one)} and {names.label(other)}")


def _area(area: float) -> str:
    """Return an area in mm2 in everyday figures."""
    return f"{figures(area / 100.0, 3)} cm²" if area >= 100.0 else f"{figures(area, 2)} mm²"
