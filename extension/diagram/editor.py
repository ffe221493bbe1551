# SPDX-License-Identifier: GPL-2.0-or-later
"""PDF files and pictures of drawings, made by the editor itself."""

from __future__ import annotations

import contextlib
import math
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
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


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file that the editor makes: what messages call it, and what to do without one.

    `ending` is that of its name, `start` are the bytes that such a file begins with.
    """

    name: str
    ending: str
    instead: str
    start: bytes


PDF = Kind("PDF", ".pdf", ", or choose the web page and print it to PDF from a browser", b"%PDF")
PICTURE = Kind("picture", ".png", "", b"\x89PNG\r\n\x1a\n")
"""Begins as ISO/IEC 15948 (PNG), section 5.2, says."""

NOT_FOUND = (
    "A {kind} is made by the editor (Inkscape), which was not found on this computer: install "
    "Inkscape 1.2 or later{instead}."
)
BOXED = (
    "A {kind} is made by the editor, and the only Inkscape found here is a {box} package, which "
    "cannot be asked from outside its own box: install Inkscape as a system package{instead}."
)
TOO_SLOW = (
    "The editor did not make the {kind} within {seconds:.0f} seconds: close other programs and try "
    "again{instead}."
)
FAILED = "The editor could not make the {kind}: try again{instead} (it said: {said})."
TOO_LARGE = (
    "The page is {size} long, and a page of a PDF may be no longer than 5.08 m: write it as SVG, "
    "with a file name that ends in .svg."
)

MOST = 14_400 / 72 * MM_PER_INCH
"""mm: 14,400 units of 1/72 in, the limit of readers (ISO 32000-1, annex C; from memory)."""


def editor_here(kind: Kind = PDF) -> str:
    """Return the program of the editor that this runs in, else of one that is on this computer.

    Raises OptionError when there is none that could make a file of a kind.
    """
    home = Home(sys.platform, os.environ, Path.home())
    program = running_editor(home) or editor_program(home)
    if not program:
        box = boxed_kind(home)
        said = BOXED if box else NOT_FOUND
        raise OptionError(said.format(kind=kind.name, box=box, instead=kind.instead))
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
    return Editor(program, PDF, should_stop, seconds).file(drawing, ["--export-type=pdf"])


@dataclass(frozen=True, slots=True)
class Editor:
    """The editor's program, asked for files of a kind; it may take so many seconds for each."""

    program: str
    kind: Kind
    should_stop: Callable[[], bool] = never
    seconds: float = SECONDS

    def file(self, drawing: bytes, wishes: Sequence[str]) -> bytes:
        """Return the file that the editor makes of a drawing.

        Raises OptionError when it fails, is stopped or takes too long.
        """
        with tempfile.TemporaryDirectory(prefix="thriftlay-", ignore_cleanup_errors=True) as name:
            result = Path(name) / f"result{self.kind.ending}"
            said = self._said(drawing, [*wishes, f"--export-filename={result}"], Path(name))
            data = result.read_bytes() if result.is_file() else b""
        # The editor's exit code proves nothing, so the content has to.
        if not data.startswith(self.kind.start):
            raise self.failure(_last_words(said))
        return data

    def answer(self, drawing: bytes, wishes: Sequence[str]) -> str:
        """Return what the editor says of a drawing. Raises OptionError as `file` does."""
        with tempfile.TemporaryDirectory(prefix="thriftlay-", ignore_cleanup_errors=True) as name:
            return self._said(drawing, wishes, Path(name))

    def failure(self, said: str) -> OptionError:
        """Return the sentence that it could not be done."""
        kind = self.kind
        return OptionError(FAILED.format(kind=kind.name, instead=kind.instead, said=said))

    def _said(self, drawing: bytes, wishes: Sequence[str], folder: Path) -> str:
        """Run the editor to its end in a folder of its own; return what it said.

        Raises OptionError when it does not come to one by itself.
        """
        (folder / "drawing.svg").write_bytes(drawing)
        said = folder / "said.txt"
        with said.open("wb") as output:
            self._run([self.program, *wishes, str(folder / "drawing.svg")], folder, output)
        return said.read_bytes().decode("utf-8", "replace")

    def _run(self, command: Sequence[str], folder: Path, output: BinaryIO) -> None:
        """Wait for the end of a command. Raises OptionError as `_said` does."""
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
            raise self.failure(error.strerror or str(error)) from None
        with process:
            for _ in range(math.ceil(self.seconds / _LOOK_EVERY)):
                with contextlib.suppress(subprocess.TimeoutExpired):
                    process.wait(_LOOK_EVERY)
                # Ctrl+C ends the editor, too: it has not failed then.
                if self.should_stop():
                    process.kill()
                    raise OptionError(STOPPED)
                if process.returncode is not None:
                    return
            process.kill()
            kind, instead = self.kind.name, self.kind.instead
            raise OptionError(TOO_SLOW.format(kind=kind, seconds=self.seconds, instead=instead))


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


def _last_words(output: str) -> str:
    """Return the last line of what the editor said."""
    lines = output.split("\n")
    return next((line.strip() for line in reversed(lines) if line.strip()), "nothing")
