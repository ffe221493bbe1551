# SPDX-License-Identifier: GPL-2.0-or-later
"""Which of several ways a part lies in that fits in all of them: with its edge on the border."""

from __future__ import annotations

import math
from collections.abc import Sequence

from extension.job.lying_bands import bands_lying
from extension.job.plan import Plan
from extension.layouts.frame import Frame
from nesting.cloth.bands import FACES
from nesting.model import Band, Edge

ASKEW = 45.0
"""Degrees: an edge that is turned by less faces the same way."""


def bands_on_table(plan: Plan | None, frame: Frame) -> tuple[Band, ...]:
    """Return the borders of a layout's cloth as they lie on the table, of all its sections."""
    if plan is None:
        return ()
    fabric = plan.job.fabric
    lying = [
        seen.band
        for one in frame.lying
        for seen in bands_lying(fabric.bands, one.section, frame.width, fabric.sides)
    ]
    return tuple(lying) if frame.lying else fabric.bands


def off_border(
    edge: Edge, way: tuple[float, bool], reach: tuple[float, float], bands: Sequence[Band]
) -> float:
    """Return how far, in whole mm, an edge is off the nearest border; infinite when turned away.

    `way` is the turn and the hand of a part that reaches across from low to high, mm. 0 for what
    asks for no border.
    """
    if not edge or not bands:
        return 0.0
    turn, is_flipped = way
    faces = turn - FACES[edge] if is_flipped else turn + FACES[edge]
    found = []
    for band in bands:
        wanted, at = (270.0, reach[0]) if band.is_lower else (90.0, reach[1])
        if abs((faces - wanted + 180.0) % 360.0 - 180.0) < ASKEW:
            found.append(float(round(abs(at - band.line))))
    return min(found, default=math.inf)
