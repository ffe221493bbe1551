# SPDX-License-Identifier: GPL-2.0-or-later
"""Cutting Diagram: the files that are wanted of the layouts of a drawing, made and written.

The one place that wires the kinds of page together, for the command line and the editor alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from extension.checking.layers import chosen_layers
from extension.diagram.editor import editor_here, pdf_of
from extension.diagram.page import page
from extension.diagram.paper import Paper
from extension.diagram.section import sections
from extension.diagram.sheets import sheets
from extension.document import Document, check_writable, write_atomically
from extension.errors import OptionError

NOTHING_WANTED = "There is nothing to write: choose a file for the cutting diagram."


@dataclass(frozen=True, slots=True)
class Wanted:
    """The files to be written, None for a kind that is not wanted."""

    page: Path | None = None
    pdf: Path | None = None

    @property
    def files(self) -> tuple[Path, ...]:
        """Every file that is wanted."""
        return tuple(path for path in (self.page, self.pdf) if path is not None)

    def check(self, drawing: Path | None = None) -> None:
        """Raise before the work when a file could not be written, or would destroy something."""
        if not self.files:
            raise OptionError(NOTHING_WANTED)
        taken = set() if drawing is None else {drawing.resolve()}
        for path in self.files:
            if path.resolve() in taken:
                raise OptionError(f"The diagram would overwrite “{path}”: give it another name.")
            taken.add(path.resolve())
            check_writable(path)


def publish(
    document: Document, layouts: Sequence[str], paper: Paper, scale: str, wanted: Wanted
) -> None:
    """Write what is wanted of layouts, chosen by their ids, none standing for all.

    Nothing is written unless everything can be made. Raises DrawingError or OptionError.
    """
    program = editor_here() if wanted.pdf is not None else ""
    said = sections(document, chosen_layers(document, layouts), paper, scale)
    made: list[tuple[Path, bytes]] = []
    if wanted.page is not None:
        made.append((wanted.page, page(said).encode()))
    if wanted.pdf is not None:
        made.append((wanted.pdf, pdf_of(sheets(said), program)))
    for path, data in made:
        write_atomically(data, path)
