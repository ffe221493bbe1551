# SPDX-License-Identifier: GPL-2.0-or-later
"""A layout read back from a drawing by an independent reader (inkex), and judged by shapely alone.

Nothing here shares code with the program: geometry comes from the elements as they are drawn.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter
from dataclasses import dataclass

import inkex
import shapely
from inkex.bezier import cspsubdiv

URN = "{urn:thriftlay:1}"
GROUP = f"{{{inkex.NSS['svg']}}}g"
FLATNESS = 0.02
"""mm by which a flattened curve may miss the true one."""


@dataclass(frozen=True)
class LaidPart:
    """One part as drawn, in mm on the page."""

    of: str
    copy: str
    flipped: bool
    shape: shapely.Polygon
    grain: float | None
    """Angle of its grainline from the length of the cloth, degrees, 0 to 180; None without one."""


@dataclass(frozen=True)
class Laid:
    """A layout layer: its parts, and the strip of cloth as drawn."""

    parts: tuple[LaidPart, ...]
    settings: str

    @property
    def counts(self) -> Counter[str]:
        """How many copies lie there of each source."""
        return Counter(part.of for part in self.parts)

    @property
    def height(self) -> float:
        """Extent of all parts across the width, mm."""
        box = shapely.union_all([part.shape for part in self.parts]).bounds
        return float(box[3] - box[1])

    @property
    def length(self) -> float:
        """Extent of all parts along the cloth, mm."""
        box = shapely.union_all([part.shape for part in self.parts]).bounds
        return float(box[2] - box[0])

    def least_gap(self) -> float:
        """Return the least distance between two parts, mm; negative (an area) on overlap."""
        least = math.inf
        for one, other in itertools.combinations([part.shape for part in self.parts], 2):
            overlap = one.intersection(other).area
            least = min(least, -overlap if overlap > 1e-6 else one.distance(other))
        return least


def read_layouts(drawing: bytes) -> list[Laid]:
    """Return the layouts of a drawing in document order."""
    root = inkex.load_svg(drawing).getroot()
    per_mm = root.viewport_to_unit("1mm")
    return [
        Laid(tuple(_part(group, per_mm) for group in _groups(layer)), layer.get(f"{URN}settings"))
        for layer in root.iter(GROUP)
        if layer.get(f"{URN}layout") is not None
    ]


def _groups(layer: inkex.BaseElement) -> list[inkex.BaseElement]:
    """Return the groups of parts (their outlines carry the same attributes and are no groups)."""
    return [group for group in layer.iter(GROUP) if group.get(f"{URN}of") is not None]


def _part(group: inkex.BaseElement, per_mm: float) -> LaidPart:
    outline = next(one for one in group.iterdescendants() if one.get(f"{URN}of") is not None)
    # Marks keep the look of the original: an arrow head tells the grainline.
    marks = [one for one in group.iterdescendants() if "marker-end" in one.get("style", "")]
    return LaidPart(
        group.get(f"{URN}of"),
        group.get(f"{URN}copy"),
        group.get(f"{URN}flipped") == "yes",
        shapely.Polygon(_points(outline, per_mm)),
        _angle(_points(marks[0], per_mm)) if marks else None,
    )


def _points(element: inkex.BaseElement, per_mm: float) -> list[tuple[float, float]]:
    """Return the first subpath of a shape, flattened, in mm on the page."""
    path = element.path.to_absolute().transform(element.composed_transform())
    curves = inkex.CubicSuperPath(path)
    cspsubdiv(curves, FLATNESS * per_mm)
    return [(node[1][0] / per_mm, node[1][1] / per_mm) for node in curves[0]]


def _angle(points: list[tuple[float, float]]) -> float:
    (x0, y0), (x1, y1) = points[0], points[-1]
    return math.degrees(math.atan2(y1 - y0, x1 - x0)) % 180.0
