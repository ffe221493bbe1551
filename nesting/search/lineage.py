# SPDX-License-Identifier: GPL-2.0-or-later
"""A lineage: the layouts of one chain that come of one beginning, and when it has come to an end.

A chain that steps back from its best layout again and again comes to the same few layouts in the
end, while another beginning finds others as often as a young chain does (measured). So a lineage
that has found nothing for as long as it took to come where it is makes room for another. In turn
that one begins afresh from the first layout, with other random numbers and apart from all others,
or from the best of all, changed about.
"""

from __future__ import annotations

from dataclasses import dataclass

from nesting.cloth.problem import Spot
from nesting.geometry.arrays import Ints

LEAST, PATIENCE = 80, 2
"""Rounds that a lineage lasts at least, and how many times as long as it took to come to its best
layout."""


@dataclass(frozen=True, eq=False, slots=True)
class Found:
    """A layout: its length in mm, its spots, and the grid state it came from."""

    length: float
    spots: tuple[Spot, ...]
    state: Ints


@dataclass(eq=False, slots=True)
class Lineage:
    """A lineage: `best` is its shortest layout, in its round `since`; it is `age` rounds old.

    One that is `alone` takes nothing over from other chains, until it is better than all.
    """

    best: Found
    alone: bool = False
    age: int = 0
    since: int = 0

    def take(self, found: Found) -> None:
        """Take a layout that is shorter than its best."""
        self.best, self.since = found, self.age

    @property
    def is_over(self) -> bool:
        """Return whether it has found nothing for long, seen from how long it took before."""
        return self.age >= max(LEAST, PATIENCE * self.since)


def begins_afresh(number: int, lineages: int) -> bool:
    """Return whether the next lineage of a chain begins from the first layout.

    `number` is that of the chain, whose neighbours do the other, and `lineages` how many it has
    had, the first one counted.
    """
    return (number + lineages) % 2 == 0
