# SPDX-License-Identifier: GPL-2.0-or-later
"""Which option every junction has taken, what closes with that, and what would with another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shapely.geometry import Polygon

from extension.joining.bridges import Way
from extension.joining.junctions import Junction
from extension.joining.lines import Ends, Line
from extension.joining.outlines import outline_of
from extension.joining.weaving import chained

PER_DASH = 0.5
"""mm that a dash counts for beside its length, so that dots count."""

Change = tuple[tuple[int, int], ...]
"""Junctions (by number) and the options that they are to take."""
Chain = tuple[int, ...]
"""The ends at which the lines of a closed chain are entered, in a fixed form; () for an open one.
"""


class Choices:
    """The option that each junction takes, at first the cheapest; at most `trials` are tried."""

    def __init__(
        self, lines: Sequence[Line], ends: Ends, junctions: Sequence[Junction], trials: int
    ) -> None:
        self.ends = ends
        self.junctions = junctions
        self.trials = trials
        self.chosen = [0] * len(junctions)
        self._lines = lines
        self._at: dict[int, Way] = {}
        self._worth: dict[Chain, float] = {(): 0.0}
        for number in range(len(junctions)):
            self._choose(number, 0)

    def ways(self) -> tuple[Way, ...]:
        """Return the ways that are taken as it stands."""
        return tuple(way for end, way in sorted(self._at.items()) if end == way.one)

    def make(self, change: Change) -> Change:
        """Make a change; return the one that undoes it."""
        undo = tuple((number, self.chosen[number]) for number, _ in change)
        for number, option in change:
            self._choose(number, min(option, len(self.junctions[number].options) - 1))
        return undo

    def chains(self, numbers: Iterable[int]) -> set[Chain]:
        """Return what closes soundly through some junctions."""
        ends = (end for number in numbers for end in self.junctions[number].ends)
        return {chain for end in ends if self.worth(chain := self._closed_from(end))}

    def chains_with(self, change: Change) -> set[Chain]:
        """Return what would close soundly through the junctions of a change once it is made."""
        self.trials -= 1
        undo = self.make(change)
        found = self.chains(number for number, _ in change)
        self.make(undo)
        return found

    def is_sound(self, number: int) -> bool:
        """Return whether every end of a junction is part of something that closes soundly."""
        return all(self.worth(self._closed_from(end)) for end in self.junctions[number].ends)

    def worth(self, chain: Chain) -> float:
        """Return the dashes of a closed chain, mm; 0 when it is open or no outline."""
        if chain not in self._worth:
            line = chained(chain, self._at, self._lines, self.ends)
            dashes = sum(line.dashes) + PER_DASH * len(line.dashes)
            self._worth[chain] = dashes if outline_of(line).fault is None else 0.0
        return self._worth[chain]

    def drawn_with(self, change: Change) -> list[Polygon]:
        """Return the outlines that close with a change, the largest first."""
        undo = self.make(change)
        chains = sorted(self.chains(number for number, _ in change))
        lines = [chained(chain, self._at, self._lines, self.ends) for chain in chains]
        self.make(undo)
        return sorted((Polygon(outline_of(line).points) for line in lines), key=lambda p: -p.area)

    def _choose(self, number: int, option: int) -> None:
        """Let a junction take an option."""
        junction = self.junctions[number]
        for end in junction.ends:
            self._at.pop(end, None)
        for way in junction.options[option].ways:
            self._at[way.one] = self._at[way.two] = way
        self.chosen[number] = option

    def _closed_from(self, start: int) -> Chain:
        """Return the closed chain through an end; () when it is open."""
        chain, end = [], start ^ 1
        # Linked two by two, the lines lie in open chains and in rings: none is entered twice.
        for _ in self._lines:
            chain.append(end)
            way = self._at.get(end ^ 1)
            if way is None:
                return ()
            end = way.two if way.one == end ^ 1 else way.one
            if end == chain[0]:
                return _fixed_form(chain)
        raise AssertionError("an end is linked with two others")


def _fixed_form(chain: Sequence[int]) -> Chain:
    """Return a closed chain of entered ends from its lowest line on, entered at its first end."""
    first = min(range(len(chain)), key=lambda place: chain[place] // 2)
    turned = (*chain[first:], *chain[:first])
    if turned[0] % 2 == 0:
        return turned
    # The other way round every line is entered at its other end.
    back = tuple(end ^ 1 for end in reversed(turned))
    return (back[-1], *back[:-1])
