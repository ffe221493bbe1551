# SPDX-License-Identifier: GPL-2.0-or-later
"""How far a run is, in a line."""

from __future__ import annotations

from nesting.search.keeper import Progress


def progress_text(progress: Progress) -> str:
    """Return how far a run is, in a line."""
    draft = "" if progress.rounds else ", a first draft"
    return (
        f"{progress.seconds:.0f} s: {progress.length / 1000:.3f} m, "
        f"{progress.utilisation:.1%} of the cloth used{draft}"
    )
