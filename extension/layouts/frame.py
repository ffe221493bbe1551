# SPDX-License-Identifier: GPL-2.0-or-later
"""Where the cloth of a layout lies on the page, and the engine's frame on it.

The cloth as drawn counts, since that is what she sees; where it is gone, the layer tells.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from lxml import etree

from extension.layouts.layers import LayoutLayer
from extension.pieces.objects import is_original
from extension.svg.decoration import USABLE_CLOTH
from extension.svg.document import Document
from extension.svg.model import Leaf, Matrix
from extension.svg.transforms import (
    IDENTITY,
    apply,
    apply_vector,
    inverse,
    multiply,
    parse_transform,
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
    have it, `drawn_width` as it is drawn, `length` that of the drawn cloth; mm.
    """

    from_sheet: Matrix
    width: float
    drawn_width: float
    length: float
    is_drawn: bool

    @property
    def is_upright(self) -> bool:
        """Whether the cloth runs to the right, its upper selvedge above, as it was drawn."""
        (a, _, _), (b, _, _) = self.from_sheet
        return a > 0.0 and abs(b) <= SAME_PLACE

    def to_engine(self, points: Outline) -> Points:
        """Return page points in the engine's frame: y up, the lower selvedge at 0."""
        (a, c, e), (b, d, f) = inverse(self.from_sheet)
        x, y = np.asarray(points, dtype=np.float64).T
        return np.column_stack([a * x + c * y + e, self.width - (b * x + d * y + f)])

    def distance(self, outline: Outline) -> float:
        """Return how far an outline on the page lies from the drawn cloth, mm; 0 when on it."""
        cloth = shapely.box(0.0, 0.0, self.length, self.width)
        return float(cloth.distance(shapely.Polygon(self.to_engine(outline))))


def frame_of(document: Document, layer: LayoutLayer, leaves: Sequence[Leaf]) -> Frame:
    """Return the frame of a layout; `leaves` are what is drawn on its layer."""
    width = layer.options.usable_width
    shapes = [leaf for leaf in leaves if leaf.rings and is_original(leaf)]
    cloth = [leaf for leaf in shapes if leaf.attributes.get("decoration") == USABLE_CLOTH]
    cloth = cloth or [leaf for leaf in shapes if leaf.label == LABEL]
    if cloth:
        return _frame(cloth[0].matrix, cloth[0].rings[0].points, width, is_drawn=True)
    matrix = matrix_of(document, layer.element)
    length = layer.result.get("length_mm")
    length = float(length) if isinstance(length, int | float) and length > 0.0 else width
    corners = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    ring = tuple(apply(matrix, corner) for corner in corners)
    return _frame(matrix, ring, width, is_drawn=False)


def matrix_of(document: Document, element: etree._Element) -> Matrix:
    """Return the map from the coordinates inside an element to page mm."""
    matrix = document.page
    lines = [*reversed(list(element.iterancestors())), element]
    for one in lines[1:]:
        matrix = multiply(matrix, parse_transform(one.get("transform")))
    return matrix


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
