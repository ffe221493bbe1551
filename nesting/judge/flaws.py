# SPDX-License-Identifier: GPL-2.0-or-later
"""The judge's rule about flaws of the cloth: nothing lies over one but hidden pieces.

Flaws lie on the flat cloth, where the judge sees what each layer is cut into.
"""

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
    lying = [sound(_on_cloth(part)) for part in laid]
    polygons = np.array([*lying, *flaws], dtype=object)
    for number in range(len(laid), len(polygons)):
        near = np.flatnonzero(shapely.intersects(polygons[: len(laid)], polygons[number]))
        common, counts = shared(polygons, near, np.full(len(near), number, dtype=np.intp))
        for k in np.flatnonzero(counts):
            yield laid[near[k]], common[k]


def _on_cloth(part: Laid) -> shapely.Geometry:
    """Return the outline of a part as it lies on the cloth before that is cut into sheets."""
    start = part.sheet.start
    if start == 0.0:
        return part.polygon
    return shapely.transform(part.polygon, lambda xy: xy + np.array([start, 0.0]))
