# SPDX-License-Identifier: GPL-2.0-or-later
"""The files that a command writes, looked at before the work."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from extension.language.errors import OptionError
from extension.svg.document import check_writable

WEB, PDF, SVG, PNG = (".html", ".htm", ".xhtml"), (".pdf",), (".svg",), (".png",)
CSV, TEXT = (".csv", ".txt", ".tsv"), (".txt",)
"""Endings of the files of each kind: the first is added where the typed name has none at all."""
_KNOWN = (*WEB, *PDF, *SVG, *PNG, *CSV)


def with_ending(path: Path | None, endings: tuple[str, ...]) -> Path | None:
    """Return a file as it is to be called: with an ending that says what it is.

    `Coat 1.2` has none that is known and becomes `Coat 1.2.html`. A name with that of another kind
    is left as it is typed, and so is what is there and is no file, such as /dev/stdout. None stays
    None.
    """
    if path is None or path.suffix.lower() in _KNOWN or (path.exists() and not path.is_file()):
        return path
    return path.with_name(path.name + endings[0]) if path.name else path


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
