# SPDX-License-Identifier: GPL-2.0-or-later
"""What is wrong with the spots a search returns, stricter than the judge of whole layouts.

The judge forgives what no knife can follow; the searches promise more: a common area of at most
1e-9 of the smaller part (of a needle, which has hardly any, a strip 1e-9 mm wide along half its
outline), and a gap kept to 1e-6 mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from shapely.affinity import translate
from shapely.geometry import Polygon

from nesting.cloth.problem import Part, Problem, Spot


def laid(problem: Problem, spots: Sequence[Spot | None]) -> list[Polygon]:
    """Return the polygons of all placed and held parts."""
    return [
        translate(Polygon(problem.shapes[spot.shape].points), spot.x, spot.y)
        for spot in (*spots, *problem.fixed)
        if spot is not None
    ]


def faults(problem: Problem, spots: Sequence[Spot | None]) -> list[str]:
    """Return what is wrong with spots: shapes not allowed, off the cloth, nearer than the gap."""
    found = [
        f"part {k} in a shape not its own"
        for k, (part, spot) in enumerate(zip(problem.parts, spots, strict=True))
        if spot is not None and spot.shape not in part.shapes
    ]
    found += [
        f"part {k} outside its room"
        for k, (part, spot) in enumerate(zip(problem.parts, spots, strict=True))
        if spot is not None and part.rooms and not _is_in_its_room(part, spot)
    ]
    fabric, polygons = problem.fabric, laid(problem, spots)
    end = np.inf if fabric.length is None else fabric.length
    margin = fabric.edge_margin - 1e-6
    for polygon in polygons:
        low_x, low_y, high_x, high_y = polygon.bounds
        if min(low_x, low_y, end - high_x, fabric.width - high_y) < margin:
            found.append(f"off the cloth: {polygon.bounds}")
    for i, one in enumerate(polygons):
        for j in range(i):
            found += _faults_of_pair(one, polygons[j], fabric.gap, f"{j} and {i}")
    return found


def _is_in_its_room(part: Part, spot: Spot) -> bool:
    """Return whether a part lies where what narrows its room lets it, by arithmetic of its own."""
    room = part.rooms[part.shapes.index(spot.shape)]
    for axis, at in ((room.along, spot.x), (room.across, spot.y)):
        if not axis.low - 1e-6 <= at <= axis.high + 1e-6:
            return False
        if axis.period and abs(math.remainder(at - axis.phase, axis.period)) > 1e-6:
            return False
    return True


def _faults_of_pair(one: Polygon, two: Polygon, gap: float, names: str) -> list[str]:
    """Return what is wrong between two parts."""
    if one.bounds[0] > two.bounds[2] + gap or two.bounds[0] > one.bounds[2] + gap:
        return []
    area = one.intersection(two).area
    if area > 1e-9 * max(min(one.area, two.area), min(one.length, two.length) / 2.0):
        return [f"overlap of {names}: {area} mm2"]
    if one.distance(two) < gap - 1e-6:
        return [f"{names} nearer than the gap: {one.distance(two)} mm"]
    return []
