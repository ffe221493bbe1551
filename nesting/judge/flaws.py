# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rule about flaws of the cloth: nothing lies over one but hidden pieces."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from nesting.judge.outlines import Laid, near_text, shared, sound
from nesting.judge.verdict import Violation, capital, figure
from nesting.model import Fabric

FLAW = "flaw"
"""Name of the rule; its row is in `rules`."""


def over_flaws(laid: Sequence[Laid], fabric: Fabric) -> list[Violation]:
    """Rule "flaw": no part shares cloth with a flaw, with the slack of two parts.

    What is hidden may.
    """
    found: list[Violation] = []
    for part, common in lying_over_flaws([part for part in laid if not part.is_hidden], fabric):
        area = float(shapely.area(common))
        sentence = (
            f"{capital(part.label)} lies over a flaw of the cloth by {figure(area)} mm² near "
            f"{near_text(common)}: move it off the flaw."
        )
        found.append(Violation(FLAW, (part.key,), area, sentence))
    return found


def lying_over_flaws(
    laid: Sequence[Laid], fabric: Fabric
) -> Iterator[tuple[Laid, shapely.Geometry]]:
    """Yield each part that shares cloth with a flaw, and what they share."""
    if not fabric.flaws or not laid:
        return
    flaws = [sound(shapely.Polygon(flaw)) for flaw in fabric.flaws]
    polygons = np.array([*(sound(part.polygon) for part in laid), *flaws], dtype=object)
    for number in range(len(laid), len(polygons)):
        near = np.flatnonzero(shapely.intersects(polygons[: len(laid)], polygons[number]))
        common, counts = shared(polygons, near, np.full(len(near), number, dtype=np.intp))
        for k in np.flatnonzero(counts):
            yield laid[near[k]], common[k]
