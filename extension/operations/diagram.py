# SPDX-License-Identifier: GPL-2.0-or-later
"""Cutting Diagram: the files that are wanted of the layouts of a drawing, made and written.

The one place that wires the kinds of page together, for the command line and the editor alike.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from extension.diagram.editor import PDF as PDF_FILE
from extension.diagram.editor import PICTURE, STOPPED, Editor, Kind, editor_here, pdf_of
from extension.diagram.full_size import full_size
from extension.diagram.lacking import lacking_text
from extension.diagram.layout_picture import Resolution, layout_picture
from extension.diagram.page import page
from extension.diagram.paper import Paper
from extension.diagram.places import sound
from extension.diagram.section import Pattern, sections_of
from extension.diagram.sheets import sheets
from extension.diagram.tiles import tiled
from extension.language.errors import DrawingError, OptionError
from extension.layouts.checked import Checked, examined
from extension.layouts.layers import LayoutLayer, chosen_layers, damaged_layers, only_one
from extension.operations.results import PDF, PNG, SVG, WEB, check_results, with_ending
from extension.svg.document import Document, title_of, write_atomically
from extension.svg.leaves import read_leaves
from nesting.stop import StopRule

FULL_SIZE = (*SVG, *PDF)
"""Endings of the full-size page."""
NOTHING_WANTED = "There is nothing to write: choose a file for the cutting diagram."


@dataclass(frozen=True, slots=True)
class Wanted:
    """The files to be written, None for a kind that is not wanted.

    The full-size page is a PDF when its file is called so, else an SVG drawing.
    """

    page: Path | None = None
    pdf: Path | None = None
    full_size: Path | None = None
    picture: Path | None = None

    @classmethod
    def named(
        cls,
        page: Path | None,
        pdf: Path | None,
        full_size: Path | None,
        picture: Path | None = None,
    ) -> Wanted:
        """Return the files of names as typed: with the endings that tell what they are."""
        return cls(
            with_ending(page, WEB),
            with_ending(pdf, PDF),
            with_ending(full_size, FULL_SIZE),
            with_ending(picture, PNG),
        )

    @property
    def files(self) -> tuple[Path, ...]:
        """Every file that is wanted."""
        every = (*self.published, self.picture)
        return tuple(path for path in every if path is not None)

    @property
    def published(self) -> tuple[Path, ...]:
        """The files that somebody cuts by: no layout that breaks a rule is in them."""
        return tuple(path for path in (self.page, self.pdf, self.full_size) if path is not None)

    @property
    def plots_pdf(self) -> bool:
        """Whether the full-size page is to be a PDF."""
        return self.full_size is not None and self.full_size.suffix.lower() == ".pdf"

    @property
    def needs_editor(self) -> Kind | None:
        """What the editor is to make, None when it is not needed."""
        if self.pdf is not None or self.plots_pdf:
            return PDF_FILE
        return None if self.picture is None else PICTURE

    def check(self, drawing: Path | None = None) -> None:
        """Raise before the work when a file could not be written, or would destroy something."""
        if not self.files:
            raise OptionError(NOTHING_WANTED)
        named = (
            (self.page, WEB),
            (self.pdf, PDF),
            (self.full_size, FULL_SIZE),
            (self.picture, PNG),
        )
        check_results("The diagram", named, () if drawing is None else (drawing,))


@dataclass(frozen=True, slots=True)
class Look:
    """The paper and the scale of the pages, and the day that stands on them.

    `tiles` is the paper on which the full-size page falls, None for a single large page.
    """

    paper: Paper = "a4"
    scale: str = "fit"
    day: date | None = None
    tiles: Paper | None = None
    resolution: Resolution = field(default_factory=Resolution)


@dataclass(frozen=True, slots=True)
class Watch:
    """Whom to tell what is being made, in a few words, and whether to stop."""

    tell: Callable[[str], None]
    stop: StopRule


def publish(
    document: Document, ids: Sequence[str], look: Look, wanted: Wanted, watch: Watch
) -> tuple[str, ...]:
    """Write what is wanted of the layouts that ids stand for, of all with none.

    Return a sentence for each layout that was left out because it breaks a rule: only where no
    layout was chosen, and others can be published. Another tells what is not on one. A picture
    is made of any layout, and a sentence tells when nobody should cut by it. Nothing is written
    unless everything can be made. Raises DrawingError or OptionError, also when it is stopped.
    """

    def made_pdf(drawing: bytes, what: str) -> bytes:
        watch.tell(f"The editor makes {what}…")
        return pdf_of(drawing, program, lambda: watch.stop(0))

    watch.tell("Drawing the cutting diagram…")
    kind = wanted.needs_editor
    program = "" if kind is None else editor_here(kind)
    layers = chosen_layers(document, ids)
    found, left = list[Checked](), tuple[str, ...]()
    if wanted.published:
        found, left = _found(document, layers, is_chosen=bool(ids))
    made: list[tuple[Path, bytes]] = []
    if wanted.picture is not None:
        layer = only_one(layers, "The picture")
        left = tuple(dict.fromkeys((*left, *_doubts(document, layer))))
        watch.tell("The editor makes the picture…")
        editor = Editor(program, PICTURE, lambda: watch.stop(0))
        made.append((wanted.picture, layout_picture(document, layer, look.resolution, editor)))
    if wanted.page is not None or wanted.pdf is not None:
        pattern = Pattern(title_of(document), look.day)
        said = [
            section
            for one in found
            for section in sections_of(one, look.paper, look.scale, pattern)
        ]
        if wanted.page is not None:
            made.append((wanted.page, page(said).encode()))
        if wanted.pdf is not None:
            made.append((wanted.pdf, made_pdf(sheets(said), "the PDF")))
    if wanted.full_size is not None:
        one_layout = only_one([one.layer for one in found], "The full size")
        drawing = (
            tiled(document, one_layout, look.tiles)
            if look.tiles
            else full_size(document, one_layout)
        )
        if wanted.plots_pdf:
            drawing = made_pdf(drawing, "the PDF in full size")
        made.append((wanted.full_size, drawing))
    if watch.stop(0):
        raise OptionError(STOPPED)
    for path, data in made:
        write_atomically(data, path)
    return left


def _found(
    document: Document, layers: Sequence[LayoutLayer], *, is_chosen: bool
) -> tuple[list[Checked], tuple[str, ...]]:
    """Return the layouts that can be published, and why others of the drawing cannot.

    Raises DrawingError for the first when none can, and for any that was chosen.
    """
    leaves = read_leaves(document, include_layouts=True)
    found, left = [], list[DrawingError]()
    for layer in layers:
        try:
            found.append(sound(examined(document, leaves, layer)))
        except DrawingError as fault:
            if is_chosen:
                raise
            left.append(fault)
    if not found:
        raise left[0]
    damaged = () if is_chosen else damaged_layers(document)
    lacking = [text for one in found for text in _lacking(one)]
    return found, (*map(str, left), *damaged, *lacking)


def _doubts(document: Document, layer: LayoutLayer) -> tuple[str, ...]:
    """Return why nobody should cut by the picture of a layout; nothing when it is sound."""
    try:
        checked = sound(examined(document, read_leaves(document, include_layouts=True), layer))
    except DrawingError as fault:
        return (f"The picture shows the layout as it lies, do not cut by it. {fault}",)
    return _lacking(checked)


def _lacking(checked: Checked) -> tuple[str, ...]:
    """Return what is not on a layout, with its name."""
    text = lacking_text(checked)
    return (f"{checked.layer.title}: {text}",) if text else ()
