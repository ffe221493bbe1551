# SPDX-License-Identifier: GPL-2.0-or-later
"""How far one drawn thing reaches on the page: its rings, its box, and its words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lxml import etree

from extension.language.errors import DrawingError
from extension.language.units import Viewport
from extension.svg.basic_shapes import SHAPES, Measures, shape_subpaths
from extension.svg.flatten import MAX_POINTS, TooManyPoints, flatten
from extension.svg.identities import Identities, kind_of, plain_attributes
from extension.svg.model import REACH, Matrix, Ring
from extension.svg.pathdata import Subpath
from extension.svg.styles import Style, Styles, font_size, inherit
from extension.svg.texts import TEXTS, Box, bounds, text_box, text_of
from extension.svg.transforms import apply, can_be_undone, multiply, parse_transform
from nesting.model import Point

NOWHERE: Box = (0.0, 0.0, 0.0, 0.0)
"""The box of what shows nothing, or is too far away to be reckoned with."""

Called = tuple[str, str]
"""The id of what is drawn, and how messages call it."""


@dataclass(frozen=True, eq=False, slots=True)
class Surroundings:
    """What lengths depend on: `matrix` maps the element's outer coordinates to the page."""

    matrix: Matrix
    style: Style
    viewport: Viewport


@dataclass(frozen=True, eq=False, slots=True)
class Extent:
    """What one drawn thing shows: nothing when it is `far` away."""

    rings: tuple[Ring, ...] = ()
    box: Box = NOWHERE
    text: str = ""
    far: bool = False


FAR = Extent(far=True)


class Extents:
    """Measures what is drawn in one document, until its points are spent.

    `tolerance_mm` is how far a ring may leave what is drawn, on the page.
    """

    def __init__(self, identities: Identities, styles: Styles, tolerance_mm: float) -> None:
        self._identities = identities
        self._styles = styles
        self._tolerance = tolerance_mm
        self._spare_points = MAX_POINTS

    def of(
        self, element: etree._Element, kind: str, around: Surroundings, called: Called
    ) -> Extent:
        """Return what an element shows. Raises ValueError, and DrawingError for endless curves."""
        # Flattened to a line or a point nothing is shown: SVG 1.1, section 7.4.
        if not can_be_undone(around.matrix):
            return Extent()
        measures = Measures(around.viewport, font_size(around.style))
        subpaths = (
            shape_subpaths(kind, plain_attributes(element), measures) if kind in SHAPES else ()
        )
        if _end_far(subpaths, around.matrix):
            return FAR
        rings = self._rings(subpaths, around.matrix, called)
        box = self._box(element, kind, around, rings)
        if not all(abs(side) <= REACH for side in box):
            return FAR
        is_text = kind in TEXTS
        text = text_of(element, self._restyled, around.style) if is_text else ""
        return Extent(rings, box, text)

    def _rings(
        self, subpaths: Sequence[Subpath], matrix: Matrix, called: Called
    ) -> tuple[Ring, ...]:
        """Return the rings of a shape, within what points may still be spent."""
        try:
            rings = flatten(subpaths, matrix, self._tolerance, self._spare_points)
        except TooManyPoints:
            raise DrawingError(
                f"The curves need more than {MAX_POINTS:,} points, most of them from "
                f"{called[1]} on: check that the drawing's size is right, "
                "and keep only the pieces of one pattern in it.",
                called[0],
            ) from None
        self._spare_points -= sum(len(ring.points) for ring in rings)
        return rings

    def _box(
        self, element: etree._Element, kind: str, around: Surroundings, rings: tuple[Ring, ...]
    ) -> Box:
        """Return the box on the page: of rings exactly, of texts and images roughly."""
        if kind in TEXTS:
            return self._text_box(element, around)
        points = [point for ring in rings for point in ring.points]
        if kind == "image":
            measures = Measures(around.viewport, font_size(around.style))
            frame = shape_subpaths("rect", plain_attributes(element), measures)
            points = [p for ring in flatten(frame, around.matrix) for p in ring.points]
        return bounds(points or [apply(around.matrix, (0.0, 0.0))])

    def _text_box(self, element: etree._Element, around: Surroundings) -> Box:
        """Return the rough box of a text, or of the paths that it runs along."""
        along = [
            point
            for text_path in element.iterdescendants("{*}textPath")
            for point in self._followed(text_path, around)
        ]
        if along:
            return bounds(along)
        return text_box(element, around.matrix, self._restyled, around.style, around.viewport)

    def _followed(self, text_path: etree._Element, around: Surroundings) -> list[Point]:
        """Return the points of the path that a text runs along."""
        path = self._identities.shown_by(text_path)
        if path is None or kind_of(path) not in SHAPES:
            return []
        measures = Measures(around.viewport, font_size(around.style))
        subpaths = shape_subpaths(kind_of(path), plain_attributes(path), measures)
        matrix = multiply(around.matrix, parse_transform(path.get("transform")))
        return [point for ring in flatten(subpaths, matrix) for point in ring.points]

    def _restyled(self, element: etree._Element, style: Style) -> Style:
        """Return the resolved style of an element within one of the given style."""
        return inherit(self._styles.own(element), style)


def _end_far(subpaths: Sequence[Subpath], matrix: Matrix) -> bool:
    """Return whether a line of a shape ends too far away, before any curve is followed."""
    ends = ((each[-2], each[-1]) for path in subpaths for each in (path.start, *path.segments))
    return not all(abs(value) <= REACH for end in ends for value in apply(matrix, end))
