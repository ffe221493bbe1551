# SPDX-License-Identifier: GPL-2.0-or-later
"""How far a run is, in a line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from nesting.search.keeper import Progress


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
            tuple(each),
        )


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
