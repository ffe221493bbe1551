# SPDX-License-Identifier: GPL-2.0-or-later
"""Decides which option each junction takes: what closes outlines that do not cross themselves.

Every junction begins with its cheapest option. Where that leads to a line that stays open or
crosses itself, another option of the junction, or of two junctions at once, is tried and kept
when more of the drawing closes. (A line that winds round twice, as one does that changes from one
size to the next and back, crosses itself: a closed curve without crossings turns once, Hopf's
theorem.) What could as well be linked another way, and would close as well, is not decided.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product

from extension.joining.bridges import Way
from extension.joining.choices import Chain, Change, Choices
from extension.joining.junctions import Junction
from extension.joining.lines import Ends, Line

NEAR = 0.25
"""Share of the cost of its ways within which another option is as good..."""
NEAR_MM = 0.3
"""...or so many mm."""
AS_MUCH = 0.5
"""Share of what closes now that must close with another option for that to be a rival."""
MAIN = 0.5
"""Share of the longest line at a junction that an outline must have to be worth a change: what
closes beside that line, a dart on its edge, would stand in its way."""
SAME_DRAWN = 0.05
"""mm (area between them / length) up to which two outlines are the same."""
LONG = 100.0
"""mm of line that a doubt is worth telling for, though nothing closes either way."""
MOST_TRIALS = 4000
"""How many other options are tried in all, the nearest first."""
MOST_IN_PAIRS = 14
"""Of so many junctions two are changed at once..."""
FEW_OPTIONS = 4
"""...each to one of so many options."""


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
    choices = Choices(lines, ends, junctions, MOST_TRIALS)
    while _improve_by_one(choices) or _improve_by_two(choices):
        pass
    rivals = _rivals(choices)
    doubts = [
        doubt for number in range(len(junctions)) if (doubt := _doubt(choices, rivals, number))
    ]
    for number in rivals:
        choices.make(((number, len(junctions[number].options) - 1),))
    return Settled(choices.ways(), tuple(doubts))


# --- what closes more ---


def _improve_by_one(choices: Choices) -> bool:
    """Try the other options of each junction where something does not close."""
    better = False
    for number in _by_nearness(choices):
        if not choices.is_sound(number):
            options = range(len(choices.junctions[number].options))
            better |= _take_best(choices, (((number, option),) for option in options))
    return better


def _improve_by_two(choices: Choices) -> bool:
    """Try other options of two junctions at once, where the longest lines do not close."""
    unsound = [number for number in _by_nearness(choices) if not choices.is_sound(number)]
    unsound.sort(key=lambda number: -_longest_line(choices, number))
    return _take_best(
        choices,
        (
            ((one, first), (other, second))
            for one, other in combinations(unsound[:MOST_IN_PAIRS], 2)
            for first, second in product(range(FEW_OPTIONS), repeat=2)
        ),
    )


def _take_best(choices: Choices, changes: Iterable[Change]) -> bool:
    """Make the change that makes most close, if there is one; return whether there was."""
    best, most = None, 0.0
    for change in changes:
        if choices.trials <= 0:
            break
        gain = _gain(choices, change)
        if gain > most:
            best, most = change, gain
    if best is not None:
        choices.make(best)
    return best is not None


def _gain(choices: Choices, change: Change) -> float:
    """Return how much more closes with a change, mm of dashes; 0 when it is not to be made.

    Every line that is part of an outline must remain one, or else an outline would go round by a
    dart instead of along the edge that it stands on; and what is new must not be a trifle.
    """
    numbers = [number for number, _ in change]
    before, after = choices.chains(numbers), choices.chains_with(change)
    if not _lines_in(before) <= _lines_in(after):
        return 0.0
    new = max((choices.worth(chain) for chain in after - before), default=0.0)
    if new < MAIN * max(_longest_line(choices, number) for number in numbers):
        return 0.0
    return _worth(choices, after) - _worth(choices, before)


def _lines_in(chains: Iterable[Chain]) -> set[int]:
    return {end // 2 for chain in chains for end in chain}


def _worth(choices: Choices, chains: Iterable[Chain]) -> float:
    return sum(choices.worth(chain) for chain in sorted(chains))


def _longest_line(choices: Choices, number: int) -> float:
    """Return the length of the longest line that ends at a junction, mm."""
    return float(choices.ends.length[list(choices.junctions[number].ends)].max())


def _by_nearness(choices: Choices) -> list[int]:
    """Return the junctions in the order in which another option comes near the best."""

    def nearness(number: int) -> tuple[float, int]:
        best, second = choices.junctions[number].options[:2]
        return round(second.cost - best.cost, 6), number

    return sorted(range(len(choices.junctions)), key=nearness)


# --- what could be otherwise ---


def _rivals(choices: Choices) -> dict[int, set[int]]:
    """Return the junctions that could as well take other options, and those options.

    A change of two junctions counts as well: two lines side by side may fit at either of two ends.
    """
    near = {number: _as_good(choices, number) for number in range(len(choices.junctions))}
    found: dict[int, set[int]] = {}
    for change in _other_ways(near):
        if choices.trials <= 0:
            break
        if _is_rival(choices, change):
            for number, option in change:
                found.setdefault(number, set()).add(option)
    return found


def _other_ways(near: dict[int, list[int]]) -> Iterator[Change]:
    """Yield the changes to as good options, of one junction and of two."""
    for number, options in near.items():
        yield from (((number, option),) for option in options)
    several = [number for number, options in near.items() if options]
    for one, other in combinations(several, 2):
        for first, second in product(near[one], near[other]):
            yield (one, first), (other, second)


def _is_rival(choices: Choices, change: Change) -> bool:
    """Return whether with a change as much closes as now, and is drawn otherwise.

    Where nothing closes either way, long lines may be in doubt all the same.
    """
    numbers = [number for number, _ in change]
    now, then = choices.chains(numbers), choices.chains_with(change)
    if not now:
        ends = [end for number, option in change for end in _differing(choices, number, {option})]
        long = choices.ends.length[ends].sum() >= LONG
        return len(change) == 1 and not then and bool(long)
    if len(change) > 1 and len(now) > 1:
        return False
    as_much = _worth(choices, then) >= AS_MUCH * _worth(choices, now)
    return as_much and not _same_drawn(choices, change)


def _same_drawn(choices: Choices, change: Change) -> bool:
    """Return whether a change draws the same outlines, as good as."""
    as_it_is = tuple((number, choices.chosen[number]) for number, _ in change)
    now, then = choices.drawn_with(as_it_is), choices.drawn_with(change)
    if len(now) != len(then):
        return False
    differing = sum(one.symmetric_difference(two).area for one, two in zip(now, then, strict=True))
    return bool(differing <= SAME_DRAWN * sum(one.length for one in now))


def _doubt(choices: Choices, rivals: dict[int, set[int]], number: int) -> Doubt | None:
    """Return the doubt that there is about a junction, if any."""
    chosen = choices.chosen[number]
    if number in rivals:
        return Doubt(_differing(choices, number, rivals[number]), decided=False)
    if chosen and choices.junctions[number].options[chosen].ways:
        return Doubt(_differing(choices, number, {0}), decided=True)
    return None


def _as_good(choices: Choices, number: int) -> list[int]:
    """Return the other options of a junction that cost hardly more than the chosen one."""
    options, chosen = choices.junctions[number].options, choices.chosen[number]
    if not options[chosen].ways:
        return []
    over_gaps = sum(way.cost for way in options[chosen].ways)
    limit = options[chosen].cost + max(NEAR_MM, NEAR * over_gaps)
    near = [n for n, one in enumerate(options) if one.ways and one.cost <= limit]
    same = _links(choices, number, chosen)
    return [other for other in near if _links(choices, number, other) != same]


def _links(choices: Choices, number: int, option: int) -> set[tuple[int, int]]:
    """Return which ends an option links. It is all the same which end of a dot is taken."""

    def place(end: int) -> int:
        return end if choices.ends.length[end] else end & ~1

    return {
        (min(ends), max(ends))
        for way in choices.junctions[number].options[option].ways
        if (ends := (place(way.one), place(way.two)))
    }


def _differing(choices: Choices, number: int, options: Iterable[int]) -> tuple[int, ...]:
    """Return the ends that these options and the chosen one do not all link alike."""
    sets = [_links(choices, number, one) for one in (choices.chosen[number], *sorted(options))]
    every = {pair for each in sets for pair in each}
    differing = {pair for pair in every if not all(pair in each for each in sets)}
    return tuple(sorted({end for pair in differing for end in pair}))
