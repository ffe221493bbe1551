# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rule about cloth with an outline of its own: every part lies within it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from nesting.judge.outlines import Laid, near_text, shared, sound, usable
from nesting.judge.verdict import Violation, capital, figure
from nesting.model import Fabric

REMNANT = "off the remnant"
"""Name of the rule; its row is in `rules`."""
BEYOND = 10.0
"""mm that are looked at beyond all that lies there."""


def off_the_remnant(laid: Sequence[Laid], fabric: Fabric) -> list[Violation]:
    """Rule "off the remnant": no part shares what is no cloth, with the slack of two parts.

    That is what lies outside the outline and in its holes, and the edge margin along both.
    """
    if not fabric.outline or not laid:
        return []
    cloth = usable(fabric)
    bounds = np.array([cloth.bounds, *(part.polygon.bounds for part in laid)])
    low, high = bounds[:, :2].min(axis=0) - BEYOND, bounds[:, 2:].max(axis=0) + BEYOND
    void = shapely.difference(shapely.box(*low, *high), cloth)
    if fabric.edge_margin > 0.0:
        void = shapely.buffer(void, fabric.edge_margin, quad_segs=16)
    polygons = np.array([*(sound(part.polygon) for part in laid), void], dtype=object)
    near = np.flatnonzero(shapely.intersects(polygons[:-1], void))
    common, counts = shared(polygons, near, np.full(len(near), len(laid), dtype=np.intp))
    found = []
    for k in np.flatnonzero(counts):
        part, area = laid[near[k]], float(shapely.area(common[k]))
        sentence = (
            f"{capital(part.label)} lies off the remnant by {figure(area)} mm² near "
            f"{near_text(common[k])}: move it onto the cloth."
        )
        found.append(Violation(REMNANT, (part.key,), area, sentence))
    return found
