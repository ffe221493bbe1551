# SPDX-License-Identifier: GPL-2.0-or-later
"""What the installer says: plain lines on stdout, and one kind of error with one sentence."""

from __future__ import annotations

import errno
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from nesting.errors import ThriftlayError

Say = Callable[[str], None]


class SetupError(ThriftlayError):
    """Set-up cannot go on: one sentence that tells why and what to do."""


def say(line: str) -> None:
    """Write one line at once, on terminals that lack a letter, too."""
    encoding = sys.stdout.encoding or "utf-8"
    sys.stdout.write(line.encode(encoding, "replace").decode(encoding) + "\n")
    sys.stdout.flush()


@contextmanager
def writing_to(folder: Path) -> Iterator[None]:
    """Turn a failure to write in a folder into a sentence with the remedy."""
    try:
        yield
    except OSError as error:
        if error.errno == errno.ENOSPC:
            raise SetupError(
                f"There is no room left on the disk of {folder}: free about 1 GB and try again."
            ) from error
        reason = error.strerror or str(error)
        raise SetupError(
            f"Cannot write to {folder} (the system says: {reason}): "
            "make that folder writable for you and try again."
        ) from error
