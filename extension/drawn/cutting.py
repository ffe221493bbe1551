# SPDX-License-Identifier: GPL-2.0-or-later
"""The lines that make a part: where it is cut, and where it is sewn."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np
import shapely
from lxml import etree

from extension.drawn.copies import copied
from extension.drawn.frames import fold_mirror, mapped, page_point, transform_text
from extension.drawn.ink import INK, PART_LINE, THIN_LINE, Look, dark_enough, line_look
from extension.drawn.marks import LINE_ROOM, DrawnMark
from extension.drawn.unfolding import unfolded_data
from extension.pieces.model import DrawnPiece
from extension.svg.basic_shapes import shape_subpaths
from extension.svg.building import element, path_data, style
from extension.svg.model import Leaf, Matrix, Ring
from extension.svg.scales import scale_of
from extension.svg.transforms import apply, inverse, multiply
from nesting.cloth.problem import outline_tuple
from nesting.geometry.shapes import FOLD_TOLERANCE, unfold
from nesting.model import Outline, Point

Fold = tuple[Point, Point]

LEFT_AWAY = 0.1
"""mm by which a point of the drawn outline may lie beside the laid one and be on it."""
SEAM_DASH = (6.0, 3.0)
"""mm: dashes of the stitching line."""


def outline_leaf(drawn: DrawnPiece) -> Leaf | None:
    """Return the leaf that draws the outline of a piece."""
    return next((mark.leaf for mark in drawn.marks if mark.role == "outline"), None)


def cutting_line(drawn: DrawnPiece, whole: Outline, to_sheet: Matrix, fill: str) -> etree._Element:
    """Return the line that is cut: the drawn outline itself, or the one grown by the allowance.

    `whole` is the laid outline in piece coordinates, unfolded and flattened.
    """
    leaf = outline_leaf(drawn)
    look = partial(line_look, _colour_of(leaf), PART_LINE, fill=fill)
    if leaf is None or drawn.is_grown:
        return _straight(whole, to_sheet, look())
    return _as_drawn(drawn, leaf, drawn.fold, to_sheet, look)


def stitching_line(drawn: DrawnPiece, to_sheet: Matrix) -> tuple[DrawnMark, ...]:
    """Return the drawn outline as the line to sew on, unless it is the line that is cut."""
    leaf = outline_leaf(drawn)
    if leaf is None or not drawn.is_grown:
        return ()
    look = partial(line_look, _colour_of(leaf), THIN_LINE, dash=SEAM_DASH)
    line = _as_drawn(drawn, leaf, drawn_fold(drawn), to_sheet, look)
    whole = tuple(map(page_point, paper_outline(drawn)))
    ring = shapely.LinearRing(mapped(to_sheet, whole))
    return (DrawnMark(line, ring.buffer(LINE_ROOM), is_text=False),)


def paper_outline(drawn: DrawnPiece) -> Outline:
    """Return the outline of the paper pattern, opened out, flattened, in piece coordinates."""
    fold = drawn_fold(drawn)
    return drawn.outline if fold is None else _unfolded_points(drawn, fold)


def drawn_fold(drawn: DrawnPiece) -> Fold | None:
    """Return the fold edge of the outline as drawn, whose ends the seam allowance moved."""
    if drawn.fold is None or not drawn.is_grown:
        return drawn.fold
    (ax, ay), (bx, by) = drawn.fold
    length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
    ux, uy = (bx - ax) / length, (by - ay) / length
    on_fold = [
        ((x - ax) * ux + (y - ay) * uy, (x, y))
        for x, y in drawn.outline
        if abs((x - ax) * uy - (y - ay) * ux) <= FOLD_TOLERANCE
    ]
    return min(on_fold)[1], max(on_fold)[1]


def _as_drawn(
    drawn: DrawnPiece,
    leaf: Leaf,
    fold: Fold | None,
    to_sheet: Matrix,
    look: Callable[..., Look],
) -> etree._Element:
    """Return the drawn outline with its own geometry, unfolded about `fold` if there is one.

    `look` gives the look in an element that is enlarged by `scale`.
    """
    own = look(scale=scale_of(leaf.matrix))
    if not _is_whole(drawn, leaf):
        return _mended(drawn, leaf, fold, to_sheet, look())
    if fold is None:
        return copied(leaf, to_sheet, own)
    data = _unfolded(leaf, fold)
    if data is None:
        return _straight(_unfolded_points(drawn, fold), to_sheet, look())
    transform = transform_text(multiply(to_sheet, leaf.matrix))
    return element("path", {"d": data, "style": style(own), "transform": transform})


def _is_whole(drawn: DrawnPiece, leaf: Leaf) -> bool:
    """Return whether the outline that is laid is all of the one that is drawn.

    A spike or slit without width is no part of it: drawn on a part, it would reach where nothing
    was judged.
    """
    line = shapely.LinearRing(tuple(map(page_point, drawn.outline)))
    shapely.prepare(line)
    points = shapely.points(np.array(_outer(leaf).points))
    return bool(shapely.dwithin(line, points, LEFT_AWAY).all())


def _outer(leaf: Leaf) -> Ring:
    """Return the ring of a leaf that encloses most."""
    closed = [ring for ring in leaf.rings if ring.closed]
    return max(closed, key=lambda ring: shapely.Polygon(ring.points).area)


def _mended(
    drawn: DrawnPiece, leaf: Leaf, fold: Fold | None, to_sheet: Matrix, look: Look
) -> etree._Element:
    """Return the outline that is laid, with the other lines of the path that it was drawn in."""
    whole = drawn.outline if fold is None else _unfolded_points(drawn, fold)
    data = [path_data(mapped(to_sheet, tuple(map(page_point, whole))), closed=True)]
    ways = [to_sheet] if fold is None else [to_sheet, multiply(to_sheet, fold_mirror(fold))]
    outer = _outer(leaf)
    for ring in leaf.rings:
        if ring is not outer:
            data += [path_data(mapped(way, ring.points), closed=ring.closed) for way in ways]
    return element("path", {"d": " ".join(data), "style": style(look)})


def _unfolded_points(drawn: DrawnPiece, fold: Fold) -> Outline:
    """Return the drawn outline unfolded, flattened, in piece coordinates."""
    return outline_tuple(unfold(drawn.outline, fold, drawn.name))


def _unfolded(leaf: Leaf, fold: Fold) -> str | None:
    """Return the path data of a leaf unfolded, in its element's coordinates, if it can be."""
    kind = etree.QName(leaf.element).localname
    attributes = {str(name): str(value) for name, value in leaf.element.attrib.items()}
    subpaths = shape_subpaths(kind, attributes, leaf.measures)
    back = inverse(leaf.matrix)
    ends = (apply(back, page_point(fold[0])), apply(back, page_point(fold[1])))
    mirror = multiply(back, multiply(fold_mirror(fold), leaf.matrix))
    return unfolded_data(subpaths, leaf.matrix, ends, mirror)


def _straight(outline: Outline, to_sheet: Matrix, look: Look) -> etree._Element:
    """Return an outline in piece coordinates as a path of straight lines."""
    points = mapped(to_sheet, tuple(map(page_point, outline)))
    return element("path", {"d": path_data(points, closed=True), "style": style(look)})


def _colour_of(leaf: Leaf | None) -> str:
    """Return the colour of a drawn line, dark enough to be seen on a part."""
    return INK if leaf is None else dark_enough(leaf.style.get("stroke", ""))
