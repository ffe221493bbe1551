# SPDX-License-Identifier: GPL-2.0-or-later
"""PDF of a drawing, made by the editor itself."""

from __future__ import annotations

import contextlib
import math
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import BinaryIO

from lxml import etree

from extension.host.launcher import KEPT
from extension.installer.places import Home, boxed_kind, editor_program, running_editor
from extension.language.errors import OptionError
from extension.language.rounding import metric_text
from extension.language.units import MM_PER_INCH
from nesting.stop import never

SECONDS = 180.0
"""Longest time for one file: the first start of an editor on a slow machine is a minute."""

_LOOK_EVERY = 0.1
"""Seconds between two looks at the editor."""

STOPPED = "The cutting diagram was stopped before it was finished: nothing was written."
_INSTEAD = "or choose the web page and print it to PDF from a browser"
NOT_FOUND = (
    "A PDF is made by the editor (Inkscape), which was not found on this computer: install "
    f"Inkscape 1.2 or later, {_INSTEAD}."
)
BOXED = (
    "A PDF is made by the editor, and the only Inkscape found here is a {kind} package, which "
    f"cannot be asked from outside its own box: install Inkscape as a system package, {_INSTEAD}."
)
TOO_SLOW = (
    f"The editor did not make the PDF within {SECONDS:.0f} seconds: close other programs and try "
    f"again, {_INSTEAD}."
)
FAILED = "The editor could not make the PDF: try again, {instead} (it said: {said})."
TOO_LARGE = (
    "The page is {size} long, and a page of a PDF may be no longer than 5.08 m: write it as SVG, "
    "with a file name that ends in .svg."
)

MOST = 14_400 / 72 * MM_PER_INCH
"""mm: 14,400 units of 1/72 in, the limit of readers (ISO 32000-1, annex C; from memory)."""


def editor_here() -> str:
    """Return the program of the editor that this runs in, else of one that is on this computer.

    Raises OptionError when there is none.
    """
    home = Home(sys.platform, os.environ, Path.home())
    program = running_editor(home) or editor_program(home)
    if not program:
        kind = boxed_kind(home)
        raise OptionError(BOXED.format(kind=kind) if kind else NOT_FOUND)
    return program


def pdf_of(
    drawing: bytes,
    program: str,
    should_stop: Callable[[], bool] = never,
    seconds: float = SECONDS,
) -> bytes:
    """Return a drawing as PDF, one page for each page of the drawing.

    `program` is the editor's. Raises OptionError when it fails, is stopped or takes longer than
    `seconds`, and for a drawing larger than a page may be.
    """
    _check_size(drawing)
    with tempfile.TemporaryDirectory(prefix="thriftlay-", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        (folder / "drawing.svg").write_bytes(drawing)
        result = folder / "drawing.pdf"
        command = [program, "--export-type=pdf", f"--export-filename={result}"]
        said = folder / "said.txt"
        with said.open("wb") as output:
            _run([*command, str(folder / "drawing.svg")], folder, output, should_stop, seconds)
        data = result.read_bytes() if result.is_file() else b""
        # The editor's exit code proves nothing, so the content has to.
        if not data.startswith(b"%PDF"):
            raise OptionError(FAILED.format(instead=_INSTEAD, said=_last_words(said.read_bytes())))
        return data


def _run(
    command: Sequence[str],
    folder: Path,
    output: BinaryIO,
    should_stop: Callable[[], bool],
    seconds: float,
) -> None:
    """Run the editor to its end. Raises OptionError when it does not come to one by itself."""
    try:
        process = subprocess.Popen(
            command,
            env=_environment(folder),
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=subprocess.STDOUT,
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
        )
    except OSError as error:
        raise OptionError(FAILED.format(instead=_INSTEAD, said=error.strerror)) from None
    with process:
        for _ in range(math.ceil(seconds / _LOOK_EVERY)):
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(_LOOK_EVERY)
            # Ctrl+C ends the editor, too: it has not failed then.
            if should_stop():
                process.kill()
                raise OptionError(STOPPED)
            if process.returncode is not None:
                return
        process.kill()
        raise OptionError(TOO_SLOW)


def _check_size(drawing: bytes) -> None:
    """Raise OptionError for a drawing, measured in mm, that is larger than a page may be."""
    root = etree.fromstring(drawing)
    longest = max(float(root.get(side, "").removesuffix("mm")) for side in ("width", "height"))
    if longest > MOST:
        raise OptionError(TOO_LARGE.format(size=metric_text(longest)))


def _environment(folder: Path) -> dict[str, str]:
    """Return the environment for an editor that keeps out of the way of the one that is open.

    It neither hands the job to that one nor touches the person's settings.
    """
    profile = folder / "profile"
    profile.mkdir()
    # What the launcher kept from our Python is what the editor needs to find its libraries.
    kept = {
        name.removeprefix(KEPT): value
        for name, value in os.environ.items()
        if name.startswith(KEPT)
    }
    return {**os.environ, **kept, "SELF_CALL": "true", "INKSCAPE_PROFILE_DIR": str(profile)}


def _last_words(output: bytes) -> str:
    """Return the last line of what the editor said."""
    lines = output.decode("utf-8", "replace").split("\n")
    return next((line.strip() for line in reversed(lines) if line.strip()), "nothing")
