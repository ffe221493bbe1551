# SPDX-License-Identifier: GPL-2.0-or-later
"""Decides which option each junction takes: what closes outlines that do not cross themselves.

Every junction begins with its cheapest option. Where that leads to a line that stays open or
crosses itself, another option of the junction is tried, and kept when more of the drawing closes.
(A line that winds round twice, as one does that changes from one size to the next and back,
crosses itself: a closed curve without crossings turns once, Hopf's theorem.) What could as well be
linked another way, and would close as well, is not decided at all.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations, product

from shapely.geometry import Polygon

from extension.joining.bridges import Way
from extension.joining.junctions import Junction
from extension.joining.lines import Ends, Line
from extension.joining.outlines import outline_of
from extension.joining.weaving import chained

NEAR = 0.25
"""Share of its cost within which another option is as good..."""
NEAR_MM = 0.3
"""...or so many mm."""
LONG = 100.0
"""mm of line that a doubt is worth telling for, though nothing closes either way."""
MOST_TRIALS = 4000
"""How many other options are tried in all, the nearest first."""
MOST_IN_PAIRS = 14
"""Of so many junctions two are changed at once..."""
FEW_OPTIONS = 4
"""...each to one of so many options."""
PER_DASH = 0.5
"""mm that a dash counts for beside its length, so that dots count."""
SAME_DRAWN = 0.05
"""mm (area between them / length) up to which two outlines are the same."""
BETTER = 0.2
"""mm of dashes by which one choice is better than another."""


_Change = tuple[tuple[int, int], ...]
"""Junctions and the options they are to take."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """Ends that could be linked in several ways. `decided`: by what closes, else not at all."""

    ends: tuple[int, ...]
    decided: bool


@dataclass(frozen=True, slots=True)
class Settled:
    """The ways that are taken, and where there was doubt."""

    ways: tuple[Way, ...]
    doubts: tuple[Doubt, ...]


def settle(lines: Sequence[Line], ends: Ends, junctions: Sequence[Junction]) -> Settled:
    """Return the ways to take at junctions of lines."""
    settler = _Settler(lines, ends, junctions)
    settler.improve()
    doubts = settler.doubts()
    return Settled(settler.ways(), doubts)


class _Settler:
    """Holds the choice at every junction, and what closes with it."""

    def __init__(self, lines: Sequence[Line], ends: Ends, junctions: Sequence[Junction]) -> None:
        self._lines = lines
        self._ends = ends
        self._junctions = junctions
        self._chosen = [0] * len(junctions)
        self._at: dict[int, Way] = {}
        self._known: dict[tuple[int, ...], float] = {}
        self._trials = MOST_TRIALS
        self._junction_of = {end: n for n, one in enumerate(junctions) for end in one.ends}
        for number in range(len(junctions)):
            self._choose(number, 0)

    def ways(self) -> tuple[Way, ...]:
        """Return the ways that are taken as it stands."""
        return tuple(way for end, way in sorted(self._at.items()) if end == way.one)

    def improve(self) -> None:
        """Try other options where something does not close, until nothing gets better."""
        while self._improve_by_one() or self._improve_by_two():
            pass

    def _improve_by_one(self) -> bool:
        """Try the other options of each junction where something does not close."""
        better = False
        for number in self._by_nearness():
            if not self._is_sound(number):
                options = range(len(self._junctions[number].options))
                better |= self._take_best(((number, option),) for option in options)
        return better

    def _improve_by_two(self) -> bool:
        """Try other options of two junctions at once, where the longest lines do not close."""
        unsound = [number for number in self._by_nearness() if not self._is_sound(number)]
        unsound.sort(key=lambda number: -self._line_at(number))
        return self._take_best(
            ((one, first), (other, second))
            for one, other in combinations(unsound[:MOST_IN_PAIRS], 2)
            for first, second in product(range(FEW_OPTIONS), repeat=2)
        )

    def _take_best(self, changes: Iterable[_Change]) -> bool:
        """Make the change that makes most close, if there is one; return whether there was."""
        best, gain = None, BETTER
        for change in changes:
            found = self._gain(change)
            if found > gain and self._adds(change):
                best, gain = change, found
        if best is not None:
            self._make(best)
        return best is not None

    def _line_at(self, number: int) -> float:
        """Return the length of the lines that end at a junction, mm."""
        return float(self._ends.length[list(self._junctions[number].ends)].sum())

    def doubts(self) -> tuple[Doubt, ...]:
        """Return where there was doubt; what stays open to doubt is unlinked."""
        found = [doubt for number in range(len(self._junctions)) if (doubt := self._doubt(number))]
        for doubt in found:
            if not doubt.decided:
                number = self._junction_of[doubt.ends[0]]
                self._choose(number, len(self._junctions[number].options) - 1)
        return tuple(found)

    def _doubt(self, number: int) -> Doubt | None:
        """Return the doubt that there is about a junction, if any.

        Among short lines that do not close either way there is nothing to tell.
        """
        junction, chosen = self._junctions[number], self._chosen[number]
        rivals = [
            one
            for one in self._as_good(number)
            if self._gain(((number, one),)) >= -BETTER and not self._same_drawn(number, one)
        ]
        if rivals:
            ends = self._differing(number, (chosen, *rivals))
            matters = self._score([number]) > 0.0 or self._ends.length[list(ends)].sum() >= LONG
            return Doubt(ends, decided=False) if matters else None
        if chosen and junction.options[chosen].ways:
            return Doubt(self._differing(number, (0, chosen)), decided=True)
        return None

    def _choose(self, number: int, option: int) -> None:
        """Let a junction take an option."""
        junction = self._junctions[number]
        for end in junction.ends:
            self._at.pop(end, None)
        for way in junction.options[option].ways:
            self._at[way.one] = self._at[way.two] = way
        self._chosen[number] = option

    def _make(self, change: _Change) -> _Change:
        """Make a change; return the one that undoes it."""
        undo = tuple((number, self._chosen[number]) for number, _ in change)
        for number, option in change:
            self._choose(number, min(option, len(self._junctions[number].options) - 1))
        return undo

    def _gain(self, change: _Change) -> float:
        """Return how much more closes with a change, mm of dashes."""
        if self._trials <= 0:
            return -math.inf
        self._trials -= 1
        numbers = [number for number, _ in change]
        score = self._score(numbers)
        undo = self._make(change)
        gain = self._score(numbers) - score
        self._make(undo)
        return gain

    def _adds(self, change: _Change) -> bool:
        """Return whether with a change every line that is part of an outline remains one.

        Or else an outline would go round by a dart instead of along the edge that it stands on.
        """
        numbers = [number for number, _ in change]
        before = self._sound_lines(numbers)
        undo = self._make(change)
        after = self._sound_lines(numbers)
        self._make(undo)
        return before <= after

    def _sound_lines(self, numbers: Iterable[int]) -> set[int]:
        """Return the lines in what closes well through some junctions."""
        ends = (end for number in numbers for end in self._junctions[number].ends)
        chains = {self._closed_from(end) for end in ends}
        return {end // 2 for chain in chains if self._worth(chain) for end in chain}

    def _same_drawn(self, number: int, option: int) -> bool:
        """Return whether another option of a junction draws the same outlines, as good as."""
        before = self._chosen[number]
        now = self._outlines(number)
        self._choose(number, option)
        then = self._outlines(number)
        self._choose(number, before)
        if not now or len(now) != len(then):
            return False
        differing = sum(
            one.symmetric_difference(other).area for one, other in zip(now, then, strict=True)
        )
        return bool(differing <= SAME_DRAWN * sum(one.length for one in now))

    def _outlines(self, number: int) -> list[Polygon]:
        """Return what closes well through a junction, the largest first."""
        chains = {self._closed_from(end) for end in self._junctions[number].ends}
        sound = [chain for chain in chains if self._worth(chain)]
        lines = [chained(chain, self._at, self._lines, self._ends) for chain in sound]
        return sorted((Polygon(outline_of(line).points) for line in lines), key=lambda p: -p.area)

    def _differing(self, number: int, options: Iterable[int]) -> tuple[int, ...]:
        """Return the ends that these options do not all link alike."""
        sets = [self._links(number, option) for option in options]
        every = {pair for each in sets for pair in each}
        differing = {pair for pair in every if not all(pair in each for each in sets)}
        return tuple(sorted({end for pair in differing for end in pair}))

    def _by_nearness(self) -> list[int]:
        """Return the junctions in the order in which another option comes near the best."""

        def nearness(number: int) -> tuple[float, int]:
            best, second = self._junctions[number].options[:2]
            return round(second.cost - best.cost, 6), number

        return sorted(range(len(self._junctions)), key=nearness)

    def _as_good(self, number: int) -> list[int]:
        """Return the other options that cost hardly more than the chosen one."""
        options, chosen = self._junctions[number].options, self._chosen[number]
        if not options[chosen].ways:
            return []
        limit = options[chosen].cost + max(NEAR_MM, NEAR * options[chosen].cost)
        near = [n for n, one in enumerate(options) if one.ways and one.cost <= limit]
        same = self._links(number, chosen)
        return [other for other in near if self._links(number, other) != same]

    def _links(self, number: int, option: int) -> set[tuple[int, int]]:
        """Return which ends an option links. It is all the same which end of a dot is taken."""

        def place(end: int) -> int:
            return end if self._ends.length[end] else end & ~1

        return {
            (min(ends), max(ends))
            for way in self._junctions[number].options[option].ways
            if (ends := (place(way.one), place(way.two)))
        }

    def _is_sound(self, number: int) -> bool:
        """Return whether every end of a junction is part of something that closes well."""
        chains = (self._closed_from(end) for end in self._junctions[number].ends)
        return all(self._worth(chain) for chain in chains)

    def _score(self, numbers: Iterable[int]) -> float:
        """Return how much of what goes through some junctions closes well, mm of dashes."""
        ends = (end for number in numbers for end in self._junctions[number].ends)
        return sum(self._worth(chain) for chain in {self._closed_from(end) for end in ends})

    def _closed_from(self, start: int) -> tuple[int, ...]:
        """Return the closed chain through an end, in its fixed form; () when it is open."""
        chain, end = [], start ^ 1
        while True:
            chain.append(end)
            way = self._at.get(end ^ 1)
            if way is None:
                return ()
            end = way.two if way.one == end ^ 1 else way.one
            if end == chain[0]:
                return _fixed_form(chain)

    def _worth(self, chain: tuple[int, ...]) -> float:
        """Return the dashes of a closed chain, mm; 0 when it is open or no outline."""
        if not chain:
            return 0.0
        if chain not in self._known:
            line = chained(chain, self._at, self._lines, self._ends)
            sound = outline_of(line).fault is None
            worth = sum(line.dashes) + PER_DASH * len(line.dashes)
            self._known[chain] = worth if sound else 0.0
        return self._known[chain]


def _fixed_form(chain: Sequence[int]) -> tuple[int, ...]:
    """Return a closed chain of entered ends from its lowest line on, entered at its first end."""
    first = min(range(len(chain)), key=lambda place: chain[place] // 2)
    turned = (*chain[first:], *chain[:first])
    if turned[0] % 2 == 0:
        return turned
    # The other way round every line is entered at its other end.
    back = tuple(end ^ 1 for end in reversed(turned))
    return (back[-1], *back[:-1])
