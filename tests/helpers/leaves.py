# SPDX-License-Identifier: GPL-2.0-or-later
"""Drawings of one shape on all kinds of pages, and what is read of them."""

from __future__ import annotations

import math

import pytest

from extension.language.errors import DrawingError
from extension.svg.leaves import read_leaves
from extension.svg.model import Leaf
from tests.helpers.svg_builder import SvgBuilder

MICROMETRE = 1e-3

SHAPES: dict[str, dict[str, str]] = {
    "path": {"d": "M 20 10 C 60 -5 80 40 50 60 Q 30 80 25 50 A 12 20 30 0 1 20 10 Z"},
    "rect": {"x": "20", "y": "10", "width": "60", "height": "40", "rx": "7", "ry": "12"},
    "circle": {"cx": "50", "cy": "40", "r": "30"},
    "ellipse": {"cx": "50", "cy": "40", "rx": "40", "ry": "15"},
    "line": {"x1": "10", "y1": "20", "x2": "70", "y2": "60"},
    "polyline": {"points": "10,20 70,60 30,90"},
    "polygon": {"points": "10,20 70,60 30,90"},
}
PAGES: list[tuple[str | None, str | None, tuple[float, float, float, float] | None, str | None]] = [
    ("200mm", "100mm", (0, 0, 200, 100), None),
    ("20cm", "10cm", (0, 0, 400, 200), None),
    ("10in", "5in", (-20, -10, 10, 5), None),
    ("300pt", "200pt", (0, 0, 100, 200), None),
    ("960px", "480px", None, None),
    ("960", "480", (5, 5, 96, 96), "xMinYMax meet"),
    ("100mm", "300mm", (0, 0, 200, 100), "none"),
    ("80pc", "40pc", (0, 0, 200, 100), "xMaxYMid slice"),
    (None, None, (0, 0, 200, 100), None),
]
TRANSFORMS = [
    "translate(12.5 -40)",
    "rotate(33)",
    "rotate(90 50 40)",
    "scale(-1 1)",
    "scale(0.35 2)",
    "skewX(35)",
    "skewY(-20) scale(1 -1)",
    "matrix(0.6 -0.2 0.9 1.4 30 -7)",
]


def leaves_of(drawing: SvgBuilder, include_layouts: bool = False) -> dict[str, Leaf]:
    leaves = read_leaves(drawing.document(), include_layouts=include_layouts)
    by_id = {leaf.id: leaf for leaf in leaves}
    assert len(by_id) == len(leaves)
    return by_id


def only(drawing: SvgBuilder) -> Leaf:
    (leaf,) = read_leaves(drawing.document())
    return leaf


def refusal(drawing: SvgBuilder) -> DrawingError:
    with pytest.raises(DrawingError) as error:
        read_leaves(drawing.document())
    sentence = str(error.value)
    assert "\n" not in sentence
    return error.value


def furthest(one: Leaf, other: Leaf) -> float:
    """Return how far apart the points of two equally read leaves are at most, mm."""
    assert [ring.closed for ring in one.rings] == [ring.closed for ring in other.rings]
    worst = 0.0
    for ours, theirs in zip(one.rings, other.rings, strict=True):
        assert len(ours.points) == len(theirs.points)
        pairs = zip(ours.points, theirs.points, strict=True)
        worst = max(worst, *(math.dist(a, b) for a, b in pairs))
    return worst
