# SPDX-License-Identifier: GPL-2.0-or-later
"""What is drawn on a piece, as it lies on a part: notches, lines, and text that stays readable."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from lxml import etree

from extension.drawn.copies import copied, is_text
from extension.drawn.frames import fold_mirror, mapped
from extension.drawn.opened import has_words, opened_out
from extension.drawn.said_twice import says_the_same
from extension.drawn.signs import heads_of_grain, signs_of_fold
from extension.drawn.writing import TEXT_ROOM, corners, labels_of, placed_label
from extension.pieces.model import DrawnPiece, Mark
from extension.svg.model import Leaf, Matrix
from extension.svg.transforms import multiply

SAME_MARK = 0.1
"""mm: a mark whose mirror image lies this near is on the fold (or astride it) and drawn once."""
LINE_ROOM = 1.5


@dataclass(frozen=True, eq=False, slots=True)
class DrawnMark:
    """A mark on a part: its element, and the area it takes in sheet mm.

    `is_label`: it is the designer's label, or a line of it, and says nothing that ours does not.
    """

    element: etree._Element
    area: shapely.Geometry
    is_text: bool
    is_label: bool = False


def drawn_marks(
    drawn: DrawnPiece, part: shapely.Polygon, to_sheet: Matrix
) -> tuple[DrawnMark, ...]:
    """Return the marks of a piece on one part of it, lines first, then texts.

    `part` is the outline on the sheet and `to_sheet` the map from the page.
    """
    shown, heads = _travelling(drawn), heads_of_grain(drawn.marks)
    found = [
        _line_mark(mark.leaf, matrix)
        for mark in shown
        if not is_text(mark.leaf)
        for matrix in _sides(mark, drawn, to_sheet, one=mark.leaf.id in heads)
    ]
    texts = [mark.leaf for mark in shown if is_text(mark.leaf) and has_words(mark.leaf, drawn)]
    for label in labels_of(texts):
        taken = shapely.union_all([shapely.Polygon(), *(one.area for one in found)])
        same = says_the_same(label, drawn)
        found += [
            DrawnMark(opened_out(leaf, drawn, placed), box.buffer(TEXT_ROOM), True, same)
            for leaf, placed, box in placed_label(label, to_sheet, part, taken)
        ]
    return tuple(found)


def _travelling(drawn: DrawnPiece) -> list[Mark]:
    """Return the marks that are copied: outline, edges and fold are drawn by other means.

    A whole part has no "place on the fold" any more, so its signs are dropped as well.
    """
    drawn_else = {"outline", "fold", "edge"} | ({"bracket"} if drawn.fold is not None else set())
    signs = set() if drawn.fold is None else signs_of_fold(drawn.marks, drawn.fold)
    return [
        mark
        for mark in drawn.marks
        if mark.role not in drawn_else and not mark.leaf.hidden and mark.leaf.id not in signs
    ]


def _sides(mark: Mark, drawn: DrawnPiece, to_sheet: Matrix, *, one: bool) -> Iterator[Matrix]:
    """Yield the map for each half of the part on which a mark is drawn, `one` if on one alone."""
    yield to_sheet
    if drawn.fold is None or one or mark.one_side or mark.role == "grainline":
        return
    mirror = fold_mirror(drawn.fold)
    if not _is_on_fold(mark.leaf, mirror):
        yield multiply(to_sheet, mirror)


def _is_on_fold(leaf: Leaf, mirror: Matrix) -> bool:
    """Return whether a leaf and its mirror image are one."""
    drawing = _lines_of(leaf, ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)))
    return bool(shapely.hausdorff_distance(drawing, _lines_of(leaf, mirror)) <= SAME_MARK)


def _line_mark(leaf: Leaf, to_sheet: Matrix) -> DrawnMark:
    """Return a mark that is drawn with lines, or an image."""
    area = _lines_of(leaf, to_sheet).buffer(LINE_ROOM)
    return DrawnMark(copied(leaf, to_sheet), area, is_text=False)


def _lines_of(leaf: Leaf, matrix: Matrix) -> shapely.Geometry:
    """Return the lines of a leaf, or the box of an image, with a map applied to the page."""
    if not leaf.rings:
        return shapely.Polygon(mapped(matrix, corners(leaf)))
    rings = [(*ring.points, ring.points[0]) if ring.closed else ring.points for ring in leaf.rings]
    return shapely.MultiLineString([mapped(matrix, ring) for ring in rings])
