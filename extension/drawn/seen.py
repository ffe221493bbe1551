# SPDX-License-Identifier: GPL-2.0-or-later
"""What is seen of a part from above: on folded cloth a piece on the fold is seen as its half.

The half that lies on the table is the drawn one or, where the fold of the cloth is at the other
side, its mirror image: then its paper lies printed side down.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from extension.drawn.frames import fold_mirror, mapped, onto_sheet, page_point
from extension.drawn.sheet import Sheet
from extension.pieces.model import DrawnPiece
from extension.svg.model import Matrix
from extension.svg.transforms import multiply, translation
from nesting.model import Outline, Placement


@dataclass(frozen=True, eq=False, slots=True)
class Seen:
    """A part from above: what is drawn of its piece, its outline in piece coordinates.

    `to_sheet` maps the page, where the piece is drawn, to the sheet; `flipped` is whether the paper
    lies printed side down.
    """

    drawn: DrawnPiece
    outline: Outline
    to_sheet: Matrix
    flipped: bool


def seen_from_above(sheet: Sheet, placement: Placement) -> Seen:
    """Return what is seen of a part of a layout."""
    cut = sheet.plan.cuts[placement.piece]
    laid = onto_sheet(placement, cut.piece.grain, sheet.width)
    start = sheet.start_of(placement.section)
    to_sheet = multiply(translation(start, 0.0), laid) if start else laid
    if not placement.on_fold or cut.piece.fold is None:
        whole = sheet.layout.outlines[placement.piece]
        return Seen(cut.drawn, whole, to_sheet, placement.flip)
    # What is not opened out has, for all that is drawn of it, no fold.
    half = replace(cut.drawn, fold=None)
    is_over = not _is_on_table(sheet, placement, mapped(to_sheet, _on_page(cut.piece.outline)))
    if is_over:
        to_sheet = multiply(to_sheet, fold_mirror(cut.piece.fold))
    return Seen(half, cut.piece.outline, to_sheet, is_over)


def _on_page(outline: Outline) -> Outline:
    """Return an outline in piece coordinates as points of the page."""
    return tuple(map(page_point, outline))


def _is_on_table(sheet: Sheet, placement: Placement, outline: Outline) -> bool:
    """Return whether half of a piece, on the sheet, lies between the edges of its section."""
    one = next((one for one in sheet.lying if one.number == placement.section), None)
    if one is None:
        return True
    middle = sheet.width - float(np.mean([y for _, y in outline]))
    return one.low <= middle <= one.high
