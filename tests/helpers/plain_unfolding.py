# SPDX-License-Identifier: GPL-2.0-or-later
"""What placements cut, for the second judge: pictures of the table, mirrored as pictures.

Each part is drawn on the table with its grainline and its fold edge. Where the cloth has a second
layer the whole picture is mirrored about the fold; how a copy lies is read off its picture. Zones
are strips of the table, out of which pictures are clipped. Shares nothing with `nesting.judge`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely import affinity
from shapely.geometry import GeometryCollection, LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from nesting.model import Fabric, Job, Layout, Piece, Placement, Section

FAR = 1e7
"""mm: a strip without an end is as long as this."""
GRID = 1e-6
"""mm: halves are joined on a grid as fine as this."""
ARROW = 1000.0
"""mm: length of the drawn grainline, off which turns are read."""
SAME = 2e-5
"""mm by which a part may leave its strip, or miss the fold."""
SYMMETRIC = 0.11
"""mm within which an outline is its own mirror image."""


@dataclass(frozen=True)
class Copy:
    """One copy on flat cloth; on which sheet, and how much cloth comes before that."""

    spot: Placement
    piece: Piece
    copies: tuple[int, ...]
    shape: BaseGeometry
    turn: float
    flip: bool
    has_hand: bool
    sheet: tuple[int, int]
    strayed: str


def whole(piece: Piece) -> BaseGeometry:
    """Return what is cut of a piece: halves are put together along the fold edge."""
    shape: BaseGeometry = Polygon(piece.outline)
    if piece.fold is None:
        return shape
    (ax, ay), (bx, by) = piece.fold
    dx, dy = bx - ax, by - ay
    square = dx * dx + dy * dy
    cos, sin = (dx * dx - dy * dy) / square, 2.0 * dx * dy / square
    move = (ax - cos * ax - sin * ay, ay - sin * ax + cos * ay)
    other = affinity.affine_transform(shape, [cos, sin, sin, -cos, *move])
    # On a grid the halves meet in one line; what is a line still afterwards is no cloth.
    both = shapely.get_parts(shapely.union(shape, other, grid_size=GRID))
    return MultiPolygon([part for part in both if isinstance(part, Polygon)])


def drawn(piece: Piece, spot: Placement) -> GeometryCollection:
    """Return a part on the table: its outline, its grainline with a barb to the left, its fold."""
    angle = math.radians(piece.grain)
    tip = ARROW * math.cos(angle), ARROW * math.sin(angle)
    barb = tip[0] - tip[1], tip[1] + tip[0]
    arrow = LineString([(0.0, 0.0), tip, barb])
    fold = LineString(piece.fold) if piece.fold else LineString()
    picture: BaseGeometry = GeometryCollection([whole(piece), arrow, fold])
    picture = affinity.rotate(picture, -piece.grain, origin=(0.0, 0.0))
    if spot.flip:
        picture = affinity.scale(picture, 1.0, -1.0, origin=(0.0, 0.0))
    picture = affinity.rotate(picture, spot.turn, origin=(0.0, 0.0))
    return affinity.translate(picture, spot.x, spot.y)


def over(picture: BaseGeometry, y: float) -> BaseGeometry:
    """Return a picture turned over about a line along the cloth."""
    return affinity.scale(picture, 1.0, -1.0, origin=(0.0, y))


def end_over_end(picture: BaseGeometry, x: float) -> BaseGeometry:
    """Return a picture turned over about a line across the cloth."""
    return affinity.scale(picture, -1.0, 1.0, origin=(x, 0.0))


def copies_of(job: Job, layout: Layout) -> list[Copy]:
    """Return every copy that a layout cuts, as flat cloth shows it on its right side."""
    pieces = {piece.id: piece for piece in job.pieces}
    return [
        copy for spot in layout.placements for copy in _cut(job, layout, pieces[spot.piece], spot)
    ]


def sections_of(job: Job, layout: Layout) -> tuple[Section, ...]:
    """Return how the cloth lies."""
    return layout.sections or job.fabric.sections


def _cut(job: Job, layout: Layout, piece: Piece, spot: Placement) -> list[Copy]:
    """Return what one placement cuts."""
    sections = sections_of(job, layout)
    if not 1 <= spot.section <= len(sections):
        nowhere = (0, id(spot))
        return [_copy(spot, piece, spot.copies, drawn(piece, spot), nowhere, "there is no section")]
    fabric, section = job.fabric, sections[spot.section - 1]
    picture = drawn(piece, spot)
    strayed = _strayed(fabric, section, spot, picture)
    sheet = (spot.section, 0)
    pictures = [(picture, sheet)]
    if spot.layers == 2 and section.turned:
        pictures.append((over(picture, fabric.width / 2.0), (spot.section, 1)))
    elif spot.layers == 2 and section.crosswise:
        assert layout.sections
        pictures.append(
            (end_over_end(picture, layout.sections[spot.section - 1].length / 2), sheet)
        )
    elif spot.layers == 2 and strips(fabric, section, 2):
        fold, _ = _home(picture, fabric, section)
        pictures.append((over(picture, fold), sheet))
    elif spot.layers == 2:
        # There is no second layer: what it would be is on no sheet, by itself.
        pictures.append((over(picture, 0.0), (0, id(spot))))
    if fabric.sides == "apart" and not section.is_open:
        pictures = [(over(one, fabric.width / 2.0), where) for one, where in pictures]
    if len(pictures) == 1:
        return [_copy(spot, piece, spot.copies, *pictures[0], strayed)]
    shares = spot.copies[:1], spot.copies[1:]
    return [
        _copy(spot, piece, share, one, where, strayed)
        for share, (one, where) in zip(shares, pictures, strict=True)
    ]


def _copy(
    spot: Placement,
    piece: Piece,
    copies: tuple[int, ...],
    picture: BaseGeometry,
    sheet: tuple[int, int],
    strayed: str,
) -> Copy:
    """Return a copy, its turn and its hand read off the picture."""
    shape, arrow, _ = shapely.get_parts(picture)
    (x, y), (tip_x, tip_y), (barb_x, barb_y) = arrow.coords
    along, up = tip_x - x, tip_y - y
    turn = math.degrees(math.atan2(up, along))
    flip = along * (barb_y - tip_y) - up * (barb_x - tip_x) < 0.0
    if spot.on_fold:
        # Its own mirror image about the fold: it can be read either way.
        turn, flip = spot.turn, spot.flip
    has_hand = spot.layers == 1 or piece.handed or not is_symmetric(piece)
    return Copy(spot, piece, copies, shape, turn, flip, has_hand, sheet, strayed)


def is_symmetric(piece: Piece) -> bool:
    """Return whether an outline is its own mirror image about its grainline."""
    shape = affinity.rotate(whole(piece), -piece.grain, origin=(0.0, 0.0))
    line = shape.boundary
    image = over(line, (shape.bounds[1] + shape.bounds[3]) / 2.0)
    return bool(shapely.hausdorff_distance(line, image, densify=0.02) <= SYMMETRIC)


# --- zones --------------------------------------------------------------------------------------


def strips(fabric: Fabric, section: Section, layers: int) -> list[Polygon]:
    """Return the strips of the table that have so many layers; at a selvedge they have no end."""
    width = fabric.width
    if section.crosswise:
        return [box(-FAR, -FAR, FAR, FAR)] if layers == 2 else []
    lower, upper = section.lower or 0.0, section.upper or 0.0
    # How many layers there are between one line and the next, from selvedge to selvedge.
    lines = [(lower, 2), (2 * lower, 1), (width - 2 * upper, 2), (width - upper, 0)]
    found = []
    for (low, many), (high, _) in pairwise(lines):
        if many == layers and high - low > SAME:
            low = -FAR if low <= SAME else low
            high = FAR if high >= width - SAME else high
            found.append(box(-FAR, low, FAR, high))
    return found


def _home(picture: BaseGeometry, fabric: Fabric, section: Section) -> tuple[float, Polygon]:
    """Return the fold that most of a picture lies next to, and its strip of two layers."""
    shape = shapely.get_parts(picture)[0]
    lower, upper = section.lower or 0.0, section.upper or 0.0
    folds = [fold for fold, deep in ((lower, lower), (fabric.width - upper, upper)) if deep > 0.0]
    known = list(zip(folds, strips(fabric, section, 2), strict=True))

    def without(home: tuple[float, Polygon]) -> float:
        _, low, _, high = shapely.difference(shape, home[1]).bounds or (0.0, 0.0, 0.0, 0.0)
        _, least, _, most = home[1].bounds
        return max(least - low, high - most) if low == low else 0.0

    return min(known, key=without)


def _strayed(fabric: Fabric, section: Section, spot: Placement, picture: BaseGeometry) -> str:
    """Return how a part leaves the strip where it may lie, empty when it does not."""
    shape, _, edge = shapely.get_parts(picture)
    if spot.on_fold:
        return _off_fold(fabric, section, spot, shape, edge)
    allowed = strips(fabric, section, spot.layers)
    if not allowed:
        return f"there are no {spot.layers} layers"
    if any(_reach(shape, strip) <= SAME for strip in allowed):
        return ""
    return f"it lies over the edge of {spot.layers} layers"


def _off_fold(
    fabric: Fabric, section: Section, spot: Placement, shape: BaseGeometry, edge: BaseGeometry
) -> str:
    """Return how a half misses its fold."""
    if edge.is_empty or spot.layers != 1:
        return "it has no fold edge, or lies on two layers at once"
    if section.crosswise or section.is_open:
        return "there is no fold"
    for fold, deep in ((section.lower, section.lower), (None, section.upper)):
        if not deep:
            continue
        y = fabric.width - deep if fold is None else fold
        if max(abs(edge.bounds[1] - y), abs(edge.bounds[3] - y)) <= SAME:
            # Opened out it lies on both sides of the fold, as far as the layers reach.
            lower, upper = y - deep, y + deep
            low = -FAR if lower <= SAME and upper >= fabric.width - SAME else lower
            high = FAR if low == -FAR else upper
            return "" if _reach(shape, box(-FAR, low, FAR, high)) <= SAME else "it reaches too far"
    return "its fold edge is not on a fold"


def _reach(shape: BaseGeometry, strip: Polygon) -> float:
    """Return how far, mm, a shape reaches out of a strip along x."""
    rest = shapely.difference(shape, strip)
    if rest.is_empty:
        return 0.0
    _, low, _, high = rest.bounds
    return float(max(strip.bounds[1] - low, high - strip.bounds[3]))
