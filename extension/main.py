# SPDX-License-Identifier: GPL-2.0-or-later
"""The program that the launcher starts in the private environment. See `hosted`.

The clock starts here, before anything heavy is loaded. Worker processes load this file again and
must do nothing.
"""

from __future__ import annotations

import io
import json
import sys
import time
from pathlib import Path

REFUSED = 2
"""Exit code of a message without a result, as `hosted` has it."""


def main() -> int:
    """Run the command that the editor asked for; return the exit code."""
    started = time.perf_counter()
    # Isolated mode leaves our own folder out of the path.
    sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
    from nesting.streams import quiet_libraries, too_little_memory

    told = too_little_memory()
    if told:
        sys.stdout.write(json.dumps({"kind": "message", "text": told}) + "\n")
        return REFUSED
    with quiet_libraries(), io.FileIO(0, closefd=False) as stdin:  # see hosted.Raw
        from extension.hosted import run_hosted

        return run_hosted(
            sys.argv[1:],
            stdin,
            sys.stdout.buffer,
            lambda: time.perf_counter() - started,
            alone=True,
        )


if __name__ == "__main__":
    sys.exit(main())
