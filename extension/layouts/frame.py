# SPDX-License-Identifier: GPL-2.0-or-later
"""Where the cloth of a layout lies on the page, and the engine's frame on it.

The cloth as drawn counts, since that is what she sees; where it is gone, the layer tells.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from extension.drawn.lettering import letters_of
from extension.drawn.lying import Lying, lying_of
from extension.layouts.layers import LayoutLayer
from extension.pieces.objects import is_original
from extension.svg.decoration import USABLE_CLOTH
from extension.svg.document import Document, matrix_of
from extension.svg.model import Leaf, Matrix
from extension.svg.transforms import (
    IDENTITY,
    apply,
    apply_vector,
    inverse,
    multiply,
    translation,
)
from nesting.geometry.shapes import Points
from nesting.model import Outline

LABEL = "usable cloth"
"""The label of the area between the selvedges, which once was all that told it."""

SAME_PLACE = 1e-4
"""Difference of two maps, mm at the origin, that is rounding."""


@dataclass(frozen=True, slots=True)
class Frame:
    """`from_sheet` maps the sheet (mm, y down, cut end and upper selvedge at 0) to page mm.

    It only turns and moves. `width` is that of the cloth between the selvedges as the settings
    have it, `drawn_width` as it is drawn, `length` that of the drawn cloth; mm. `lying` are the
    sections of folded cloth as they are drawn, side by side; none of plain cloth.
    """

    from_sheet: Matrix
    width: float
    drawn_width: float
    length: float
    is_drawn: bool
    lying: tuple[Lying, ...] = ()

    def section_of(self, area: shapely.Geometry) -> Lying | None:
        """Return the section that an area in the engine's frame lies in; None on plain cloth.

        Behind the end of a section its cloth goes on, up to where the next one begins.
        """
        middle = area.centroid.x if not area.is_empty else 0.0
        begun = [one for one in self.lying if one.start <= middle]
        return begun[-1] if begun else next(iter(self.lying), None)

    @property
    def is_upright(self) -> bool:
        """Whether the cloth runs to the right, its upper selvedge above, as it was drawn."""
        (a, _, _), (b, _, _) = self.from_sheet
        return a > 0.0 and abs(b) <= SAME_PLACE

    def to_engine(self, points: Outline) -> Points:
        """Return page points in the engine's frame: y up, the lower selvedge at 0.

        On folded cloth x counts on from section to section, as they are drawn.
        """
        (a, c, e), (b, d, f) = inverse(self.from_sheet)
        x, y = np.asarray(points, dtype=np.float64).T
        return np.column_stack([a * x + c * y + e, self.width - (b * x + d * y + f)])

    def distance(self, outline: Outline) -> float:
        """Return how far an outline on the page lies from the drawn cloth, mm; 0 when on it."""
        return float(self.cloth.distance(shapely.Polygon(self.to_engine(outline))))

    @property
    def cloth(self) -> shapely.Geometry:
        """Where the drawn cloth lies, in the engine's frame."""
        if not self.lying:
            return shapely.box(0.0, 0.0, self.length, self.width)
        return shapely.union_all(
            [shapely.box(one.start, one.low, one.end, one.high) for one in self.lying]
        )


def frame_of(document: Document, layer: LayoutLayer, leaves: Sequence[Leaf]) -> Frame:
    """Return the frame of a layout; `leaves` are what is drawn on its layer."""
    width = layer.options.usable_width
    if layer.sections:
        return _frame_of_sections(document, layer, leaves)
    shapes = [leaf for leaf in leaves if leaf.rings and is_original(leaf)]
    cloth = [leaf for leaf in shapes if leaf.attributes.get("decoration") == USABLE_CLOTH]
    cloth = cloth or [leaf for leaf in shapes if leaf.label == LABEL]
    if cloth:
        return _frame(cloth[0].matrix, cloth[0].rings[0].points, width, is_drawn=True)
    length = layer.result.get("length_mm")
    length = float(length) if isinstance(length, int | float) and length > 0.0 else width
    return _undrawn(document, layer, length)


def _undrawn(document: Document, layer: LayoutLayer, length: float) -> Frame:
    """Return the frame of cloth that is not drawn any more: the layer tells the place."""
    matrix, width = matrix_of(document, layer.element), layer.options.usable_width
    corners = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    ring = tuple(apply(matrix, corner) for corner in corners)
    return _frame(matrix, ring, width, is_drawn=False)


def _frame_of_sections(document: Document, layer: LayoutLayer, leaves: Sequence[Leaf]) -> Frame:
    """Return the frame of folded cloth: the first of its sections that is drawn tells the place."""
    width, sections = layer.options.usable_width, layer.sections
    drawn = _drawn_sections(leaves)
    lying = lying_of(sections, width, letters_of(width), 0.0, {}, drawn)
    known = [one for one in lying if one.number in drawn]
    if not known:
        frame = _undrawn(document, layer, lying[-1].end if lying else width)
        return replace(frame, lying=lying)
    first = known[0]
    leaf = drawn[first.number]
    found = _frame(leaf.matrix, leaf.rings[0].points, width, is_drawn=True)
    away = translation(-first.start, first.high - width)
    frame = replace(found, from_sheet=multiply(found.from_sheet, away))
    placed = tuple(_placed(frame, one, drawn.get(one.number)) for one in lying)
    wide = width + found.drawn_width - (first.high - first.low)
    return replace(frame, drawn_width=wide, length=placed[-1].end, lying=placed)


def _drawn_sections(leaves: Sequence[Leaf]) -> dict[int, Leaf]:
    """Return the usable part of each section that is drawn, by its number."""
    found: dict[int, Leaf] = {}
    for leaf in leaves:
        number = leaf.attributes.get("section", "")
        is_ours = leaf.attributes.get("decoration", "").startswith("cloth ")
        if is_ours and leaf.rings and is_original(leaf) and number.isascii() and number.isdigit():
            found.setdefault(int(number), leaf)
    return found


def _placed(frame: Frame, one: Lying, leaf: Leaf | None) -> Lying:
    """Return a section where it is drawn."""
    if leaf is None:
        return one
    along = frame.to_engine(leaf.rings[0].points)[:, 0]
    return replace(one, start=float(along.min()), length=float(along.max() - along.min()))


def is_identity(matrix: Matrix) -> bool:
    """Return whether a map leaves everything where it is, but for rounding."""
    pairs = zip((*matrix[0], *matrix[1]), (*IDENTITY[0], *IDENTITY[1]), strict=True)
    return all(abs(one - other) <= SAME_PLACE for one, other in pairs)


def _frame(matrix: Matrix, ring: Outline, width: float, *, is_drawn: bool) -> Frame:
    """Return the frame of cloth that lies at `ring` on the page, its length along the map's x."""
    ux, uy = apply_vector(matrix, (1.0, 0.0))
    size = math.hypot(ux, uy)
    ux, uy = (ux / size, uy / size) if size > 0.0 else (1.0, 0.0)
    along = [x * ux + y * uy for x, y in ring]
    across = [y * ux - x * uy for x, y in ring]
    low, top = min(along), min(across)
    corner = (low * ux - top * uy, low * uy + top * ux)
    return Frame(
        ((ux, -uy, corner[0]), (uy, ux, corner[1])),
        width,
        max(across) - top,
        max(along) - low,
        is_drawn,
    )
