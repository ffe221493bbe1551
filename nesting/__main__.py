# SPDX-License-Identifier: GPL-2.0-or-later
"""`python -m nesting JOB`: lays out a job file. See `nesting.command`.

The clock starts here, before anything heavy is loaded: a person who types 20 seconds means
20 seconds from the return key.
"""

from __future__ import annotations

import sys
import time

from nesting.streams import end, finish, prepare, quiet_libraries, too_little_memory

BAD_INPUT = 2
INTERRUPTED = 130
"""Exit code of a run that was ended before it had anything to keep, as shells have it."""


def main() -> int:
    """Run the command with the arguments of the process; return its exit code."""
    started = time.perf_counter()
    prepare()
    told = too_little_memory()
    if told:
        sys.stderr.write(f"{told}\n")
        return BAD_INPUT
    try:
        with quiet_libraries():
            from nesting.command import run

            return run(sys.argv[1:], clock=lambda: time.perf_counter() - started)
    except KeyboardInterrupt:
        return INTERRUPTED
    finally:
        finish(sys.stdout)
        finish(sys.stderr)


if __name__ == "__main__":
    end(main())
