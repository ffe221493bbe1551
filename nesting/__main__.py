# SPDX-License-Identifier: GPL-2.0-or-later
"""`python -m nesting JOB`: lays out a job file. See `nesting.command`.

The clock starts here, before anything heavy is loaded: a person who types 20 seconds means
20 seconds from the return key.
"""

from __future__ import annotations

import os
import sys
import time

INTERRUPTED = 130
"""Exit code of a run that was ended before it had anything to keep, as shells have it."""


def main() -> int:
    """Run the command with the arguments of the process; return its exit code."""
    started = time.perf_counter()
    for library in ("OMP", "OPENBLAS", "MKL"):
        # More threads would fight the search's own, and could add up in another order.
        os.environ.setdefault(f"{library}_NUM_THREADS", "1")
    try:
        from nesting.command import run

        return run(sys.argv[1:], clock=lambda: time.perf_counter() - started)
    except KeyboardInterrupt:
        return INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
