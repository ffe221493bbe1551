# SPDX-License-Identifier: GPL-2.0-or-later
"""What commands say in a terminal: results on stdout, faults and progress on stderr."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TextIO

from nesting.keeper import Progress


@dataclass(frozen=True, slots=True)
class Terminal:
    """Two streams to write to."""

    out: TextIO
    err: TextIO

    def say(self, text: str) -> None:
        """Write a line of the result."""
        self.out.write(f"{text}\n")

    def complain(self, text: str) -> None:
        """Write a fault as one line."""
        self.err.write(f"{' '.join(text.split())}\n")

    def show(self, progress: Progress) -> None:
        """Tell how far a run is."""
        self.show_line(progress_text(progress))

    def show_line(self, text: str) -> None:
        """Overwrite the progress line, where a person can see it."""
        if self.err.isatty():
            self.err.write(f"\r\x1b[K{text}")
            self.err.flush()

    def clear(self) -> None:
        """Wipe the progress line."""
        if self.err.isatty():
            self.err.write("\r\x1b[K")
            self.err.flush()


def progress_text(progress: Progress) -> str:
    """Return how far a run is, in a line."""
    draft = "" if progress.rounds else ", a first draft"
    return (
        f"{progress.seconds:.0f} s: {progress.length / 1000:.3f} m, "
        f"{progress.utilisation:.1%} of the cloth used{draft}"
    )
