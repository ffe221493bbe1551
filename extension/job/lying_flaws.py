# SPDX-License-Identifier: GPL-2.0-or-later
"""Where the flaws of a layout's cloth lie on the table, section by section, and in which layer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import shapely
from shapely import affinity

from nesting.model import LaidSection, Outline, Sides

Layer = Literal["", "lower", "upper"]
FAR = 1e7
"""mm: further than any cloth."""


@dataclass(frozen=True, eq=False, slots=True)
class LyingFlaw:
    """A flaw as it lies in a section: x from the start of that, y on its lower layer spread out.

    `number` counts the flaws of the cloth from 1; `layer` is "" where the cloth lies single.
    """

    number: int
    layer: Layer
    area: shapely.Geometry


def flaws_lying(
    flaws: Sequence[Outline],
    sections: Sequence[LaidSection],
    number: int,
    width: float,
    sides: Sides,
) -> list[LyingFlaw]:
    """Return what of flaws lies in a section of folded cloth; sections count from 1.

    Behind what the section needs its cloth goes on, so there is no end to it.
    """
    section = sections[number - 1]
    begin = sum(one.length for one in sections[: number - 1])
    table = shapely.box(0.0, section.lower or 0.0, FAR, width - (section.upper or 0.0))
    found = []
    for count, flaw in enumerate(flaws, 1):
        flat = affinity.translate(shapely.make_valid(shapely.Polygon(flaw)), -begin)
        if sides == "apart" and not section.is_open:
            flat = _over(flat, width / 2.0)
        for layer, area in _layers(flat, section, width):
            seen = shapely.intersection(area, table)
            if seen.area > 0.0:
                found.append(LyingFlaw(count, layer, seen))
    return found


def rings_of(area: shapely.Geometry) -> list[Outline]:
    """Return the outlines of an area without holes."""
    parts = [one for one in shapely.get_parts(area) if one.geom_type == "Polygon" and one.area > 0]
    return [tuple((float(x), float(y)) for x, y in one.exterior.coords[:-1]) for one in parts]


def _layers(
    flat: shapely.Geometry, section: LaidSection, width: float
) -> Iterator[tuple[Layer, shapely.Geometry]]:
    """Yield what of a flaw of the flat cloth lies in each layer, as the table shows it."""
    if section.crosswise:
        half = section.length / 2.0
        near, far = (shapely.box(low, 0.0, low + half, width) for low in (0.0, half))
        yield "lower", shapely.intersection(flat, near)
        beyond = shapely.intersection(flat, far)
        if section.turned:
            yield "upper", affinity.translate(_over(beyond, width / 2.0), -half)
        else:
            yield "upper", affinity.scale(beyond, -1.0, 1.0, origin=(half, 0.0))
        return
    lower, upper = section.lower or 0.0, section.upper or 0.0
    inner, outer = 2.0 * lower, width - 2.0 * upper
    yield "", _strip(flat, inner, outer)
    for fold, near, away in ((lower, inner, 0.0), (width - upper, outer, width)):
        yield "lower", _strip(flat, min(fold, near), max(fold, near))
        yield "upper", _over(_strip(flat, min(fold, away), max(fold, away)), fold)


def _strip(area: shapely.Geometry, low: float, high: float) -> shapely.Geometry:
    """Return what of an area lies in a strip along the cloth."""
    return shapely.intersection(area, shapely.box(-FAR, low, FAR, max(low, high)))


def _over(area: shapely.Geometry, y: float) -> shapely.Geometry:
    """Return an area turned over about a line along the cloth."""
    return affinity.scale(area, 1.0, -1.0, origin=(0.0, y))
