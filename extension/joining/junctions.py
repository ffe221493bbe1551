# SPDX-License-Identifier: GPL-2.0-or-later
"""Places where several ends are free: every way in which they may be linked, best first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from extension.joining.bridges import Way

MOST_ENDS = 8
"""So many ends of one place are tried in every combination; of more, only the good ways are."""
MOST_OPTIONS = 16
"""How many combinations of one place are kept."""
GOOD = (2.5, 1.5)
"""Of a crowded place ways are kept up to so many times the best of either end; then fewer."""


@dataclass(frozen=True, slots=True)
class Option:
    """One way to link the ends of a place, and what it costs, mm; free ends cost as well."""

    ways: tuple[Way, ...]
    cost: float


@dataclass(frozen=True, slots=True)
class Junction:
    """Some ends, and the options to link them, the cheapest first. The last one links none."""

    ends: tuple[int, ...]
    options: tuple[Option, ...]


def junctions(ways: Sequence[Way], free_cost: Mapping[int, float]) -> list[Junction]:
    """Return the places at which ends can be linked, in the order of their lowest end.

    `free_cost` is what it costs, mm, to leave an end unlinked.
    """
    found: list[Junction] = []
    for group in _components(ways):
        for part in _thinned(group, GOOD):
            ends = tuple(sorted(_ends_of(part)))
            found.append(Junction(ends, tuple(_options(part, ends, free_cost))))
    return sorted(found, key=lambda junction: junction.ends)


def _thinned(ways: Sequence[Way], limits: Sequence[float]) -> Iterator[Sequence[Way]]:
    """Yield the ways of a place, in several parts when too many ends take part."""
    if len(_ends_of(ways)) <= MOST_ENDS:
        yield ways
        return
    best = _best(ways)
    if not limits:
        # A thicket: only what is best from both sides. Ways as good as each other may share an
        # end, and no end may belong to two places.
        found = _components([one for one in ways if best[one.one] == best[one.two] == one.cost])
        yield from (part for part in found if len(_ends_of(part)) <= MOST_ENDS)
        return
    kept = [one for one in ways if one.cost <= limits[0] * min(best[one.one], best[one.two]) + 1e-6]
    for part in _components(kept):
        yield from _thinned(part, limits[1:])


def _ends_of(ways: Sequence[Way]) -> set[int]:
    return {end for one in ways for end in (one.one, one.two)}


def _best(ways: Sequence[Way]) -> dict[int, float]:
    best: dict[int, float] = {}
    for one in ways:
        for end in (one.one, one.two):
            best[end] = min(best.get(end, one.cost), one.cost)
    return best


def _components(ways: Sequence[Way]) -> list[list[Way]]:
    """Return the ways in groups that share no end, in the order of their lowest end."""
    leader: dict[int, int] = {}

    def find(end: int) -> int:
        while leader.setdefault(end, end) != end:
            leader[end] = leader[leader[end]]
            end = leader[end]
        return end

    for one in ways:
        low, high = sorted((find(one.one), find(one.two)))
        leader[high] = low
    groups: dict[int, list[Way]] = {}
    for one in ways:
        groups.setdefault(find(one.one), []).append(one)
    return [groups[low] for low in sorted(groups)]


def _options(
    ways: Sequence[Way], ends: Sequence[int], free_cost: Mapping[int, float]
) -> list[Option]:
    """Return the cheapest ways to link the ends, and last the one that links none."""
    at: dict[int, list[Way]] = {end: [] for end in ends}
    for one in sorted(ways, key=lambda each: (each.cost, each.one, each.two)):
        at[min(one.one, one.two)].append(one)

    def combine(rest: tuple[int, ...]) -> Iterator[tuple[tuple[Way, ...], float]]:
        if not rest:
            yield (), 0.0
            return
        first, others = rest[0], rest[1:]
        for one in at[first]:
            partner = max(one.one, one.two)
            if partner in others:
                left = tuple(end for end in others if end != partner)
                for linked, cost in combine(left):
                    yield (one, *linked), cost + one.cost
        for linked, cost in combine(others):
            yield linked, cost + free_cost[first]

    every = [Option(linked, cost) for linked, cost in combine(tuple(ends))]
    every.sort(key=lambda option: (round(option.cost, 6), [(w.one, w.two) for w in option.ways]))
    none = [option for option in every if not option.ways]
    return [option for option in every if option.ways][: MOST_OPTIONS - 1] + none
