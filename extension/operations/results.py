# SPDX-License-Identifier: GPL-2.0-or-later
"""The files that a command writes, looked at before the work."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from extension.language.errors import OptionError
from extension.svg.document import check_writable

WEB, PDF, SVG, PNG = (".html", ".htm", ".xhtml"), (".pdf",), (".svg",), (".png",)
CSV, TEXT, JSON = (".csv", ".txt", ".tsv"), (".txt",), (".json",)
"""Endings of the files of each kind: the first is added where the typed name has none at all."""
_KINDS = {
    **dict.fromkeys(CSV, "a spreadsheet"),
    **dict.fromkeys(WEB, "a web page"),
    **dict.fromkeys(PDF, "a PDF"),
    **dict.fromkeys(SVG, "a drawing"),
    **dict.fromkeys(PNG, "a picture"),
    **dict.fromkeys(TEXT, "a text"),
    **dict.fromkeys(JSON, "a report"),
    ".svgz": "a compressed drawing",
}
"""What a file is by its ending."""


def with_ending(path: Path | None, endings: tuple[str, ...]) -> Path | None:
    """Return a file as it is to be called: with an ending that says what it is.

    `Coat 1.2` has none that is known and becomes `Coat 1.2.html`. A name with that of another kind
    is left as it is typed, and so is what is there and is no file, such as /dev/stdout. None stays
    None.
    """
    if path is None or path.suffix.lower() in _KINDS or (path.exists() and not path.is_file()):
        return path
    return path.with_name(path.name + endings[0]) if path.name else path


def check_results(
    what: str, files: Iterable[tuple[Path | None, tuple[str, ...]]], taken: Iterable[Path] = ()
) -> None:
    """Raise when a file could not be written, or would destroy another or one that is `taken`.

    Each comes with the endings that its name may have: programs open a file by its name, so that a
    web page called `.pdf` would be opened by none. None is not wanted. `what` is called so in the
    sentence: “The table would overwrite …”. Raises OptionError or DrawingError.
    """
    seen = {path.resolve() for path in taken}
    for path, endings in files:
        if path is None:
            continue
        if path.resolve() in seen:
            raise OptionError(f"{what} would overwrite “{path}”: give it another name.")
        seen.add(path.resolve())
        _check_ending(path, endings)
        check_writable(path)


def _check_ending(path: Path, endings: tuple[str, ...]) -> None:
    """Raise OptionError when a name says that a file is of a kind that it would not be."""
    named = path.suffix.lower()
    if named in _KINDS and named not in endings:
        first = [ending for ending in endings if ending == endings[0] or ending in PDF]
        wanted = " or ".join(_KINDS[ending] for ending in first)
        raise OptionError(
            f"“{path.name}” is the name of {_KINDS[named]}, but {wanted} is to be written there: "
            f"let it end in {' or '.join(first)}."
        )
