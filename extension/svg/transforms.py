# SPDX-License-Identifier: GPL-2.0-or-later
"""Affine maps as plain tuples, and the transform attribute of SVG, at full precision.

We do this ourselves because reading a transform through inkex rewrites the drawing's own
attribute with six digits.
"""

from __future__ import annotations

import math
import re

from extension.language.units import SVG_NUMBER
from extension.svg.model import Matrix
from nesting.geometry.shapes import unit_vector
from nesting.model import Point

IDENTITY: Matrix = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))

_STEP = re.compile(r"[\s,]*([a-zA-Z]+)\s*\(([^()]*)\)[\s,]*", re.ASCII)
_ARGUMENTS = re.compile(rf"\s*(?:{SVG_NUMBER}(?:\s*,\s*|\s+|(?=[-+])|$))*", re.ASCII)


def multiply(outer: Matrix, inner: Matrix) -> Matrix:
    """Return the map that does `inner` first and `outer` after it."""
    (a, c, e), (b, d, f) = outer
    (p, r, t), (q, s, u) = inner
    return (
        (a * p + c * q, a * r + c * s, a * t + c * u + e),
        (b * p + d * q, b * r + d * s, b * t + d * u + f),
    )


def apply(matrix: Matrix, point: Point) -> Point:
    """Return the image of a point."""
    (a, c, e), (b, d, f) = matrix
    x, y = point
    return a * x + c * y + e, b * x + d * y + f


def apply_vector(matrix: Matrix, vector: Point) -> Point:
    """Return the image of a direction: the map without its translation."""
    (a, c, _), (b, d, _) = matrix
    x, y = vector
    return a * x + c * y, b * x + d * y


def determinant(matrix: Matrix) -> float:
    """Return by what the map multiplies areas; negative when it mirrors."""
    (a, c, _), (b, d, _) = matrix
    return a * d - b * c


def can_be_undone(matrix: Matrix) -> bool:
    """Return whether a map leaves the plane a plane, in numbers that can be reckoned with."""
    (a, c, e), (b, d, f) = matrix
    area = determinant(matrix)
    largest = max(abs(a), abs(b), abs(c), abs(d))
    # What is left of an area after rounding is no area.
    return abs(area) > 1e-15 * largest * largest > 0.0 and math.isfinite(area + e + f)


def inverse(matrix: Matrix) -> Matrix:
    """Return the map that undoes this one. Raises ValueError when it flattens the plane."""
    (a, c, e), (b, d, f) = matrix
    if not can_be_undone(matrix):
        raise ValueError(f"{matrix} cannot be undone")
    area = determinant(matrix)
    p, r, q, s = d / area, -c / area, -b / area, a / area
    return (p, r, -(p * e + r * f)), (q, s, -(q * e + s * f))


def translation(x: float, y: float) -> Matrix:
    """Return the map that moves by (x, y)."""
    return (1.0, 0.0, x), (0.0, 1.0, y)


def scaling(x: float, y: float) -> Matrix:
    """Return the map that scales about the origin."""
    return (x, 0.0, 0.0), (0.0, y, 0.0)


def rotation(degrees: float) -> Matrix:
    """Return the map that turns by an angle as SVG counts it: clockwise as seen, y down."""
    cos, sin = unit_vector(degrees)
    return (cos, -sin, 0.0), (sin, cos, 0.0)


def parse_transform(text: str | None) -> Matrix:
    """Return the map that a `transform` attribute describes; None and "" are the identity.

    Raises ValueError when it is not well formed, or a number in it is not finite.
    """
    if text is None or text.strip() in ("", "none"):
        return IDENTITY
    matrix, position = IDENTITY, 0
    for step in _STEP.finditer(text):
        if step.start() != position:
            raise ValueError(text)
        position = step.end()
        matrix = multiply(matrix, _one_step(step[1], step[2]))
    if position != len(text) or not all(math.isfinite(n) for row in matrix for n in row):
        raise ValueError(text)
    return matrix


def _one_step(name: str, arguments: str) -> Matrix:
    """Return the map of one function of a transform list."""
    if _ARGUMENTS.fullmatch(arguments) is None:
        raise ValueError(f"{name}({arguments})")
    numbers = [float(number) for number in re.findall(SVG_NUMBER, arguments)]
    match name, numbers:
        case "matrix", [a, b, c, d, e, f]:
            return (a, c, e), (b, d, f)
        case "translate", [x]:
            return translation(x, 0.0)
        case "translate", [x, y]:
            return translation(x, y)
        case "scale", [x]:
            return scaling(x, x)
        case "scale", [x, y]:
            return scaling(x, y)
        case "rotate", [angle]:
            return rotation(angle)
        case "rotate", [angle, x, y]:
            turned = multiply(translation(x, y), rotation(angle))
            return multiply(turned, translation(-x, -y))
        case "skewX", [angle]:
            return (1.0, math.tan(math.radians(angle)), 0.0), (0.0, 1.0, 0.0)
        case "skewY", [angle]:
            return (1.0, 0.0, 0.0), (math.tan(math.radians(angle)), 1.0, 0.0)
    raise ValueError(f"{name}({arguments})")
