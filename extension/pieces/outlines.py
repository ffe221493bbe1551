# SPDX-License-Identifier: GPL-2.0-or-later
"""Closed outlines of leaves: cleaned, mended where that changes nothing, else with their fault."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry import Point as Spot
from shapely.validation import explain_validity

from extension.language.errors import DrawingError
from extension.pieces.objects import called, outline_called
from extension.svg.model import Leaf, Ring
from nesting.model import Outline, Point

SAME_POINT = 1e-3
"""mm within which two neighbouring points of an outline are one."""
NO_AREA = 1.0
"""mm2 under which an outline encloses nothing, and by which mending one may change its area."""
INSIDE = 0.95
"""Share of an outline's area that must lie within another for it to count as inside."""
MOSTLY = 0.5
"""Share of a line that must lie within a piece for it to belong there."""
SMALL = 0.05
"""Share of a piece's area under which an outline inside it is a mark (drill hole, arrow head)."""
TINY = 30.0
"""mm; what is no longer than this and small beside a piece is a mark of it even on its edge."""
SEEN = 0.5
"""mm by which what was drawn may leave a mended outline unsaid: about the width of its line."""


class OutlineFault(DrawingError):
    """An outline cannot be a piece: what is wrong with it `says`, behind what it is called.

    `place` is where that is seen, page mm, None for the whole outline.
    """

    def __init__(self, seen: str, says: str, leaf: Leaf, place: Point | None = None) -> None:
        super().__init__(f"{seen} {says}", leaf.id)
        self.says = says
        self.place = place


@dataclass(frozen=True, eq=False, slots=True)
class ClosedShape:
    """A leaf with a closed outline: the largest of its closed subpaths, in page mm.

    `polygon` is always valid and is empty when the outline encloses nothing; `fault` says why the
    leaf cannot be a piece, None when it can; `mended` says what mending took away that is seen, as
    it goes on behind what the outline is called.
    """

    leaf: Leaf
    outline: Outline
    polygon: Polygon
    fault: OutlineFault | None = None
    mended: str = ""

    @property
    def area(self) -> float:
        """Return the enclosed area, mm2."""
        return float(self.polygon.area)

    @property
    def geometry(self) -> shapely.Geometry:
        """Return the enclosed area, or the line or point that an outline without area is."""
        if not self.polygon.is_empty:
            return self.polygon
        return LineString(self.outline) if len(self.outline) > 1 else Spot(self.outline[0])

    @property
    def extent(self) -> float:
        """Return the longer side of its bounding box, mm."""
        low_x, low_y, high_x, high_y = self.geometry.bounds
        return float(max(high_x - low_x, high_y - low_y))


def without_repeats(points: Sequence[tuple[float, float]]) -> Outline:
    """Return a ring without points that repeat the one before, the last before the first."""
    kept: list[tuple[float, float]] = []
    for point in points:
        if not kept or math.dist(point, kept[-1]) > SAME_POINT:
            kept.append(point)
    while len(kept) > 1 and math.dist(kept[0], kept[-1]) <= SAME_POINT:
        kept.pop()
    return tuple(kept)


def drawn_lines(leaf: Leaf) -> shapely.Geometry:
    """Return a leaf's lines in page mm, closed ones closed; a box for a text or an image."""
    if not leaf.rings:
        return shapely.box(*leaf.box)
    lines = [_line(ring) for ring in leaf.rings if ring.points]
    strokes = [line for line in lines if line.length > 0.0]
    if strokes:
        return MultiLineString(strokes)
    return Spot(leaf.rings[0].points[0]) if lines else Spot()


def closed_shape(leaf: Leaf) -> ClosedShape | None:
    """Return the closed outline of a leaf, or None when it has none."""
    shapes = [_one_outline(leaf, ring) for ring in leaf.rings if ring.closed]
    if not shapes:
        return None
    shape = max(shapes, key=lambda each: each.area)
    fault = shape.fault or _separate(shape) or _open_beside(shape)
    return ClosedShape(leaf, shape.outline, shape.polygon, fault, shape.mended)


def inner_outlines(shape: ClosedShape) -> tuple[ClosedShape, ...]:
    """Return the other closed subpaths of the same leaf: holes, drill marks, stitching lines."""
    rings = [_one_outline(shape.leaf, ring) for ring in shape.leaf.rings if ring.closed]
    return tuple(each for each in rings if each.outline != shape.outline)


def separate_outlines(shape: ClosedShape) -> tuple[ClosedShape, ...]:
    """Return the other closed subpaths of the same leaf that lie beside its outline."""
    return tuple(
        each
        for each in inner_outlines(shape)
        if share_inside(each.geometry, shape.polygon) < INSIDE and not is_tiny_beside(each, shape)
    )


def share_inside(inner: shapely.Geometry, outer: shapely.Geometry) -> float:
    """Return how much of an area, a line or a point lies within another geometry: 0 to 1."""
    whole = inner.area or inner.length
    if not whole:
        return float(inner.intersects(outer))
    common = inner.intersection(outer)
    return float(common.area if inner.area else common.length) / float(whole)


def is_tiny_beside(small: ClosedShape, large: ClosedShape) -> bool:
    """Return whether an outline is too small beside another to be a piece of its own."""
    return small.extent <= TINY and small.area < SMALL * large.area


def is_same(inner: ClosedShape, outer: ClosedShape) -> bool:
    """Return whether an outline that lies in another one lies exactly on it."""
    return abs(outer.area - inner.area) <= 1e-3 * outer.area


def _line(ring: Ring) -> LineString:
    points = [*ring.points, ring.points[0]] if ring.closed else list(ring.points)
    return LineString(points if len(points) > 1 else [*points, *points])


def _one_outline(leaf: Leaf, ring: Ring) -> ClosedShape:
    outline = without_repeats(ring.points)
    polygon = Polygon(outline) if len(outline) > 2 else Polygon()
    if polygon.is_valid and polygon.area >= NO_AREA:
        return ClosedShape(leaf, outline, polygon)
    parts = _areas(shapely.make_valid(polygon))
    if not parts:
        return ClosedShape(leaf, outline, Polygon(), no_area(leaf))
    # What a crossing encloses counts once here and with its sign in the outline's own area, so
    # the two are equal only where mending changes nothing: a spike, a doubled edge.
    if len(parts) == 1 and abs(parts[0].area - Polygon(outline).area) <= NO_AREA:
        mended = Polygon(parts[0].exterior)
        return ClosedShape(leaf, _ring_of(mended), mended, None, _lost(outline, mended))
    biggest = max(parts, key=lambda part: part.area)
    return ClosedShape(leaf, outline, Polygon(biggest.exterior), _crossing(leaf, polygon))


def _areas(geometry: shapely.Geometry) -> list[Polygon]:
    """Return the polygons in a geometry that enclose anything."""
    return [
        part
        for part in shapely.get_parts(geometry.buffer(0) if geometry.area else geometry)
        if part.area >= NO_AREA
    ]


def _ring_of(polygon: Polygon) -> Outline:
    return tuple((float(x), float(y)) for x, y in polygon.exterior.coords[:-1])


def _lost(outline: Outline, mended: Polygon) -> str:
    """Return what is said of what was drawn and is not on the mended outline, "" for a hair."""
    gaps = shapely.distance(shapely.points(outline), mended.exterior)
    farthest = int(gaps.argmax())
    if gaps[farthest] <= SEEN:
        return ""
    return (
        f"runs back over itself{_near(outline[farthest])}: a spike, a slit or a loop with hardly "
        "any width is left off its parts, so draw it as a line of its own if it is to be on them."
    )


def no_area(leaf: Leaf) -> OutlineFault:
    """Return the fault of an outline that encloses nothing."""
    return OutlineFault(
        called(leaf),
        "is closed but encloses no area: delete it, draw it again, or mark it as a line of a piece "
        "with lay:role.",
        leaf,
    )


def _crossing(leaf: Leaf, polygon: Polygon) -> OutlineFault:
    found = re.search(r"\[(-?[\d.e+-]+) (-?[\d.e+-]+)", explain_validity(polygon))
    place = (float(found[1]), float(found[2])) if found else None
    return OutlineFault(
        outline_called(leaf),
        f"crosses itself{_near(place)}: move its nodes there so that it goes round once.",
        leaf,
        place,
    )


def _near(place: Point | None) -> str:
    return "" if place is None else f" near x {place[0]:.0f} mm, y {place[1]:.0f} mm"


def _separate(shape: ClosedShape) -> OutlineFault | None:
    """Return the fault of one path that holds several outlines side by side."""
    apart = separate_outlines(shape)
    if not apart:
        return None
    return OutlineFault(
        called(shape.leaf),
        f"holds {len(apart) + 1} separate outlines in one path: break it apart (Path > Break "
        "Apart) so that each can be a piece, or mark it with lay:leave-out.",
        shape.leaf,
    )


def _open_beside(shape: ClosedShape) -> OutlineFault | None:
    """Return the fault of one path that holds an outline and an open line outside it."""
    lines = [_line(ring) for ring in shape.leaf.rings if not ring.closed and ring.points]
    for line in lines:
        if share_inside(line, shape.polygon) <= MOSTLY and line.length > SAME_POINT:
            return OutlineFault(
                called(shape.leaf),
                "holds an open line beside its outline: break it apart (Path > Break Apart), and "
                "close the line if it is an outline.",
                shape.leaf,
            )
    return None
