# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout as it was found: what should lie there, what does, and what its parts are called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

import shapely

from extension.job.plan import Cut, Plan
from extension.job.remnant import Remnant
from extension.layouts.copies import Tally, copies_cut
from extension.layouts.frame import Frame
from extension.layouts.gone import Gone
from extension.layouts.over import Copies, still_left_over
from extension.layouts.recognise import LaidPart, placement
from extension.layouts.wrecks import Copy, Wreck, claimed
from nesting.cloth.bounds import utilisation
from nesting.cloth.problem import outline_tuple
from nesting.geometry.shapes import whole_outline
from nesting.judge.matching import to_lines
from nesting.judge.outlines import Laid, sound
from nesting.judge.verdict import part_key
from nesting.model import LaidSection, Layout, LeftOver, Outline, Placement, Sides

Own = Literal["outline", "flipped", "edited", "resized", "original", "cloth"]
"""What can be wrong beside the judge's rules: what is left of a part or is several in one, a layout
flipped as a whole, an original edited after the layout, a part resized, an original gone, cloth
that is drawn with another width."""


@dataclass(frozen=True, eq=False, slots=True)
class Finding:
    """One fault. `parts` are named as the judge names them, `objects` are ids in the drawing.

    `kind` is the name of a rule, and `amount` in its unit; or one of `Own`: mm for edited and
    cloth, copies for outline, parts for flipped and original, per cent for resized.
    `places` are where to look, in the engine's frame: the common area, the line between two parts,
    or whole outlines.
    """

    kind: str
    parts: tuple[str, ...]
    objects: tuple[str, ...]
    amount: float
    sentence: str
    places: tuple[shapely.Geometry, ...] = ()


@dataclass(frozen=True, eq=False, slots=True)
class Situation:
    """A layout as it was found: what should lie there (None when no original is left), what does.

    `parts` are all that lie there, those of unknown originals too; `wrecks` are no parts any more.
    `gone` are pieces that were laid and are no pieces of the drawing now. `laid_sections` are those
    of folded cloth as it was laid; `flaws` are outlines on the cloth over which nothing may lie;
    the cloth may be a `remnant`, or lie with the right `sides` together or apart. `over_then` is
    what was left over when it was laid, None where that is not known.
    """

    plan: Plan | None
    frame: Frame
    gap: float
    parts: tuple[LaidPart, ...]
    tally: Tally
    wrecks: tuple[Wreck, ...] = ()
    gone: tuple[Gone, ...] = ()
    laid_sections: tuple[LaidSection, ...] = ()
    flaws: tuple[Outline, ...] = ()
    remnant: Remnant | None = None
    sides: Sides = "together"
    over_then: Copies | None = None

    @property
    def expected(self) -> int:
        """How many parts should lie there, without those that were left over."""
        asked = sum(cut.copies for cut in self.cuts.values())
        gone = sum(piece.copies - piece.left_over for piece in self.gone) if asked else 0
        return asked + gone - sum(map(len, self.left_over.values()))

    @property
    def claims(self) -> tuple[tuple[Copy, ...], ...]:
        """Return which of the missing copies each wreck was."""
        return claimed(self.wrecks, self.tally.missing)

    @property
    def missing(self) -> Copies:
        """The copies of each piece that are missing: neither left over, nor wrecked."""
        over = self.left_over
        lost = {
            id_: tuple(copy for copy in copies if copy not in over.get(id_, ()))
            for id_, copies in self.absent.items()
        }
        return {id_: copies for id_, copies in lost.items() if copies}

    @property
    def left_over(self) -> Copies:
        """The copies of each piece that do not lie there and were left over when it was laid."""
        then = self.over_then or {}
        found = {
            id_: still_left_over(self.cuts[id_].piece, copies, then.get(id_, ()))
            for id_, copies in self.absent.items()
        }
        return {id_: tuple(copies) for id_, copies in found.items() if copies}

    @property
    def absent(self) -> Copies:
        """The copies of each piece that do not lie there and were not wrecked either."""
        wrecked = {copy for claim in self.claims for copy in claim}
        left = {
            id_: tuple(copy for copy in copies if (id_, copy) not in wrecked)
            for id_, copies in self.tally.missing.items()
        }
        return {id_: copies for id_, copies in left.items() if copies}

    @property
    def cuts(self) -> Mapping[str, Cut]:
        """The pieces that should lie there."""
        return {} if self.plan is None else self.plan.cuts

    @property
    def on_cloth(self) -> list[shapely.Polygon]:
        """What lies between the selvedges, if only in part, and needs cloth: parts and wrecks."""
        return [area for area, _ in self._cut if area.intersects(self._strip)]

    @property
    def _cut(self) -> list[tuple[shapely.Polygon, int]]:
        """What needs cloth, parts and wrecks, and how often it is cut where it lies."""
        cut = [(part.polygon, 2 if part.on_fold else part.spot.layers) for part in self.parts]
        wrecks = [area for wreck in self.wrecks if wreck.needs_cloth for area in wreck.areas]
        return [*cut, *((area, 1) for area in wrecks)]

    @property
    def _strip(self) -> shapely.Geometry:
        """All between the selvedges, without end; on the table where the cloth is folded."""
        if not self.frame.lying:
            return shapely.box(-1e7, 0.0, 1e7, self.frame.width)
        ends = [-1e7, *(one.start for one in self.frame.lying[1:]), 1e7]
        return shapely.union_all(
            [
                shapely.box(low, one.low, high, one.high)
                for one, low, high in zip(self.frame.lying, ends[:-1], ends[1:], strict=True)
            ]
        )

    @property
    def placements(self) -> tuple[Placement, ...]:
        """The parts whose outline is their piece's, as the engine and its judge know them."""
        known = self.tally.assigned
        return tuple(placement(one.part, one.pose, one.copies) for one in known if one.pose)

    @property
    def length(self) -> float:
        """The length of cloth that the parts need, mm, from the cut end."""
        if self.frame.lying:
            return sum(one.length for one in self.sections)
        ends = [area.bounds[2] for area in self.on_cloth]
        return float(max(ends, default=0.0))

    @property
    def sections(self) -> tuple[LaidSection, ...]:
        """The sections of folded cloth, as long as what lies on each needs it; none of plain.

        On a design one goes on to a line where what is behind it has to begin on one.
        """
        needed = [self._needed(number) for number in range(1, len(self.laid_sections) + 1)]
        repeat = None if self.plan is None else self.plan.job.fabric.repeat
        pieces = {id_: cut.piece for id_, cut in self.cuts.items()}
        lengths = to_lines(repeat, pieces, self.placements, needed)
        return tuple(
            replace(one, length=length)
            for one, length in zip(self.laid_sections, lengths, strict=True)
        )

    def _needed(self, number: int) -> float:
        """Return how much flat cloth a section needs, mm."""
        lying = next((one for one in self.frame.lying if one.number == number), None)
        if lying is None:
            return 0.0
        ends = [
            float(area.bounds[2]) - lying.start
            for area in self.on_cloth
            if self.frame.section_of(area) == lying
        ]
        end = max([0.0, *ends])
        if not (lying.section.crosswise and end):
            return end
        return 2.0 * (end if lying.section.turned else end + self.gap / 2.0)

    def _share(self, area: float) -> float:
        """Return the share of the cloth, or of the whole remnant, that so much area covers."""
        if self.remnant is not None:
            return area / self.remnant.area
        return utilisation(area, self.frame.width, self.length)

    @property
    def layout(self) -> Layout:
        """The layout with its true figures; only parts whose outline is known are in it.

        What is worked out when it is laid (bound, seed, rounds) is not known here.
        """
        length, width = self.length, self.frame.width
        area = sum(sound(one).area * n for one, n in self._cut if one.intersects(self._strip))
        pieces = {id_: cut.piece for id_, cut in self.cuts.items()}
        return Layout(
            width=width,
            length=length,
            utilisation=self._share(area),
            lower_bound=0.0,
            seconds=0.0,
            seed=0,
            rounds=0,
            workers=0,
            engine="",
            placements=self.placements,
            left_over=tuple(LeftOver(id_, copies) for id_, copies in self.left_over.items()),
            outlines={id_: outline_tuple(whole_outline(one)) for id_, one in pieces.items()},
            sections=self.sections,
        )


class Names:
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
        is_hidden = part.cut is not None and part.cut.piece.hidden
        polygon = sound(part.polygon)
        return Laid(self._keys[id(part)], self.label(part), polygon, is_hidden=is_hidden)

    def _key_and_label(self, part: LaidPart) -> tuple[str, str]:
        if part.cut is None:
            return part.found.id, part.found.called
        one = self.assigned.get(id(part))
        copies = one.copies if one else part.found.copies
        key = part_key(part.cut.piece.id, copies[0] if copies else 0)
        number = "one" if copies_cut(part) == 1 else "two"
        return key, one.label if one else f"{part.cut.title} ({number} too many)"
