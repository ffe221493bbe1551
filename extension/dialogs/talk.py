# SPDX-License-Identifier: GPL-2.0-or-later
"""What a menu command tells the launcher, and what it may use: clock, stop, limits.

One line of JSON for each progress and message; the launcher tells what the lines are.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import BinaryIO

from extension.language.units import System
from extension.operations.live import Live, Picture
from nesting.search.keeper import Progress
from nesting.stop import Clock, StopRule

LINE_EVERY = 0.2
"""Seconds between two progress lines for the same length."""
PICTURE_EVERY = 0.5
"""Seconds between two pictures of the best layout."""


class Talk:
    """Tells the launcher what happens."""

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream
        self._notes: list[str] = []
        self._hints: list[str] = []
        self._done = ""
        self.keeps = False
        """Whether progress was told of that a stop keeps."""

    def note(self, text: str) -> None:
        """Keep a message about the result, to be told with it."""
        self._notes.append(text)

    def hint(self, text: str) -> None:
        """Keep what is worth a look, but stands on the drawing as well."""
        self._hints.append(text)

    def done(self, text: str) -> None:
        """Keep the sentence that says what is done and where, to be told last."""
        self._done = text

    def tell_notes(self) -> None:
        """Tell the messages about the result, what is worth a look, and last what is done."""
        for text in self._notes:
            self.tell("message", text)
        for text in self._hints:
            self.tell("hint", text)
        if self._done:
            self.tell("done", self._done)

    def tell(
        self,
        kind: str,
        text: str,
        done: float | None = None,
        *,
        cancels: bool = False,
        limit: tuple[float, float] | None = None,
    ) -> None:
        """Tell a line of text; `cancels` says that a stop leaves nothing, not the best so far.

        `limit`: the seconds that are left, and those in all.
        """
        self.keeps = self.keeps or (kind == "progress" and not cancels)
        told: dict[str, object] = {"kind": kind, "text": text, "done": done}
        if limit is not None:
            told |= {"left": round(limit[0], 2), "limit": limit[1]}
        self._write({**told, "cancels": True} if cancels else told)

    def picture(self, picture: Picture) -> None:
        """Tell what the best layout looks like."""
        self._write({"kind": "picture", **picture})

    def _write(self, told: Mapping[str, object]) -> None:
        """Write one line of JSON at once; a launcher that has gone is no fault."""
        line = json.dumps(told, separators=(",", ":"))
        try:
            self._stream.write(line.encode("ascii") + b"\n")
            self._stream.flush()
        except OSError:
            return


class ProgressLines:
    """Hears of every better layout and of the time passing, and tells it now and then.

    `seconds` are those of the time limit, `system` that in which lengths are told.
    """

    def __init__(self, talk: Talk, seconds: float, system: System) -> None:
        self._talk = talk
        self._limit = seconds
        self._live = Live(system)
        self._length = 0.0
        self._next = self._next_picture = 0.0

    def __call__(self, now: Progress) -> None:
        """Tell how far the run is, unless the same was told a moment ago."""
        if now.length != self._length or now.seconds >= self._next:
            self._length, self._next = now.length, now.seconds + LINE_EVERY
            left = max(self._limit - now.seconds, 0.0)
            done = min(now.seconds / self._limit, 1.0)
            lines = self._live.lines(now)
            self._talk.tell("progress", lines, done, limit=(left, self._limit))
        if now.seconds >= self._next_picture:
            picture = self._live.picture(now)
            if picture is not None:
                self._talk.picture(picture)
                self._next_picture = now.seconds + PICTURE_EVERY


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
