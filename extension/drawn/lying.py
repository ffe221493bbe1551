# SPDX-License-Identifier: GPL-2.0-or-later
"""The sections of a layout as they lie on the table, side by side: edges, folds, zones.

x counts on the sheet, from the start of the first section; y is the engine's, up from the lower
selvedge of the cloth spread out. So a section that is folded in by `lower` begins at y = `lower`.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from extension.language.edges import LOWER_SELVEDGE, UPPER_SELVEDGE
from extension.language.spreads import BOTH_SELVEDGES, FOLD_OF_CLOTH
from nesting.model import LaidSection, Sides

HAIR = 1e-6
"""mm: a zone that is narrower is none."""
BETWEEN = 8.0
"""Space between two sections, in font sizes: their edges have words there."""
HEADING = 18.0
"""Room that the heading of a section is given, in font sizes, however short the section."""


@dataclass(frozen=True, slots=True)
class Zone:
    """A strip along a section, mm: from `low` up to `high`, of one layer or of two."""

    low: float
    high: float
    layers: int


@dataclass(frozen=True, slots=True)
class Edge:
    """A selvedge or a fold that runs along a section at a height y, mm, and the words for it."""

    y: float
    words: str
    is_fold: bool = False


@dataclass(frozen=True, slots=True)
class Lying:
    """One section on the table. `number` counts all sections of the layout from 1.

    `start` is where it begins on the sheet, `length` how long it is drawn: on the table, where a
    crosswise fold has halved it.
    """

    number: int
    section: LaidSection
    width: float
    start: float
    length: float

    @property
    def end(self) -> float:
        """Where it ends on the sheet, mm."""
        return self.start + self.length

    @property
    def low(self) -> float:
        """Its lower edge on the table, mm."""
        return self.section.lower or 0.0

    @property
    def high(self) -> float:
        """Its upper edge on the table, mm."""
        return self.width - (self.section.upper or 0.0)

    @property
    def needed(self) -> float:
        """How much of its length on the table the parts need, mm."""
        return on_table(self.section)

    @property
    def zones(self) -> tuple[Zone, ...]:
        """Its zones from the lower edge up."""
        if self.section.crosswise:
            return (Zone(0.0, self.width, 2),)
        lower, upper = self.section.lower or 0.0, self.section.upper or 0.0
        every = (
            Zone(lower, 2.0 * lower, 2),
            Zone(2.0 * lower, self.width - 2.0 * upper, 1),
            Zone(self.width - 2.0 * upper, self.width - upper, 2),
        )
        return tuple(zone for zone in every if zone.high - zone.low > HAIR)

    @property
    def folds(self) -> tuple[float, ...]:
        """Heights of the folds that run along it, mm."""
        return tuple(edge.y for edge in (self.lower_edge, self.upper_edge) if edge.is_fold)

    @property
    def has_fold_across(self) -> bool:
        """Whether it ends in a fold across the cloth."""
        return self.section.crosswise and not self.section.turned

    @property
    def lower_edge(self) -> Edge:
        """What runs along its lower side."""
        if self.section.lower:
            return Edge(self.low, FOLD_OF_CLOTH, is_fold=True)
        return Edge(0.0, self._outer(LOWER_SELVEDGE))

    @property
    def upper_edge(self) -> Edge:
        """What runs along its upper side."""
        if self.section.upper:
            return Edge(self.high, FOLD_OF_CLOTH, is_fold=True)
        return Edge(self.width, self._outer(UPPER_SELVEDGE))

    @property
    def edges_within(self) -> tuple[Edge, ...]:
        """The selvedges that lie within it, where an upper layer ends."""
        lower, upper = self.section.lower or 0.0, self.section.upper or 0.0
        found = []
        if lower and 2.0 * lower < self.high - HAIR:
            found.append(Edge(2.0 * lower, LOWER_SELVEDGE))
        if upper and self.width - 2.0 * upper > self.low + HAIR:
            found.append(Edge(self.width - 2.0 * upper, UPPER_SELVEDGE))
        if len(found) == 2 and found[1].y - found[0].y <= HAIR:
            return (Edge(found[0].y, BOTH_SELVEDGES),)
        return tuple(found)

    def _outer(self, words: str) -> str:
        """Return what an outer selvedge is called: where the cloth is halved, both lie there."""
        keeps = self.section.is_open or self.section.crosswise or self.edges_within
        return words if keeps else BOTH_SELVEDGES


def on_table(section: LaidSection) -> float:
    """Return how long a section lies on the table, mm."""
    return section.length / 2.0 if section.crosswise else section.length


def lying_of(
    sections: Sequence[LaidSection],
    width: float,
    letters: float,
    rest: float,
    starts: Mapping[int, float],
    kept: Collection[int] = (),
) -> tuple[Lying, ...]:
    """Return the sections that need any cloth, one after the other along the sheet.

    `rest` is what is bought above what is needed, mm: it stays at the last section, except behind
    a crosswise fold. `starts` are those of sections that are drawn already, by their numbers; the
    numbers in `kept` are of sections that stay though nothing lies on them any more.
    """
    used = [
        (number, one)
        for number, one in enumerate(sections, start=1)
        if one.length > 0.0 or number in kept
    ]
    if not used:
        # No part fits on the cloth that is there: it is drawn as its last section lies.
        used = [(len(sections), sections[-1])]
    found: list[Lying] = []
    for number, section in used:
        behind = found[-1] if found else None
        start = 0.0
        if behind is not None:
            start = behind.start + max(behind.length, HEADING * letters) + BETWEEN * letters
        start = starts.get(number, start)
        if behind is not None and start < behind.end:
            # Parts were moved into the next section: the cloth is not drawn through it.
            found[-1] = Lying(
                behind.number, behind.section, width, behind.start, start - behind.start
            )
        more = rest if number == used[-1][0] and not section.crosswise else 0.0
        length = on_table(section) + more
        found.append(Lying(number, section, width, start, length or HEADING * letters))
    return tuple(found)


def lies_wrong_side_up(section: LaidSection, sides: Sides) -> bool:
    """Return whether the lower layer of a section shows the wrong side of the cloth."""
    return sides == "apart" and not section.is_open
