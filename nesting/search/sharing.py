# SPDX-License-Identifier: GPL-2.0-or-later
"""What lies on which of several pieces of cloth: as few as hold all, the smallest first.

What a piece of cloth holds is asked of whoever searches, so this is as exact as those answers are.
First all is laid somewhere, from the largest on; then fewer and smaller ones are filled one by one,
in several orders; last, what is left to be known is divided among few of them in every way.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, permutations, product

Load = tuple[int, ...]
"""How many there are of each kind of part."""
Holds = Callable[[int, Load], Load]
"""From a piece of cloth, by number, and parts to those of them that it was found to hold."""
Score = tuple[float, ...]
"""Area that is laid nowhere, mm2, for each rank: less is better."""
Cost = tuple[int, float, int]
"""Of a way to lay all, less is better: how many cloths, their area, mm2, and the level."""

ORDERED = 3
"""Up to so many pieces of cloth are filled in every order, more of them from the largest on."""
MOST_ASKED = 500
"""Times that it is asked what a cloth holds: answers may take no rounds, so these are no limit."""
DIVIDED = 256
"""Up to so many loads of one piece of cloth are tried when filling one by one fails."""


@dataclass(frozen=True, slots=True)
class Kind:
    """Parts that are as good as each other: the area of one, mm2, and the place of its priority."""

    area: float
    rank: int = 0


@dataclass(frozen=True, slots=True)
class Unit:
    """Parts that stay on one piece of cloth, and how many times there are as many."""

    load: Load
    count: int


@dataclass(frozen=True, slots=True)
class Share:
    """Which units lie on which cloth: `counts` of those of a level, by number of the cloth."""

    level: int
    counts: dict[int, Load]


class Sharing:
    """Shares parts out among pieces of cloth whose areas, mm2, are `cloths`.

    `levels` are the units that the same parts make, what is rather kept together first, where that
    takes no more cloth. Cloths of the same number in `alike` are as good as each other. `holds` is
    asked the same thing once; when `is_over` nothing more is asked.
    """

    def __init__(
        self,
        kinds: Sequence[Kind],
        levels: Sequence[Sequence[Unit]],
        cloths: Sequence[float],
        alike: Sequence[int],
        holds: Holds,
        is_over: Callable[[], bool],
    ) -> None:
        self._kinds, self._levels = kinds, levels
        self._cloths, self._alike = cloths, alike
        self._holds, self._is_told_to_stop = holds, is_over
        self._known: dict[tuple[int, Load], Load] = {}
        self._best = Share(0, {})

    def shared(self) -> Share:
        """Return the best way that was found; what was found to fit nowhere is missing in it."""
        self._best = Share(0, {})
        everywhere = tuple(sorted(range(len(self._cloths)), key=lambda k: (-self._cloths[k], k)))
        for level in range(len(self._levels)):
            self._take(level, self._filled(level, everywhere, is_short=True))
        choices = list(self._choices())
        for ways in (self._orders, self._divisions):
            for chosen in choices:
                if self._is_as_good_as(chosen):
                    break
                if self._is_over():
                    return self._best
                if any(self._take(level, way) for level, way in ways(chosen)):
                    break
        return self._best

    def _is_as_good_as(self, chosen: Collection[int]) -> bool:
        """Return whether all is laid already as well as it could be on some cloths."""
        is_all = not any(self.missing(self._best))
        return is_all and self.cost(self._best) <= self.cost(Share(0, dict.fromkeys(chosen, ())))

    def _is_over(self) -> bool:
        """Return whether nothing more is to be asked."""
        return len(self._known) >= MOST_ASKED or self._is_told_to_stop()

    # --- ways to try --------------------------------------------------------------------------

    def _choices(self) -> Iterator[tuple[int, ...]]:
        """Yield pieces of cloth to try: few before many, small before large; all of them last."""
        needed = math.fsum(self._area(unit.load) * unit.count for unit in self._levels[0])
        numbers, seen = range(len(self._cloths)), set[tuple[int, ...]]()
        for count in range(1, len(self._cloths) + 1):
            by_area = sorted(
                combinations(numbers, count), key=lambda some: (self._cloth_area(some), some)
            )
            for some in by_area:
                kinds = tuple(sorted(self._alike[cloth] for cloth in some))
                is_enough = self._cloth_area(some) >= needed or count == len(self._cloths)
                if is_enough and kinds not in seen:
                    seen.add(kinds)
                    yield some

    def _orders(self, chosen: Sequence[int]) -> Iterator[tuple[int, dict[int, Load]]]:
        """Yield how units may lie on chosen cloths that are filled one by one."""
        largest = tuple(sorted(chosen, key=lambda cloth: (-self._cloths[cloth], cloth)))
        orders = permutations(chosen) if len(chosen) <= ORDERED else iter([largest])
        once = {tuple(self._alike[cloth] for cloth in order): order for order in orders}
        for level in range(len(self._levels)):
            for order in once.values():
                yield level, self._filled(level, order)

    def _divisions(self, chosen: Sequence[int]) -> Iterator[tuple[int, dict[int, Load]]]:
        """Yield how all units lie on chosen cloths that each hold theirs."""
        for level, units in enumerate(self._levels):
            rest = tuple(unit.count for unit in units)
            if math.prod(count + 1 for count in rest) <= DIVIDED:
                for way in self._divided(level, tuple(chosen), rest):
                    yield level, way

    def _divided(
        self, level: int, chosen: tuple[int, ...], rest: Load
    ) -> Iterator[dict[int, Load]]:
        """Yield divisions of the rest of the units among the chosen cloths."""
        first, others = chosen[0], chosen[1:]
        if not others:
            if self._is_held(level, first, rest):
                yield {first: rest}
            return
        loads = product(*(range(count + 1) for count in rest))
        ordered = sorted(loads, key=lambda some: (-self._area(self._parts(level, some)), some))
        for some in ordered:
            left = tuple(a - b for a, b in zip(rest, some, strict=True))
            if self._area(self._parts(level, left)) > self._cloth_area(others):
                return  # and those that follow are smaller
            if not any(some) or self._is_over() or not self._is_held(level, first, some):
                continue
            for more in self._divided(level, others, left):
                yield {first: some, **more}

    def _filled(
        self, level: int, order: Sequence[int], *, is_short: bool = False
    ) -> dict[int, Load]:
        """Return cloths filled one by one; `is_short`: with what they hold at once."""
        found, rest = {}, tuple(unit.count for unit in self._levels[level])
        for cloth in order:
            if not any(rest) or (self._is_over() and not is_short):
                break
            held = self._most(level, cloth, rest, is_short=is_short)
            if any(held):
                found[cloth] = held
            rest = tuple(a - b for a, b in zip(rest, held, strict=True))
        return found

    def _most(self, level: int, cloth: int, rest: Load, *, is_short: bool) -> Load:
        """Return units that a cloth holds, as large as they are found."""
        units = self._levels[level]
        held = self._whole(level, self._asked(cloth, self._parts(level, rest)), rest)
        for k in sorted(range(len(units)), key=lambda k: (self._key(units[k].load), k)):
            while not is_short and held[k] < rest[k] and not self._is_over():
                more = (*held[:k], held[k] + 1, *held[k + 1 :])
                if not self._is_held(level, cloth, more):
                    break
                held = more
        return held

    def _whole(self, level: int, parts: Load, rest: Load) -> Load:
        """Return the whole units of a rest that some parts make, urgent and large ones first."""
        units, found = self._levels[level], [0] * len(rest)
        for k in sorted(range(len(units)), key=lambda k: (self._key(units[k].load), k)):
            load = units[k].load
            times = min(have // each for have, each in zip(parts, load, strict=True) if each)
            found[k] = min(times, rest[k])
            parts = tuple(a - found[k] * b for a, b in zip(parts, load, strict=True))
        return tuple(found)

    # --- what is known ------------------------------------------------------------------------

    def _is_held(self, level: int, cloth: int, counts: Load) -> bool:
        """Return whether a cloth was found to hold so many units of each sort."""
        parts = self._parts(level, counts)
        if self._area(parts) > self._cloths[cloth]:
            return False
        for (other, asked), held in self._known.items():
            if other == self._alike[cloth]:
                if _is_within(parts, held):
                    return True
                if held != asked and _is_within(asked, parts):
                    return False
        return self._asked(cloth, parts) == parts

    def _asked(self, cloth: int, parts: Load) -> Load:
        """Return what a cloth holds of some parts."""
        key = self._alike[cloth], parts
        if key not in self._known:
            self._known[key] = self._holds(cloth, parts) if any(parts) else parts
        return self._known[key]

    def _take(self, level: int, counts: dict[int, Load]) -> bool:
        """Keep a way that is better than the best; return whether all is laid."""
        share = Share(level, counts)
        missing, kept = self.missing(share), self.missing(self._best)
        is_all = not any(missing)
        if missing < kept or (is_all and self.cost(share) < self.cost(self._best)):
            self._best = share
        return is_all

    def missing(self, share: Share) -> Score:
        """Return the area that is laid nowhere, for each rank, mm2."""
        left = [0.0] * (max((kind.rank for kind in self._kinds), default=0) + 1)
        units = self._levels[share.level]
        laid = [sum(counts[k] for counts in share.counts.values()) for k in range(len(units))]
        for unit, on_cloth in zip(units, laid, strict=True):
            for kind, each in zip(self._kinds, unit.load, strict=True):
                left[kind.rank] += kind.area * each * (unit.count - on_cloth)
        return tuple(left)

    def cost(self, share: Share) -> Cost:
        """Return how many cloths are used, their area, mm2, and how far parts are parted."""
        return len(share.counts), self._cloth_area(share.counts), share.level

    def _cloth_area(self, some: Collection[int]) -> float:
        return math.fsum(self._cloths[cloth] for cloth in some)

    def _area(self, parts: Load) -> float:
        return math.fsum(n * kind.area for n, kind in zip(parts, self._kinds, strict=True))

    def _parts(self, level: int, counts: Load) -> Load:
        """Return the parts of so many units of each sort."""
        loads = [unit.load for unit in self._levels[level]]
        return tuple(
            sum(n * load[k] for n, load in zip(counts, loads, strict=True))
            for k in range(len(self._kinds))
        )

    def _key(self, load: Load) -> tuple[int, float]:
        """Return what puts urgent units before others, and large before small."""
        rank = min(kind.rank for kind, n in zip(self._kinds, load, strict=True) if n)
        return rank, -self._area(load)


def _is_within(some: Load, more: Load) -> bool:
    return all(a <= b for a, b in zip(some, more, strict=True))
