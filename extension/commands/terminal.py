# SPDX-License-Identifier: GPL-2.0-or-later
"""What commands say in a terminal: results on stdout, faults and progress on stderr."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass, field
from typing import TextIO

from extension.language.errors import OutputError
from extension.operations.progress import progress_text
from nesting.search.keeper import Progress
from nesting.stop import Request
from nesting.streams import finish, let_go


@dataclass(frozen=True, slots=True)
class Terminal:
    """Two streams to write to. `best` is asked for as soon as there is something to keep."""

    out: TextIO
    err: TextIO
    best: Request = field(default_factory=Request)

    def say(self, text: str) -> None:
        """Write a line of the result. Raises OutputError when it cannot be written."""
        try:
            self.out.write(f"{text}\n")
        except OSError as error:
            let_go(self.out)
            self._lost(error)

    def complain(self, text: str) -> None:
        """Write a fault as one line."""
        with contextlib.suppress(OSError):  # nobody left to tell
            self.err.write(f"{' '.join(text.split())}\n")

    def finish(self) -> None:
        """Write what is still held back. Raises OutputError when it cannot be written."""
        error = finish(self.out)
        if error is not None:
            self._lost(error)

    @staticmethod
    def _lost(error: OSError) -> None:
        """Tell that lines are lost; a reader that has read enough, such as `head`, misses none."""
        if not isinstance(error, BrokenPipeError):
            raise OutputError(
                f"What there is to say could not be written (the system says “{error.strerror}”): "
                "free some space, or let it be written elsewhere."
            ) from error

    def show(self, progress: Progress) -> None:
        """Tell how far a run is."""
        self.show_best(progress_text(progress))

    def show_best(self, text: str) -> None:
        """Tell how far a run is that has something to keep when it is stopped."""
        self.best.ask()
        self.show_line(text)

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
