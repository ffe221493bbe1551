# SPDX-License-Identifier: GPL-2.0-or-later
"""The files that a command writes, looked at before the work."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from extension.language.errors import OptionError
from extension.svg.document import check_writable


def check_results(what: str, files: Iterable[Path], taken: Iterable[Path] = ()) -> None:
    """Raise when a file could not be written, or would destroy another or one that is `taken`.

    `what` is called so in the sentence: “The table would overwrite …”. Raises OptionError or
    DrawingError.
    """
    seen = {path.resolve() for path in taken}
    for path in files:
        if path.resolve() in seen:
            raise OptionError(f"{what} would overwrite “{path}”: give it another name.")
        seen.add(path.resolve())
        check_writable(path)
