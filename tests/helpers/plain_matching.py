# SPDX-License-Identifier: GPL-2.0-or-later
"""The second judge's word on stripes: a garment is put on its design, and compared by pairs.

Two copies match when the design round a match point of the one, carried over to the other, falls on
itself. It is tried with the design's own lattice of dominant lines as points, moved by shapely. A
point that is to be on a line, or midway, has a crossing there, or half a repeat before and below.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import combinations

import shapely
from shapely import affinity

from nesting.model import Job, Layout, Match, Piece, Placement, Repeat

NEAR = 2.0
"""mm: looser than the judge, which forgives 1 mm to either side."""
ROUNDING = 0.01
"""mm past a line that are no cloth."""


def faults(job: Job, layout: Layout) -> list[str]:
    """Return the pairs of match points whose surroundings differ, one sentence each."""
    repeat = job.fabric.repeat
    if repeat is None:
        return []
    pieces = {piece.id: piece for piece in job.pieces}
    seen = [
        (match, spot, flipped, _window(job, pieces[spot.piece], match, spot, flipped, mirror))
        for spot in _on_flat_cloth(layout)
        for match in pieces[spot.piece].match
        for flipped, mirror in _layers(job, layout, spot)
    ]
    found = [
        f"match: {match.group} of {spot.piece} is not on its line"
        for match, spot, _, window in seen
        if match.on and not _is_on_line(job, match, window)
    ]
    for (one, spot, _, near), (other, place, _, far) in combinations(seen, 2):
        if one.group == other.group and not _alike(job, (one, other), near, far):
            found.append(f"match: {one.group} of {spot.piece} and {place.piece}")
    return found


def _on_flat_cloth(layout: Layout) -> list[Placement]:
    """Return the placements with x counted from the cut end of the cloth, not of their section."""
    starts = [sum(one.length for one in layout.sections[:k]) for k in range(len(layout.sections))]
    return [
        replace(spot, x=spot.x + starts[spot.section - 1]) if starts else spot
        for spot in layout.placements
    ]


def to_a_line(job: Job, behind: Iterable[Piece], needed: float) -> float:
    """Return how far a section goes: to a line, where what is behind it minds that."""
    repeat = job.fabric.repeat
    if repeat is None or not repeat.along or not needed:
        return needed
    matches = [match for piece in behind for match in piece.match]
    if all(match.axes == "across" and not repeat.half_drop for match in matches):
        return needed
    lines = [count * repeat.along for count in range(int(needed / repeat.along) + 2)]
    return next(line for line in lines if line > needed - ROUNDING)


def _layers(job: Job, layout: Layout, spot: Placement) -> list[tuple[bool, float | None]]:
    """Return for each layer that is cut whether its copy is flipped, and the fold it is behind."""
    layers: list[tuple[bool, float | None]] = [(spot.flip, None)]
    if spot.layers == 2:
        section = (layout.sections or job.fabric.sections)[spot.section - 1]
        lower = section.lower or 0.0
        upper = job.fabric.width - (section.upper or 0.0)
        fold = lower if lower and (not section.upper or spot.y <= 2.0 * lower) else upper
        layers.append((not spot.flip, fold))
    return layers


def _window(
    job: Job, piece: Piece, match: Match, spot: Placement, flipped: bool, fold: float | None
) -> shapely.MultiPoint:
    """Return the crossings of dominant lines round a match point, as the garment has them."""
    repeat = job.fabric.repeat
    assert repeat is not None
    point = affinity.rotate(shapely.Point(*match.point), -piece.grain, origin=(0, 0))
    if spot.flip:
        point = affinity.scale(point, 1.0, -1.0, origin=(0, 0))
    point = affinity.rotate(point, spot.turn, origin=(0, 0))
    point = affinity.translate(point, spot.x, spot.y)
    x, y = point.x, point.y if fold is None else 2.0 * fold - point.y
    along, across = repeat.along or 1.0, repeat.across or 1.0
    column, row = round(x / along), round((y - repeat.first) / across)
    crossings = [
        (
            (column + i) * along + (along / 2.0 if repeat.half_drop and (row + k) % 2 else 0.0),
            repeat.first + (row + k) * across,
        )
        for i in range(-3, 4)
        for k in range(-3, 4)
    ]
    window = affinity.translate(shapely.MultiPoint(crossings), -x, -y)
    if repeat.even:
        window = affinity.rotate(window, -spot.turn, origin=(0, 0))
        if flipped:
            window = affinity.scale(window, 1.0, -1.0, origin=(0, 0))
    return window


def _alike(
    job: Job, matches: tuple[Match, Match], near: shapely.MultiPoint, far: shapely.MultiPoint
) -> bool:
    """Return whether the crossing nearest to one match point is one round the other as well."""
    repeat = job.fabric.repeat
    assert repeat is not None
    return _gap(repeat, matches, min(near.geoms, key=shapely.Point(0, 0).distance), far) <= NEAR


def _is_on_line(job: Job, match: Match, window: shapely.MultiPoint) -> bool:
    """Return whether a crossing is where a match point has to lie on a line, or between two."""
    repeat = job.fabric.repeat
    assert repeat is not None
    share = 0.5 if match.on == "between" else 0.0
    crossing = shapely.Point(-share * repeat.along, -share * repeat.across)
    return _gap(repeat, (match,), crossing, window) <= NEAR


def _gap(
    repeat: Repeat, matches: Sequence[Match], wanted: shapely.Point, window: shapely.MultiPoint
) -> float:
    """Return how far, mm, the nearest of some crossings is from one, where points have to match."""
    if repeat.half_drop:
        return float(wanted.distance(window))
    along = repeat.along and all(match.axes != "across" for match in matches)
    across = repeat.across and all(match.axes != "along" for match in matches)
    return min(
        max(
            abs(wanted.x - other.x) if along else 0.0,
            abs(wanted.y - other.y) if across else 0.0,
        )
        for other in window.geoms
    )
