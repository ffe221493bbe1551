# SPDX-License-Identifier: GPL-2.0-or-later
"""Borders of the cloth: the one place across it where a piece lies that asks for a border.

A piece lies with its edge on the line of the border and reaches over its strip. The edge is named
as one looks at the piece with its top up, so which way it faces on the cloth follows from how the
piece is turned, and, for its sides, from its hand.
"""

from __future__ import annotations

from collections.abc import Sequence

from nesting.cloth.rooms import FIT_TOLERANCE, Axis, Room, on_cloth
from nesting.errors import JobError
from nesting.geometry.lying import Shape
from nesting.model import EDGE_WORDS, Band, Edge, Fabric, Piece

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
    lying = shape.orientation
    faces = lying.turn - FACES[edge] if lying.flip else lying.turn + FACES[edge]
    wanted = 270.0 if band.is_lower else 90.0
    if abs((faces - wanted + 180.0) % 360.0 - 180.0) > STRAIGHT:
        return None
    at = band.line - (shape.low if band.is_lower else shape.high)[1]
    there = on_cloth(fabric, shape.low, shape.high, 0.0).across
    nearest = there.nearest(at)
    return nearest if abs(nearest - at) <= FIT_TOLERANCE else None


def _no_way(piece: Piece, fabric: Fabric) -> str:
    """Return the sentence that a piece cannot lie on the border, and what would help."""
    label, edge = piece.label[0].upper() + piece.label[1:], EDGE_WORDS[piece.band]
    nap = " on nap as well" if fabric.nap and not piece.turns_on_nap else ""
    return (
        f"{label} is to lie with its {edge} on the border, but none of the turns that it may take "
        f"puts that edge there between the selvedges: let it lie across the grain{nap}, choose "
        "another edge, or leave the border out."
    )
