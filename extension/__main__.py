# SPDX-License-Identifier: GPL-2.0-or-later
"""`thriftlay COMMAND …` or `python -m extension COMMAND …`: the commands without the editor.

The clock starts here, before anything heavy is loaded: a person who types 20 seconds means
20 seconds from the return key. Worker processes load this module again and must do nothing.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from typing import NoReturn

from extension.language.faults import NO_MEMORY, is_memory
from nesting.streams import end, finish, prepare, quiet_libraries, too_little_memory

BAD_INPUT, INTERRUPTED = 2, 130
"""Exit codes, as `command_line` tells them."""


def thriftlay() -> NoReturn:
    """Run the command that `pip install` puts on the path, and end the process."""
    end(main("thriftlay"))


def main(called: str = "python -m extension") -> int:
    """Run the command with the arguments of the process; return its exit code.

    `called` is what the person typed before the arguments.
    """
    started = time.perf_counter()
    prepare()
    try:
        with quiet_libraries():
            return _run(lambda: time.perf_counter() - started, called)
    except KeyboardInterrupt:
        return INTERRUPTED
    finally:
        finish(sys.stdout)
        finish(sys.stderr)


def _run(clock: Callable[[], float], called: str) -> int:
    """Load the commands and run the one that was asked for."""
    told = too_little_memory()
    if not told:
        try:
            from extension.commands.command_line import run
            from extension.commands.terminal import Terminal
        except (MemoryError, ImportError, OSError) as fault:
            if not is_memory(fault):
                raise
            told = NO_MEMORY
    if told:
        sys.stderr.write(f"{told}\n")
        return BAD_INPUT
    terminal = Terminal(sys.stdout, sys.stderr)
    return run(sys.argv[1:], terminal, clock, alone=True, called=called)


if __name__ == "__main__":
    end(main())
