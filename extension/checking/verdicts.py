# SPDX-License-Identifier: GPL-2.0-or-later
"""Which rules a layout breaks as it lies: by the judge's rules and names, and some of its own.

What cannot be measured on a drawing is no fault: the editor rounds the numbers it writes, so parts
may come nearer to each other, and to the edges of the cloth, by `ROUNDING`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import shapely

from extension.checking.copies import Assigned, Tally
from extension.checking.frame import Frame
from extension.checking.recognise import LaidPart, placement
from extension.identities import described
from extension.plan import Cut, Plan
from extension.rounding import small_text
from extension.words import listed
from nesting.bookkeeping import against_the_nap, wrong_hands, wrong_turns
from nesting.check import Laid, common_area, off_the_cloth, overlaps, sound, too_near
from nesting.model import Fabric, Piece, Placement
from nesting.problem import hands_of
from nesting.verdict import Rule, Violation, capital, part_key

ROUNDING = 0.01
"""mm that numbers rounded by the editor can be off."""
WIDTH_SLACK = 0.5
"""mm by which the drawn cloth may differ from the width of the settings."""

Kind = Rule | Literal["edited", "resized", "original", "cloth"]
"""The judge's rules, and: an original edited after the layout, a part resized, an original gone,
cloth that is drawn with another width."""


@dataclass(frozen=True, eq=False, slots=True)
class Finding:
    """One fault. `parts` are named as the judge names them, `objects` are ids in the drawing.

    `amount`: mm2 for overlap; mm for gap, off the cloth, edited and cloth; degrees for turn and
    nap; copies for count and hand, parts for original; per cent for resized. `places` are where to
    look, in the engine's frame: the common area, the line between two parts, or whole outlines.
    """

    kind: Kind
    parts: tuple[str, ...]
    objects: tuple[str, ...]
    amount: float
    sentence: str
    places: tuple[shapely.Geometry, ...] = ()


@dataclass(frozen=True, eq=False, slots=True)
class Situation:
    """A layout as it was found: what should lie there (None when no original is left), what does.

    `parts` are all that lie there, those of unknown originals too.
    """

    plan: Plan | None
    frame: Frame
    gap: float
    parts: tuple[LaidPart, ...]
    tally: Tally

    @property
    def cuts(self) -> Mapping[str, Cut]:
        """The pieces that should lie there."""
        return {} if self.plan is None else self.plan.cuts

    @property
    def on_cloth(self) -> list[LaidPart]:
        """The parts that lie between the selvedges, if only in part: these need cloth."""
        strip = shapely.box(-1e7, 0.0, 1e7, self.frame.width)
        return [part for part in self.parts if part.polygon.intersects(strip)]

    @property
    def placements(self) -> tuple[Placement, ...]:
        """The parts whose outline is their piece's, as the engine and its judge know them."""
        known = self.tally.assigned
        return tuple(placement(one.part, one.pose, one.copy) for one in known if one.pose)

    @property
    def length(self) -> float:
        """The length of cloth that the parts need, mm, from the cut end."""
        ends = [part.polygon.bounds[2] for part in self.on_cloth]
        return float(max(ends, default=0.0))


def findings(situation: Situation) -> tuple[Finding, ...]:
    """Return every fault of a layout, in the order of the rules."""
    names = _Names(situation)
    return (
        *_of_pairs(situation, names),
        *_off(situation, names),
        *_counts(situation, names),
        *_hands(situation, names),
        *_turns(situation, names),
        *_troubles(situation, names),
        *_cloth(situation.frame),
    )


class _Names:
    """How the parts of a layout are called, in reports and in sentences, and which is which."""

    def __init__(self, situation: Situation) -> None:
        self.part: dict[str, LaidPart] = {}
        self._plain: dict[str, str] = {}
        self._keys: dict[int, str] = {}
        self._labels: dict[int, str] = {}
        self.assigned = {id(one.part): one for one in situation.tally.assigned}
        for part in situation.parts:
            key, label = self._key_and_label(part)
            unique = key
            while unique in self.part:
                unique += "+"
            self.part[unique], self._plain[unique] = part, key
            self._keys[id(part)], self._labels[id(part)] = unique, label

    def key(self, part: LaidPart) -> str:
        """Return how reports name a part, `front #2`; one too many is named like its copy."""
        return self._plain[self._keys[id(part)]]

    def label(self, part: LaidPart) -> str:
        """Return how sentences name a part: `Front (1 of 2)`."""
        return self._labels[id(part)]

    def laid(self, part: LaidPart) -> Laid:
        """Return a part for the judge."""
        return Laid(self._keys[id(part)], self.label(part), sound(part.polygon))

    def _key_and_label(self, part: LaidPart) -> tuple[str, str]:
        if part.cut is None:
            groups = part.found.groups
            label = groups[-1].label if groups else part.found.shape.leaf.label
            return part.found.id, described(part.found.id, label)
        one = self.assigned.get(id(part))
        copy = one.copy if one else (part.found.copies or (0,))[0]
        key = part_key(part.cut.piece.id, copy)
        if one is None:
            return key, f"{part.cut.title} (one too many)"
        return key, f"{part.cut.title}{_count(part.cut, copy)}"


# --- the judge's rules --------------------------------------------------------------------------


def _of_pairs(situation: Situation, names: _Names) -> Iterator[Finding]:
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


def _off(situation: Situation, names: _Names) -> Iterator[Finding]:
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


def _counts(situation: Situation, names: _Names) -> Iterator[Finding]:
    """Yield copies that are missing, and parts that are too many (the judge's rule "count")."""
    for id_, copies in situation.tally.missing.items():
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
        yield Finding("count", keys, (), float(len(copies)), sentence)
    for part in situation.tally.surplus:
        sentence = names.label(part)
        if part.cut is None:
            sentence += " is on the layout, but its original is not to be cut here any more"
        else:
            sentence = f"{part.cut.title} is there once too often: {part.cut.copies} are asked for"
        yield Finding("count", (names.key(part),), (part.found.id,), 1.0, sentence, _outline(part))


def _hands(situation: Situation, names: _Names) -> Iterator[Finding]:
    """Yield garments with too many parts of one hand."""
    known = _known(situation)
    for violation in wrong_hands(_pieces(situation), situation.placements):
        wrong = [known[key] for key in violation.parts if not _is_right_hand(known[key])]
        parts = [one.part for one in wrong]
        flipped = wrong[0].pose is not None and wrong[0].pose.flip
        lies, should = ("down", "up") if flipped else ("up", "down")
        verb, be, it = ("lies", "is", "it") if len(parts) == 1 else ("lie", "are", "them")
        sentence = (
            f"{listed([names.label(part) for part in parts])} {verb} printed side {lies} but "
            f"{be} to be cut printed side {should}: flip {it}"
        )
        yield Finding(
            "hand",
            tuple(names.key(part) for part in parts),
            tuple(part.found.id for part in parts),
            violation.amount,
            sentence,
            tuple(place for part in parts for place in _outline(part)),
        )


def _turns(situation: Situation, names: _Names) -> Iterator[Finding]:
    """Yield parts off the grain, and parts against the nap; for one turn only one of the two."""
    pieces, spots = _pieces(situation), situation.placements
    parts = {key: one.part for key, one in _known(situation).items()}
    off_grain = {violation.parts[0]: violation for violation in wrong_turns(pieces, spots)}
    for key, violation in off_grain.items():
        sentence = f"{names.label(parts[key])} lies {violation.amount:.3g}° off the grain"
        yield _found(violation, names, sentence, parts[key].polygon, parts[key])
    if situation.plan is None:
        return
    for violation in against_the_nap(situation.plan.job.fabric, pieces, spots):
        key = violation.parts[0]
        if key in off_grain:
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
    return {
        part_key(spot.piece, spot.copies[0]): one for spot, one in zip(spots, known, strict=True)
    }


# --- faults that only a drawing can have --------------------------------------------------------


def _troubles(situation: Situation, names: _Names) -> Iterator[Finding]:
    """Yield parts whose outline is not their original's, or whose original is gone."""
    for id_, cut in situation.cuts.items():
        own = [part for part in situation.parts if part.cut and part.cut.piece.id == id_]
        edited = [part for part in own if part.trouble == "edited"]
        if edited:
            sentence = (
                f"{cut.title}: its original ({cut.drawn.id}) was edited after this layout: "
                "lay out again"
            )
            yield _of_parts("edited", edited, names, max(p.amount for p in edited), sentence)
    for part in situation.parts:
        if part.trouble == "resized":
            how = "has been reshaped"
            if abs(part.amount) >= 0.05:
                how = f"has been resized to {100.0 + part.amount:.4g} %"
            yield _of_parts("resized", [part], names, part.amount, f"{names.label(part)} {how}")
    gone: dict[str, list[LaidPart]] = {}
    for part in situation.parts:
        if part.trouble == "original":
            gone.setdefault(part.found.of, []).append(part)
    for source, parts in gone.items():
        sentence = (
            f"{names.label(parts[0])}: its original “{source}” is no longer in the drawing, so "
            "grain and count cannot be checked"
        )
        if len(parts) > 1:
            sentence = f"{len(parts)} parts: their original “{source}” is no longer in the drawing"
        yield _of_parts("original", parts, names, float(len(parts)), sentence)


def _cloth(frame: Frame) -> Iterator[Finding]:
    """Yield cloth that is drawn with another width than the layout was made for."""
    off = frame.drawn_width - frame.width
    if abs(off) > WIDTH_SLACK:
        sentence = (
            f"The cloth is drawn {small_text(round(frame.drawn_width, 1), 'metric')} wide, but "
            f"this layout is for {small_text(frame.width, 'metric')}: lay out again for another "
            "width"
        )
        yield Finding("cloth", (), (), abs(off), sentence)


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
    names: _Names,
    sentence: str,
    place: shapely.Geometry,
    part: LaidPart | None = None,
) -> Finding:
    """Return a violation of the judge's as a finding in our words."""
    parts = [part] if part else [names.part[key] for key in violation.parts]
    keys = tuple(names.key(one) for one in parts)
    objects = tuple(dict.fromkeys(one.found.id for one in parts))
    return Finding(violation.kind, keys, objects, violation.amount, sentence, (place,))


def _of_parts(
    kind: Kind, parts: Sequence[LaidPart], names: _Names, amount: float, sentence: str
) -> Finding:
    """Return a fault of whole parts."""
    return Finding(
        kind,
        tuple(names.key(part) for part in parts),
        tuple(part.found.id for part in parts),
        amount,
        sentence,
        tuple(part.polygon for part in parts),
    )


def _outline(part: LaidPart) -> tuple[shapely.Geometry, ...]:
    """Return where a whole part lies."""
    return (part.polygon,)


def _is_right_hand(one: Assigned) -> bool:
    """Return whether a part lies in the hand of the copy it is."""
    assert one.part.cut is not None
    return one.pose is None or one.pose.flip in hands_of(one.part.cut.piece, one.copy)


def _both(names: _Names, one: LaidPart, other: LaidPart) -> str:
    """Return two parts as the beginning of a sentence."""
    return capital(f"{names.label(one)} and {names.label(other)}")


def _count(cut: Cut, copy: int) -> str:
    """Return which copy of how many a part is."""
    return f" ({copy} of {cut.copies})" if cut.copies > 1 else ""


def _area(area: float) -> str:
    """Return an area in mm2 in everyday figures."""
    return f"{area / 100.0:.3g} cm²" if area >= 100.0 else f"{area:.2g} mm²"


def _mm(length: float) -> str:
    """Return a length in mm in everyday figures."""
    return f"{length / 10.0:.4g} cm" if length >= 100.0 else f"{length:.3g} mm"
