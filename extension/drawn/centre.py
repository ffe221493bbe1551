# SPDX-License-Identifier: GPL-2.0-or-later
"""The former fold of an unfolded part: a thin dash-dot line, with words where there is room."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely

from extension.drawn.frames import about, mapped, page_point
from extension.drawn.ink import INK, THIN_LINE, line_look
from extension.drawn.lettering import DESCENT, block_size, text
from extension.drawn.marks import DrawnMark
from extension.drawn.writing import TEXT_ROOM
from extension.pieces.model import DrawnPiece
from extension.svg.building import element, path_data, style
from extension.svg.model import Matrix
from extension.svg.transforms import multiply, rotation, translation
from nesting.model import Point

WORDS = "centre, do not cut"
SIZES = (12.0, 10.0, 8.0, 7.0, 6.0)
"""Font sizes of the words, mm."""
DASH = (14.0, 3.0, 1.5, 3.0)
"""mm: dash, space, dot, space."""
_SHARES = (0.25, 0.75, 0.5, 0.15, 0.85, 0.35, 0.65)
"""Where along the line the words are tried."""


def centre_line(
    drawn: DrawnPiece, part: shapely.Polygon, marks: Sequence[DrawnMark], to_sheet: Matrix
) -> tuple[DrawnMark, ...]:
    """Return the line where the fold was, and its words if they fit between the marks."""
    if drawn.fold is None:
        return ()
    start, end = mapped(to_sheet, (page_point(drawn.fold[0]), page_point(drawn.fold[1])))
    if (start[0], -start[1]) > (end[0], -end[1]):
        start, end = end, start
    look = style(line_look(INK, THIN_LINE, dash=DASH))
    line = element("path", {"d": path_data((start, end), closed=False), "style": look})
    found = [DrawnMark(line, shapely.LineString((start, end)).buffer(1.0), is_text=False)]
    others = shapely.union_all([mark.area for mark in marks]) if marks else shapely.Polygon()
    inside = part.buffer(-TEXT_ROOM)
    for matrix, size in _places(start, end):
        box = shapely.Polygon(mapped(matrix, _corners(size)))
        if inside.contains(box) and not others.intersects(box):
            words = text([WORDS], 0.0, 0.0, size, anchor="middle", matrix=matrix)
            found.append(DrawnMark(words, box.buffer(TEXT_ROOM), is_text=True))
            break
    return tuple(found)


def _places(start: Point, end: Point) -> Iterator[tuple[Matrix, float]]:
    """Yield where the words may stand (their baseline's middle, turned) and their size."""
    turn = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    for size in SIZES:
        for share in _SHARES:
            at = (
                start[0] + share * (end[0] - start[0]),
                start[1] + share * (end[1] - start[1]),
            )
            along = about(at, rotation(turn))
            for rise in (-(DESCENT + 0.2) * size, 1.05 * size):
                yield multiply(along, translation(at[0], at[1] + rise)), size


def _corners(size: float) -> tuple[Point, ...]:
    """Return the corners of the words about the middle of their baseline."""
    width, height = block_size([WORDS], size)
    low, high = (DESCENT * size) - height, DESCENT * size
    half = width / 2.0
    return (-half, low), (half, low), (half, high), (-half, high)
