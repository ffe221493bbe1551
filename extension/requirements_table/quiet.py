# SPDX-License-Identifier: GPL-2.0-or-later
"""Keeps from the person what libraries and worker processes write on stderr.

They write past Python, so the file descriptor itself is turned aside while they run.
"""

from __future__ import annotations

import contextlib
import os
import sys
import tempfile
from collections.abc import Iterator
from types import TracebackType

from nesting.errors import ThriftlayError

STDERR = 2


class Quiet:
    """What is written on stderr within goes to a file; an unexpected fault brings it back."""

    def __init__(self) -> None:
        self._kept: int | None = None
        self._aside = tempfile.TemporaryFile()  # noqa: SIM115 (closed on leaving)

    def __enter__(self) -> Quiet:
        """Turn stderr aside. Without a stderr there is nothing to do."""
        with contextlib.suppress(OSError):
            self._kept = os.dup(STDERR)
            self._turn(self._aside.fileno())
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, _: TracebackType | None
    ) -> None:
        """Turn it back; what was written is shown when the program itself is at fault."""
        if self._kept is not None:
            self._turn(self._kept)
            if kind is not None and not issubclass(kind, (ThriftlayError, KeyboardInterrupt)):
                os.write(STDERR, self.written())
            os.close(self._kept)
            self._kept = None
        self._aside.close()

    @contextlib.contextmanager
    def aloud(self) -> Iterator[None]:
        """Let what is written within, which is meant for the person, reach stderr."""
        if self._kept is None:
            yield
            return
        self._turn(self._kept)
        try:
            yield
        finally:
            self._turn(self._aside.fileno())

    def written(self) -> bytes:
        """Return what was kept back so far."""
        self._aside.seek(0)
        return self._aside.read()

    @staticmethod
    def _turn(target: int) -> None:
        if sys.stderr is not None:
            sys.stderr.flush()
        os.dup2(target, STDERR)
