# SPDX-License-Identifier: GPL-2.0-or-later
"""Cloth with an outline of its own: what is outside it, and in its holes, as shapes that stay.

The gap is kept between parts, not to the edges of cloth. Searches keep it round every shape, so
what is no cloth is made smaller by the gap: grown again it is as large as it was. Only at a corner
that cloth goes round (the inner corner of an L) nothing would be left of the tip, so a thin pin is
put there, which costs less than a third of the gap on either side of that corner.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

import numpy as np
import shapely

from nesting.geometry.lying import Orientation, Shape
from nesting.geometry.shapes import Points, counter_clockwise
from nesting.model import Fabric

BEYOND = 10.0
"""mm by which what is no cloth is continued beyond the rectangle round it, and the gap."""
SHARPEST = 20.0
"""How far, in margins or gaps, a corner may reach: sharper ones are cut off."""
CURVED, CURVE = 24, 0.02
"""Corners from which an outline counts as curved, and mm that its flat corners may cost."""
SPECK = 1e-4
"""mm across which a left-over is no more than the judge's slack."""
PIN = 0.02
"""mm: half the width of a pin."""
LEAST_AREA = 1e-3
"""mm2 below which what is left of a shape is dropped."""


def usable(fabric: Fabric) -> shapely.Geometry:
    """Return where parts may lie: the outline without holes, the edge margin along both left free.

    The outline of the fabric, which must have one, is not looked at more closely.
    """
    cloth = _plain(fabric)
    if fabric.edge_margin > 0.0:
        cloth = _offset(cloth, -fabric.edge_margin)
    return cloth


def _offset(area: shapely.Geometry, by: float, sharpest: float = SHARPEST) -> shapely.Geometry:
    """Return an area grown, or made smaller, its straight edges moved by exactly so much.

    The library divides by nothing where edges are parallel but for rounding, and copes with that.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return area.buffer(by, join_style="mitre", mitre_limit=sharpest)


def _plain(fabric: Fabric) -> shapely.Geometry:
    """Return a cloth's outline without its holes."""
    cloth = shapely.make_valid(shapely.Polygon(fabric.outline))
    holes = [shapely.make_valid(shapely.Polygon(hole)) for hole in fabric.holes]
    return shapely.difference(cloth, shapely.union_all(holes)) if holes else cloth


def cloth_area(fabric: Fabric) -> float:
    """Return the area in mm2 of cloth with an outline of its own, without its holes."""
    return free_area(_plain(fabric))


def free_area(cloth: shapely.Geometry) -> float:
    """Return the area in mm2 of cloth."""
    return float(cloth.area)


def least_length(fabric: Fabric, area: float) -> float:
    """Return a length, mm, up to which cloth with an outline of its own has so much area at least.

    The edge margin at the far end is included. Where all of it has less, the rest is counted as if
    the cloth went on as wide as it may be used.
    """
    cloth, margin = usable(fabric), fabric.edge_margin
    low_x, low_y, high_x, high_y = cloth.bounds
    if area >= cloth.area:
        wide = fabric.width - 2.0 * margin
        return float(high_x + (area - cloth.area) / wide + margin)
    short, enough = low_x, high_x
    while enough - short > 1e-3:
        middle = 0.5 * (short + enough)
        so_far = shapely.intersection(cloth, shapely.box(low_x, low_y, middle, high_y)).area
        short, enough = (middle, enough) if so_far < area else (short, middle)
    return float(short + margin)


def off_cloth(fabric: Fabric, taken: Collection[str]) -> list[Shape]:
    """Return what is no cloth, as shapes, where they lie; the fabric has an outline of its own.

    `taken` are the ids of pieces: no shape is called like one of them.
    """
    stem = "no cloth"
    while any(name.startswith(stem) for name in taken):
        stem += "'"
    found = [ring for area in _bays(fabric) for ring in _rings(_smaller(*area, fabric.gap))]
    return [_shape(f"{stem} {number}", ring) for number, ring in enumerate(found, 1)]


def _bays(fabric: Fabric) -> Iterator[tuple[shapely.Polygon, shapely.Polygon]]:
    """Yield each area within the rectangle of the cloth that is none.

    Before it comes the same, continued beyond the rectangle.
    """
    margin = fabric.edge_margin
    length = max(x for x, _ in fabric.outline) if fabric.length is None else fabric.length
    box = shapely.box(margin, margin, length - margin, fabric.width - margin)
    cloth, more = usable(fabric), BEYOND + 2.0 * fabric.gap
    around = shapely.difference(box.buffer(more, join_style="mitre"), cloth)
    for bay in shapely.get_parts(shapely.difference(box, cloth)):
        if bay.geom_type != "Polygon" or bay.area < LEAST_AREA:
            continue
        near = shapely.intersection(around, _offset(bay, more, 1.5))
        for area in shapely.get_parts(near):
            # Other areas that happen to be near are bays of their own, or beside the cloth.
            if area.geom_type == "Polygon" and shapely.relate_pattern(area, bay, "T********"):
                yield area, bay


def _smaller(area: shapely.Polygon, bay: shapely.Polygon, gap: float) -> shapely.Geometry:
    """Return an area that, grown by the gap, covers what of a given one is in its bay."""
    if gap <= 0.0:
        return area
    is_curved = shapely.get_num_coordinates(area) > CURVED
    less = gap - CURVE if is_curved and gap > 2.0 * CURVE else gap
    core = _offset(area, -less)
    covered = core.buffer(gap, quad_segs=32)
    kept = [core]
    for rest in shapely.get_parts(shapely.difference(bay, covered)):
        if rest.geom_type == "Polygon" and not rest.buffer(-SPECK).is_empty:
            kept.append(_pin(rest, core, gap))
    return shapely.union_all(kept)


def _pin(rest: shapely.Polygon, core: shapely.Geometry, gap: float) -> shapely.Polygon:
    """Return what covers the rest of an area, grown by the gap: a pin where that is enough."""
    corners = shapely.get_coordinates(rest)
    if core.is_empty:
        root = tip = np.array(rest.centroid.coords[0])
    else:
        points = shapely.points(corners)
        far = int(np.argmax(shapely.distance(points, core)))
        root = shapely.get_coordinates(shapely.shortest_line(core, points[far]))[0]
        away = float(np.hypot(*(root - corners[far])))
        # The distance from the arc to its chords is a thousandth of the gap at most.
        tip = corners[far] + (root - corners[far]) * min(1.0, 0.995 * gap / away)
    if np.hypot(*(corners - tip).T).max() > 0.999 * gap:
        return rest
    along = tip - root
    size = float(np.hypot(*along))
    across = np.array((-along[1], along[0])) / size if size > PIN else np.array((0.0, 1.0))
    along = along / size if size > PIN else np.array((1.0, 0.0))
    ends = root - PIN * along + PIN * across, root - PIN * along - PIN * across
    return shapely.Polygon([tip, *ends]).buffer(0.0)


def _rings(area: shapely.Geometry) -> Iterator[Points]:
    """Yield areas without holes that make up an area, counter-clockwise."""
    for part in shapely.get_parts(area):
        if part.geom_type != "Polygon" or part.area < LEAST_AREA * 1e-3:
            continue
        if part.interiors:
            low_x, low_y, high_x, high_y = part.bounds
            middle = part.interiors[0].centroid.x
            for box in ((low_x, middle), (middle, high_x)):
                half = shapely.box(box[0], low_y, box[1], high_y)
                yield from _rings(shapely.intersection(part, half))
        else:
            yield counter_clockwise(np.array(part.exterior.coords[:-1], dtype=np.float64))


def _shape(name: str, points: Points) -> Shape:
    """Return a shape where it lies."""
    low, high = points.min(axis=0), points.max(axis=0)
    ends = (float(low[0]), float(low[1])), (float(high[0]), float(high[1]))
    return Shape(name, Orientation(0.0, False), points, *ends)
