# SPDX-License-Identifier: GPL-2.0-or-later
"""The program that the launcher starts in the private environment. See `hosted`.

The clock starts here, before anything heavy is loaded. Worker processes load this file again and
must do nothing.
"""

from __future__ import annotations

import io
import sys
import time
from pathlib import Path


def main() -> int:
    """Run the command that the editor asked for; return the exit code."""
    started = time.perf_counter()
    # Isolated mode leaves our own folder out of the path.
    sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
    from extension.hosted import run_hosted

    with io.FileIO(0, closefd=False) as stdin:  # see hosted.Raw
        return run_hosted(
            sys.argv[1:], stdin, sys.stdout.buffer, lambda: time.perf_counter() - started
        )


if __name__ == "__main__":
    sys.exit(main())
