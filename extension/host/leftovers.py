# SPDX-License-Identifier: GPL-2.0-or-later
"""Takes away what runs left in the temporary folder that were ended before they could clean up.

Beside the launcher, in whatever Python the editor has (3.7 and later): the standard library alone.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import stat
import time
from pathlib import Path

OLD = 86400.0
"""Seconds after which a folder is of no run any more: none lasts a day."""


def clear(shelf: Path, prefix: str) -> None:
    """Take away folders of runs that were ended before they could: a drawing of hers lies in them.

    Only what is called like ours, belongs to us, and is of a process that has gone or is old.
    """
    for folder in shelf.glob(prefix + "*"):
        with contextlib.suppress(OSError):  # another run may be quicker
            about = folder.lstat()
            ours = not hasattr(os, "getuid") or about.st_uid == os.getuid()
            if (
                stat.S_ISDIR(about.st_mode)
                and ours
                and is_left_over(folder.name[len(prefix) :], about.st_mtime)
            ):
                shutil.rmtree(str(folder), ignore_errors=True)


def is_left_over(name: str, changed: float) -> bool:
    """Return whether a folder, by its name behind the prefix, is of a run that has ended."""
    number, dash, _ = name.partition("-")
    if time.time() - changed > OLD:
        return True
    return bool(dash) and number.isdigit() and not is_alive(int(number))


def is_alive(number: int) -> bool:
    """Return whether there may be a process of this number."""
    if os.name != "posix":  # there a signal of 0 would end it
        return True
    try:
        os.kill(number, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True
