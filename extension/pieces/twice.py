# SPDX-License-Identifier: GPL-2.0-or-later
"""Pieces that lie exactly on each other: most likely one that was pasted, or drawn, twice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import shapely

from extension.pieces.model import DrawnPiece
from extension.pieces.sizes import same_size

LIES_ON = "lies exactly on"
"""What is told of the second of two."""
DECIMALS = 1
"""Of mm to which the boxes of two such outlines are the same."""
SHARE = 0.001
"""Of its area by which one may differ from the other."""


def laid_twice(pieces: Sequence[DrawnPiece]) -> Mapping[str, str]:
    """Return, by the id of the second of two pieces that lie on each other, what to tell of it.

    Two that are of other sizes, or cut from other materials, are one shape of two pieces.
    """
    alike: dict[tuple[float, ...], list[DrawnPiece]] = {}
    told: dict[str, str] = {}
    for piece in pieces:
        points = np.array(piece.outline)
        box = np.round((*points.min(axis=0), *points.max(axis=0)), DECIMALS)
        others = alike.setdefault(tuple(float(side) for side in box), [])
        first = next((one for one in others if _is_same(one, piece)), None)
        others.append(piece)
        if first is not None:
            told[piece.id] = (
                f"{piece.label} {LIES_ON} {first.label}, and both are laid: delete one if it was "
                "drawn twice."
            )
    return told


def _is_same(one: DrawnPiece, other: DrawnPiece) -> bool:
    """Return whether two pieces with one box could be the same one."""
    materials = [{demand.material for demand in each.demands} for each in (one, other)]
    if not materials[0] & materials[1] or not same_size(one.size, other.size):
        return False
    shapes = [shapely.make_valid(shapely.Polygon(each.outline)) for each in (one, other)]
    return bool(shapes[0].symmetric_difference(shapes[1]).area <= SHARE * shapes[0].area)
