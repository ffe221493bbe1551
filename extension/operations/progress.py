# SPDX-License-Identifier: GPL-2.0-or-later
"""How far a run is, in a line."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass, replace

from nesting.search.keeper import OnProgress, Progress
from nesting.stop import Clock


@dataclass(frozen=True, slots=True)
class ProgressOfAll(Progress):
    """How far a run with several layouts is: lengths in all, their use as a mean by length."""

    each: tuple[tuple[str, Progress], ...] = ()
    """The materials, and how far each is."""

    @staticmethod
    def of(each: Sequence[tuple[str, Progress]], seconds: float) -> ProgressOfAll:
        """Return how far all are, by their materials."""
        all_of_them = [one for _, one in each]
        length = sum(one.length for one in all_of_them)
        used = sum(one.utilisation * one.length for one in all_of_them)
        return ProgressOfAll(
            seconds,
            min(one.rounds for one in all_of_them),
            length,
            used / length if length > 0.0 else 0.0,
            sum(one.lower_bound for one in all_of_them),
            each=tuple(each),
        )


class Hears:
    """Tells whoever listens how far all layouts are, whichever of them has got farther."""

    def __init__(self, names: Sequence[str], tell: OnProgress | None, clock: Clock) -> None:
        self._names = list(names)
        self._tell = tell
        self._clock = clock
        self._each: dict[int, Progress] = {}
        self._last: Progress | None = None
        self._lock = threading.Lock()

    def of(self, number: int) -> OnProgress | None:
        """Return who hears of one layout."""
        if self._tell is None:
            return None

        def hear(now: Progress) -> None:
            with self._lock:
                self._each[number] = now
                if len(self._names) > 1:
                    each = [(self._names[one], self._each[one]) for one in sorted(self._each)]
                    now = ProgressOfAll.of(each, self._clock())
                self._last = now
                self._told(now)

        return hear

    def time_passes(self, now: Progress) -> None:
        """Tell once more how far the layouts are: something is tried beside them."""
        if self._last is not None:
            self._told(replace(self._last, seconds=self._clock()))

    def _told(self, now: Progress) -> None:
        if self._tell is not None:
            self._tell(now)


def progress_text(progress: Progress) -> str:
    """Return how far a run is, in a line."""
    if isinstance(progress, ProgressOfAll):
        each = "; ".join(
            f"{name} {one.length / 1000:.3f} m{'' if one.rounds else ' (first draft)'}"
            for name, one in progress.each
        )
        return f"{progress.seconds:.0f} s: {each}"
    draft = "" if progress.rounds else ", a first draft"
    return (
        f"{progress.seconds:.0f} s: {progress.length / 1000:.3f} m, "
        f"{progress.utilisation:.1%} of the cloth used{draft}"
    )
