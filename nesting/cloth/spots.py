# SPDX-License-Identifier: GPL-2.0-or-later
"""Placements on a section of cloth as spots of its problem: `Strip.placements`, undone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from nesting.cloth.lots import How
from nesting.cloth.places import fold_line
from nesting.cloth.problem import Part, Spot
from nesting.cloth.strip import StripProblem
from nesting.model import Piece, Placement


def spots_of(
    strip: StripProblem, pieces: Mapping[str, Piece], placements: Sequence[Placement]
) -> tuple[Spot | None, ...]:
    """Return where placements lie, in the order of the parts; None for one that may not lie so.

    One may lie off its zone: it is seen in the one that is nearest.
    """
    there = {(one.piece, one.copies): one for one in placements}
    return tuple(
        _spot_of(strip, pieces[part.piece], part, how, there[part.piece, part.copies])
        for part, how in zip(strip.problem.parts, strip.hows, strict=True)
    )


def _spot_of(
    strip: StripProblem, piece: Piece, part: Part, how: How, placement: Placement
) -> Spot | None:
    """Return the spot of one placement."""
    found: list[tuple[float, Spot]] = []
    for number in part.shapes:
        shape, zone = strip.problem.shapes[number], strip.zones[number]
        lying, y = shape.orientation, placement.y
        assert zone is not None
        if lying.turn != placement.turn % 360.0 or (how != "fold" and lying.flip != placement.flip):
            continue
        away = max(zone.low - y - shape.low[1], y + shape.high[1] - zone.high, 0.0)
        if how == "fold":
            assert zone.fold is not None
            away = abs(y + fold_line(piece, lying.turn) - zone.fold)
            y = zone.fold - (shape.low if zone.from_low else shape.high)[1]
        found.append((away, Spot(number, placement.x, y - strip.origin)))
    return min(found, key=lambda one: one[0])[1] if found else None
