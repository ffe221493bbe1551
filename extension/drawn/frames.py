# SPDX-License-Identifier: GPL-2.0-or-later
"""Maps between the frames of a drawn layout.

Page: millimetres as the drawing shows them, y down. Sheet: millimetres on the laid-out cloth, y
down, the cut end at x = 0 and the upper selvedge at y = 0. The engine's frame has y up and the
lower selvedge at y = 0; this is the one place that turns it over.
"""

from __future__ import annotations

from extension.svg.building import number
from extension.svg.model import Matrix
from extension.svg.transforms import apply, multiply, scaling, translation
from nesting.geometry.shapes import placement_matrix
from nesting.model import Outline, Placement, Point

_Y_DOWN = scaling(1.0, -1.0)


def about(point: Point, matrix: Matrix) -> Matrix:
    """Return a map that does what `matrix` does, seen from a point instead of the origin."""
    x, y = point
    return multiply(translation(x, y), multiply(matrix, translation(-x, -y)))


def reflection(first: Point, last: Point) -> Matrix:
    """Return the map that mirrors in the line through two points."""
    dx, dy = last[0] - first[0], last[1] - first[1]
    square = dx * dx + dy * dy
    cos, sin = (dx * dx - dy * dy) / square, 2.0 * dx * dy / square
    return about(first, ((cos, sin, 0.0), (sin, -cos, 0.0)))


def page_point(point: Point) -> Point:
    """Return a point of a piece (y up) as a point of the page (y down)."""
    return point[0], -point[1]


def fold_mirror(fold: tuple[Point, Point]) -> Matrix:
    """Return the map that mirrors the page in a fold given in piece coordinates."""
    return reflection(page_point(fold[0]), page_point(fold[1]))


def onto_sheet(placement: Placement, grain: float, width: float) -> Matrix:
    """Return the map from the page, where the piece is drawn, to the sheet, where the part lies.

    `width` is the usable width of the cloth, mm; `grain` the piece's grainline, degrees.
    """
    (a, c), (b, d) = placement_matrix(grain, placement.turn, placement.flip).tolist()
    rigid: Matrix = ((a, c, placement.x), (b, d, placement.y))
    return multiply(translation(0.0, width), multiply(_Y_DOWN, multiply(rigid, _Y_DOWN)))


def mapped(matrix: Matrix, points: Outline) -> Outline:
    """Return the points with the map applied."""
    return tuple(apply(matrix, point) for point in points)


def transform_text(matrix: Matrix) -> str:
    """Return the map as the text of a `transform` attribute."""
    (a, c, e), (b, d, f) = matrix
    return f"matrix({' '.join(map(number, (a, b, c, d, e, f)))})"
