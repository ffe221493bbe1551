# SPDX-License-Identifier: GPL-2.0-or-later
"""Which closed outlines lie in which, and what that makes of them.

A closed outline inside another is a line of it when it is small or runs parallel to it, a piece
when it says so, and otherwise unexplained: a graded nest, or a pocket drawn on a front, which is
never swallowed. A frame is a rectangle round two or more other pieces, or that of a printed page.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely.geometry import Polygon

from extension.pieces.objects import called
from extension.pieces.outlines import (
    INSIDE,
    SMALL,
    ClosedShape,
    OutlineFault,
    inner_outlines,
    share_inside,
)
from extension.pieces.sizes import same_size
from extension.pieces.straight import straight_runs
from extension.pieces.tiles import page_frames

PIECE_LIKE = 60.0
"""mm; what is longer than this inside a large rectangle may well be a piece in a frame."""
SHEET = 600.0
"""mm; a rectangle with no side shorter than this is large enough for a sheet of pieces."""
SEVERAL, FILLED = 2, 0.1
"""A rectangle round all of a drawing is a frame where more outlines than these lie in it, and fill
this share of it at least."""
RECTANGULAR = 0.97
"""Share of its smallest enclosing rectangle that a frame fills (rounded corners are allowed)."""

ON_TOP = 0.5
"""mm within which two lines lie on each other."""
EVEN_SHARE = 0.75
"""Share of a stitching line that keeps its distance from the outline; the rest are corners and
wider hems."""
EVEN = 0.1
"""By which share of itself the distance of a parallel line may vary (at least ON_TOP)."""
SAMPLES = 200

Kind = Literal["piece", "frame", "mark", "unexplained"]


@dataclass(frozen=True, slots=True)
class Standing:
    """What a closed outline is.

    `owner` is the index of the outline it lies in, for a mark of it or an unexplained one.
    """

    kind: Kind
    owner: int | None = None


def containers(shapes: Sequence[ClosedShape]) -> list[list[int]]:
    """Return for each outline the indices of those it lies in, the smallest first.

    Of two equal outlines the later in the document lies in the earlier one.
    """
    found: list[list[int]] = [[] for _ in shapes]
    areas = [shape.area for shape in shapes]
    geometries = [shape.geometry for shape in shapes]
    tree = shapely.STRtree([shape.polygon for shape in shapes])
    for inner, geometry in enumerate(geometries):
        for outer in sorted(int(index) for index in tree.query(geometry, "intersects")):
            smaller = (areas[inner], -inner) < (areas[outer], -outer)
            if smaller and share_inside(geometry, shapes[outer].polygon) >= INSIDE:
                found[inner].append(outer)
        found[inner].sort(key=lambda outer: (areas[outer], -outer))
    return found


def standings(
    shapes: Sequence[ClosedShape],
    inside: Sequence[Sequence[int]],
    claimed: Sequence[bool],
    sizes: Sequence[str | None],
) -> list[Standing]:
    """Return what each outline is.

    `inside` is the result of `containers`; `claimed` says which outlines carry cutting details of
    their own, so that they are pieces wherever they lie; `sizes` to which size each belongs: an
    outline of another size is no line of the one round it.
    """
    frames = _frames(shapes, inside, claimed, sizes) | page_frames(shapes, claimed)
    found: list[Standing] = []
    for index in range(len(shapes)):
        around = [outer for outer in inside[index] if outer not in frames]
        if index in frames:
            found.append(Standing("frame"))
        elif claimed[index] or not around or _other_size(sizes, index, around[0]):
            found.append(Standing("piece"))
        else:
            found.append(Standing("unexplained", around[0]))
    for index in _from_outside_in(inside):
        if found[index].kind == "unexplained":
            found[index] = _explained(shapes, found, index)
    return _nests_unexplained(shapes, found)


def runs_parallel(outer: Polygon, inner: Polygon) -> bool:
    """Return whether one outline runs inside another at a near-constant distance.

    One straight stretch may lie on the outer outline, as the fold edge of a half does; more of
    them, as the common seams of a graded nest, do not make a parallel.
    """
    ring = inner.exterior
    distances = shapely.distance(_samples(ring), outer.exterior)
    apart = distances[distances > ON_TOP]
    if len(apart) < len(distances) / 2 or not _one_stretch(ring, distances <= ON_TOP):
        return False
    usual = usual_gap(outer, inner)
    even = np.abs(apart - usual) <= max(ON_TOP, EVEN * usual)
    return bool(even.mean() >= EVEN_SHARE)


def usual_gap(outer: Polygon, inner: Polygon) -> float:
    """Return how far inside an outline another runs for the most part, mm; 0 if it lies on it."""
    distances = shapely.distance(_samples(inner.exterior), outer.exterior)
    apart = distances[distances > ON_TOP]
    return float(np.median(apart)) if len(apart) else 0.0


def outline_fault(shape: ClosedShape) -> OutlineFault | None:
    """Return why an outline cannot be a piece, None when it can."""
    if shape.fault is not None or not _unexplained_inside(shape):
        return shape.fault
    return OutlineFault(
        called(shape.leaf),
        "holds one outline inside another in one path: break it apart (Path > Break Apart), and "
        "mark the inner one with lay:role=“mark” if it is a line of the piece.",
        shape.leaf,
    )


def _unexplained_inside(shape: ClosedShape) -> bool:
    """Return whether one path holds, inside its outline, another that is no mark of it."""
    large = [each for each in inner_outlines(shape) if each.area >= SMALL * shape.area]
    return len(large) > 1 or any(not runs_parallel(shape.polygon, each.polygon) for each in large)


def _from_outside_in(inside: Sequence[Sequence[int]]) -> list[int]:
    return sorted(range(len(inside)), key=lambda index: len(inside[index]))


def _other_size(sizes: Sequence[str | None], index: int, outer: int) -> bool:
    return not same_size(sizes[index], sizes[outer])


def _explained(shapes: Sequence[ClosedShape], found: list[Standing], index: int) -> Standing:
    """Return what an outline is to the piece round it (its own standing when nothing tells)."""
    owner = found[index].owner
    assert owner is not None
    # What lies within a mark of a piece (a stitching line, say) is a matter of the piece.
    while found[owner].kind == "mark":
        owner = found[owner].owner
        assert owner is not None
    small = shapes[index].area < SMALL * shapes[owner].area
    if small or runs_parallel(shapes[owner].polygon, shapes[index].polygon):
        return Standing("mark", owner)
    return Standing("unexplained", owner)


def _nests_unexplained(shapes: Sequence[ClosedShape], found: list[Standing]) -> list[Standing]:
    """Return the standings, with two parallels in one outline taken for the sizes of a nest."""
    lines: dict[int, list[int]] = {}
    for index, standing in enumerate(found):
        owner = standing.owner
        if standing.kind != "mark" or owner is None:
            continue
        if shapes[index].area >= SMALL * shapes[owner].area:
            lines.setdefault(owner, []).append(index)
    result = list(found)
    for owner, indices in lines.items():
        for index in indices if len(indices) > 1 else ():
            result[index] = Standing("unexplained", owner)
    return result


def _frames(
    shapes: Sequence[ClosedShape],
    inside: Sequence[Sequence[int]],
    claimed: Sequence[bool],
    sizes: Sequence[str | None],
) -> set[int]:
    """Return the outlines that only enclose others."""
    within: list[list[int]] = [[] for _ in shapes]
    for inner, around in enumerate(inside):
        for outer in around:
            within[outer].append(inner)
    return {
        index
        for index in range(len(shapes))
        if len(within[index]) > 1
        and not claimed[index]
        and _is_frame(shapes, inside, claimed, sizes, index, within[index])
    }


def _is_frame(
    shapes: Sequence[ClosedShape],
    inside: Sequence[Sequence[int]],
    claimed: Sequence[bool],
    sizes: Sequence[str | None],
    index: int,
    within: Sequence[int],
) -> bool:
    shape = shapes[index]
    lines = {
        inner
        for inner in within
        if not claimed[inner]
        and shapes[inner].area >= SMALL * shape.area
        and runs_parallel(shape.polygon, shapes[inner].polygon)
    }
    apart = set(within) - lines
    children = [inner for inner in apart if not apart & set(inside[inner])]
    if sum(claimed[inner] for inner in children) > 1:
        return True
    box = shape.polygon.minimum_rotated_rectangle
    if shape.area < RECTANGULAR * box.area:
        return False
    large = [inner for inner in children if shapes[inner].area >= SMALL * shape.area]
    likely = [inner for inner in children if shapes[inner].extent > PIECE_LIKE]
    # Outlines of sizes are no marks of one that has none: what is round several is no piece.
    sized = [inner for inner in likely if sizes[index] is None and sizes[inner] is not None]
    if len(large) > 1 or len(sized) > 1 or (len(likely) > 1 and _shorter_side(box) >= SHEET):
        return True
    # On a small page, as of a teaching pattern: what is round all that there is.
    outside = set(range(len(shapes))) - set(within) - {index}
    filled = sum(shapes[inner].area for inner in likely) >= FILLED * shape.area
    round_all = all(shapes[other].extent <= PIECE_LIKE for other in outside)
    return round_all and filled and len(likely) > SEVERAL


def _shorter_side(box: Polygon) -> float:
    corners = list(box.exterior.coords)
    return min(math.dist(*corners[:2]), math.dist(*corners[1:3]))


def _samples(ring: shapely.LinearRing) -> np.ndarray:
    """Return points evenly spaced along a ring."""
    steps = (np.arange(SAMPLES) + 0.5) / SAMPLES
    return np.asarray(shapely.line_interpolate_point(ring, steps, normalized=True))


def _one_stretch(ring: shapely.LinearRing, on_top: np.ndarray) -> bool:
    """Return whether the samples that lie on the outer outline are one straight stretch."""
    if not on_top.any():
        return True
    starts = np.flatnonzero(on_top & ~np.roll(on_top, 1))
    if len(starts) != 1:
        return False
    order = (starts[0] + np.arange(int(on_top.sum()))) % SAMPLES
    points = [(point.x, point.y) for point in _samples(ring)[order]]
    return len(points) < 3 or len(straight_runs(points, closed=False, tolerance=ON_TOP)) == 1
