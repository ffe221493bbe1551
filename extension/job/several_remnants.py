# SPDX-License-Identifier: GPL-2.0-or-later
"""Which pieces go on which of several remnants: as few of them as hold all, the smallest first.

A piece stays whole: all its copies lie on one remnant, so that left and right are of one dye lot.
What a remnant holds is asked of the engine, so this is only as exact as short runs of it are.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import combinations, permutations

Holds = Callable[[int, frozenset[int]], frozenset[int]]
"""From a remnant and pieces, by number, to those pieces of which it holds all copies at once."""

ORDERED = 3
"""Up to so many remnants are filled in every order, more of them from the largest on."""
SPLIT = 8
"""Up to so many pieces are tried in every way on two remnants when filling one by one fails."""


class Sharing:
    """Shares pieces out among remnants; `pieces` and `cloths` are their areas, mm2.

    `holds` says what lies on one remnant, and is asked the same thing once; when `is_over` no more
    is tried.
    """

    def __init__(
        self,
        pieces: Sequence[float],
        cloths: Sequence[float],
        holds: Holds,
        is_over: Callable[[], bool],
    ) -> None:
        self._pieces, self._cloths = pieces, cloths
        self._holds, self._is_over = holds, is_over
        self._known: dict[tuple[int, frozenset[int]], frozenset[int]] = {}

    def shared(self) -> dict[int, frozenset[int]]:
        """Return the pieces of each remnant that is used; what fits on none is missing."""
        every = frozenset(range(len(self._pieces)))
        best: dict[int, frozenset[int]] = {}
        for chosen in self._choices(every):
            for found in self._ways(chosen, every):
                if self._area(found) > self._area(best):
                    best = found
                if not self._is_missing(found, every):
                    return found
                if self._is_over():
                    return best
        return best

    def _choices(self, every: frozenset[int]) -> Iterator[tuple[int, ...]]:
        """Yield remnants to try: few before many, small before large; all of them last."""
        needed, numbers = sum(self._pieces[piece] for piece in every), range(len(self._cloths))
        for count in range(1, len(self._cloths) + 1):
            by_area = sorted(
                combinations(numbers, count), key=lambda some: (self._cloth_area(some), some)
            )
            for some in by_area:
                if self._cloth_area(some) >= needed or count == len(self._cloths):
                    yield some

    def _cloth_area(self, some: Collection[int]) -> float:
        return sum(self._cloths[cloth] for cloth in some)

    def _ways(
        self, chosen: tuple[int, ...], every: frozenset[int]
    ) -> Iterator[dict[int, frozenset[int]]]:
        """Yield how pieces may lie on chosen remnants: filled one by one, then split in any way."""
        largest = tuple(sorted(chosen, key=lambda cloth: (-self._cloths[cloth], cloth)))
        orders = permutations(chosen) if len(chosen) <= ORDERED else iter([largest])
        for order in orders:
            yield self._filled(order, every)
        if len(chosen) == 2 and len(every) <= SPLIT:
            yield from self._splits(chosen[0], chosen[1], every)

    def _filled(self, order: Sequence[int], every: frozenset[int]) -> dict[int, frozenset[int]]:
        """Return remnants filled one by one."""
        found, rest = {}, every
        for cloth in order:
            held = self._most(cloth, rest)
            if held:
                found[cloth] = held
            rest -= held
        return found

    def _most(self, cloth: int, pieces: frozenset[int]) -> frozenset[int]:
        """Return pieces that a remnant holds, as large as they are found."""
        held = self._asked(cloth, pieces)
        for piece in sorted(pieces - held, key=lambda one: (-self._pieces[one], one)):
            more = held | {piece}
            if self._is_small_enough(cloth, more) and not self._is_over():
                held = more if self._asked(cloth, more) == more else held
        return held

    def _splits(
        self, one: int, two: int, every: frozenset[int]
    ) -> Iterator[dict[int, frozenset[int]]]:
        """Yield all pieces on two remnants in every way in which both hold theirs."""
        ordered = sorted(every)
        for count in range(1, len(ordered)):
            for some in map(frozenset, combinations(ordered, count)):
                rest = every - some
                if not (self._is_small_enough(one, some) and self._is_small_enough(two, rest)):
                    continue
                if self._is_over():
                    return
                if self._asked(one, some) == some and self._asked(two, rest) == rest:
                    yield {one: some, two: rest}

    def _asked(self, cloth: int, pieces: frozenset[int]) -> frozenset[int]:
        """Return what a remnant holds of some pieces."""
        key = cloth, pieces
        if key not in self._known:
            self._known[key] = self._holds(cloth, pieces) if pieces else pieces
        return self._known[key]

    def _is_small_enough(self, cloth: int, pieces: frozenset[int]) -> bool:
        return sum(self._pieces[piece] for piece in sorted(pieces)) <= self._cloths[cloth]

    def _area(self, found: dict[int, frozenset[int]]) -> float:
        return sum(self._pieces[piece] for some in found.values() for piece in some)

    def _is_missing(self, found: dict[int, frozenset[int]], every: frozenset[int]) -> bool:
        return frozenset().union(*found.values()) != every
