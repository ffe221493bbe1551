# SPDX-License-Identifier: GPL-2.0-or-later
"""Borders of the cloth: the one place across it where a piece lies that asks for a border.

A piece lies with its edge on the line of the border and reaches over its strip. The edge is named
as one looks at the piece with its top up, so which way it faces on the cloth follows from how the
piece is turned, and, for its sides, from its hand.

What is cut through two layers needs a border in both of them, one over the other: over a crosswise
fold each lies over itself, over a lengthwise one only where both selvedges have the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from nesting.cloth.rooms import FIT_TOLERANCE, Axis, Room, on_cloth
from nesting.cloth.zones import Zone
from nesting.errors import JobError
from nesting.geometry.lying import Shape
from nesting.judge.verdict import capital
from nesting.model import EDGE_WORDS, Band, Edge, Fabric, Piece, Section

FACES: dict[Edge, float] = {"hem": 180.0, "top": 0.0, "left": 90.0, "right": 270.0}
"""Which way an edge faces, degrees, on a piece that lies upright: its top in the direction of x."""
STRAIGHT = 1e-9
"""Degrees by which a turn may be off: rounding."""


def ways_on_bands(
    piece: Piece, fabric: Fabric, numbers: Sequence[int], shapes: Sequence[Shape]
) -> tuple[tuple[int, ...], tuple[Room, ...]]:
    """Return those of a piece's shapes in which it may lie, and what narrows the room of each.

    `numbers` are indices into `shapes`. Without a border, or a wish for one, all may lie anywhere:
    then there are no rooms. Raises JobError when a piece that asks for a border can lie on none.
    """
    if not piece.band or not fabric.bands:
        return tuple(numbers), ()
    found = [
        (number, Room(across=Axis(at, at)))
        for number in numbers
        for band in fabric.bands
        if (at := _place(piece.band, band, fabric, shapes[number])) is not None
    ]
    if not found:
        raise JobError(_no_way(piece, fabric), piece.id)
    return tuple(number for number, _ in found), tuple(room for _, room in found)


def _place(edge: Edge, band: Band, fabric: Fabric, shape: Shape) -> float | None:
    """Return the y at which a shape lies with an edge on the line of a band; None if it cannot."""
    at = _on_line(edge, band, shape)
    if at is None:
        return None
    nearest = on_cloth(fabric, shape.low, shape.high, 0.0).across.nearest(at)
    return nearest if abs(nearest - at) <= FIT_TOLERANCE else None


def _on_line(edge: Edge, band: Band, shape: Shape) -> float | None:
    """Return the y at which an edge of a shape lies on the line of a band; None if turned away."""
    lying = shape.orientation
    faces = lying.turn - FACES[edge] if lying.flip else lying.turn + FACES[edge]
    wanted = 270.0 if band.is_lower else 90.0
    if abs((faces - wanted + 180.0) % 360.0 - 180.0) > STRAIGHT:
        return None
    return band.line - (shape.low if band.is_lower else shape.high)[1]


# --- folded cloth -------------------------------------------------------------------------------


def bands_in(fabric: Fabric, section: Section, zone: Zone) -> tuple[Band, ...]:
    """Return the borders that all layers of a zone show, y as the table has it."""
    lower = fabric.bands
    if fabric.sides == "apart" and not section.is_open:
        lower = _turned_over(lower, fabric.width)
    if zone.layers == 1:
        return lower
    upper = lower
    if zone.fold is not None:
        upper = _turned_over(lower, 2.0 * zone.fold)
    elif section.turned:
        upper = _turned_over(lower, fabric.width)
    return tuple(band for band in lower if any(_are_alike(band, other) for other in upper))


def spots_on_bands(
    edge: Edge, bands: Sequence[Band], shape: Shape, span: tuple[float, float]
) -> Iterator[float]:
    """Yield each y, mm, at which a shape lies with an edge on the line of a band.

    `span` is from where to where outlines may reach.
    """
    low, high = span[0] - shape.low[1], span[1] - shape.high[1]
    for band in bands:
        at = _on_line(edge, band, shape)
        if at is not None and low - FIT_TOLERANCE <= at <= high + FIT_TOLERANCE:
            yield max(low, min(at, high))


def _turned_over(bands: Sequence[Band], twice: float) -> tuple[Band, ...]:
    """Return bands turned over about y = twice / 2."""
    return tuple(Band(band.name, twice - band.line, twice - band.to) for band in bands)


def _are_alike(one: Band, other: Band) -> bool:
    """Return whether an edge lies on both of two bands at once."""
    return one.is_lower == other.is_lower and abs(one.line - other.line) <= FIT_TOLERANCE


# --- what cannot be -----------------------------------------------------------------------------


def why_on_none(
    piece: Piece, fabric: Fabric, shapes: Sequence[Shape], *, is_matched: bool
) -> JobError:
    """Return why a piece can lie on no border of folded cloth, or of cloth with a design.

    `shapes` are all ways in which it may lie.
    """
    try:
        ways_on_bands(piece, fabric, range(len(shapes)), shapes)
    except JobError as error:
        return error
    wanted = f"{capital(piece.label)} is to lie with its {EDGE_WORDS[piece.band]} on the border"
    if is_matched and piece.band in ("hem", "top"):
        return JobError(
            f"{wanted}, so across the grain, where its match points cannot lie in the repeat: take "
            "them away, choose another edge, or leave the border out.",
            piece.id,
        )
    return JobError(
        f"{wanted}, but as the cloth is folded that lies in one layer alone: leave a length of it "
        "open, fold it crosswise, or leave the border out.",
        piece.id,
    )


def _no_way(piece: Piece, fabric: Fabric) -> str:
    """Return the sentence that a piece cannot lie on the border, and what would help."""
    label, edge = capital(piece.label), EDGE_WORDS[piece.band]
    nap = " on nap as well" if fabric.nap and not piece.turns_on_nap else ""
    return (
        f"{label} is to lie with its {edge} on the border, but none of the turns that it may take "
        f"puts that edge there between the selvedges: let it lie across the grain{nap}, choose "
        "another edge, or leave the border out."
    )
