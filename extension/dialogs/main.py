# SPDX-License-Identifier: GPL-2.0-or-later
"""The program that the launcher starts in the private environment. See `hosted`.

The clock starts here, before anything heavy is loaded. Worker processes load this file again and
must do nothing.
"""

from __future__ import annotations

import io
import json
import re
import sys
import time
from pathlib import Path

REFUSED = 2
"""Exit code of a message without a result, as `hosted` has it."""
NOT_THIS_PYTHON = (
    "Python on this computer was changed from {before} to {now} since Thriftlay was set up, as a "
    "system update does, and its packages do not fit any more. Nothing was changed. Please open a "
    "terminal in Thriftlay's folder and run: python3 extension/install.py"
)


def main() -> int:
    """Run the command that the editor asked for; return the exit code."""
    started = time.perf_counter()
    # Isolated mode leaves our own folder out of the path.
    sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))
    from nesting.streams import quiet_libraries, too_little_memory

    told = too_little_memory()
    if told:
        return refused(told)
    with quiet_libraries(), io.FileIO(0, closefd=False) as stdin:  # see hosted.Raw
        try:
            from extension.dialogs.hosted import run_hosted
        except ImportError:
            before, now = set_up_for(Path(sys.prefix)), ".".join(map(str, sys.version_info[:2]))
            if before in ("", now):
                raise
            return refused(NOT_THIS_PYTHON.format(before=before, now=now))
        return run_hosted(
            sys.argv[1:],
            stdin,
            sys.stdout.buffer,
            lambda: time.perf_counter() - started,
            alone=True,
        )


def refused(text: str) -> int:
    """Tell the launcher a message without a result; return the exit code."""
    sys.stdout.write(json.dumps({"kind": "message", "text": text}) + "\n")
    return REFUSED


def set_up_for(environment: Path) -> str:
    """Return which Python an environment was made with, as in 3.11; "" when it does not say."""
    try:
        text = (environment / "pyvenv.cfg").read_text(encoding="utf-8")
    except OSError:
        return ""
    found = re.search(r"^version(?:_info)? *= *(\d+\.\d+)", text, re.MULTILINE)
    return found[1] if found else ""


if __name__ == "__main__":
    exit_code = main()
    from nesting.streams import end  # found only now, see `main`

    end(exit_code)
