# SPDX-License-Identifier: GPL-2.0-or-later
"""The dash pattern of a line, read from its dashes: lengths that repeat, and the gap between."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

LEAST = 5
"""So many dashes it takes to know a pattern."""
SAME = 0.12
"""By which share of itself a dash may differ from others of its kind..."""
SAME_MM = 0.25
"""...or by so many mm, if that is more."""
OFTEN = 0.2
"""A kind of dash that is a smaller share of them is a dash cut short."""
MOST = 0.7
"""Share of the dashes, and of the gaps, that must be of a kind."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """A dash pattern: its kinds of dashes, longest first, and how often each per turn; mm."""

    dashes: tuple[float, ...]
    times: tuple[int, ...]
    gap: float

    def as_drawn(self) -> tuple[float, ...]:
        """Return the pattern as dashes and gaps in turn, the longest dash first."""
        each = zip(self.dashes, self.times, strict=True)
        return tuple(one for dash, times in each for _ in range(times) for one in (dash, self.gap))


def pattern_of(lengths: Sequence[float], gaps: Sequence[float]) -> Pattern | None:
    """Return the pattern of a line from the lengths of its dashes and of the gaps between, mm.

    None when there are too few, or when they do not repeat: a line that was cut anyhow.
    """
    if len(lengths) < LEAST or len(gaps) < LEAST - 1:
        return None
    often = max(2.0, OFTEN * len(lengths))
    kinds = [kind for kind in _kinds(lengths) if len(kind) >= often]
    gap = median(gaps)
    even = sum(_alike(gap, one) for one in gaps)
    if len(kinds) > 3 or even < MOST * len(gaps) or sum(map(len, kinds)) < MOST * len(lengths):
        return None
    kinds.sort(key=median, reverse=True)
    fewest = min(map(len, kinds))
    return Pattern(
        tuple(round(median(kind), 2) for kind in kinds),
        tuple(max(round(len(kind) / fewest), 1) for kind in kinds),
        round(gap, 2),
    )


def unlikeness(one: Pattern | None, other: Pattern | None) -> float:
    """Return how much two patterns differ: 0 the same or not known, 1 nothing in common."""
    if one is None or other is None:
        return 0.0
    strangers = sum(not any(_alike(a, b) for b in other.dashes) for a in one.dashes)
    strangers += sum(not any(_alike(a, b) for b in one.dashes) for a in other.dashes)
    dashes = strangers / (len(one.dashes) + len(other.dashes))
    return 0.8 * dashes + 0.2 * (not _alike(one.gap, other.gap))


def fits_in(pattern: Pattern | None, dashes: Sequence[float]) -> bool:
    """Return whether a line of these dashes may be a part of a pattern: none is too long for it."""
    if pattern is None:
        return True
    return all(dash <= pattern.dashes[0] or _alike(dash, pattern.dashes[0]) for dash in dashes)


def _kinds(lengths: Sequence[float]) -> list[list[float]]:
    """Return the lengths in groups of like ones, shortest first."""
    kinds: list[list[float]] = []
    for length in sorted(lengths):
        if kinds and _alike(kinds[-1][0], length):
            kinds[-1].append(length)
        else:
            kinds.append([length])
    return kinds


def _alike(one: float, other: float) -> bool:
    return abs(one - other) <= max(SAME_MM, SAME * max(one, other))
