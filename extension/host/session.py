# SPDX-License-Identifier: GPL-2.0-or-later
"""What the progress window says, and what its buttons and keys do, whatever toolkit draws it.

Two ways to end a run: *stop* keeps the best so far, *cancel* leaves the drawing as it was. A key
that slips must not cost a layout: Enter never cancels, and Escape has to be pressed twice.
Standard library alone, Python 3.7 and later.
"""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable

    Progress = dict[str, object]
    Step = Callable[[], "Progress | None"]
    """Tells the last progress, {} before there is any, or None after the end.

    It is {"text": lines, "done": 0 to 1 or None, "left": seconds to the time limit when it was
    told or None, "limit": seconds in all or None, "at": when it came, seconds of `clock`,
    "cancels": whether nothing can be kept, "picture": see `pictures`}.
    """

HEADING = "Thriftlay is at work"
STOP = "Stop and keep the best so far"
CANCEL = "Cancel"
FIRST = "Reading the drawing…"
FINISHING = "Finishing: judging the best so far…"
ENDING = "Ending: the drawing stays as it was…"
TIME_LEFT = "Time left: {}"
WAITS = "The editor waits until this is done."
KEYS = f"Enter: stop and keep. Escape, twice: cancel. {WAITS}"
KEYS_CANCEL = f"Escape, twice: cancel. {WAITS}"
ONCE_MORE = "Press Escape once more to cancel: nothing is kept, and the drawing stays as it was."
CALM = 1.0
"""Seconds in which Enter does nothing: it may still be meant for the dialog before."""
MOST_LETTERS = 600


class View(NamedTuple):
    """What is seen of a window now. `share` is that of the time, None when it is not known."""

    text: str
    share: float | None
    hint: str
    shows_stop: bool
    can_stop: bool
    can_cancel: bool
    picture: object


class Session:
    """A run as its window has it."""

    def __init__(
        self,
        step: Step,
        stop: Callable[[], None],
        cancel: Callable[[], None],
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._step = step
        self._ask = {"stop": stop, "cancel": cancel}
        self._clock = clock
        self._begun = clock()
        self._asked = ""
        self._escaped = False
        self._progress: Progress = {}

    def look(self) -> View | None:
        """Return what is to be seen now, None when the run has ended."""
        progress = self._step()
        if progress is None:
            return None
        self._progress = progress
        text, share = self._words()
        keeps = not progress.get("cancels")
        return View(
            text,
            share,
            ONCE_MORE if self._escaped else (KEYS if keeps else KEYS_CANCEL),
            keeps,
            self._can_stop,
            self._asked != "cancel",
            progress.get("picture"),
        )

    def stop(self) -> None:
        """Stop and keep the best so far, where there is one."""
        if self._can_stop:
            self._end("stop")

    def cancel(self) -> None:
        """End without a result."""
        if self._asked != "cancel":
            self._end("cancel")

    def enter(self) -> None:
        """Stop when Enter was pressed, which never cancels."""
        if self._clock() - self._begun >= CALM:
            self.stop()

    def escape(self) -> None:
        """Cancel when Escape was pressed a second time."""
        if self._escaped:
            self.cancel()
        self._escaped = self._asked != "cancel"

    def close(self) -> None:
        """End when the window is asked to close: what can be kept is kept."""
        if self._can_stop:
            self.stop()
        elif not self._asked:
            self.cancel()

    @property
    def _can_stop(self) -> bool:
        return not self._asked and bool(self._progress) and not self._progress.get("cancels")

    def _end(self, how: str) -> None:
        self._asked, self._escaped = how, False
        self._ask[how]()

    def _words(self) -> tuple[str, float | None]:
        """Return the lines to show and the share that is done."""
        progress = self._progress
        left, limit = _number(progress.get("left")), _number(progress.get("limit"))
        share = _number(progress.get("done"))
        if left is not None:
            told = _number(progress.get("at"))
            left -= 0.0 if told is None else max(self._clock() - told, 0.0)
            if limit is not None and limit > 0.0:
                share = 1.0 - left / limit
        if share is not None:
            share = min(1.0, max(0.0, share))
        if self._asked == "cancel":
            return ENDING, share
        text = plain(progress.get("text")) or FIRST
        if self._asked == "stop" or (left is not None and left <= 0.0):
            return f"{text}\n{FINISHING}", share
        if left is not None:
            text = f"{text}\n{TIME_LEFT.format(seconds_text(left))}"
        return text, share


def seconds_text(seconds: float) -> str:
    """Return a time in words, in steps that a person cares for."""
    whole = int(seconds + 0.999)
    if whole < 120:
        return f"{whole} s"
    minutes = (whole + 59) // 60
    if minutes < 120:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60} min"


def plain(text: object) -> str:
    """Return text as every toolkit takes it: no control characters, no halves of characters."""
    if not isinstance(text, str):
        return ""
    whole = text[:MOST_LETTERS].encode("utf-8", "replace").decode("utf-8")
    return "".join(one for one in whole if one == "\n" or one.isprintable())


def _number(told: object) -> float | None:
    """Return a number that is one: finite, and of a size that a clock may show."""
    if isinstance(told, bool) or not isinstance(told, (int, float)):
        return None
    return float(told) if abs(told) <= 1e9 else None
