# SPDX-License-Identifier: GPL-2.0-or-later
"""What a search must offer, so that one can be put in place of another."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from nesting.cloth.problem import Problem, Spot


class Improver(Protocol):
    """A search that starts from a layout and hands over shorter ones until it is told to stop.

    `should_stop` is asked with the number of rounds done, often, also in mid-round; `on_better`
    gets complete candidates in order, with the number of rounds done. Returns the rounds done.
    """

    def __call__(
        self,
        problem: Problem,
        start: tuple[Spot | None, ...],
        *,
        seed: int,
        workers: int,
        should_stop: Callable[[int], bool],
        on_better: Callable[[tuple[Spot, ...], int], None],
    ) -> int:
        """Improve a layout of an open-ended problem; see the class."""
