# SPDX-License-Identifier: GPL-2.0-or-later
"""The reserve: the least tangled states of targets given up, from which the next ones start.

A chain that always goes on from where it stands wanders off; one that comes back to states that
were nearly free of overlap, each time changed a little, gets through in the end. A state that
was started from often enough is dropped for good, so that one dead end does not hold all.
"""

from __future__ import annotations

import numpy as np

from nesting.geometry.arrays import Ints

MOST = 20
"""States kept."""
BIAS = 3.0
"""How much the less tangled ones are preferred: 1 would be not at all."""
STARTS = 10
"""Times that a state is started from before it is dropped."""


class Reserve:
    """States of one chain below one length reached, the least tangled first.

    Two that are equally tangled are taken to be the same: mostly they are, but for a cell or for
    equal parts in each other's places.
    """

    def __init__(self) -> None:
        self._states: list[tuple[int, Ints]] = []
        self._starts: dict[int, int] = {}

    def clear(self) -> None:
        """Forget all states: they belong to another length."""
        self._states.clear()
        self._starts.clear()

    def add(self, tangled: int, state: Ints) -> None:
        """Keep a state (3, parts) with the sum of its depths, if it is new and among the least."""
        if tangled in self._starts:
            return
        self._starts[tangled] = 0
        self._states.append((tangled, state.copy()))
        self._states.sort(key=lambda each: each[0])
        for dropped, _ in self._states[MOST:]:
            del self._starts[dropped]
        del self._states[MOST:]

    def pick(self, generator: np.random.Generator, otherwise: Ints) -> Ints:
        """Return a copy of a state to start from, mostly one of the less tangled.

        Returns one of `otherwise` when none is left.
        """
        chosen = otherwise
        if self._states:
            place = int(len(self._states) * float(generator.random()) ** BIAS)
            tangled, chosen = self._states[place]
            self._starts[tangled] += 1
            if self._starts[tangled] == STARTS:
                del self._states[place]
        copied: Ints = chosen.copy()
        return copied
