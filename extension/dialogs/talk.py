# SPDX-License-Identifier: GPL-2.0-or-later
"""What a menu command tells the launcher, and what it may use: clock, stop, limits.

One line of JSON for each progress and message; the launcher tells what the lines are.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import BinaryIO

from extension.operations.progress import progress_text
from nesting.search.keeper import Progress
from nesting.stop import Clock, StopRule

LINE_EVERY = 0.2
"""Seconds between two progress lines for the same length."""


class Talk:
    """Tells the launcher what happens."""

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream
        self._notes: list[str] = []
        self.keeps = False
        """Whether progress was told of that a stop keeps."""

    def note(self, text: str) -> None:
        """Keep a message about the result, to be told with it."""
        self._notes.append(text)

    def tell_notes(self) -> None:
        """Tell the messages about the result."""
        for text in self._notes:
            self.tell("message", text)

    def tell(
        self, kind: str, text: str, done: float | None = None, *, cancels: bool = False
    ) -> None:
        """Write one line of JSON at once; a launcher that has gone is no fault.

        `cancels` says that a stop leaves nothing, not the best so far.
        """
        self.keeps = self.keeps or (kind == "progress" and not cancels)
        told = {"kind": kind, "text": text, "done": done}
        line = json.dumps({**told, "cancels": True} if cancels else told)
        try:
            self._stream.write(line.encode("ascii") + b"\n")
            self._stream.flush()
        except OSError:
            return


class ProgressLines:
    """Hears of every better layout and of the time passing, and tells it now and then."""

    def __init__(self, talk: Talk, seconds: float) -> None:
        self._talk = talk
        self._limit = seconds
        self._length = 0.0
        self._next = 0.0

    def __call__(self, now: Progress) -> None:
        """Tell how far the run is, unless the same was told a moment ago."""
        if now.length == self._length and now.seconds < self._next:
            return
        self._length, self._next = now.length, now.seconds + LINE_EVERY
        self._talk.tell("progress", progress_text(now), min(now.seconds / self._limit, 1.0))


def never() -> bool:
    """Return that nobody has cancelled."""
    return False


@dataclass(frozen=True, slots=True)
class Host:
    """What a command may use: seconds since the start, whether to stop, whom to tell.

    `cancelled` says whether a person has stopped a command that keeps nothing. `alone`: the process
    is ours, and is ended when the command does not end when it should.
    """

    clock: Clock
    stop: StopRule
    talk: Talk
    cancelled: Callable[[], bool] = never
    alone: bool = False
