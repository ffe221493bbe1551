# SPDX-License-Identifier: GPL-2.0-or-later
"""The editor's end of a run: where the drawing goes, and what is said where no window opens.

Beside the launcher, in whatever Python the editor has (3.7 and later): the standard library alone.
"""

from __future__ import annotations

import os
import select
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


class Editor:
    """The editor's end of stdout and stderr.

    Both are taken out of the way of libraries: a toolkit that grumbles on stderr would open the
    editor's dialog, and one that prints on stdout would spoil the drawing.
    """

    def __init__(self) -> None:
        self._out = os.dup(1)
        self._err = os.dup(2)
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
        os.close(nowhere)
        self._left = False

    def leave(self, *_: object) -> None:
        """Take it that the editor has gone: we were asked to end (a signal handler)."""
        # No exception: inside a toolkit's main loop it would not reach our own cleaning up.
        self._left = True

    def gone(self) -> bool:
        """Return whether nobody reads our stdout any more.

        Only POSIX tells; elsewhere a run goes on to its time limit and is dropped then.
        """
        if self._left:
            return True
        if not hasattr(select, "poll"):
            return False
        poll = select.poll()
        poll.register(self._out, 0)
        broken = select.POLLERR | select.POLLHUP | select.POLLNVAL
        return any(event & broken for _, event in poll.poll(0))

    def show(self, drawing: bytes) -> None:
        """Hand the new drawing to the editor."""
        self._write(self._out, drawing)

    def say(self, messages: Sequence[str]) -> None:
        """Say something to the person: the editor puts it into a dialog."""
        if messages:
            self._write(self._err, ("\n\n".join(messages) + "\n").encode("utf-8"))

    @staticmethod
    def _write(descriptor: int, data: bytes) -> None:
        try:
            with os.fdopen(os.dup(descriptor), "wb") as stream:
                stream.write(data)
        except OSError:
            pass  # the editor has gone: nobody to tell
