# SPDX-License-Identifier: GPL-2.0-or-later
"""`python -m extension COMMAND …`: the commands without the editor. See `command_line`.

The clock starts here, before anything heavy is loaded: a person who types 20 seconds means
20 seconds from the return key. Worker processes load this module again and must do nothing.
"""

from __future__ import annotations

import os
import sys
import time


def main() -> int:
    """Run the command with the arguments of the process; return its exit code."""
    started = time.perf_counter()
    for library in ("OMP", "OPENBLAS", "MKL"):
        # More threads would fight the search's own, and could add up in another order.
        os.environ.setdefault(f"{library}_NUM_THREADS", "1")
    from extension.command_line import run
    from extension.terminal import Terminal

    terminal = Terminal(sys.stdout, sys.stderr)
    return run(sys.argv[1:], terminal, lambda: time.perf_counter() - started)


if __name__ == "__main__":
    sys.exit(main())
