# SPDX-License-Identifier: GPL-2.0-or-later
"""Ctrl-C on the command line: it keeps the best so far, or ends a command at once."""

from __future__ import annotations

import contextlib
import signal
from collections.abc import Iterator
from types import FrameType

from nesting.stop import Request


@contextlib.contextmanager
def stopping(request: Request) -> Iterator[None]:
    """Let the first Ctrl-C (or a polite kill) ask for a stop; a second one ends at once."""
    before = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)}

    def ask(number: int, frame: FrameType | None) -> None:
        request.ask()
        signal.signal(number, before[signal.Signals(number)])

    for number in before:
        signal.signal(number, ask)
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


@contextlib.contextmanager
def ending() -> Iterator[None]:
    """Let a polite kill end what is done within, as Ctrl-C does: KeyboardInterrupt."""
    before = signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)
