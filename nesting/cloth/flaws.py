# SPDX-License-Identifier: GPL-2.0-or-later
"""Flaws of the cloth as shapes that do not move, over which only hidden pieces lie."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from nesting.geometry.lying import Orientation, Shape
from nesting.geometry.shapes import whole_outline
from nesting.model import Outline, Piece


def flaw_shapes(flaws: Sequence[Outline], taken: Collection[str]) -> list[Shape]:
    """Return the shape of each flaw, where it lies.

    `taken` are the ids of pieces: no shape of a flaw is called like one of them.
    """
    stem = "flaw"
    while any(name.startswith(stem) for name in taken):
        stem += "'"
    return [_shape(Piece(f"{stem} {number}", flaw)) for number, flaw in enumerate(flaws, 1)]


def _shape(flaw: Piece) -> Shape:
    """Return the shape of one flaw."""
    points = whole_outline(flaw)
    low, high = points.min(axis=0), points.max(axis=0)
    ends = (float(low[0]), float(low[1])), (float(high[0]), float(high[1]))
    return Shape(flaw.id, Orientation(0.0, False), points, *ends, gives_way=True)
