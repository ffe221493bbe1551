# SPDX-License-Identifier: GPL-2.0-or-later
"""Whether the remnant of a layout was changed in the drawing since it was laid.

A layout keeps its cloth as it was then, so nothing of it tells that the drawn one has another shape
now, or flaws that nobody knew of.
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from extension.job.remnant import Remnant
from extension.language.errors import DrawingError
from extension.language.words import begun
from extension.pieces.remnants import DrawnCloth, cloth_of
from extension.svg.model import Leaf
from nesting.model import Outline

CHANGED = 0.5
"""mm by which an outline differs that was changed; less comes of how editors write numbers."""


def changed_since(leaves: Sequence[Leaf], remnant: Remnant | None, flaws: Sequence[Outline]) -> str:
    """Return a sentence on a remnant that was changed since it was laid on; "" where it was not.

    `leaves` are what is drawn, without layouts; `flaws` those that the layout knows. A remnant that
    is in the drawing no more was not changed: it may be cut by now.
    """
    if remnant is None or not _is_changed(leaves, remnant, flaws):
        return ""
    return (
        f"{begun(remnant.title)} was changed in the drawing since this was laid, and is taken here "
        "as it was then: to lay out on it as it is now, select it and lay out anew."
    )


def _is_changed(leaves: Sequence[Leaf], remnant: Remnant, flaws: Sequence[Outline]) -> bool:
    try:
        now = cloth_of(leaves, remnant.id)
    except DrawingError:  # it was whole when it was laid on
        return True
    if now is None:
        return False
    there, was = _area(now), remnant.cloth
    if shapely.hausdorff_distance(there.boundary, was.boundary) > CHANGED:
        return True
    known = shapely.union_all([_sound(ring) for ring in flaws]).buffer(CHANGED)
    fresh = shapely.union_all([_sound(ring) for ring in now.flaws]).intersection(was)
    return not fresh.difference(known).is_empty


def _area(cloth: DrawnCloth) -> shapely.Geometry:
    return Remnant(cloth.id, cloth.name, cloth.outline, cloth.holes).cloth


def _sound(ring: Outline) -> shapely.Geometry:
    return shapely.make_valid(shapely.Polygon(ring))
