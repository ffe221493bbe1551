# SPDX-License-Identifier: GPL-2.0-or-later
"""Hypothesis strategies for outlines, pieces, fabrics and jobs, the awkward ones included.

Every outline is a simple polygon (it neither crosses nor touches itself) of at least 1 mm2, in
millimetres, without a repeated last point. Numbers are multiples of 1/8 mm before they are
turned, so that failures shrink to figures that can be read and many contacts are exact.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from hypothesis import assume
from hypothesis import strategies as st

from nesting.model import Fabric, Job, Outline, Piece

STEP = 0.125
"""mm: untransformed coordinates are multiples of it (exact in binary)."""


def lengths(low: float, high: float) -> st.SearchStrategy[float]:
    """Lengths in mm between two bounds, multiples of `STEP`."""
    return st.integers(math.ceil(low / STEP), math.floor(high / STEP)).map(lambda n: n * STEP)


def points() -> st.SearchStrategy[tuple[float, float]]:
    """Points within two metres of the origin."""
    return st.tuples(lengths(-2000, 2000), lengths(-2000, 2000))


def turned(outline: Outline, degrees: float) -> Outline:
    """Return an outline turned about the origin; quarter turns are exact."""
    quarter = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    radians = math.radians(degrees)
    cos, sin = quarter.get(degrees % 360.0, (math.cos(radians), math.sin(radians)))
    return tuple((cos * x - sin * y, sin * x + cos * y) for x, y in outline)


def moved(outline: Outline, dx: float, dy: float) -> Outline:
    """Return an outline moved by (dx, dy) mm."""
    return tuple((x + dx, y + dy) for x, y in outline)


def mirrored(outline: Outline) -> Outline:
    """Return the mirror image in the x axis; it runs the other way round."""
    return tuple((x, -y) for x, y in outline)


# --- outlines of one kind each, near the origin -------------------------------------------------


@st.composite
def rectangles(draw: st.DrawFn, low: float = 5.0, high: float = 600.0) -> Outline:
    """Rectangles with their lower left corner at the origin."""
    width, height = draw(lengths(low, high)), draw(lengths(low, high))
    return ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))


@st.composite
def convex(draw: st.DrawFn, low: float = 5.0, high: float = 300.0) -> Outline:
    """Convex polygons: 3 to 12 points of an ellipse."""
    angles = draw(st.lists(st.integers(0, 71), min_size=3, max_size=12, unique=True))
    across, along = draw(lengths(low, high)), draw(lengths(low, high))
    radians = [math.radians(5 * angle) for angle in sorted(angles)]
    outline = tuple((across * math.cos(a), along * math.sin(a)) for a in radians)
    assume(area(outline) >= 1.0)
    return outline


@st.composite
def star_shaped(draw: st.DrawFn, low: float = 5.0, high: float = 300.0) -> Outline:
    """Concave polygons that can be seen whole from the origin: 5 to 16 spokes."""
    spokes = draw(st.integers(5, 16))
    reach = draw(st.lists(lengths(low, high), min_size=spokes, max_size=spokes))
    radians = [2.0 * math.pi * number / spokes for number in range(spokes)]
    return tuple((r * math.cos(a), r * math.sin(a)) for r, a in zip(reach, radians, strict=True))


@st.composite
def l_shapes(draw: st.DrawFn) -> Outline:
    """Angles: a rectangle with a smaller one missing at a corner."""
    width, height = draw(lengths(20, 500)), draw(lengths(20, 500))
    inner_x, inner_y = draw(lengths(1, width - 1)), draw(lengths(1, height - 1))
    return (
        (0.0, 0.0),
        (width, 0.0),
        (width, inner_y),
        (inner_x, inner_y),
        (inner_x, height),
        (0.0, height),
    )


@st.composite
def u_shapes(draw: st.DrawFn) -> Outline:
    """Rectangles with a slot: something fits in exactly, or just does not."""
    left, slot, right = draw(lengths(1, 100)), draw(lengths(1, 200)), draw(lengths(1, 100))
    height = draw(lengths(10, 400))
    floor = draw(lengths(1, height - 1))
    width = left + slot + right
    return (
        (0.0, 0.0),
        (width, 0.0),
        (width, height),
        (left + slot, height),
        (left + slot, floor),
        (left, floor),
        (left, height),
        (0.0, height),
    )


@st.composite
def needles(draw: st.DrawFn) -> Outline:
    """Long thin triangles, up to 600 mm long and down to an eighth of a millimetre thick."""
    length, thick = draw(lengths(50, 600)), draw(lengths(STEP, 5))
    tip = draw(lengths(0, length))
    return ((0.0, 0.0), (length, 0.0), (tip, thick))


@st.composite
def spirals(draw: st.DrawFn) -> Outline:
    """Square spirals of one to four rounds: a wall of cloth and a way in of the same kind."""
    wall, way = draw(lengths(2, 20)), draw(lengths(1, 20))
    corners = 4 * draw(st.integers(1, 4)) + draw(st.integers(1, 4))
    x = y = 0.0
    outer, inner = [], []
    directions = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
    # The legs of the middle line grow by half a pitch each; both sides are mitred offsets of it.
    reach = 1.0
    for number in range(corners + 1):
        (dx, dy), (ex, ey) = directions[number % 4], directions[(number - 1) % 4]
        # At the two ends of the spiral only the direction of the one wall counts.
        first, last = number == 0, number == corners
        side_x = (0.0 if last else dy) + (0.0 if first else ey)
        side_y = (0.0 if last else -dx) + (0.0 if first else -ex)
        outer.append((x + side_x * wall / 2.0, y + side_y * wall / 2.0))
        inner.append((x - side_x * wall / 2.0, y - side_y * wall / 2.0))
        x, y = x + dx * reach * (wall + way), y + dy * reach * (wall + way)
        reach += 0.5
    return (*outer, *reversed(inner))


@st.composite
def curved(draw: st.DrawFn, points_each: int = 60) -> Outline:
    """Garment-like outlines: smooth, concave and convex, with as many points as drawn curves."""
    size = draw(lengths(30, 250))
    waves = draw(st.lists(st.integers(-20, 20), min_size=1, max_size=4))
    stretch = draw(lengths(0.5, 2))
    outline = []
    for number in range(points_each):
        angle = 2.0 * math.pi * number / points_each
        radius = size * (
            1.0 + sum(w / 100.0 * math.cos((k + 2) * angle) for k, w in enumerate(waves))
        )
        outline.append((radius * math.cos(angle) * stretch, radius * math.sin(angle)))
    return tuple(outline)


def outlines() -> st.SearchStrategy[Outline]:
    """Outlines of every kind, near the origin, in any of the four quarter turns or oblique."""
    kinds = st.one_of(
        rectangles(),
        convex(),
        star_shaped(),
        l_shapes(),
        u_shapes(),
        needles(),
        spirals(),
        curved(),
    )
    angles = st.sampled_from([0.0, 90.0, 180.0, 270.0, 30.0, 45.0, 127.3])
    return st.builds(turned, kinds, angles)


@st.composite
def placed_anywhere(draw: st.DrawFn, far: float = 90_000.0) -> Outline:
    """Outlines of every kind as drawings have them: at any coordinates, either way round."""
    outline = draw(outlines())
    if draw(st.booleans()):
        outline = tuple(reversed(outline))
    start = draw(st.integers(0, len(outline) - 1))
    outline = outline[start:] + outline[:start]
    return moved(outline, draw(lengths(-far, far)), draw(lengths(-far, far)))


@st.composite
def shared_edges(draw: st.DrawFn) -> tuple[Outline, Outline]:
    """Two outlines cut from one rectangle along a zigzag: they touch in every point of it."""
    width, height = draw(lengths(50, 400)), draw(lengths(50, 400))
    count = draw(st.integers(1, 6))
    steps = sorted(
        draw(
            st.lists(lengths(STEP, height - STEP), min_size=count, max_size=count, unique=True),
        )
    )
    zigzag = [(draw(lengths(1, width - 1)), y) for y in (0.0, *steps, height)]
    left = ((0.0, 0.0), *zigzag, (0.0, height))
    right = ((width, 0.0), (width, height), *reversed(zigzag))
    return left, right


# --- pieces, fabrics, jobs ----------------------------------------------------------------------


@st.composite
def half_outlines(draw: st.DrawFn) -> tuple[Outline, tuple[tuple[float, float], ...]]:
    """Halves drawn on the fold with the two ends of the fold edge, at any angle and place.

    The fold runs up the y axis before it is turned; the half lies to its right.
    """
    count = draw(st.integers(1, 6))
    heights = sorted(
        draw(st.lists(st.integers(1, 400), min_size=count, max_size=count, unique=True))
    )
    side = [(draw(lengths(5, 200)), float(y)) for y in heights]
    top = heights[-1] + draw(lengths(0, 50)) + 1.0
    on_fold = [(0.0, top / 2.0)] if draw(st.booleans()) else []
    outline: Outline = ((0.0, 0.0), *side, (0.0, top), *on_fold)
    if draw(st.booleans()):
        outline = tuple(reversed(outline))
    angle = draw(st.sampled_from([0.0, 90.0, 180.0, 270.0, 33.3]))
    dx, dy = draw(points())
    outline = moved(turned(outline, angle), dx, dy)
    ends = moved(turned(((0.0, 0.0), (0.0, top)), angle), dx, dy)
    return outline, ends


TURNS = ((0.0,), (0.0, 180.0), (0.0, 90.0, 180.0, 270.0), (180.0,), (0.0, 45.0))


@st.composite
def pieces(draw: st.DrawFn, number: int = 1, most: int = 4) -> Piece:
    """Pieces whose copies come to at most `most` per garment and 2 garments."""
    folded = draw(st.integers(0, 4)) == 0
    if folded:
        outline, ends = draw(half_outlines())
        fold = (ends[0], ends[1])
    else:
        outline, fold = draw(placed_anywhere(far=1000.0)), None
    turns = draw(st.sampled_from(TURNS))
    return Piece(
        id=f"p{number}",
        outline=outline,
        name=draw(st.sampled_from(["", "Front", "Ärmel", "Poche 2"])),
        cut=draw(st.integers(1, most)),
        garments=draw(st.integers(1, 2)),
        hand=draw(st.sampled_from(("mirrored", "same"))),
        either_side=draw(st.booleans()),
        turns=turns,
        # With nap only turn 0 is left of the turns, so a piece without it must be allowed more.
        turns_on_nap=0.0 not in turns or draw(st.booleans()),
        grain=draw(st.sampled_from([0.0, 90.0, 180.0, 270.0, -45.0, 12.5])),
        fold=fold,
        priority=draw(st.sampled_from([None, None, 1.0, 2.0])),
    )


@st.composite
def fabrics(draw: st.DrawFn, at_least: float = 10.0) -> Fabric:
    """Open-ended fabrics on which a piece of extent `at_least` (mm, any direction) fits."""
    margin = draw(st.sampled_from([0.0, 0.0, 5.0, 12.5]))
    width = at_least + 2.0 * margin + draw(lengths(1, 1000))
    return Fabric(
        width=max(width, 10.0),
        edge_margin=margin,
        gap=draw(st.sampled_from([0.0, 0.0, 3.0, 1.5])),
        nap=draw(st.booleans()),
    )


@st.composite
def jobs(draw: st.DrawFn, most_pieces: int = 4, most: int = 2) -> Job:
    """Small jobs that can be laid: every piece fits across the fabric in every turn."""
    count = draw(st.integers(1, most_pieces))
    chosen = tuple(draw(pieces(number, most)) for number in range(1, count + 1))
    widest = max(2.0 * reach(piece.outline) for piece in chosen)
    return Job(draw(fabrics(at_least=widest)), chosen)


def reach(outline: Sequence[tuple[float, float]]) -> float:
    """Return the diagonal of an outline's bounding box, mm: no turn makes it wider."""
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return math.hypot(max(xs) - min(xs), max(ys) - min(ys))


def area(outline: Sequence[tuple[float, float]]) -> float:
    """Return the area of an outline in mm2, whichever way it runs."""
    following = [*outline[1:], outline[0]]
    twice = sum(x * v - u * y for (x, y), (u, v) in zip(outline, following, strict=True))
    return abs(twice) / 2.0
