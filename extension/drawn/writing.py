# SPDX-License-Identifier: GPL-2.0-or-later
"""How the words on a piece lie on a part: readable, the lines of one label together."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely

from extension.drawn.frames import about, mapped
from extension.svg.model import Leaf, Matrix
from extension.svg.transforms import apply, apply_vector, determinant, multiply, rotation, scaling
from nesting.model import Outline, Point

TEXT_ROOM = 4.0
"""mm that letters keep from lines and from other letters."""
SAME_WAY = 1.0
"""Degrees: lines of writing that differ less run the same way."""

Placed = tuple[Leaf, Matrix, shapely.Polygon]
"""A text, the map from the page to where it lies on the sheet, and its box there."""


def labels_of(texts: Sequence[Leaf]) -> list[tuple[Leaf, ...]]:
    """Return texts put together to labels: lines that stand near each other and run the same way.

    A PDF import, for one, makes an object of every line of a label.
    """
    labels: list[list[Leaf]] = []
    for text in texts:
        mine = [one for one in labels if any(_belong(text, other) for other in one)]
        labels = [one for one in labels if one not in mine]
        labels.append([*(leaf for one in mine for leaf in one), text])
    return [tuple(label) for label in labels]


def placed_label(
    label: Sequence[Leaf], to_sheet: Matrix, part: shapely.Polygon, taken: shapely.Geometry
) -> list[Placed]:
    """Return the lines of a label: upright where there is room for that, else turned with the part.

    It turns about its own middle, and is never mirrored nor head down.
    """
    middle = _middle(label)
    read = multiply(to_sheet, label[0].matrix)
    if determinant(read) < 0.0:
        to_sheet = multiply(to_sheet, about(middle, _unmirror(label[0])))
        read = multiply(to_sheet, label[0].matrix)
    direction = math.degrees(math.atan2(*reversed(apply_vector(read, (1.0, 0.0)))))
    centre = apply(to_sheet, middle)
    inside = part.buffer(-TEXT_ROOM)
    for turn in (-direction, 180.0 if not -90.5 < direction <= 89.5 else 0.0):
        placed = list(_lines(label, multiply(about(centre, rotation(turn)), to_sheet)))
        if all(inside.contains(box) and not taken.intersects(box) for _, _, box in placed):
            break
    return placed


def corners(leaf: Leaf) -> Outline:
    """Return the corners of a leaf's box on the page."""
    low_x, low_y, high_x, high_y = leaf.box
    return (low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y)


def _belong(one: Leaf, other: Leaf) -> bool:
    """Return whether two texts are lines of one label."""
    turned = (_direction(one) - _direction(other) + 180.0) % 360.0 - 180.0
    if abs(turned) > SAME_WAY or determinant(one.matrix) * determinant(other.matrix) < 0.0:
        return False
    near = max(TEXT_ROOM, 0.5 * min(_height(one), _height(other)))
    boxes = (shapely.Polygon(corners(leaf)) for leaf in (one, other))
    return bool(shapely.distance(*boxes) <= near)


def _lines(label: Sequence[Leaf], matrix: Matrix) -> Iterator[Placed]:
    for leaf in label:
        yield leaf, matrix, shapely.Polygon(mapped(matrix, corners(leaf)))


def _direction(leaf: Leaf) -> float:
    """Return which way a text is written on the page, degrees."""
    x, y = apply_vector(leaf.matrix, (1.0, 0.0))
    return math.degrees(math.atan2(y, x))


def _height(leaf: Leaf) -> float:
    """Return the shorter side of a leaf's box: about its height, mm."""
    low_x, low_y, high_x, high_y = leaf.box
    return min(high_x - low_x, high_y - low_y)


def _unmirror(leaf: Leaf) -> Matrix:
    """Return the map that mirrors a text along its own line of writing, on the page."""
    along, back = rotation(_direction(leaf)), rotation(-_direction(leaf))
    return multiply(along, multiply(scaling(-1.0, 1.0), back))


def _middle(label: Sequence[Leaf]) -> Point:
    """Return the middle of the box round a label on the page."""
    low_x, low_y, high_x, high_y = zip(*(leaf.box for leaf in label), strict=True)
    return (min(low_x) + max(high_x)) / 2.0, (min(low_y) + max(high_y)) / 2.0
