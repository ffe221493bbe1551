# SPDX-License-Identifier: GPL-2.0-or-later
"""Cutting Diagram: the files that are wanted of the layouts of a drawing, made and written.

The one place that wires the kinds of page together, for the command line and the editor alike.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from extension.diagram.editor import STOPPED, editor_here, pdf_of
from extension.diagram.full_size import full_size
from extension.diagram.page import page
from extension.diagram.paper import Paper
from extension.diagram.section import sections
from extension.diagram.sheets import sheets
from extension.language.errors import OptionError
from extension.layouts.layers import LayoutLayer, only_one
from extension.operations.results import check_results
from extension.svg.document import Document, write_atomically
from nesting.stop import StopRule

NOTHING_WANTED = "There is nothing to write: choose a file for the cutting diagram."


@dataclass(frozen=True, slots=True)
class Wanted:
    """The files to be written, None for a kind that is not wanted.

    The full-size page is a PDF when its file is called so, else an SVG drawing.
    """

    page: Path | None = None
    pdf: Path | None = None
    full_size: Path | None = None

    @property
    def files(self) -> tuple[Path, ...]:
        """Every file that is wanted."""
        return tuple(path for path in (self.page, self.pdf, self.full_size) if path is not None)

    @property
    def plots_pdf(self) -> bool:
        """Whether the full-size page is to be a PDF."""
        return self.full_size is not None and self.full_size.suffix.lower() == ".pdf"

    @property
    def needs_editor(self) -> bool:
        """Whether there is a PDF to be made."""
        return self.pdf is not None or self.plots_pdf

    def check(self, drawing: Path | None = None) -> None:
        """Raise before the work when a file could not be written, or would destroy something."""
        if not self.files:
            raise OptionError(NOTHING_WANTED)
        check_results("The diagram", self.files, () if drawing is None else (drawing,))


@dataclass(frozen=True, slots=True)
class Watch:
    """Whom to tell what is being made, in a few words, and whether to stop."""

    tell: Callable[[str], None]
    stop: StopRule


def publish(
    document: Document,
    layers: Sequence[LayoutLayer],
    paper: Paper,
    scale: str,
    wanted: Wanted,
    watch: Watch,
) -> None:
    """Write what is wanted of some layouts of a drawing.

    Nothing is written unless everything can be made. Raises DrawingError or OptionError, also
    when it is stopped.
    """

    def made_pdf(drawing: bytes, what: str) -> bytes:
        watch.tell(f"The editor makes {what}…")
        return pdf_of(drawing, program, lambda: watch.stop(0))

    watch.tell("Drawing the cutting diagram…")
    program = editor_here() if wanted.needs_editor else ""
    made: list[tuple[Path, bytes]] = []
    if wanted.page is not None or wanted.pdf is not None:
        said = sections(document, layers, paper, scale)
        if wanted.page is not None:
            made.append((wanted.page, page(said).encode()))
        if wanted.pdf is not None:
            made.append((wanted.pdf, made_pdf(sheets(said), "the PDF")))
    if wanted.full_size is not None:
        drawing = full_size(document, only_one(layers))
        if wanted.plots_pdf:
            drawing = made_pdf(drawing, "the PDF in full size")
        made.append((wanted.full_size, drawing))
    if watch.stop(0):
        raise OptionError(STOPPED)
    for path, data in made:
        write_atomically(data, path)
