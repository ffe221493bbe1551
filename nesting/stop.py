# SPDX-License-Identifier: GPL-2.0-or-later
"""Stop rules: small callables that say after how many rounds, or when, a search has done enough.

A rule is asked with the number of rounds done, often, also in mid-round. A clock is a callable
that gives the seconds since the person pressed the button: it is started with the process and
handed in, so that preparation and the first layout count as well.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

Clock = Callable[[], float]
StopRule = Callable[[int], bool]


class Stopped(Exception):
    """Preparation was told to stop before it was ready."""


def go_on_unless(should_stop: Callable[[], bool]) -> None:
    """Raise Stopped when told to stop: asked between the steps of a long preparation."""
    if should_stop():
        raise Stopped


def never() -> bool:
    """Return that nothing asks for a stop."""
    return False


@dataclass(frozen=True, slots=True)
class AfterRounds:
    """Stop when so many rounds are done; 0 stops before the first."""

    rounds: int

    def __call__(self, rounds: int) -> bool:
        """Return whether enough rounds are done."""
        return rounds >= self.rounds


@dataclass(frozen=True, slots=True)
class AfterSeconds:
    """Stop when a clock shows so many seconds."""

    seconds: float
    clock: Clock

    def __call__(self, rounds: int) -> bool:
        """Return whether the time is up, whatever is done."""
        # Written so that a limit that is no number stops at once instead of never.
        return not self.clock() < self.seconds


class Request:
    """Stop when asked to: by a button, a signal, another thread."""

    def __init__(self) -> None:
        self._asked = False

    def ask(self) -> None:
        """Ask for a stop; asking again changes nothing."""
        self._asked = True

    def __call__(self, rounds: int) -> bool:
        """Return whether a stop has been asked for."""
        return self._asked


class AnyOf:
    """Stop as soon as one of several rules says so; no rule at all never stops."""

    def __init__(self, *rules: StopRule) -> None:
        self._rules = rules

    def __call__(self, rounds: int) -> bool:
        """Return whether any rule says stop."""
        return any(rule(rounds) for rule in self._rules)
