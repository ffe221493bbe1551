# SPDX-License-Identifier: GPL-2.0-or-later
"""What lies on each outline of a sheet, and beside it, without looking at everything for each."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from extension.markings.associating import Sheet
from extension.pieces.objects import size_of
from extension.pieces.outlines import ClosedShape, drawn_lines
from extension.svg.model import Leaf

BESIDE = 15.0
"""mm outside an outline within which a bracket may stand that points at it."""


class Things:
    """The leaves of a sheet by where they lie; those that lead to a label are none of them."""

    def __init__(self, sheet: Sheet) -> None:
        self._sheet = sheet
        self._on: dict[int, list[int]] = {}
        self._kin: dict[int, list[int]] = {}
        for index, family in sheet.family.items():
            self._kin.setdefault(family, []).append(index)
        loose: list[Leaf] = []
        for place, leaf in enumerate(sheet.leaves):
            owners = sheet.owners.get(place, ())
            if leaf in sheet.leaders:
                continue
            for owner in owners:
                self._on.setdefault(owner, []).append(place)
            if not owners and leaf.rings:
                loose.append(leaf)
        self._loose = loose
        boxes = np.array([leaf.box for leaf in loose]).reshape(-1, 4)
        self._tree = shapely.STRtree(shapely.box(*boxes.T))

    def on(self, index: int) -> tuple[list[Leaf], list[Leaf]]:
        """Return what lies on an outline, and what lies on another size of it and has none."""
        own = self._on.get(index, [])
        kin = self._kin[self._sheet.family[index]]
        others = {place for each in kin for place in self._on.get(each, ())} - set(own)
        shared = [leaf for leaf in self._at(sorted(others)) if size_of(leaf) is None]
        return self._at(own), shared

    def _at(self, places: Sequence[int]) -> list[Leaf]:
        return [self._sheet.leaves[place] for place in places]

    def beside(self, shape: ClosedShape) -> list[Leaf]:
        """Return the lines that lie on no outline, but near this one."""
        low_x, low_y, high_x, high_y = shape.polygon.bounds
        near = low_x - BESIDE, low_y - BESIDE, high_x + BESIDE, high_y + BESIDE
        if shape.polygon.is_empty:
            return []
        places = sorted(int(place) for place in self._tree.query(shapely.box(*near)))
        return [
            self._loose[place]
            for place in places
            if drawn_lines(self._loose[place]).distance(shape.polygon) <= BESIDE
        ]
