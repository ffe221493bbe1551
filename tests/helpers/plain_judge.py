# SPDX-License-Identifier: GPL-2.0-or-later
"""A second judge of layouts, written from the job format's words with shapely's affine maps alone.

It is looser than `nesting.judge.check` in its tolerances and shares no line with it, so that a
fault of the one would be seen by the other.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from nesting.model import Job, Layout, Piece, Placement

THIN = 5e-3
"""mm: a strip shared by two parts may be as thick on average, and a gap less by as much."""
SHARE = 0.05
"""Of the smaller part's area, what may be common however thin it is."""
EDGE = 2e-5
"""mm by which the cloth's edge may be passed."""
GRID = 1e-6
"""mm: halves are joined, and what two parts share is measured, on a grid as fine as this."""


def faults(job: Job, layout: Layout) -> list[str]:
    """Return what is wrong with a layout of a job, one sentence each."""
    lying = {spot: _lying(_piece(job, spot), spot) for spot in layout.placements}
    return [
        *_counts(job, layout),
        *_rules(job, layout),
        *_places(job, lying),
        *_figures(job, layout, list(lying.values())),
    ]


def _piece(job: Job, spot: Placement) -> Piece:
    return next(piece for piece in job.pieces if piece.id == spot.piece)


def _lying(piece: Piece, spot: Placement) -> BaseGeometry:
    """Return a part as it lies: unfold, grain onto x, mirror, turn, move."""
    shape: BaseGeometry = Polygon(piece.outline)
    if piece.fold is not None:
        (ax, ay), (bx, by) = piece.fold
        dx, dy = bx - ax, by - ay
        square = dx * dx + dy * dy
        cos, sin = (dx * dx - dy * dy) / square, 2.0 * dx * dy / square
        move = (ax - cos * ax - sin * ay, ay - sin * ax + cos * ay)
        other = affinity.affine_transform(shape, [cos, sin, sin, -cos, *move])
        # On a grid the halves meet in one line; what is a line still afterwards is no cloth.
        both = shapely.get_parts(shapely.union(shape, other, grid_size=GRID))
        shape = MultiPolygon([part for part in both if isinstance(part, Polygon)])
    shape = affinity.rotate(shape, -piece.grain, origin=(0.0, 0.0))
    if spot.flip:
        shape = affinity.scale(shape, 1.0, -1.0, origin=(0.0, 0.0))
    shape = affinity.rotate(shape, spot.turn, origin=(0.0, 0.0))
    return affinity.translate(shape, spot.x, spot.y)


def _counts(job: Job, layout: Layout) -> list[str]:
    """Every copy once, placed or left over; left over only on cloth that has an end."""
    wanted = Counter(
        (piece.id, copy)
        for piece in job.pieces
        for copy in range(1, piece.cut * piece.garments + 1)
    )
    placed = Counter((spot.piece, copy) for spot in layout.placements for copy in spot.copies)
    left = Counter((rest.piece, copy) for rest in layout.left_over for copy in rest.copies)
    found = []
    if placed + left != wanted:
        found.append(f"copies {placed + left} instead of {wanted}")
    if left and job.fabric.length is None:
        found.append(f"left over on endless cloth: {left}")
    if any(len(spot.copies) != 1 for spot in layout.placements):
        found.append("a placement of one layer cuts not one copy")
    return found


def _rules(job: Job, layout: Layout) -> list[str]:
    """Hands within each garment, turns, nap, and what was held."""
    found = []
    hands: Counter[tuple[str, int, bool]] = Counter()
    for spot in layout.placements:
        piece = _piece(job, spot)
        hands[piece.id, spot.garment, spot.flip] += 1
        turns = {turn % 360.0 for turn in piece.turns}
        if job.fabric.nap and not piece.turns_on_nap:
            turns &= {0.0}
        if spot.turn % 360.0 not in turns:
            found.append(f"{piece.id} is turned by {spot.turn}")
        if (spot.copies[0] - 1) // piece.cut + 1 != spot.garment:
            found.append(f"copy {spot.copies} of {piece.id} in garment {spot.garment}")
    for piece in job.pieces:
        mirrored = piece.hand == "mirrored" and piece.fold is None
        flipped = piece.cut // 2 if mirrored else 0
        for garment in range(1, piece.garments + 1):
            counts = hands[piece.id, garment, True], hands[piece.id, garment, False]
            spare = piece.cut - 2 * flipped if mirrored else piece.cut
            wanted = {
                (flipped + more, piece.cut - flipped - more)
                for more in (range(spare + 1) if piece.either_side else (0,))
            }
            is_right = any(counts[0] <= one[0] and counts[1] <= one[1] for one in wanted)
            if not is_right or (not layout.left_over and counts not in wanted):
                found.append(f"hands of {piece.id}: {counts}, not among {wanted}")
    return found + [f"held {spot} has moved" for spot in set(job.held) - set(layout.placements)]


def _places(job: Job, lying: dict[Placement, BaseGeometry]) -> list[str]:
    """On the cloth, apart by the gap."""
    fabric, found = job.fabric, []
    least, across = fabric.edge_margin - EDGE, fabric.width - fabric.edge_margin + EDGE
    end = float("inf") if fabric.length is None else fabric.length - fabric.edge_margin + EDGE
    for spot, shape in lying.items():
        low_x, low_y, high_x, high_y = shape.bounds
        if low_x < least or low_y < least or high_y > across or high_x > end:
            found.append(f"{spot} is off the cloth: {shape.bounds}")
    for (one, first), (two, second) in combinations(lying.items(), 2):
        # On a grid, because GEOS (seen with 3.14.1) can return the whole of one part as what two
        # have in common that only touch along an edge.
        common = shapely.intersection(first, second, grid_size=GRID)
        smaller = min(first.area, second.area)
        if common.area > THIN * common.length / 2.0 or common.area > SHARE * smaller:
            found.append(f"{one} and {two} share {common.area} mm2")
        elif first.distance(second) < fabric.gap - THIN:
            found.append(f"{one} and {two} are {first.distance(second)} mm apart")
    return found


def _figures(job: Job, layout: Layout, shapes: list[BaseGeometry]) -> list[str]:
    """Length, utilisation and lower bound are what the parts say."""
    ends = [shape.bounds[2] + job.fabric.edge_margin for shape in shapes]
    length = max(ends, default=0.0)
    found = []
    if abs(layout.length - length) > EDGE + 1e-9 * length:
        found.append(f"length {layout.length} instead of {length}")
    if layout.width != job.fabric.width:
        found.append(f"width {layout.width} instead of {job.fabric.width}")
    share = sum(shape.area for shape in shapes) / (length * job.fabric.width) if length else 0.0
    if abs(layout.utilisation - share) > 1e-5:
        found.append(f"utilisation {layout.utilisation} instead of {share}")
    if not layout.left_over and layout.lower_bound > layout.length + EDGE:
        found.append(f"length {layout.length} below the bound {layout.lower_bound}")
    return found
